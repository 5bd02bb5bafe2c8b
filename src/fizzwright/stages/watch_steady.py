"""How steady a tank was over a stretch of days, from the CO2 its pH readings mean."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.stages.watch_result import Steadiness

__all__ = ["SteadyInput", "monthly", "steadiness"]

Array = NDArray[np.float64]

MONTH_DAYS_COUNT = 28
SETTLING_H = 0.5
FEWEST_LIT = 6


@dataclass(frozen=True)
class SteadyInput:
    """CO2 at pH readings, the lamp's hours, the band and the ceiling; hours from midnight of `first_day`."""

    hours_h: Array
    co2_mg_l: Array
    read_ph: Array
    count_hours_h: Array
    bubbles_per_s: Array
    light_on_h: float
    lit_h: float
    target_low_mg_l: float
    target_high_mg_l: float
    ceiling_mg_l: float
    first_day: dt.date


@dataclass(frozen=True)
class _Day:
    """One day's figures."""

    day: int
    median: float
    on: float
    swing: float
    band_h: float
    off: float
    low: float
    rise: float
    dose: float
    longest: float
    four: float
    ph_four: float


def steadiness(told: SteadyInput) -> Steadiness | None:
    """The figures of all days with enough readings; None where there is no such day."""
    since = told.hours_h - told.light_on_h
    days = [_day(told, int(d), since - 24.0 * d) for d in np.unique(np.floor(since / 24.0))]
    whole = [day for day in days if day is not None]
    if not whole:
        return None

    def middle(name: str) -> float:
        return float(np.median([getattr(day, name) for day in whole]))

    four = np.array([day.four for day in whole])
    trend = _weekly(np.array([day.day for day in whole], dtype=float), np.array([d.ph_four for d in whole]))
    return Steadiness(
        first_day=(told.first_day + dt.timedelta(days=whole[0].day)).isoformat(),
        last_day=(told.first_day + dt.timedelta(days=whole[-1].day)).isoformat(),
        days_count=len(whole),
        lit_median_mg_l=middle("median"),
        lights_on_mg_l=middle("on"),
        swing_frac=middle("swing"),
        in_band_h=middle("band_h"),
        lights_off_mg_l=middle("off"),
        night_low_mg_l=middle("low"),
        fastest_rise_mg_l_h=middle("rise"),
        over_ceiling_mg_h_l=float(sum(day.dose for day in whole)),
        longest_over_h=max(day.longest for day in whole),
        day_to_day_frac=float(four.std() / max(four.mean(), 1e-9)),
        trend_ph=0.0 if trend is None else trend,
        trend_bubbles_frac=_bubble_trend(told),
    )


def _day(told: SteadyInput, day: int, since: Array) -> _Day | None:
    """The figures of one day, None where it has too few lit readings."""
    here = (since >= 0) & (since < 24.0)
    hours, co2, ph = since[here], told.co2_mg_l[here], told.read_ph[here]
    lit = (hours >= SETTLING_H) & (hours <= told.lit_h)
    if lit.sum() < FEWEST_LIT or hours[lit][-1] < 0.7 * told.lit_h:
        return None
    low, median, high = np.quantile(co2[lit], [0.05, 0.5, 0.95])
    inside = (co2[lit] >= told.target_low_mg_l) & (co2[lit] <= told.target_high_mg_l)
    over = np.maximum(co2 - told.ceiling_mg_l, 0.0)
    width = np.gradient(hours)
    # A rise over less than half an hour is the probe's noise.
    wide = np.interp(hours + 0.5, hours, co2) - co2
    at_four = float(np.interp(min(4.0, told.lit_h), hours, co2))
    return _Day(
        day=day,
        median=float(median),
        on=float(co2[0]),
        swing=float((high - low) / max(median, 1e-9)),
        band_h=float(inside.mean() * (told.lit_h - SETTLING_H)),
        off=float(np.interp(told.lit_h, hours, co2)),
        low=float(np.quantile(co2, 0.02)),
        rise=float(2.0 * np.quantile(wide, 0.99)),
        dose=float((over * width).sum()),
        longest=_longest(over > 0, width),
        four=at_four,
        ph_four=float(np.interp(min(4.0, told.lit_h), hours, ph)),
    )


def _longest(over: NDArray[np.bool_], width: Array) -> float:
    longest = now = 0.0
    for inside, hours in zip(over, width, strict=True):
        now = now + float(hours) if inside else 0.0
        longest = max(longest, now)
    return longest


def _weekly(days: Array, values: Array) -> float | None:
    """The middle slope of all pairs of days, for a week (Theil and Sen); None under three days."""
    if len(days) < 3:
        return None
    i, j = np.triu_indices(len(days), 1)
    return float(7.0 * np.median((values[j] - values[i]) / (days[j] - days[i])))


def _bubble_trend(told: SteadyInput) -> float | None:
    going = told.bubbles_per_s > 0
    if going.sum() < 3:
        return None
    return _weekly(told.count_hours_h[going] / 24.0, np.log(told.bubbles_per_s[going]))


def monthly(told: SteadyInput) -> tuple[Steadiness, ...]:
    """The same figures for each four weeks, oldest first."""
    blocks = np.floor((told.hours_h - told.light_on_h) / (24.0 * MONTH_DAYS_COUNT))
    found = []
    for block in np.unique(blocks):
        here = blocks == block
        start, end = told.hours_h[here][0], told.hours_h[here][-1]
        counts = (told.count_hours_h >= start) & (told.count_hours_h <= end)
        part = SteadyInput(
            told.hours_h[here], told.co2_mg_l[here], told.read_ph[here], told.count_hours_h[counts],
            told.bubbles_per_s[counts], told.light_on_h, told.lit_h, told.target_low_mg_l,
            told.target_high_mg_l, told.ceiling_mg_l, told.first_day,
        )  # fmt: skip
        made = steadiness(part)
        if made is not None:
            found.append(made)
    return tuple(found)
