"""Choosing feed and gas clock: as much of the lit day in the band as the ceiling allows.

The search looks at whole days, not at formulas: a few draws on a coarse grid of clocks and feeds first,
then the neighbourhood of the best, then the feed alone with every draw.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import Clock
from fizzwright.stages.plan_scene import (
    ROUGH,
    SEARCH,
    Outlook,
    Scene,
    clock_for,
    day_of,
    lit_level_mg_l,
    outlook,
    stuck_open_mg_l,
    take,
    tiled,
)

__all__ = [
    "SEARCH_DRAWS_COUNT",
    "Choice",
    "Limits",
    "choose",
    "feed_for_middle_mg_h",
    "middle_reasons",
    "settle",
]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

COARSE_LEADS_H = (0.5, 1.0, 2.0, 3.0, 4.5, 6.0)
# The trade opens gas one to three hours before the lamp, three to five in slow tanks.
LONGEST_LEAD_H = 6.0
COARSE_TAILS_H = (0.0, 1.0, 2.0)
SEARCH_DRAWS_COUNT = 64
OVER_CEILING_ALLOWED_FRAC = 0.05
# Gas and a long lead cost something: a choice must beat a thriftier one by more than this to be taken.
LEAD_PRICE_FRAC_PER_H = 0.015


@dataclass(frozen=True)
class Limits:
    """What a plan must stay within: ceiling, hard stop, rise, oxygen floor. [mg/L, mg/L/h]

    `rise_mg_l_h` is None where no animals live in the tank.
    """

    ceiling_mg_l: float
    hard_mg_l: float
    rise_mg_l_h: float | None
    o2_floor_mg_l: float


@dataclass(frozen=True)
class Choice:
    """A chosen gas clock and feed, and which limit held the feed back ("" where none did)."""

    clock: Clock
    feed_mg_h: float
    lead_h: float
    tail_h: float
    held_by: str


def _feed_scale_mg_h(scene: Scene, aim_mg_l: float) -> float:
    """About the feed that holds a level in the middle of all inputs; only sets the search's scale."""
    tank = scene.tank
    loss = float(np.median(np.asarray(tank.loss_per_h) * np.asarray(tank.volume_l)))
    need = loss * (aim_mg_l - float(np.median(tank.air_co2_mg_l)))
    share = float(np.median(tank.dissolved_frac))
    return max(need / max(share, 0.02) + float(np.median(scene.wall_loss_mg_h)), 0.5)


def _clock(scene: Scene, lead_h: float, tail_h: float, feed_mg_h: float) -> Clock:
    return clock_for(
        scene,
        gas_on_min=scene.light_on_min - 60 * lead_h,
        gas_off_min=scene.light_off_min - 60 * tail_h,
        feed_mg_h=feed_mg_h,
    )


def _holds(view: Outlook, limits: Limits) -> Flags:
    """Which (clock, feed) pairs keep the ceiling and the rate of rise; shape (clocks, feeds)."""
    over = (view.peak_mg_l > limits.ceiling_mg_l).mean(axis=2)
    fine: Flags = over < OVER_CEILING_ALLOWED_FRAC
    if limits.rise_mg_l_h is not None:
        fine = fine & (np.quantile(view.rise_mg_l_h, 0.95, axis=2) <= limits.rise_mg_l_h)
    return fine


def _worth(view: Outlook, scene: Scene, leads_h: Array) -> Array:
    """What a (clock, feed) is worth: time in the band, then closeness to it, less the price of a long lead.

    Closeness breaks ties while no draw reaches the band; it never outweighs a draw that does.
    """
    miss = np.maximum(scene.target_low_mg_l - view.lit_mg_l, 0) + np.maximum(
        view.lit_mg_l - scene.target_high_mg_l, 0
    )
    near = 1.0 / (1.0 + miss / scene.target_low_mg_l)
    value: Array = (view.band_frac + 0.2 * near).mean(axis=2) - LEAD_PRICE_FRAC_PER_H * leads_h[:, None]
    return value


def choose(scene: Scene, limits: Limits) -> Choice:
    """The gas clock that keeps most of the lit hours in the band within the limits, and about its feed.

    A few draws on a half-hour grid; `settle` then finds the feed with all of them.

    Parameters
    ----------
    scene : Scene
        All draws.
    limits : Limits

    Returns
    -------
    Choice
    """
    few = take(
        scene, np.linspace(0, scene.draws_count - 1, min(SEARCH_DRAWS_COUNT, scene.draws_count)).astype(int)
    )
    aim = 0.5 * (scene.target_low_mg_l + scene.target_high_mg_l)
    scale = _feed_scale_mg_h(scene, aim)
    lit_h = ((scene.light_off_min - scene.light_on_min) % 1440) / 60
    pairs = [(lead, tail) for lead in COARSE_LEADS_H for tail in COARSE_TAILS_H if tail < lit_h / 2]
    lead, tail, feed = _best(few, limits, pairs, scale * np.geomspace(0.2, 3.0, 8))
    near = sorted(
        {
            (max(lead + dl, 0.0), max(tail + dt, 0.0))
            for dl in (-1.0, -0.5, 0.0, 0.5, 1.0)
            for dt in (-0.5, 0.0, 0.5)
        }
    )
    near = [(a, b) for a, b in near if a <= LONGEST_LEAD_H and b < lit_h / 2 and a + lit_h - b < 23.5]
    lead, tail, feed = _best(few, limits, near, feed * np.geomspace(0.7, 1.4, 7))
    return Choice(_clock(scene, lead, tail, feed), feed, lead, tail, "")


def _best(
    few: Scene, limits: Limits, pairs: list[tuple[float, float]], feeds_mg_h: Array
) -> tuple[float, float, float]:
    middle_feed = float(np.sqrt(feeds_mg_h[0] * feeds_mg_h[-1]))
    clocks = [_clock(few, lead, tail, middle_feed) for lead, tail in pairs]
    view = outlook(few, clocks, feeds_mg_h, accuracy=SEARCH)
    leads = np.array([lead for lead, _ in pairs])
    worth = np.where(_holds(view, limits), _worth(view, few, leads), -1.0)
    # Where nothing holds, the least feed is the least wrong; `settle` goes lower from there.
    if worth.max() < 0:
        worth = -np.median(view.peak_mg_l, axis=2)
    i, j = np.unravel_index(int(np.argmax(worth)), worth.shape)
    return pairs[int(i)][0], pairs[int(i)][1], float(feeds_mg_h[int(j)])


def settle(scene: Scene, limits: Limits, choice: Choice, *, stuck: bool = True) -> Choice:
    """The feed for a chosen clock, with every draw, held back by whichever limit comes first.

    Without `stuck` the valve stuck open is left out, where another asks about it.
    """
    lead_h, tail_h, feed_mg_h = choice.lead_h, choice.tail_h, choice.feed_mg_h
    low, high = 0.4 * feed_mg_h, 1.7 * feed_mg_h
    feeds = np.geomspace(low, high, 9)
    clock = _clock(scene, lead_h, tail_h, feed_mg_h)
    view = outlook(scene, [clock], feeds)
    worth = _worth(view, scene, np.array([0.0]))[0]
    wished = _peak_of(feeds, worth)
    caps = {
        "the animals' ceiling": _cap(
            feeds,
            np.quantile(view.peak_mg_l[0], 1 - 0.97 * OVER_CEILING_ALLOWED_FRAC, axis=1),
            limits.ceiling_mg_l,
        ),
    }
    if stuck:
        caps["the stuck-open limit"] = _stuck_cap(scene, clock, feed_mg_h, limits)
    if limits.rise_mg_l_h is not None:
        caps["the rate of rise"] = _cap(
            feeds, np.quantile(view.rise_mg_l_h[0], 0.95, axis=1), limits.rise_mg_l_h
        )
    held_by, cap = min(caps.items(), key=lambda item: item[1])
    feed = min(wished, cap)
    return Choice(_clock(scene, lead_h, tail_h, feed), feed, lead_h, tail_h, held_by if cap < wished else "")


def _peak_of(feeds: Array, worth: Array) -> float:
    """Where a parabola through the best point and its neighbours peaks, on a log scale of feed."""
    k = int(np.clip(np.argmax(worth), 1, len(feeds) - 2))
    x, y = np.log(feeds[k - 1 : k + 2]), worth[k - 1 : k + 2]
    a, b, _ = np.polyfit(x - x[1], y, 2)
    shift = -b / (2 * a) if a < -1e-12 else (x[2] - x[1]) * np.sign(b)
    return float(np.exp(x[1] + np.clip(shift, x[0] - x[1], x[2] - x[1])))


def _cap(feeds: Array, reached: Array, limit: float) -> float:
    """The feed at which a quantity that grows with it reaches its limit; outside the grid, in proportion."""
    if reached[-1] <= limit:
        return np.inf
    if reached[0] > limit:
        return float(feeds[0] * limit / reached[0])
    return float(np.interp(limit, reached, feeds))


def _stuck_cap(scene: Scene, clock: Clock, feed_mg_h: float, limits: Limits) -> float:
    """The feed at which half the draws would pass the hard stop in 24 h with the valve stuck open."""
    few = take(scene, np.arange(min(150, scene.draws_count)))
    feeds = feed_mg_h * np.array([0.3, 0.6, 1.0, 1.6])
    wide, set_at = tiled(few, len(feeds)), np.repeat(feeds, few.draws_count)
    run = day_of(wide, clock, set_at, accuracy=ROUGH)
    reached = stuck_open_mg_l(wide, clock, set_at, run).reshape(len(feeds), -1)
    return _cap(feeds, np.median(reached, axis=1), limits.hard_mg_l)


def feed_for_middle_mg_h(scene: Scene, clock: Clock, feed_mg_h: float) -> Array:
    """The feed each draw would end at: the one that holds the middle of the target over the lit hours.

    A few secant steps, because the level is nearly straight in the feed. Shape (draws,). [mg/h]
    """
    aim = 0.5 * (scene.target_low_mg_l + scene.target_high_mg_l)
    feeds = np.full(scene.draws_count, feed_mg_h)
    before_feed = before_level = None
    guess = None
    for _ in range(3):
        run = day_of(scene, clock, feeds, accuracy=ROUGH, guess=guess)
        level, guess = lit_level_mg_l(scene, run), run.end
        if before_feed is None or before_level is None:
            new = feeds * np.clip(aim / np.maximum(level, 0.1), 0.3, 3.0)
        else:
            rise = (level - before_level) / np.where(feeds == before_feed, np.inf, feeds - before_feed)
            new = feeds + (aim - level) / np.where(np.abs(rise) < 1e-9, np.inf, rise)
            new = np.clip(new, 0.2 * feeds, 5.0 * feeds)
        before_feed, before_level, feeds = feeds, level, np.maximum(new, 1e-3)
    return feeds


def middle_reasons(middle: Scene, limits: Limits) -> tuple[str, ...]:
    """Why even the middle of all inputs cannot be planned for; empty where it can.

    Parameters
    ----------
    middle : Scene
        The scene with one draw, every input at its middle.
    limits : Limits

    Returns
    -------
    tuple of str
        One sentence for each limit that every clock and feed reaching the band's lower edge would break.
    """
    scale = _feed_scale_mg_h(middle, middle.target_low_mg_l)
    feeds = scale * np.geomspace(0.3, 3.0, 14)
    pairs = [(lead, tail) for lead in COARSE_LEADS_H for tail in (0.0, 1.0)]
    clocks = [_clock(middle, lead, tail, scale) for lead, tail in pairs]
    view = outlook(middle, clocks, feeds, accuracy=SEARCH)
    low_o2 = float(view.o2_low_mg_l.max())
    reasons = []
    if low_o2 < limits.o2_floor_mg_l:
        reasons.append(
            f"night oxygen falls to {low_o2:.1f} mg/L at best, under the floor of "
            f"{limits.o2_floor_mg_l:.1f}: stir the surface more at night, or keep fewer animals"
        )
    lit = view.lit_mg_l[:, :, 0] >= middle.target_low_mg_l
    peak = np.where(lit, view.peak_mg_l[:, :, 0], np.inf)
    if peak.min() > limits.ceiling_mg_l:
        reasons.append(
            f"reaching {middle.target_low_mg_l:.0f} mg/L while the lamp is lit takes the day's peak over the "
            f"animals' starting ceiling of {limits.ceiling_mg_l:.0f}: lower the target"
        )
        return tuple(reasons)
    i, j = np.unravel_index(int(np.argmin(np.where(lit, feeds[None, :], np.inf))), lit.shape)
    clock, feed = clocks[int(i)], float(feeds[int(j)])
    stuck = float(stuck_open_mg_l(middle, clock, feed, day_of(middle, clock, feed, accuracy=ROUGH))[0])
    if stuck > limits.hard_mg_l:
        reasons.append(
            f"a valve stuck open for a day would take the water to {stuck:.0f} mg/L, over the hard stop of "
            f"{limits.hard_mg_l:.0f}: move the surface more, so that a full feed cannot build up"
        )
    return tuple(reasons)
