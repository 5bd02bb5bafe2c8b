"""The end of the bottle: how far this regulator's outlet rises, and what that does to this tank's CO2."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.bottles import ASSUMED_FILL_LASTING_KG_L
from fizzwright.engines.gasline.bottle import (
    saturation_bara,
    vapour_density_kg_m3,
    vapour_only_density_kg_m3,
    virial_pressure_bara,
)
from fizzwright.engines.gasline.ending import Ending, EndingSetup, last_of_the_bottle
from fizzwright.engines.gasline.gas import ambient_bara
from fizzwright.engines.gasline.needle_fit import NeedlePoint, blend_flow_mg_h, needle_law_from_one_point
from fizzwright.engines.gasline.regulator import outlet_barg
from fizzwright.inference.draws import even_scores
from fizzwright.job.model import Job
from fizzwright.result import Estimate, Finding, Level
from fizzwright.stages.fit_result import BottleEnd, EndRow
from fizzwright.stages.plan_inputs import UNKNOWNS, bubble_side, scene_of, surveyed
from fizzwright.stages.plan_result import PlanResult
from fizzwright.stages.plan_scene import ROUGH, clock_for, day_of
from fizzwright.units import number_text, show

__all__ = ["END_EQUATIONS", "SUPPLY_EFFECT_HIGH_FRAC", "SUPPLY_EFFECT_LOW_FRAC", "bottle_end", "end_findings"]

Array = NDArray[np.float64]
END_EQUATIONS: tuple[Callable[..., Any], ...] = (
    ambient_bara, saturation_bara, vapour_density_kg_m3, vapour_only_density_kg_m3, virial_pressure_bara,
    outlet_barg, needle_law_from_one_point, blend_flow_mg_h,
)  # fmt: skip
# One stage where its maker says nothing; 90 % limits around 1 % (common practice).
SUPPLY_EFFECT_LOW_FRAC, SUPPLY_EFFECT_MID_FRAC, SUPPLY_EFFECT_HIGH_FRAC = 0.003, 0.01, 0.03
_DRAWS_COUNT, _SEED, _ROWS_COUNT = 200, 20260103, 5
_NINETY = 1.6449
_WORTH_SAYING_FACTOR = 1.1


@dataclass(frozen=True)
class _Course:
    """The last of the bottle over all draws, with the peak of the day at each row."""

    ending: Ending
    peak_mg_l: Array


def bottle_end(job: Job, plan: PlanResult, total_g_day: Estimate, *, today: date | None = None) -> BottleEnd:
    """What the last part of the bottle does to feed and CO2, and the date to swap it before.

    Parameters
    ----------
    job : Job
    plan : PlanResult
        Its plan: feed and gas clock.
    total_g_day : Estimate
        What every tank on the bottle draws together. [g/day]
    today : date or None
        For the dates.

    Returns
    -------
    BottleEnd
        Rows from the knee to 10 bar g; the needle is taken as anything between a nozzle and a fine gap.
    """
    bottle = job.gasline.bottle
    capacity = bottle.water_capacity_l or bottle.charge_g / 1000.0 / ASSUMED_FILL_LASTING_KG_L
    course = _course(job, plan, capacity)
    rows = tuple(_row(course, at, bottle.charge_g, plan.ceiling.soft_mg_l) for at in range(_ROWS_COUNT))
    knee_g = float(course.ending.left_g[0])
    factor = course.ending.flow_factor.mean(axis=0)
    used = knee_g - float(course.ending.left_g[-1])
    draws = used / (total_g_day.value * factor)
    wide = (total_g_day.value / total_g_day.high, total_g_day.value / total_g_day.low)
    last = Estimate(
        float(np.median(draws)),
        "days",
        float(np.median(draws)) * min(wide[0], 1.0) * 0.95,
        float(np.median(draws)) * max(wide[1], 1.0) * 1.05,
    )
    return BottleEnd(
        knee_frac=min(knee_g / bottle.charge_g, 1.0),
        swap_days=plan.swap_days,
        swap_on=None if today is None else today + timedelta(days=int(plan.swap_days.value)),
        swap_on_early=None if today is None else today + timedelta(days=int(plan.swap_days.low)),
        last_part_days=last,
        rows=rows,
        verdict=_verdict(rows, plan),
    )


def _course(job: Job, plan: PlanResult, capacity_l: float) -> _Course:
    feed = plan.feed_mg_h.value
    rng = np.random.default_rng(_SEED)
    scores = even_scores(UNKNOWNS, _DRAWS_COUNT, rng)
    known = surveyed(job)
    scene, walk = scene_of(known, scores, feed_mg_h=feed, share=bubble_side(job, feed), night=None)
    air = float(ambient_bara(job.room.altitude_m))
    behind = np.broadcast_to(np.asarray(walk.counter_bara), (_DRAWS_COUNT,))
    set_barg = job.gasline.regulator.set_pressure_barg
    before = set_barg + air
    # A valve behind which as much stands as before it passes nothing; such draws are taken at its edge.
    behind = np.minimum(behind, 0.98 * before)
    needle = needle_law_from_one_point(
        NeedlePoint(before, behind, feed, job.room.temperature_c),
        rng.permutation(np.linspace(0, 1, _DRAWS_COUNT)),
    )
    warm = (
        job.room.temperature_c
        if job.gasline.bottle.temperature_c is None
        else job.gasline.bottle.temperature_c
    )
    ending = last_of_the_bottle(
        EndingSetup(
            water_capacity_l=capacity_l,
            bottle_c=warm,
            set_barg=set_barg,
            back_barg=behind - air,
            supply_effect_frac=_supply_effect(job, rng),
            needle=needle,
            room_c=job.room.temperature_c,
            ambient_bara=air,
        ),
        _ROWS_COUNT,
    )
    clock = clock_for(scene, gas_on_min=plan.gas_on_min, gas_off_min=plan.gas_off_min, feed_mg_h=feed)
    peaks = [
        day_of(scene, clock, feed * factor, accuracy=ROUGH).co2_mg_l.max(axis=0)
        for factor in ending.flow_factor
    ]
    return _Course(ending, np.stack(peaks))


def _supply_effect(job: Job, rng: np.random.Generator) -> Array:
    """Rise of the whole regulator for each bar of fall, with the doubt of a maker's silence."""
    regulator = job.gasline.regulator
    if regulator.supply_effect_frac is not None:
        one = np.full(_DRAWS_COUNT, regulator.supply_effect_frac)
    else:
        spread = np.log(SUPPLY_EFFECT_HIGH_FRAC / SUPPLY_EFFECT_MID_FRAC) / _NINETY
        one = SUPPLY_EFFECT_MID_FRAC * np.exp(spread * rng.standard_normal(_DRAWS_COUNT))
    effect: Array = np.minimum(one, 0.08) ** regulator.stages
    return effect


def _row(course: _Course, at: int, charge_g: float, ceiling_mg_l: float) -> EndRow:
    ending = course.ending
    peak = course.peak_mg_l[at]
    left = float(ending.left_g[at])
    return EndRow(
        left_frac=left / charge_g,
        left_g=left,
        gauge_barg=float(ending.gauge_barg[at]),
        outlet_barg=Estimate.from_draws(ending.outlet_barg[at], "barg"),
        flow_factor=Estimate.from_draws(ending.flow_factor[at], "factor"),
        co2_peak_mg_l=Estimate.from_draws(peak, "mg_l"),
        p_over_ceiling_frac=float((peak > ceiling_mg_l).mean()),
    )


def _verdict(rows: tuple[EndRow, ...], plan: PlanResult) -> str:
    last, first = rows[-1], rows[0]
    times = number_text(last.flow_factor.value, 2)
    most = number_text(last.flow_factor.high, 2)
    if last.flow_factor.high < _WORTH_SAYING_FACTOR:
        return f"This regulator holds its outlet to the end: the feed rises to {most} times at most."
    peaks = " to ".join(show(row.co2_peak_mg_l.value, "mg_l", digits=2) for row in (first, last))
    said = (
        f"Over the last part of the bottle the feed rises to about {times} times, {most} at the high end, "
        f"and the day's peak from {peaks}. It is a drift over days to weeks, no burst."
    )
    crossed = next((row for row in rows if row.p_over_ceiling_frac > 0.05), None)
    if crossed is None:
        return said + " The animals' ceiling is not reached."
    return (
        f"{said} From about {show(crossed.gauge_barg, 'barg', digits=2)} on the gauge the chance "
        "is over 1 in 20 that the day's peak passes the ceiling of "
        f"{show(plan.ceiling.soft_mg_l, 'mg_l')}: swap at the first fall of the gauge."
    )


def end_findings(end: BottleEnd, job: Job) -> list[Finding]:
    """What to mind about the end of this bottle."""
    last = end.rows[-1]
    crosses = last.p_over_ceiling_frac > 0.05
    found = [
        Finding(
            Level.CARE if crosses else Level.NOTE, end.verdict, "end of bottle", "regulator-force-balance"
        )
    ]
    if end.swap_days.value <= 0.0:
        text = "The gauge falls already, or will at once: this part of the bottle has begun. Swap it now."
        found.append(Finding(Level.CARE, text, "end of bottle"))
    if last.flow_factor.high >= _WORTH_SAYING_FACTOR:
        text = (
            "The model was checked against no bottle. Ways out, the surest first: refill when the gauge "
            "first falls; a higher outlet with a finer needle, twice the absolute pressure behind it; two "
            "stages. Never open the needle further to make up for a falling gauge."
        )
        found.append(Finding(Level.NOTE, text, "end of bottle", "needle-forchheimer"))
    if job.gasline.regulator.supply_effect_frac is None and last.flow_factor.high >= _WORTH_SAYING_FACTOR:
        text = (
            "The supply effect of this regulator is not known, 0.3 to 3 % a stage is usual. Read the "
            "outlet "
            "at a full and at a falling gauge and write it in the job: it narrows these figures most."
        )
        found.append(Finding(Level.NOTE, text, "regulator", "regulator-force-balance"))
    return found
