"""What the diffuser stage draws and counts: share against depth, a bubble's life, the mist."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import Closure, contaminated_closure, stack, tap_closure
from fizzwright.engines.bubbles.diffusers import volume_median_mm
from fizzwright.engines.bubbles.fate import Release, bubble_track
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.lives import bubble_lives
from fizzwright.engines.bubbles.medium import BubbleWater
from fizzwright.engines.bubbles.population import LARGEST_BUBBLE_M, SIZE_Z, skin_mix_frac, surfacing
from fizzwright.result import Estimate
from fizzwright.stages.diffuser_result import BubbleLife, Flip, Haze, LifeCurve
from fizzwright.stages.diffuser_ways import Option, Side, share_frac
from fizzwright.units import show

__all__ = ["DEPTHS_M", "flip_of", "haze_of", "life_of", "shares_by_depth_frac"]

Array = NDArray[np.float64]
DEPTHS_M = 0.01 * np.array([3, 4, 5, 6, 7.5, 9, 11, 13, 15, 18, 22, 26, 30, 36, 42, 50, 60])
# Two shares nearer than this are one and the same to anybody with a bottle.
ALIKE_FRAC = 0.01


def shares_by_depth_frac(option: Option, side: Side) -> Array:
    """Draws of the dissolved share with the diffuser at each of `DEPTHS_M`, shape (depths, draws)."""
    return np.stack(
        [share_frac(replace(option, path=replace(option.path, depth_m=float(z))), side) for z in DEPTHS_M]
    )


def flip_of(against: str, by_depth_frac: Array, other_frac: Array) -> Flip:
    """The depth from which a diffuser in the tank does as well as another way, over the draws.

    Parameters
    ----------
    against : str
        Name of the other way.
    by_depth_frac : array, shape (depths, draws)
        What `shares_by_depth_frac` gave.
    other_frac : array, shape (draws,)
        Share of the other way in the same draws.
    """
    ahead = by_depth_frac - other_frac + ALIKE_FRAC
    last = DEPTHS_M[-1] * 1.001
    found = np.array([_crossing(column, last) for column in ahead.T])
    low, middle, high = (float(x) for x in np.quantile(found, [0.05, 0.5, 0.95]))
    if middle >= last:
        return Flip(
            against,
            None,
            f"The {against} dissolves more at any depth up to {show(DEPTHS_M[-1] * 100, 'cm')}.",
        )
    if middle <= DEPTHS_M[0]:
        return Flip(against, None, f"In the tank it does as well as the {against} even when shallow.")
    depth = show(100 * middle, "cm", digits=2)
    sentence = (
        f"Shallower than about {depth} the {against} dissolves more; deeper, the one in the tank does "
        "as well."
    )
    return Flip(against, Estimate(middle, "m", low, min(high, float(DEPTHS_M[-1]))), sentence)


def _crossing(ahead: Array, never: float) -> float:
    """The first depth from which `ahead` stays over nil."""
    behind = np.flatnonzero(ahead < 0.0)
    if behind.size == 0:
        return float(DEPTHS_M[0])
    at = int(behind[-1])
    if at == ahead.size - 1:
        return never
    part = -ahead[at] / (ahead[at + 1] - ahead[at])
    return float(DEPTHS_M[at] + part * (DEPTHS_M[at + 1] - DEPTHS_M[at]))


def life_of(water: BubbleWater, release: Release, skins: Sequence[tuple[str, Closure]]) -> BubbleLife:
    """The way up of one bubble with each skin.

    Parameters
    ----------
    water : BubbleWater
    release : Release
        One bubble.
    skins : sequence of (str, Closure)
        Name and laws of each skin.
    """
    curves = []
    for name, closure in skins:
        track = bubble_track(water, release, closure=closure)
        curves.append(
            LifeCurve(
                name, track.time_s, track.height_m, track.diameter_mm, track.co2_frac, track.dissolved_frac
            )
        )
    return BubbleLife(1e3 * float(release.diameter_m), float(release.depth_m), tuple(curves))


def haze_of(option: Option, skin_frac: Estimate) -> Haze:
    """What the bubbles of a diffuser are made of, as seen and as lost.

    Parameters
    ----------
    option : Option
        A diffuser in the tank or a hose; sizes from its low to its high limit make the band.
    skin_frac : Estimate
        Place between the stiffest and the most mobile skin.
    """
    spread = option.spread
    sizes = (spread.d32_mm, spread.d32_low_mm, spread.d32_high_mm)
    found = [surfacing(option.path, replace(spread, d32_mm=d)) for d in sizes]

    def band(name: str) -> Estimate:
        cases = np.array([getattr(one, name) for one in found])
        places = np.array([skin_frac.value, skin_frac.low, skin_frac.high])
        mix = np.asarray(skin_mix_frac(places[None, :], np.array(sizes)[:, None]))
        values = cases[:, :1] + mix * (cases[:, 1:] - cases[:, :1])
        return Estimate(float(values[0, 0]), "frac", float(values.min()), float(values.max()))

    seen, lost, escaping = (band(n) for n in ("rich_seen_frac", "rich_lost_frac", "escaping_co2_frac"))
    return Haze(seen, _hanging(option), lost, escaping, _haze_words(seen, escaping))


def _hanging(option: Option) -> Estimate:
    """Of the mist in the water at one moment, the share still rich in CO2: each bubble by itself."""
    water, spread = option.path.water(), option.spread
    closure, columns = stack([contaminated_closure(water), tap_closure(water)])
    middle = 1e-3 * float(volume_median_mm(spread.d32_mm, spread.gsd_ratio))
    sizes = np.minimum(middle * np.exp(np.log(spread.gsd_ratio) * SIZE_Z), LARGEST_BUBBLE_M)
    release = Release(sizes, option.path.depth_m, closure_column=columns[:, None])
    lives = bubble_lives(water, release, closure=closure)
    number = np.exp(-0.5 * SIZE_Z**2) / bubble_amount_mol(sizes, option.path.depth_m, water=water)
    share = (number * lives.rich_s).sum(axis=1) / np.maximum((number * lives.seen_s).sum(axis=1), 1e-300)
    stiff, tap = (float(x) for x in share)
    return Estimate(stiff, "frac", min(stiff, tap), max(stiff, tap))


def _haze_words(seen: Estimate, escaping: Estimate) -> str:
    def percent(share: float) -> str:
        return "under 1 %" if share < 0.01 else f"{100 * share:.0f} %"

    count = percent(seen.value)
    mist = f"Of the bubbles that reach the surface, {count} still hold mostly CO2; the rest are air"
    if escaping.value < 0.1:
        return f"{mist}, and so is nearly all the gas that leaves. The mist is no waste."
    return (
        f"{mist}. Yet the gas that leaves is {percent(escaping.value)} CO2: a few large bubbles carry "
        "it, seen as "
        "single beads, not as mist."
    )
