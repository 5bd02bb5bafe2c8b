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

from fizzwright.engines.day.balance import DaySums, TankDay, free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.day.clock import Forcing
from fizzwright.engines.day.rates import Moment, Rates, day_sums, rates_of, uptake_mg_h
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
        """Carbon in less carbon out less carbon stored, as a share of what came in or went out."""
        gained, net = self.sums.gained_mg(), self.sums.net_mg()
        moved = np.maximum(np.maximum(gained, np.abs(net - gained)), 1e-12)
        share: Array = (net - self.store_change_mg) / moved
        return share


def day_from(start: State, tank: TankDay, course: Forcing) -> DayRun:
    """One day, or any span, from a given first state.

    Parameters
    ----------
    start : State
        Water at the first minute; arrays set the shape of the draws.
    tank : TankDay
        What does not change over the course.
    course : Forcing
        Time grid and every share on it. `gas_frac` columns broadcast against the draws: use one
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
    rates = rates_of(tank, course, gas_all)
    alks = _alkalinity(alk, tank, course.nodes_min)
    # Rows: total carbon, oxygen, and the integrals of CO2, uptake and (where it changes) surface loss.
    state = np.zeros((4 if rates.plain else 5, *shape))
    state[0] = total_carbon_mg_l(co2, alk, carbonate_ratio=tank.carbonate_ratio)
    state[1] = o2
    first = state[0].copy()
    co2s, o2s = np.empty((2, len(course.nodes_min), *shape))
    slopes = np.empty((4, *state.shape))
    for step, width in enumerate(np.diff(course.nodes_min) / 60.0):
        h = float(width)
        start_alk, end_alk = alks[step], alks[step + 1]
        middle_alk = start_alk if end_alk is start_alk else 0.5 * (start_alk + end_alk)
        middle = rates.at(step, 1)
        _slope(slopes[0], state, start_alk, (rates, rates.at(step, 0)))
        co2s[step], o2s[step] = slopes[0, 2], state[1]
        _slope(slopes[1], state[:2] + h / 2 * slopes[0, :2], middle_alk, (rates, middle))
        _slope(slopes[2], state[:2] + h / 2 * slopes[1, :2], middle_alk, (rates, middle))
        _slope(slopes[3], state[:2] + h * slopes[2, :2], end_alk, (rates, rates.at(step, 2)))
        gain = slopes[1] + slopes[2]
        gain *= 2.0
        gain += slopes[0]
        gain += slopes[3]
        gain *= h / 6
        state += gain
        np.maximum(state[1], 0.0, out=state[1])
    co2s[-1] = free_co2_mg_l(state[0], alks[-1], carbonate_ratio=tank.carbonate_ratio)
    o2s[-1] = state[1]
    sums = day_sums(
        rates,
        co2_mg_h_l=state[2],
        plants_mg=state[3] * tank.volume_l,
        surface_mg_l=None if rates.plain else state[4],
    )
    alk_curve = np.stack(alks) if alks[-1] is not alks[0] else np.broadcast_to(alk, co2s.shape)
    return DayRun(course.nodes_min, co2s, o2s, alk_curve, sums, (state[0] - first) * tank.volume_l)


def _alkalinity(alk: Array, tank: TankDay, nodes_min: Array) -> list[Array]:
    """Alkalinity at the nodes: a straight drift that stops at nil; one and the same array where it rests."""
    if not np.any(np.asarray(tank.alk_drift_meq_l_h)):
        return [alk] * len(nodes_min)
    since = (nodes_min - nodes_min[0]) / 60.0
    return [np.maximum(alk + tank.alk_drift_meq_l_h * float(hours), 0.0) for hours in since]


def _slope(out: Array, state: Array, alk: Array, at: tuple[Rates, Moment]) -> None:
    """Rates of change of carbon, oxygen and the integrals, written into the rows of `out`."""
    rates, now = at
    free = free_co2_mg_l(state[0], alk, carbonate_ratio=rates.tank.carbonate_ratio)
    out[2] = free
    np.multiply(now.leave_per_h, free, out=out[0])
    np.subtract(now.rise_mg_l_h, out[0], out=out[0])
    np.multiply(now.o2_leave_per_h, state[1], out=out[1])
    np.subtract(now.breath_mg_l_h, out[1], out=out[1])
    taken = uptake_mg_h(free, rates.tank, now.light_frac)
    if isinstance(taken, float):
        out[3] = 0.0
    else:
        np.multiply(taken, now.uptake_factor / rates.tank.volume_l, out=out[3])
        out[0] -= out[3]
        out[1] += rates.o2_ratio * out[3]
    if len(out) > 4:
        np.multiply(now.stirred_per_h, free - now.air_mg_l, out=out[4])


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
            # A first-order loss shrinks a difference at midnight to this share in a day.
            kept = np.exp(-course.hours_h * np.asarray(tank.loss_per_h + tank.exchange_per_h))
            kept_o2 = np.exp(-course.hours_h * np.asarray(tank.o2_loss_per_h))
            guess = (
                began[0] + miss[0] / np.maximum(1.0 - kept, 0.02),
                began[1] + miss[1] / np.maximum(1.0 - kept_o2, 0.02),
            )
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
