"""What to do next at the tank: the feed for the next gas day, held by the limits, and when to look again."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.stages.dial_past import GasClock
from fizzwright.stages.dial_result import Step
from fizzwright.stages.plan_scene import ROUGH, Scene, clock_for, day_of, outlook, stuck_open_mg_l, take
from fizzwright.stages.plan_search import Limits

__all__ = ["OVER_ALLOWED_FRAC", "Asked", "next_step"]

Array = NDArray[np.float64]

# The chance of a day over the animals' starting ceiling that a step may leave; without animals it is milder.
OVER_ALLOWED_FRAC = 0.01
OVER_ALLOWED_NO_ANIMALS_FRAC = 0.05
# Commissioning with animals goes by 3 to 5 mg/L a day.
MOST_RISE_A_DAY_MG_L = 5.0
NO_RAISE_BEFORE_DARK_MIN = 240.0
WORTH_A_CHANGE_FRAC = 0.04
STUCK_DRAWS_COUNT = 150


@dataclass(frozen=True)
class Asked:
    """What a step is decided on.

    `wander_factor` is how far the tank may stand off its model on another day, one for each draw;
    `now_min` the tank's clock; `days_seen_count` how many lit periods were read.
    """

    scene: Scene
    limits: Limits
    clock: GasClock
    animals: bool
    wander_factor: Array
    now_min: float
    days_seen_count: int
    bubble_mg: float


@dataclass(frozen=True)
class _Choices:
    """Feeds tried and what each leads to: level while lit (feeds, draws), and the limits' quantiles."""

    feeds_mg_h: Array
    lit_mg_l: Array
    peak_mg_l: Array
    rise_mg_l_h: Array


def next_step(asked: Asked) -> Step:
    """The next feed and when it is set, bounded so that the chance over the ceiling stays small.

    Parameters
    ----------
    asked : Asked

    Returns
    -------
    Step
    """
    tried = _choices(asked)
    now = asked.clock.feed_mg_h
    aim = 0.5 * (asked.scene.target_low_mg_l + asked.scene.target_high_mg_l)
    middle = np.median(tried.lit_mg_l, axis=1)
    wished = _reach(tried.feeds_mg_h, middle, aim)
    caps = _caps(asked, tried)
    held_by, cap = min(caps.items(), key=lambda item: item[1])
    feed = min(wished, cap)
    if cap >= wished:
        held_by = ""
    over_now = _over_frac(tried.peak_mg_l[len(tried.feeds_mg_h) // 2], asked.limits.ceiling_mg_l)
    kind = _kind(asked, feed / now - 1.0, over_now)
    if kind in {"keep", "done"}:
        feed = now
    feed = _rounded_down(feed) if feed != now else now
    at = _nearest(tried, feed)
    inside = (at[0] >= asked.scene.target_low_mg_l) & (at[0] <= asked.scene.target_high_mg_l)
    return Step(
        kind=kind,
        feed_mg_h=feed,
        bubbles_per_s=feed / asked.bubble_mg / 3600.0,
        change_frac=feed / now - 1.0,
        held_by=held_by,
        read_at_min=_reading_times(asked, kind),
        no_raise_after_min=round(asked.scene.light_off_min - NO_RAISE_BEFORE_DARK_MIN) % 1440,
        p_over_frac=_over_frac(at[1], asked.limits.ceiling_mg_l),
        p_in_band_frac=float(inside.mean()),
    )


def _choices(asked: Asked) -> _Choices:
    """A fan of feeds about the present one, each with its own repeating day in every draw."""
    scene, now = asked.scene, asked.clock.feed_mg_h
    feeds = now * np.array([0.2, 0.45, 0.7, 1.0, 1.35, 1.9, 2.8])
    clock = clock_for(scene, gas_on_min=asked.clock.on_min, gas_off_min=asked.clock.off_min, feed_mg_h=now)
    view = outlook(scene, [clock], feeds)
    return _Choices(
        feeds,
        view.lit_mg_l[0] * asked.wander_factor,
        view.peak_mg_l[0] * asked.wander_factor,
        view.rise_mg_l_h[0],
    )


def _caps(asked: Asked, tried: _Choices) -> dict[str, float]:
    """The most feed each limit allows. [mg/h]"""
    allowed = OVER_ALLOWED_FRAC if asked.animals else OVER_ALLOWED_NO_ANIMALS_FRAC
    high = np.array([_high_mg_l(peak, allowed) for peak in tried.peak_mg_l])
    caps = {"the ceiling": _most(tried.feeds_mg_h, high, asked.limits.ceiling_mg_l)}
    if asked.limits.rise_mg_l_h is not None:
        fast = np.quantile(tried.rise_mg_l_h, 0.95, axis=1)
        caps["the rate of rise"] = _most(tried.feeds_mg_h, fast, asked.limits.rise_mg_l_h)
    caps["the stuck-open limit"] = _stuck_cap_mg_h(asked)
    if asked.animals:
        middle = np.median(tried.lit_mg_l, axis=1)
        present = float(middle[len(middle) // 2])
        caps["one step a day"] = _most(tried.feeds_mg_h, middle, present + MOST_RISE_A_DAY_MG_L)
    return caps


def _high_mg_l(draws: Array, share: float) -> float:
    """The level only such a share of days passes: the draws' own, or that of a bell through their logarithms.

    A few hundred draws hold only a handful beyond 1 %; the bell keeps the answer from resting on those.
    """
    from scipy.special import ndtri

    logs = np.log(np.maximum(draws, 1e-6))
    bell = float(np.exp(logs.mean() + float(ndtri(1.0 - share)) * logs.std()))
    return max(bell, float(np.quantile(draws, 1.0 - share)))


def _over_frac(draws: Array, limit_mg_l: float) -> float:
    """The chance over a level, counted and by a bell through the logarithms, whichever is more."""
    from scipy.special import ndtr

    logs = np.log(np.maximum(draws, 1e-6))
    bell = 1.0 - float(ndtr((np.log(limit_mg_l) - logs.mean()) / max(float(logs.std()), 1e-6)))
    return max(bell, float((draws > limit_mg_l).mean()))


def _most(feeds: Array, reached: Array, limit: float) -> float:
    """The feed at which a figure that grows with it meets its limit; in proportion below the fan."""
    if reached[-1] <= limit:
        return float("inf")
    if reached[0] > limit:
        return float(feeds[0] * limit / reached[0])
    return float(np.interp(limit, reached, feeds))


def _reach(feeds: Array, middle: Array, aim_mg_l: float) -> float:
    """The feed whose level is the one aimed at; the fan's ends where it lies outside."""
    return float(np.interp(aim_mg_l, middle, feeds))


def _stuck_cap_mg_h(asked: Asked) -> float:
    """The feed at which half the draws would pass the hard stop in a day with the valve stuck open."""
    few = take(asked.scene, np.arange(min(STUCK_DRAWS_COUNT, asked.scene.draws_count)))
    found = []
    feeds = asked.clock.feed_mg_h * np.array([0.5, 1.0, 2.0])
    for feed in feeds:
        clock = clock_for(
            few, gas_on_min=asked.clock.on_min, gas_off_min=asked.clock.off_min, feed_mg_h=float(feed)
        )
        run = day_of(few, clock, float(feed), accuracy=ROUGH)
        found.append(float(np.median(stuck_open_mg_l(few, clock, float(feed), run))))
    return _most(feeds, np.array(found), asked.limits.hard_mg_l)


def _kind(asked: Asked, change_frac: float, over_now_frac: float) -> str:
    """The word for the step: lowering may come at once, raising only with the next gas day."""
    allowed = OVER_ALLOWED_FRAC if asked.animals else OVER_ALLOWED_NO_ANIMALS_FRAC
    if change_frac < -WORTH_A_CHANGE_FRAC:
        return "lower now" if over_now_frac > 5 * allowed and _gas_is_on(asked) else "lower at gas on"
    if change_frac > WORTH_A_CHANGE_FRAC:
        return "raise at gas on"
    return "done" if asked.days_seen_count >= 1 else "keep"


def _gas_is_on(asked: Asked) -> bool:
    return (asked.now_min - asked.clock.on_min) % DAY_MIN < asked.clock.open_min


def _rounded_down(feed_mg_h: float) -> float:
    """Three figures: a needle is not set closer, and down keeps the limits."""
    step = 10.0 ** (np.floor(np.log10(feed_mg_h)) - 2)
    return float(np.floor(feed_mg_h / step + 1e-9) * step)


def _nearest(tried: _Choices, feed_mg_h: float) -> tuple[Array, Array]:
    """Level while lit and peak of every draw at a feed between those tried."""
    upper = int(np.clip(np.searchsorted(tried.feeds_mg_h, feed_mg_h), 1, len(tried.feeds_mg_h) - 1))
    below, above = tried.feeds_mg_h[upper - 1], tried.feeds_mg_h[upper]
    share = float(np.clip((feed_mg_h - below) / (above - below), 0.0, 1.0))
    lit = (1 - share) * tried.lit_mg_l[upper - 1] + share * tried.lit_mg_l[upper]
    peak = (1 - share) * tried.peak_mg_l[upper - 1] + share * tried.peak_mg_l[upper]
    return lit, peak


def _reading_times(asked: Asked, kind: str) -> tuple[int, ...]:
    """When to read next, in order from now: more often after a change, always before the lamp goes off."""
    scene, on = asked.scene, asked.clock.on_min
    marks = {scene.light_on_min, scene.light_off_min - 60.0}
    if kind in {"raise at gas on", "lower at gas on"}:
        marks |= {on + 120.0, scene.light_on_min + 240.0}
    if kind == "lower now":
        marks |= {asked.now_min + 60.0, asked.now_min + 180.0}
    # A mark a few minutes off is now; the next one of its kind is tomorrow's.
    ahead = sorted({round((mark - asked.now_min - 10.0) % DAY_MIN, 3): mark for mark in marks}.items())
    return tuple(round(mark) % 1440 for _, mark in ahead)
