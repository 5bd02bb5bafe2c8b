"""When lamp, gas and air pump are on and meals are given, cut into steps that never straddle a switch.

A day runs from 0 to 1440 minutes of tank time and repeats. Every switch (lamp, ramp ends, gas valve, gas
arriving at the diffuser, air pump, meals) is a node of the time grid, so a step sees smooth forcing only
and the integrator keeps its order.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "DAY_MIN", "Clock", "Forcing", "Warmth", "clock_moved", "forcing", "gas_share_frac", "light_share_frac",
    "meal_share_frac", "night_share_frac",
]  # fmt: skip

DAY_MIN = 1440.0
# Further than switches are rounded (1e-6 min), short enough not to matter.
NUDGE_MIN = 1e-5
# Uptake sags where the lamp has been on for more than 5 h, and is down within an hour.
AFTERNOON_FROM_MIN, AFTERNOON_TO_MIN = 300.0, 360.0
# A meal is felt most two hours after it was given (from memory: 1 to 3 h in small warm-water fish).
MEAL_PEAK_MIN = 120.0
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Clock:
    """The day's switches in minutes after midnight, tank time; periods may pass midnight.

    `line_lag_min` is how long the line takes to fill after the valve opens; the same gas runs out of the
    line again after it shuts, over twice that time. [min]
    `always_on` leaves the valve open round the clock (a stuck valve, or gas all night by choice);
    `leak_frac` is the share of the full feed that passes while it is shut.
    An air pump runs between `air_on_min` and `air_off_min`, never where they are equal.
    """

    light_on_min: float
    light_off_min: float
    gas_on_min: float
    gas_off_min: float
    ramp_min: float = 0.0
    line_lag_min: float = 0.0
    always_on: bool = False
    leak_frac: float = 0.0
    air_on_min: float = 0.0
    air_off_min: float = 0.0
    meals_min: tuple[float, ...] = ()

    @property
    def lit_min(self) -> float:
        """Length of the lit period. [min]"""
        return (self.light_off_min - self.light_on_min) % DAY_MIN

    @property
    def gas_min(self) -> float:
        """Minutes a day the valve is open. [min]"""
        if self.always_on:
            return DAY_MIN
        return (self.gas_off_min - self.gas_on_min) % DAY_MIN or DAY_MIN

    @property
    def air_min(self) -> float:
        """Minutes a day the air pump runs. [min]"""
        return (self.air_off_min - self.air_on_min) % DAY_MIN


@dataclass(frozen=True)
class Warmth:
    """What the water's temperature does to each rate, against the rates the tank was given.

    One factor for each step's start, middle and end: arrays of shape (steps, 3).
    """

    loss_factor: Floats
    air_co2_factor: Floats
    o2_saturation_factor: Floats
    breath_factor: Floats
    uptake_factor: Floats


@dataclass(frozen=True)
class Forcing:
    """The time cut into steps, with every share at each step's start, middle and end.

    `nodes_min` has shape (steps + 1,); `gas_frac` (steps, 3, clocks): one column for each clock that
    shares this grid; the rest (steps, 3). `afternoon_frac` runs from 0 to 1 late in the lit hours.
    `warmth` is None where the water keeps one temperature.
    """

    nodes_min: Floats
    light_frac: Floats
    gas_frac: Floats
    night_frac: Floats
    air_frac: Floats
    meal_frac: Floats
    afternoon_frac: Floats
    warmth: Warmth | None = None

    @property
    def hours_h(self) -> float:
        """The time covered. [h]"""
        return float(self.nodes_min[-1] - self.nodes_min[0]) / 60.0

    def inside_min(self) -> Floats:
        """The minutes at which shares are read: each step's start, middle and end, (steps, 3). [min]"""
        a, b = self.nodes_min[:-1, None], self.nodes_min[1:, None]
        return np.hstack([a, (a + b) / 2, b])


def light_share_frac(clock: Clock, minute_min: Floats) -> Floats:
    """The share of full light at some minutes of the day, with straight ramps at both ends.

    Parameters
    ----------
    clock : Clock
        The day's switches.
    minute_min : array
        Minutes since the lamp came on, 0 to 1440; any shape. [min]

    Returns
    -------
    array
        Share of full light, same shape, 0 to 1.
    """
    if clock.ramp_min <= 0:
        return np.where(minute_min < clock.lit_min, 1.0, 0.0)
    up = minute_min / clock.ramp_min
    down = (clock.lit_min - minute_min) / clock.ramp_min
    return np.clip(np.minimum(up, down), 0.0, 1.0)


def night_share_frac(clock: Clock, minute_min: Floats) -> Floats:
    """The share of the dark hours gone by at some minutes since the lamp came on; 0 while it is lit.

    Plants breathe less as the night wears on, so respiration is told how far the night has got.
    `minute_min` counts from lamp on, any shape. [min]
    """
    dark = DAY_MIN - clock.lit_min
    return np.clip((minute_min - clock.lit_min) / max(dark, 1e-9), 0.0, 1.0)


def _lag_min(clock: Clock) -> float:
    """The line's lag, never longer than the open time nor half the shut time, so a day holds all of it."""
    return min(clock.line_lag_min, clock.gas_min, 0.5 * (DAY_MIN - clock.gas_min))


def gas_share_frac(clock: Clock, minute_min: Floats) -> Floats:
    """The share of full feed that reaches the diffuser at some minutes since the valve opened.

    The line first fills (nothing arrives), then the full feed arrives; after the valve shuts, the gas
    held in the line runs out in a straight fall twice as long, so a day delivers what the valve let in.
    """
    if clock.always_on:
        return np.ones_like(minute_min)
    lag = _lag_min(clock)
    share = np.where((minute_min >= lag) & (minute_min < clock.gas_min), 1.0, 0.0)
    if lag > 0:
        since_shut = minute_min - clock.gas_min
        share += np.where(since_shut >= 0, np.maximum(1.0 - since_shut / (2.0 * lag), 0.0), 0.0)
    return np.maximum(share, clock.leak_frac) if clock.leak_frac > 0 else share


def meal_share_frac(minute_min: Floats) -> Floats:
    """How much of a meal's peak is felt some minutes after it: 1 after two hours, then fading. [min]"""
    felt: Floats = minute_min / MEAL_PEAK_MIN * np.exp(1.0 - minute_min / MEAL_PEAK_MIN)
    return felt


def clock_moved(clock: Clock, by_min: float) -> Clock:
    """The clock with its gas switches this much later, the lamp left alone (a timer set wrong). [min]"""
    return replace(
        clock,
        gas_on_min=(clock.gas_on_min + by_min) % DAY_MIN,
        gas_off_min=(clock.gas_off_min + by_min) % DAY_MIN,
    )


def _switches(clock: Clock) -> list[float]:
    marks = [clock.light_on_min, clock.light_off_min]
    if clock.ramp_min > 0:
        marks += [clock.light_on_min + clock.ramp_min, clock.light_off_min - clock.ramp_min]
    if clock.lit_min > AFTERNOON_FROM_MIN:
        marks += [clock.light_on_min + m for m in (AFTERNOON_FROM_MIN, AFTERNOON_TO_MIN) if m < clock.lit_min]
    if clock.air_min > 0:
        marks += [clock.air_on_min, clock.air_off_min]
    marks += clock.meals_min
    if not clock.always_on:
        lag = _lag_min(clock)
        marks += [clock.gas_on_min, clock.gas_off_min, clock.gas_on_min + lag, clock.gas_off_min + 2 * lag]
        if clock.leak_frac > 0:
            marks.append(clock.gas_off_min + 2 * lag * (1 - clock.leak_frac))
    return [mark % DAY_MIN for mark in marks]


def forcing(
    clocks: Sequence[Clock], step_min: float, *, span_min: tuple[float, float] = (0.0, DAY_MIN)
) -> Forcing:
    """The time grid of a day, or of any span, and what lamp and gas do on it, for clocks with one lamp.

    Parameters
    ----------
    clocks : sequence of Clock
        One or more clocks with the same lamp, air pump and meals; each becomes one column of `gas_frac`.
    step_min : float
        The longest step. [min]
    span_min : tuple of float
        First and last minute, tank time; over 1440 for several days. [min]

    Returns
    -------
    Forcing
        Nodes are shared by all clocks and hold every switch of every clock.
    """
    nodes = _nodes(clocks, step_min, span_min)
    # The ends of a step are read a little inside it, so that a switch at a node belongs to its own side.
    width = np.diff(nodes)[:, None]
    nudge = np.minimum(NUDGE_MIN, width / 4)
    inside = nodes[:-1, None] + np.hstack([nudge, width / 2, width - nudge])
    lamp = clocks[0]
    since_light = (inside - lamp.light_on_min) % DAY_MIN
    gas = [gas_share_frac(clock, (inside - clock.gas_on_min) % DAY_MIN) for clock in clocks]
    late = np.clip((since_light - AFTERNOON_FROM_MIN) / (AFTERNOON_TO_MIN - AFTERNOON_FROM_MIN), 0.0, 1.0)
    meals = [meal_share_frac((inside - meal) % DAY_MIN) for meal in lamp.meals_min]
    return Forcing(
        nodes_min=nodes,
        light_frac=light_share_frac(lamp, since_light),
        gas_frac=np.stack(gas, axis=-1),
        night_frac=night_share_frac(lamp, since_light),
        air_frac=np.where((inside - lamp.air_on_min) % DAY_MIN < lamp.air_min, 1.0, 0.0),
        meal_frac=sum(meals, np.zeros_like(inside)),
        afternoon_frac=np.where(since_light < lamp.lit_min, late, 0.0),
    )


def _nodes(clocks: Sequence[Clock], step_min: float, span_min: tuple[float, float]) -> Floats:
    """The steps' ends: every switch in the span and as many even steps between them as are needed."""
    first, last = span_min
    days = range(int(first // DAY_MIN), int(last // DAY_MIN) + 1)
    switches = {round(m, 6) for clock in clocks for m in _switches(clock)} | {0.0}
    within = [m + DAY_MIN * day for day in days for m in switches if first < m + DAY_MIN * day < last]
    ordered = sorted({*within, first, last})
    pieces = [np.linspace(a, b, max(1, int(np.ceil((b - a) / step_min - 1e-9))) + 1)[:-1]
              for a, b in itertools.pairwise(ordered) if b - a > 1e-6]  # fmt: skip
    return np.append(np.concatenate(pieces), last)
