"""Stepping the day, and finding the day that repeats itself.

Classic fourth-order Runge-Kutta between switches: rates in a tank are at most about 2 an hour, so a step of
a quarter of an hour is far inside its accuracy, and the integrals behind the ledger use the same weights
as the state, which makes the books balance to round-off. The repeating day is found by a secant step on the
midnight state, draw by draw, because one day maps that state almost linearly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import (
    DaySums,
    TankDay,
    coefficients,
    day_sums,
    free_co2_mg_l,
    total_carbon_mg_l,
    uptake_mg_h,
)
from fizzwright.engines.day.clock import Forcing
from fizzwright.errors import NotConverged

__all__ = ["DayRun", "State", "day_from", "repeating_day"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class State:
    """The water at one moment: free CO2, O2 and carbonate alkalinity, each an array of draws."""

    co2_mg_l: Array
    o2_mg_l: Array
    alk_meq_l: Array


@dataclass(frozen=True)
class DayRun:
    """One day of a tank: curves at the nodes and the day's sums.

    `nodes_min` has shape (nodes,), the curves (nodes, ...draws). `sums` holds the day's total of every
    stream; `store_change_mg` is the carbon gained by the water.
    """

    nodes_min: Array
    co2_mg_l: Array
    o2_mg_l: Array
    alk_meq_l: Array
    sums: DaySums
    store_change_mg: Array

    @property
    def end(self) -> State:
        """The water at the end of the day."""
        return State(self.co2_mg_l[-1], self.o2_mg_l[-1], self.alk_meq_l[-1])

    def residual_frac(self) -> Array:
        """Carbon in less carbon out less carbon stored, as a share of the carbon that came in."""
        share: Array = (self.sums.net_mg() - self.store_change_mg) / np.maximum(self.sums.gained_mg(), 1e-12)
        return share


def day_from(start: State, tank: TankDay, course: Forcing) -> DayRun:
    """One day from a given midnight state.

    Parameters
    ----------
    start : State
        Water at minute 0; arrays set the shape of the draws.
    tank : TankDay
        What does not change over the day.
    course : Forcing
        Time grid, lamp, gas and night shares. `gas_frac` columns broadcast against the draws: use one
        clock for plain draws, or give draws the shape (clocks, draws).

    Returns
    -------
    DayRun
    """
    # Several clocks are rows of their own, against draws in the last place.
    gas_all = course.gas_frac[..., None] if course.gas_frac.shape[-1] > 1 else course.gas_frac
    shape = np.broadcast_shapes(
        start.co2_mg_l.shape, np.shape(tank.loss_per_h), np.shape(tank.feed_mg_h), gas_all.shape[2:]
    )
    alk, co2, o2 = (
        np.broadcast_to(x, shape).astype(float) for x in (start.alk_meq_l, start.co2_mg_l, start.o2_mg_l)
    )
    ratio, volume, drift = tank.carbonate_ratio, tank.volume_l, tank.alk_drift_meq_l_h
    rule = coefficients(tank)
    carbon = first = total_carbon_mg_l(co2, alk, carbonate_ratio=ratio)
    curve: tuple[list[Array], list[Array], list[Array]] = ([], [], [])
    co2_sum, plants_sum = np.zeros(shape), np.zeros(shape)
    for step, width in enumerate(np.diff(course.nodes_min) / 60.0):
        h = float(width)

        def slope(
            d: Array, o: Array, a: Array, part: int, step: int = step
        ) -> tuple[Array, Array, Array, Array | float]:
            free = free_co2_mg_l(d, a, carbonate_ratio=ratio)
            taken = uptake_mg_h(free, tank, float(course.light_frac[step, part])) / volume
            night = course.night_frac[step, part]
            rise = rule.base_mg_l_h + rule.gas_mg_l_h * gas_all[step, part] + rule.night_mg_l_h * night
            breath = rule.o2_base_mg_l_h + rule.o2_night_mg_l_h * night
            return (
                rise - rule.leave_per_h * free - taken,
                breath + rule.o2_per_uptake_ratio * taken - rule.o2_leave_per_h * o,
                free,
                taken,
            )

        middle_alk, end_alk = alk + drift * (h / 2), alk + drift * h
        k1 = slope(carbon, o2, alk, 0)
        for kept, value in zip(curve, (k1[2], o2, alk), strict=True):
            kept.append(value)
        k2 = slope(carbon + h / 2 * k1[0], o2 + h / 2 * k1[1], middle_alk, 1)
        k3 = slope(carbon + h / 2 * k2[0], o2 + h / 2 * k2[1], middle_alk, 1)
        k4 = slope(carbon + h * k3[0], o2 + h * k3[1], end_alk, 2)
        carbon, o2, over_co2, over_plants = (
            before + h / 6 * (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i])
            for i, before in enumerate((carbon, o2, co2_sum, plants_sum))
        )
        o2, co2_sum, plants_sum, alk = np.maximum(o2, 0.0), over_co2, over_plants, end_alk
    for kept, value in zip(curve, (free_co2_mg_l(carbon, alk, carbonate_ratio=ratio), o2, alk), strict=True):
        kept.append(value)
    co2s, o2s, alks = (np.stack(kept) for kept in curve)
    gas_h, night_h = _simpson_h(course, gas_all), float(_simpson_h(course, course.night_frac))
    sums = day_sums(tank, co2_mg_h_l=co2_sum, plants_mg=plants_sum * volume, gas_h=gas_h, night_h=night_h)
    return DayRun(course.nodes_min, co2s, o2s, alks, sums, (carbon - first) * volume)


def _simpson_h(course: Forcing, shares: Array) -> Array:
    """The integral over the day of a share known at each step's start, middle and end. [h]"""
    width = (np.diff(course.nodes_min) / 60.0).reshape(-1, *[1] * (shares.ndim - 2))
    total: Array = (width * (shares[:, 0] + 4.0 * shares[:, 1] + shares[:, 2]) / 6.0).sum(axis=0)
    return total


def repeating_day(
    start: State, tank: TankDay, course: Forcing, *, tolerance_mg_l: float = 1e-8, most: int = 12
) -> DayRun:
    """The day that ends as it began, found from any start; alkalinity begins each day at its start value.

    Parameters
    ----------
    start : State
        A first guess of the midnight state.
    tank, course
        As in `day_from`.
    tolerance_mg_l : float
        How closely CO2 and O2 at the end must match the start. [mg/L]
    most : int
        Days to try before giving up.

    Raises
    ------
    NotConverged
        Where no draw-wise secant settles in `most` days.
    """
    before: tuple[Array, Array, Array, Array] | None = None
    state, gap = start, np.inf
    for _ in range(most):
        run = day_from(state, tank, course)
        began = (run.co2_mg_l[0], run.o2_mg_l[0])
        miss = (run.co2_mg_l[-1] - began[0], run.o2_mg_l[-1] - began[1])
        gap = float(max(np.max(np.abs(miss[0])), np.max(np.abs(miss[1]))))
        if gap < tolerance_mg_l:
            return run
        if before is None:
            guess = (began[0] + miss[0], began[1] + miss[1])
        else:
            guess = (
                _secant(before[0], began[0], before[2], miss[0]),
                _secant(before[1], began[1], before[3], miss[1]),
            )
        before = (began[0], began[1], miss[0], miss[1])
        state = State(np.maximum(guess[0], 0.01), np.maximum(guess[1], 0.0), start.alk_meq_l)
    raise NotConverged(
        f"the day did not repeat itself to {tolerance_mg_l:g} mg/L in {most} days (still off by "
        f"{gap:.2g} mg/L); a loss rate near zero does this: check surface.loss"
    )


def _secant(x0: Array, x1: Array, miss0: Array, miss1: Array) -> Array:
    """Where the miss would be nil if it went on in a line; a plain step where the line is flat."""
    slope = miss1 - miss0
    flat = np.abs(slope) < 1e-13
    step = np.where(flat, miss1, -miss1 * (x1 - x0) / np.where(flat, 1.0, slope))
    return x1 + step
