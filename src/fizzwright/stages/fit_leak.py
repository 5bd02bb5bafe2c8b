"""The leak test of a line: its limits, its waiting time, the form for its readings."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fizzwright.catalogue.tubes import TUBES
from fizzwright.engines.gasline.bottle import (
    saturation_bara,
    vapour_density_kg_m3,
    vapour_only_density_kg_m3,
    virial_pressure_bara,
)
from fizzwright.engines.gasline.gas import ambient_bara, flow_ml_min_n
from fizzwright.engines.gasline.leak import (
    PASS_LIMIT_ML_MIN_N,
    PASS_SHARE_FRAC,
    WEIGHING_LIMIT_G_DAY,
    feed_share_frac,
    high_side_leak_ml_min_n,
    leak_cost_g_day,
    watch_time_min,
)
from fizzwright.engines.gasline.tube import permeability_barrer, volume_ml, wall_loss_mg_h
from fizzwright.job.model import Job
from fizzwright.result import Estimate
from fizzwright.stages.fit_result import LeakLimits
from fizzwright.stages.plan_result import PlanResult

__all__ = [
    "COUNTER_SPACE_ML",
    "DIAL_BARG",
    "FORM_COLUMNS",
    "HIGH_SPACE_ML",
    "LIMIT_EQUATIONS",
    "form_text",
    "leak_limits",
    "line_volume_ml",
]

# Common practice: gas space of a counter, and of the passage from bottle valve to regulator seat.
COUNTER_SPACE_ML = 5.0
HIGH_SPACE_ML = 8.0
DIAL_BARG, DIGITAL_BARG, HIGH_DIAL_BARG = 0.1, 0.02, 2.0
# Gas and metal come to one temperature in about this time.
SETTLE_MIN = 15.0
WEIGHING_DAYS = 7.0
LIMIT_EQUATIONS: tuple[Callable[..., Any], ...] = (
    volume_ml, watch_time_min, ambient_bara, permeability_barrer, wall_loss_mg_h, saturation_bara,
    vapour_density_kg_m3, vapour_only_density_kg_m3, virial_pressure_bara, high_side_leak_ml_min_n,
)  # fmt: skip
FORM_COLUMNS = (
    "test", "start", "end", "start_gauge_barg", "end_gauge_barg", "start_c", "end_c", "start_g", "end_g",
    "note",
)  # fmt: skip


def line_volume_ml(job: Job) -> float:
    """The gas space a low-side test shuts in: tube and counter. [mL]"""
    tube = job.gasline.tube
    return float(volume_ml(tube.length_m, tube.bore_mm)) + COUNTER_SPACE_ML


def _wall(job: Job, barrer: float) -> float:
    """What the tube's wall takes at the set pressure, as a leak. [mL/min at 20 °C, 1 atm]"""
    tube, room = job.gasline.tube, job.room
    wall = permeability_barrer(
        barrer, room.temperature_c, activation_j_mol=TUBES[tube.material].activation_j_mol
    )
    bara = job.gasline.regulator.set_pressure_barg + float(ambient_bara(room.altitude_m))
    loss = wall_loss_mg_h(bara, wall, length_m=tube.length_m, bore_mm=tube.bore_mm, outer_mm=tube.outer_mm)
    return float(flow_ml_min_n(loss))


def leak_limits(job: Job, plan: PlanResult) -> LeakLimits:
    """What the leak test of this line must show, and how long it takes.

    The limit is the lesser of common practice and a hundredth of the day's feed over the hours of gas.
    """
    volume = line_volume_ml(job)
    row = TUBES[job.gasline.tube.material]
    hours = ((plan.gas_off_min - plan.gas_on_min) % 1440) / 60 or 24.0
    shares = [
        float(feed_share_frac(PASS_LIMIT_ML_MIN_N, hours_h=hours, fed_g_day=fed))
        for fed in (plan.gas_g_day.value, plan.gas_g_day.high, plan.gas_g_day.low)
    ]
    limit = min(PASS_LIMIT_ML_MIN_N, PASS_LIMIT_ML_MIN_N * PASS_SHARE_FRAC / shares[0])
    warm = job.room.temperature_c
    at = min(50.0, float(saturation_bara(min(warm, 30.0))) - 2.0)
    per_h = float(high_side_leak_ml_min_n(HIGH_SPACE_ML, 1.0, pressure_bara=at, temperature_c=warm))
    dial, digital = (
        SETTLE_MIN + float(watch_time_min(volume, limit, resolution_barg=step))
        for step in (DIAL_BARG, DIGITAL_BARG)
    )
    return LeakLimits(
        low_limit_ml_min_n=limit,
        low_limit_g_day=float(leak_cost_g_day(limit)),
        feed_share_frac=Estimate(
            shares[0] * limit / PASS_LIMIT_ML_MIN_N,
            "frac",
            shares[1] * limit / PASS_LIMIT_ML_MIN_N,
            shares[2] * limit / PASS_LIMIT_ML_MIN_N,
        ),
        wall_loss_ml_min_n=Estimate(
            _wall(job, row.co2_barrer),
            "ml_min_n",
            _wall(job, row.co2_low_barrer),
            _wall(job, row.co2_high_barrer),
        ),
        dial_watch_min=dial,
        digital_watch_min=digital,
        dial_fall_barg=DIAL_BARG,
        high_watch_h=2.0 * HIGH_DIAL_BARG * per_h / PASS_LIMIT_ML_MIN_N,
        weighing_limit_g=WEIGHING_LIMIT_G_DAY * WEIGHING_DAYS,
        weighing_days=WEIGHING_DAYS,
    )


def form_text(job: Job, limits: LeakLimits) -> str:
    """A form for the readings: CSV with its columns named by unit and a row for each test, to be filled "
    "in."""
    head = [
        f"# Leak test of {job.job.name}. Times like 2026-03-01T18:30; pressures in bar g, °C, g.",
        f"# low side: {limits.dial_watch_min:.0f} min with a dial, {limits.digital_watch_min:.0f} min "
        "with a "
        "digital gauge",
        f"# high side: overnight, {limits.high_watch_h:.0f} h or more; weighing: "
        f"{limits.weighing_days:.0f} "
        "days, needle shut",
        "# regulator: outlet a few minutes after the needle was shut, and 30 to 60 minutes later",
        ",".join(FORM_COLUMNS),
    ]
    blank = "," * (len(FORM_COLUMNS) - 1)
    return (
        "\n".join([*head, *(f"{test}{blank}" for test in ("low side", "high side", "weighing", "regulator"))])
        + "\n"
    )
