"""When lamp and gas are on, cut into steps that never straddle a switch.

A day runs from 0 to 1440 minutes of tank time and repeats. Every switch (lamp, ramp ends, gas valve, gas
arriving at the diffuser) is a node of the time grid, so a step sees smooth forcing only and the
integrator keeps its order.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["DAY_MIN", "Clock", "Forcing", "forcing", "gas_share_frac", "light_share_frac", "night_share_frac"]

DAY_MIN = 1440.0
# Further than switches are rounded (1e-6 min), short enough not to matter.
NUDGE_MIN = 1e-5
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Clock:
    """The day's switches in minutes after midnight, tank time; periods may pass midnight.

    `line_lag_min` is how long the line takes to fill after the valve opens; the same gas runs out of the
    line again after it shuts, over twice that time. [min]
    `always_on` leaves the valve open round the clock (a stuck valve, or gas all night by choice).
    """

    light_on_min: float
    light_off_min: float
    gas_on_min: float
    gas_off_min: float
    ramp_min: float = 0.0
    line_lag_min: float = 0.0
    always_on: bool = False

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


@dataclass(frozen=True)
class Forcing:
    """The day cut into steps, with lamp, gas and night share at each step's start, middle and end.

    `nodes_min` has shape (steps + 1,); `light_frac` and `night_frac` (steps, 3); `gas_frac` (steps, 3,
    clocks): one column for each clock that shares this grid.
    """

    nodes_min: Floats
    light_frac: Floats
    gas_frac: Floats
    night_frac: Floats


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
    full = np.where((minute_min >= lag) & (minute_min < clock.gas_min), 1.0, 0.0)
    if lag <= 0:
        return full
    since_shut = minute_min - clock.gas_min
    tail = np.where(since_shut >= 0, np.maximum(1.0 - since_shut / (2.0 * lag), 0.0), 0.0)
    return full + tail


def _switches(clock: Clock) -> list[float]:
    marks = [clock.light_on_min, clock.light_off_min]
    if clock.ramp_min > 0:
        marks += [clock.light_on_min + clock.ramp_min, clock.light_off_min - clock.ramp_min]
    if not clock.always_on:
        lag = _lag_min(clock)
        marks += [clock.gas_on_min, clock.gas_off_min, clock.gas_on_min + lag, clock.gas_off_min + 2 * lag]
    return [mark % DAY_MIN for mark in marks]


def forcing(clocks: Sequence[Clock], step_min: float) -> Forcing:
    """The time grid of a day and what lamp and gas do on it, for clocks that share one lamp.

    Parameters
    ----------
    clocks : sequence of Clock
        One or more clocks with the same lamp times; each becomes one column of `gas_frac`.
    step_min : float
        The longest step. [min]

    Returns
    -------
    Forcing
        Nodes are shared by all clocks and hold every switch of every clock.
    """
    marks = {round(m, 6) for clock in clocks for m in _switches(clock)} | {0.0, DAY_MIN}
    ordered = sorted(marks)
    pieces = [np.linspace(a, b, max(1, int(np.ceil((b - a) / step_min - 1e-9))) + 1)[:-1]
              for a, b in itertools.pairwise(ordered) if b - a > 1e-6]  # fmt: skip
    nodes = np.append(np.concatenate(pieces), DAY_MIN)
    # The ends of a step are read a little inside it, so that a switch at a node belongs to its own side.
    width = np.diff(nodes)[:, None]
    nudge = np.minimum(NUDGE_MIN, width / 4)
    inside = nodes[:-1, None] + np.hstack([nudge, width / 2, width - nudge])
    lamp = clocks[0]
    since_light = (inside - lamp.light_on_min) % DAY_MIN
    gas = [gas_share_frac(clock, (inside - clock.gas_on_min) % DAY_MIN) for clock in clocks]
    return Forcing(
        nodes_min=nodes,
        light_frac=light_share_frac(lamp, since_light),
        gas_frac=np.stack(gas, axis=-1),
        night_frac=night_share_frac(lamp, since_light),
    )
