"""The parts of a plan that follow from its day: ledger, stations, bottle, and what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.integrate import DayRun
from fizzwright.engines.gasline.line import LineWalk, StationName
from fizzwright.errors import BalanceNotClosed
from fizzwright.inference.draws import Scores, band_after
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import Ledger, LedgerLine, NextReading, Station

__all__ = ["GasDay", "Reading", "gas_day", "ledger", "next_readings", "stations"]

Array = NDArray[np.float64]
LEDGER_TOLERANCE_FRAC = 1e-9


@dataclass(frozen=True)
class GasDay:
    """What the line handled in a day, each an array of draws. [g/day]

    `bottle` is what left the bottle, `wall` what the tube lost of it, `escaped` what broke the surface
    as bubbles, `dissolved` the rest.
    """

    bottle_g_day: Array
    wall_g_day: Array
    escaped_g_day: Array
    dissolved_g_day: Array


def gas_day(run: DayRun, *, feed_mg_h: Array, wall_loss_mg_h: Array, gas_min: float) -> GasDay:
    """The day's gas from bottle to water.

    Parameters
    ----------
    run : DayRun
        The repeating day.
    feed_mg_h, wall_loss_mg_h : array, shape (draws,)
        True flow out of the bottle while the valve is open, and what the wall takes of it. [mg/h]
    gas_min : float
        Minutes a day the valve is open. [min]
    """
    hours = gas_min / 60.0
    fed = run.sums.fed_mg / 1000.0
    wall = np.minimum(wall_loss_mg_h, feed_mg_h) * hours / 1000.0
    dissolved = run.sums.dissolved_mg / 1000.0
    return GasDay(fed + wall, wall, fed - dissolved, dissolved)


def _line(name: str, side: str, middle_g_day: float, draws_g_day: Array) -> LedgerLine:
    """One stream; a middle outside the draws' band (a small skewed stream) widens the band to hold it."""
    low, high = np.quantile(draws_g_day, [0.05, 0.95])
    return LedgerLine(
        name,
        side,
        Estimate(middle_g_day, "g_day", min(float(low), middle_g_day), max(float(high), middle_g_day)),
    )


def ledger(middle: tuple[GasDay, DayRun], draws: tuple[GasDay, DayRun]) -> Ledger:
    """Where a day's carbon goes: the middle day to the milligram, with the draws' band on each stream.

    Raises
    ------
    BalanceNotClosed
        Where in and out of the middle day differ by more than 1e-9 of what came in.
    """
    (gas, run), (gas_all, run_all) = middle, draws

    def both(pick: object) -> tuple[float, Array]:
        assert callable(pick)
        return float(pick(gas, run)[0]), pick(gas_all, run_all)

    rows = (
        ("from the bottle", 1, both(lambda g, _: g.bottle_g_day)),
        ("breathing of animals and ground", 1, both(lambda _, r: r.sums.breathing_mg / 1000)),
        ("breathing of plants", 1, both(lambda _, r: r.sums.plant_breathing_mg / 1000)),
        ("through the tube wall", -1, both(lambda g, _: g.wall_g_day)),
        ("escaped in bubbles", -1, both(lambda g, _: g.escaped_g_day)),
        ("out of the surface", -1, both(lambda _, r: r.sums.surface_mg / 1000)),
        ("into plants", -1, both(lambda _, r: r.sums.plants_mg / 1000)),
        ("out with the water change", -1, both(lambda _, r: r.sums.water_change_mg / 1000)),
        ("kept as bicarbonate", -1, both(lambda _, r: r.store_change_mg / 1000)),
    )
    turned = {"out of the surface": "in through the surface", "kept as bicarbonate": "freed from bicarbonate"}
    lines = []
    for name, sign, (value, spread) in rows:
        # A stream that runs the other way stands on the other side under its own name.
        way = -1 if value < 0 else 1
        shown = turned.get(name, f"{name}, reversed") if way < 0 else name
        if value != 0 or name == "from the bottle":
            lines.append(_line(shown, "in" if sign * way > 0 else "out", way * value, way * spread))
    total_in = sum(x.carbon_g_day.value for x in lines if x.side == "in")
    total_out = sum(x.carbon_g_day.value for x in lines if x.side == "out")
    residual = abs(total_in - total_out) / total_in if total_in else 0.0
    if residual > LEDGER_TOLERANCE_FRAC:
        raise BalanceNotClosed(f"the day's carbon is off by {residual:.1e} of what came in", residual)
    return Ledger(tuple(lines), residual)


_SETS = {
    StationName.BOTTLE: "room warmth sets it",
    StationName.REGULATOR: "the regulator sets it",
    StationName.SOLENOID: "the clock opens it",
    StationName.NEEDLE: "the diffuser asks for it",
    StationName.COUNTER: "the diffuser asks for it",
    StationName.CHECK_VALVE: "the diffuser asks for it",
    StationName.TUBE: "the diffuser asks for it",
    StationName.DIFFUSER: "depth sets it",
}


def stations(
    walk: LineWalk, details: dict[str, str], *, gas: GasDay, run: DayRun, gas_min: float
) -> tuple[Station, ...]:
    """The gas line and the water as ten stations, with pressure, flow and loss at each.

    Parameters
    ----------
    walk : LineWalk
        The line at the plan's feed, arrays of draws.
    details : dict
        A few words for each station name.
    gas, run : GasDay, DayRun
        The day's sums, draws.
    gas_min : float
        Minutes a day the valve is open; water and leaf figures are means over these hours. [min]
    """
    draws = gas.bottle_g_day
    found = []
    for number, state in enumerate(walk.stations, start=1):
        flow, lost = (
            np.broadcast_to(state.flow_mg_h, draws.shape),
            np.broadcast_to(state.lost_mg_h, draws.shape),
        )
        if state.name is StationName.DIFFUSER:
            share = gas.dissolved_g_day / np.maximum(gas.dissolved_g_day + gas.escaped_g_day, 1e-12)
            flow, lost = flow * share, flow * (1 - share)
        found.append(
            Station(
                number, state.name.value, details.get(state.name.value, ""), _SETS[state.name],
                Estimate.from_draws(np.broadcast_to(state.pressure_barg, draws.shape), "barg"),
                Estimate.from_draws(flow, "mg_h"),
                Estimate.from_draws(lost, "mg_h") if float(np.max(lost)) > 0 else None,
            )
        )  # fmt: skip
    hours = gas_min / 60.0
    surface, plants = run.sums.surface_mg / hours, run.sums.plants_mg / hours
    water = Station(9, "water", details.get("water", ""), "the surface gives it away", None,
                    Estimate.from_draws(plants, "mg_h"), Estimate.from_draws(surface, "mg_h"))  # fmt: skip
    leaf = Station(10, "leaf", details.get("leaf", ""), "light and plants take it", None,
                   Estimate.from_draws(plants, "mg_h"), None)  # fmt: skip
    return (*found, water, leaf)


@dataclass(frozen=True)
class Reading:
    """One thing that could be measured: what it settles, the work, and how much doubt it would leave.

    `leaves` gives, for each unknown it touches, the share of the present standard deviation left.
    """

    name: str
    settles: str
    effort: str
    leaves: dict[str, float]


def next_readings(readings: Sequence[Reading], scores: Scores, peak_mg_l: Array) -> tuple[NextReading, ...]:
    """The readings worth taking, the one that narrows the day's peak most first; trifles are left out."""
    now = band_after(scores, peak_mg_l, {})
    ranked = []
    for reading in readings:
        low, high = band_after(scores, peak_mg_l, reading.leaves)
        gain = 1.0 - np.log(high / low) / np.log(now[1] / now[0])
        if gain > 0.02:
            ranked.append((gain, NextReading(reading.name, reading.settles, reading.effort, low, high)))
    ranked.sort(key=lambda pair: -pair[0])
    return tuple(item for _, item in ranked)
