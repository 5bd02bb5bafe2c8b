"""What beads timed on a video tell about the skin of this water's bubbles.

Each bead leaves two things open, its first size and the skin; any two of size, time and height pin both
down. The skin is one number for the water, its place between the stiffest and the most mobile skin that
ordinary water shows; a small film factor is carried through for what that number cannot follow.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import (
    CONTAMINATED_EQUATIONS,
    TAP_EQUATIONS,
    between,
    contaminated_closure,
    film_scaled,
    stack,
    tap_closure,
)
from fizzwright.engines.bubbles.fate import Release, Stepping
from fizzwright.engines.bubbles.film import FILM_EQUATIONS
from fizzwright.engines.bubbles.lives import BubbleLives, bubble_lives
from fizzwright.engines.bubbles.medium import WATER_EQUATIONS, BubbleWater
from fizzwright.engines.bubbles.population import skin_mix_frac
from fizzwright.errors import Fault, InputError
from fizzwright.result import Basis, Estimate

__all__ = ["BEAD_EQUATIONS", "Bead", "SkinFit", "fit_skin"]

Array = NDArray[np.float64]

# What `fit_skin` runs, for the trail of whoever calls it; water's own equations run where it is made.
BEAD_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *WATER_EQUATIONS, *CONTAMINATED_EQUATIONS, *TAP_EQUATIONS, *FILM_EQUATIONS, bubble_lives, skin_mix_frac,
)  # fmt: skip

MIXES = np.linspace(0.0, 1.0, 17)
SKINS = np.linspace(0.0, 1.0, 81)
SIZES_MM = np.geomspace(0.15, 6.0, 72)
# What one number for the skin leaves open from bead to bead size: a factor of 1.12 (90 %, judgement). Most
# of what sets one water's films apart from the next one's is the skin itself.
FILM_SCORES = np.linspace(-2.0, 2.0, 7)
FILM_LOG_SD = float(np.log(1.12) / 1.6449)
# The share and the skin settle long before the last of an old air bubble does.
UNTIL_SPECK = Stepping(error_frac=3e-4, enough_frac=5e-3)
FEWEST_BEADS = 5
# An even prior has a standard deviation of 0.29; a fit that leaves most of that has told nothing.
NOTHING_TOLD_SD = 0.24
# Likelihood of a misread bead beside about 0.03 for one that is read without error.
MISREAD = 2e-4
QUICK_SKIN, QUICK_FILM_FACTOR = 0.85, 1.05


@dataclass(frozen=True)
class Bead:
    """One bead on the video; what was not read is None.

    `vanish_s` and `vanish_cm` tell when, and how far over the diffuser, it has shrunk to a speck a third
    as wide as it was. `rise_s` is the time to climb `rise_cm`, `end_mm` its width there.
    """

    diameter_mm: float | None = None
    vanish_s: float | None = None
    vanish_cm: float | None = None
    rise_cm: float | None = None
    rise_s: float | None = None
    end_mm: float | None = None

    @property
    def tells_skin(self) -> bool:
        """Whether enough was read: two things that fix its size and how it shrinks."""
        told = [self.diameter_mm, self.vanish_s, self.vanish_cm]
        if self.rise_cm is not None:
            told += [self.rise_s, self.end_mm]
        return sum(value is not None for value in told) >= 2


@dataclass(frozen=True)
class SkinFit:
    """The skin the beads tell of: 0 the stiffest, 1 the most mobile in ordinary water.

    `usable` is false where it says no more than was known before; `verdict` says why. `film_factor` is
    how much quicker the films are than the laws say. `odd_count` beads fit no skin, `aside_count` were not
    read well enough to count.
    """

    usable: bool
    verdict: str
    skin_frac: Estimate
    spread_frac: float
    film_factor: Estimate
    quicker_than_tap: bool
    beads_count: int
    odd_count: int
    aside_count: int


def fit_skin(beads: Sequence[Bead], water: BubbleWater, *, depth_m: float) -> SkinFit:
    """The skin that fits these beads, with its band.

    Parameters
    ----------
    beads : sequence of Bead
    water : BubbleWater
    depth_m : float
        Depth the beads were let go at. [m]

    Returns
    -------
    SkinFit
        Its band holds the errors of timing and sizing and the spread of films between waters.

    Raises
    ------
    InputError
        For readings that cannot be, and where no bead was read well enough; all faults at once.
    """
    _check(beads, depth_m)
    told = [bead for bead in beads if bead.tells_skin]
    heights = tuple(sorted({bead.rise_cm / 100 for bead in told if bead.rise_cm is not None}))
    lives = _grid(water, depth_m, heights)
    prior = np.exp(-0.5 * FILM_SCORES**2)
    log_post = np.log(prior / prior.sum())[None, :] * np.ones((SKINS.size, 1))
    odd = 0
    for bead in told:
        likely, floor = _of_bead(bead, lives, heights)
        odd += bool(likely.max() < floor)
        log_post = log_post + np.log(likely + floor)
    post = np.exp(log_post - log_post.max())
    return _told(post / post.sum(), (len(told), odd, len(beads) - len(told)))


def _check(beads: Sequence[Bead], depth_m: float) -> None:
    limits = {
        "diameter_mm": (0.1, 8.0), "vanish_s": (0.1, 60.0), "vanish_cm": (0.2, 100.0 * depth_m),
        "rise_cm": (1.0, 100.0 * depth_m), "rise_s": (0.03, 120.0), "end_mm": (0.02, 8.0),
    }  # fmt: skip
    faults = []
    for number, bead in enumerate(beads, 1):
        for name, (low, high) in limits.items():
            value = getattr(bead, name)
            if value is not None and not low <= value <= high:
                faults.append(Fault(f"bead {number}, {name}", f"{value:g}", f"allowed {low:g} to {high:g}"))
        if bead.rise_cm is None and (bead.rise_s is not None or bead.end_mm is not None):
            faults.append(
                Fault(f"bead {number}, rise_cm", "", "needs the height that rise_s or end_mm is for")
            )
    if not faults and not any(bead.tells_skin for bead in beads):
        text = "needs at least one bead with two readings, such as its width and the seconds to a speck"
        faults.append(Fault("beads", f"{len(beads)} rows", text))
    if faults:
        raise InputError(faults)


def _grid(water: BubbleWater, depth_m: float, heights_m: tuple[float, ...]) -> BubbleLives:
    """What every skin, film and first size would show, shape (mixes, films, sizes)."""
    stiff, tap = contaminated_closure(water), tap_closure(water)
    closure, columns = stack(
        [
            film_scaled(between(stiff, tap, part_frac=float(mix)), float(np.exp(FILM_LOG_SD * score)))
            for mix in MIXES
            for score in FILM_SCORES
        ]
    )
    column = columns.reshape(MIXES.size, FILM_SCORES.size, 1)
    release = Release(1e-3 * SIZES_MM, depth_m, closure_column=column)
    return bubble_lives(water, release, closure=closure, heights_m=heights_m, stepping=UNTIL_SPECK)


def _misses(bead: Bead, lives: BubbleLives, heights_m: tuple[float, ...]) -> list[Array]:
    """How far each reading lies from each case, in its own standard deviations."""
    shape = lives.speck_s.shape
    found = []

    def miss(read: float | None, shown: Array, least_sd: float, share_sd: float) -> None:
        if read is not None:
            sd = np.hypot(share_sd, least_sd / read)
            found.append(np.broadcast_to(np.log(read / np.maximum(shown, 1e-9)) / sd, shape))

    # Standard deviations: 0.1 mm, 0.1 s and 1 cm at 90 %, and what judging a speck adds.
    miss(bead.diameter_mm, SIZES_MM, 0.06, 0.05)
    miss(bead.vanish_s, lives.speck_s, 0.06, 0.08)
    miss(bead.vanish_cm, 100.0 * lives.speck_height_m, 0.6, 0.08)
    if bead.rise_cm is not None:
        row = int(np.argmin(np.abs(np.array(heights_m) - bead.rise_cm / 100)))
        miss(bead.rise_s, lives.pass_s[row], 0.06, 0.04)
        miss(bead.end_mm, 1e3 * lives.pass_diameter_m[row], 0.06, 0.05)
    return found


def _of_bead(bead: Bead, lives: BubbleLives, heights_m: tuple[float, ...]) -> tuple[Array, float]:
    """How likely the bead is under each skin and film, and the likelihood of a bead that was misread.

    The first size is summed over; the skin of a size is the water's own, carried to it by the size law.
    """
    squares = sum(np.nan_to_num(miss, nan=9.0) ** 2 for miss in _misses(bead, lives, heights_m))
    likely = np.exp(-0.5 * np.asarray(squares))
    mix = np.asarray(skin_mix_frac(SKINS[:, None], SIZES_MM))
    place = mix * (MIXES.size - 1)
    low = np.minimum(place.astype(np.intp), MIXES.size - 2)
    part = (place - low)[:, None, :]
    size = np.arange(SIZES_MM.size)
    # (skins, films, sizes) from (mixes, films, sizes): two neighbours in the mix, weighted.
    below = likely[low, :, size].transpose(0, 2, 1)
    above = likely[low + 1, :, size].transpose(0, 2, 1)
    by_skin: Array = (below + part * (above - below)).mean(axis=2)
    return by_skin, MISREAD


def _told(post: Array, counts: tuple[int, int, int]) -> SkinFit:
    """The answer read off the joint table (skins, films)."""
    skin, film = post.sum(axis=1), post.sum(axis=0)
    mean = float(skin @ SKINS)
    spread = float(np.sqrt(skin @ (SKINS - mean) ** 2))
    factors = np.exp(FILM_LOG_SD * FILM_SCORES)
    low, middle, high = _points(SKINS, skin)
    film_low, film_middle, film_high = _points(factors, film)
    quick = mean > QUICK_SKIN and film_middle > QUICK_FILM_FACTOR
    told, odd, aside = counts
    usable = spread < NOTHING_TOLD_SD and odd < 0.5 * told
    return SkinFit(
        usable=usable,
        verdict=_verdict(usable, quick, middle, counts),
        skin_frac=Estimate(middle, "frac", low, high, Basis.FITTED),
        spread_frac=spread,
        film_factor=Estimate(film_middle, "factor", film_low, film_high, Basis.FITTED),
        quicker_than_tap=quick,
        beads_count=told,
        odd_count=odd,
        aside_count=aside,
    )


def _points(values: Array, share: Array) -> tuple[float, float, float]:
    """The 5 %, 50 % and 95 % points of a distribution over evenly placed values."""
    edges = np.concatenate([values[:1], 0.5 * (values[1:] + values[:-1]), values[-1:]])
    summed = np.concatenate([[0.0], np.cumsum(share)])
    low, middle, high = np.interp([0.05, 0.5, 0.95], summed, edges)
    return float(low), float(middle), float(high)


def _verdict(usable: bool, quick: bool, skin: float, counts: tuple[int, int, int]) -> str:
    told, odd, _ = counts
    if odd >= 0.5 * told:
        return (
            "Most beads fit no skin at all. Check that sizes are widths in millimetres, that seconds count "
            "from the moment the bead lets go with slow motion turned back into true time, and that the way "
            "up is long enough for a bead this size to become a speck."
        )
    if not usable:
        return (
            "These beads tell the skins apart no better than a guess. Take beads of 0.8 to 2 mm and a rise "
            "as long as the tank allows; small beads behave alike under every skin."
        )
    if quick:
        text = "The beads shrink quicker than fresh tap water explains; the skin is taken as its most mobile."
    elif skin < 1 / 3:
        text = "The skin is stiff: coarse bubbles lose their gas slowly here, and a fine diffuser pays."
    elif skin < 2 / 3:
        text = "The skin stands between stiff and mobile."
    else:
        text = "The skin is mobile: bubbles pass their gas about as in fresh tap water."
    few = f" {told} beads are few; time ten." if told < FEWEST_BEADS else ""
    return text + few
