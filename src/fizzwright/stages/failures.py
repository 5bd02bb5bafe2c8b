"""The stage `failures`: what the planned tank does, hour by hour, when something goes wrong.

Every fault runs on draws of the plan itself, from the day the plan would repeat; each course says how long
it takes to the animals' ceiling, what the keeper would see and what to do first.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.limits import O2_FLOOR_MG_L, O2_STOP_MG_L
from fizzwright.catalogue.room_air import EIGHT_HOUR_PPM, ROOM_WARNING, verdict_of
from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.engines.bubbles.population import dissolved_share, share_equations
from fizzwright.engines.day.balance import free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.engines.day.integrate import State
from fizzwright.engines.day.spells import Course, run_spells
from fizzwright.engines.day.warmth import WARMTH_EQUATIONS
from fizzwright.engines.gasline.regulator import laminar_multiplier_factor, outlet_barg
from fizzwright.engines.gasline.room import OUTDOOR_PPM, clearing_h, displaced_ppm, whole_release_rise_ppm
from fizzwright.engines.living.ceilings import combined_risk_number, reduction_factor
from fizzwright.engines.living.plants import (
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
)
from fizzwright.inference.night import NIGHT_EQUATIONS
from fizzwright.job.model import Condition, DiffuserKind, Job
from fizzwright.result import Assumption, Estimate, Finding, Level, make_trail
from fizzwright.stages.failure_cases import (
    HEAT_K,
    Fault,
    Ground,
    faults,
    hottest_c,
    still_ratio,
)
from fizzwright.stages.failure_words import FAULT_WORDS
from fizzwright.stages.failures_result import FailureCourse, FailuresResult, RoomRelease
from fizzwright.stages.plan_choice import DRAWS_COUNT, Decided, decide
from fizzwright.stages.plan_inputs import equations_of as inputs_run
from fizzwright.stages.plan_inputs import line_setup, rise_path
from fizzwright.stages.plan_night import NightLog
from fizzwright.stages.plan_scene import Scene, fed, lit_level_mg_l, take
from fizzwright.stages.plan_words import assumptions_of
from fizzwright.stages.skin import skin_draws_frac

__all__ = ["failures", "failures_of"]

Array = NDArray[np.float64]
STEP_MIN = 15.0
COURSE_DRAWS_COUNT = 250
# The pressure at which a regulator can no longer hold its outlet: a few bar over it.
LAST_OVER_SET_BAR = 3.0
COARSE = (DiffuserKind.OPEN_TUBE, Condition.USED)


def failures(job: Job, *, night: NightLog | None = None, draws_count: int = DRAWS_COUNT) -> FailuresResult:
    """What a tank with its plan does when something fails.

    Parameters
    ----------
    job : Job
    night : NightLog or None
        pH readings of a gas-off night.
    draws_count : int
        Draws the plan is made with; a few even ones of them run the faults.

    Raises
    ------
    UnsafePlan
        As the plan does.
    """
    return failures_of(decide(job, night=night, draws_count=draws_count))


def failures_of(decided: Decided) -> FailuresResult:
    """The same for a plan already decided."""
    chosen, known = decided.chosen, decided.known
    count = min(COURSE_DRAWS_COUNT, chosen.scene.draws_count)
    which = np.linspace(0, chosen.scene.draws_count - 1, count).astype(int)
    scene = take(chosen.scene, which)
    run = chosen.run
    usual = replace(
        run,
        co2_mg_l=run.co2_mg_l[:, which],
        o2_mg_l=run.o2_mg_l[:, which],
        alk_meq_l=run.alk_meq_l[:, which],
    )
    ground = _ground(decided, scene, lit_mg_l=lit_level_mg_l(scene, usual), which=which)
    ceiling = known.ceiling.ceiling
    courses = []
    for fault in faults(ground):
        factor = _heat_factor(known.job, fault, hottest_c(known))
        course = _run(fault, usual)
        courses.append(
            _told(fault, course, usual, limits=(ceiling.soft_mg_l * factor, ceiling.hard_mg_l * factor))
        )
    return FailuresResult(
        name=known.job.job.name,
        ceiling_mg_l=ceiling.soft_mg_l,
        hard_mg_l=ceiling.hard_mg_l,
        set_by=ceiling.set_by,
        p_usual_ceiling_frac=float((usual.co2_mg_l.max(axis=0) > ceiling.soft_mg_l).mean()),
        p_usual_hard_frac=float((usual.co2_mg_l.max(axis=0) > ceiling.hard_mg_l).mean()),
        courses=tuple(courses),
        room=_room(known.job),
        draws_count=count,
        trail=make_trail(
            _equations(decided),
            inputs=known.job.model_dump(mode="json") | {"draws": count, "failures": True},
            assumptions=(*assumptions_of(known), *_assumptions(known.job)),
            findings=_findings(tuple(courses)),
        ),
    )


def _ground(decided: Decided, scene: Scene, *, lit_mg_l: Array, which: NDArray[np.intp]) -> Ground:
    known, chosen, scores = decided.known, decided.chosen, decided.scores
    job, feed = known.job, chosen.choice.feed_mg_h
    coarse = dissolved_share(rise_path(job, feed), diffuser_spread(*COARSE)).at(
        scores.of("bubble size")[which], skin_draws_frac(job.gasline.diffuser, scores)[which]
    )
    setup = line_setup(job, scores, feed)
    full = np.asarray(chosen.walk.stations[0].pressure_barg)
    effect = float(np.asarray(setup.supply_effect_frac)) ** setup.stages_count
    set_barg = np.asarray(setup.set_barg)
    raised = outlet_barg(
        set_barg,
        np.minimum(set_barg + LAST_OVER_SET_BAR, full),
        set_inlet_barg=full,
        supply_effect_frac=effect,
    )
    counter = np.broadcast_to(chosen.walk.counter_bara, (chosen.scene.draws_count,))[which]
    # The counter's gauge and absolute pressure differ by the room's air.
    air = chosen.walk.counter_bara - np.asarray(chosen.walk.stations[4].pressure_barg)
    air_bara = float(np.ravel(air)[0])
    more = laminar_multiplier_factor(set_barg + air_bara, raised + air_bara, back_bara=counter)
    job_room, rise = job.room, _rise_ppm(job)

    def room_factor(since_min: Array) -> Array:
        aired = np.exp(-job_room.air_changes_per_h * np.maximum(since_min, 0.0) / 60.0)
        factor: Array = 1.0 + rise / known.air.room_co2_ppm * aired
        return factor

    return Ground(
        known=known,
        tank=fed(scene, feed),
        clock=chosen.choice.clock,
        coarse_frac=np.asarray(coarse),
        end_rise_factor=np.maximum(np.asarray(more), 1.0),
        lit_mg_l=lit_mg_l,
        room_factor=room_factor,
    )


def _run(fault: Fault, usual: Any) -> Course:
    at = int(np.argmin(np.abs(usual.nodes_min - fault.begins_min)))
    start = State(usual.co2_mg_l[at], usual.o2_mg_l[at], usual.alk_meq_l[at])
    return run_spells(start, fault.spells, from_min=fault.begins_min, step_min=STEP_MIN)


def _heat_factor(job: Job, fault: Fault, water_c: float) -> float:
    """Heat lowers the ceilings of the course in which it comes, where they were not lowered already."""
    if fault.name != "heat wave" or not job.animals or float(reduction_factor(job.water.temperature_c)) < 1:
        return 1.0
    return float(reduction_factor(water_c))


def _told(fault: Fault, course: Course, usual: Any, *, limits: tuple[float, float]) -> FailureCourse:
    (soft, hard), words = limits, FAULT_WORDS[fault.name]
    hours = (course.at_min - fault.begins_min) / 60.0
    co2, o2 = (np.quantile(values, [0.05, 0.5, 0.95], axis=1) for values in (course.co2_mg_l, course.o2_mg_l))
    middle = np.median(usual.co2_mg_l, axis=1)
    to_soft, p_soft = _first_over(hours, course.co2_mg_l, soft)
    to_hard, p_hard = _first_over(hours, course.co2_mg_l, hard)
    least = course.o2_mg_l.min(axis=0)
    return FailureCourse(
        name=fault.name,
        happens=words.happens,
        begins_min=round(fault.begins_min) % 1440,
        hours_h=hours,
        co2_low_mg_l=co2[0], co2_mg_l=co2[1], co2_high_mg_l=co2[2],
        usual_co2_mg_l=np.interp(course.at_min % DAY_MIN, usual.nodes_min, middle),
        o2_low_mg_l=o2[0], o2_mg_l=o2[1], o2_high_mg_l=o2[2],
        ceiling_mg_l=soft,
        co2_peak_mg_l=Estimate.from_draws(course.co2_mg_l.max(axis=0), "mg_l"),
        co2_least_mg_l=Estimate.from_draws(course.co2_mg_l.min(axis=0), "mg_l"),
        o2_least_mg_l=Estimate.from_draws(least, "mg_l"),
        risk_peak_number=Estimate.from_draws(
            np.asarray(combined_risk_number(course.co2_mg_l, soft, course.o2_mg_l)).max(axis=0), "number"
        ),
        to_ceiling_h=to_soft, p_ceiling_frac=p_soft, to_hard_h=to_hard, p_hard_frac=p_hard,
        level=_level(p_soft, p_hard, float(np.median(least))),
        sees=words.sees, first=words.first,
    )  # fmt: skip


def _first_over(hours: Array, co2_mg_l: Array, limit_mg_l: float) -> tuple[Estimate | None, float]:
    """When each draw that passes a level first does, and the share of draws that do."""
    over = co2_mg_l > limit_mg_l
    passes = over.any(axis=0)
    if not passes.any():
        return None, 0.0
    return Estimate.from_draws(hours[np.argmax(over, axis=0)[passes]], "h"), float(passes.mean())


def _level(p_soft: float, p_hard: float, o2_mg_l: float) -> Level:
    if p_hard > 0.05 or o2_mg_l < O2_STOP_MG_L:
        return Level.STOP
    return Level.CARE if p_soft > 0.10 or o2_mg_l < O2_FLOOR_MG_L else Level.NOTE


def _release_g(job: Job) -> float:
    bottle = job.gasline.bottle
    return bottle.charge_g if bottle.remaining_g is None else bottle.remaining_g


def _rise_ppm(job: Job) -> float:
    room = job.room
    simple = whole_release_rise_ppm(_release_g(job), room.volume_m3, temperature_c=room.temperature_c)
    return float(np.asarray(displaced_ppm(simple)))


def _room(job: Job) -> RoomRelease:
    room, rise = job.room, _rise_ppm(job)
    before = OUTDOOR_PPM if room.co2_ppm is None else room.co2_ppm
    hours = np.linspace(0.0, 24.0, 97)
    over = clearing_h(
        max(before + rise, EIGHT_HOUR_PPM),
        EIGHT_HOUR_PPM,
        air_changes_per_h=room.air_changes_per_h,
        background_ppm=before,
    )
    return RoomRelease(
        release_g=_release_g(job),
        hours_h=hours,
        room_ppm=before + rise * np.exp(-room.air_changes_per_h * hours),
        peak_ppm=before + rise,
        over_8_hour_h=max(float(np.asarray(over)), 0.0),
        verdict=str(verdict_of(before + rise)),
        sees="A roar or hiss, cold mist near the floor, headache, fast breath, a room meter over 5000 ppm.",
        first=ROOM_WARNING,
    )


def _assumptions(job: Job) -> tuple[Assumption, ...]:
    return (
        Assumption(
            "loss rate of the surface when nothing moves it, against the usual",
            f"{100 * still_ratio(job.surface.looks):.0f} %",
            source="tank-surface-priors",
        ),
        Assumption("heat wave: the room over its usual temperature", f"{HEAT_K:.0f} °C", source="judgement"),
        Assumption(
            "needle valve passes gas as the difference of squared pressures", "laminar", source="judgement"
        ),
    )


def _findings(courses: tuple[FailureCourse, ...]) -> tuple[Finding, ...]:
    found = [
        Finding(c.level, f"{c.name[0].upper()}{c.name[1:]}: {c.happens}. {c.first}", c.name)
        for c in courses
        if c.level is not Level.NOTE
    ]
    found.sort(key=lambda f: f.level is not Level.STOP)
    found.append(
        Finding(
            Level.NOTE,
            "Courses treat the water as mixed; corners can be worse. Advisory only: the animals have the "
            "last word.",
            "courses",
        )
    )
    return tuple(found)


def _equations(decided: Decided) -> tuple[Callable[..., Any], ...]:
    known, feed = decided.known, decided.chosen.choice.feed_mg_h
    planted = (gross_uptake_mg_m2_h, oxygen_for_carbon_mg_m2_h, respiration_mg_m2_h)
    return (
        *inputs_run(known, decided.scores, feed),
        *(planted if known.job.plants else ()),
        *(NIGHT_EQUATIONS if decided.night is not None else ()),
        *((reduction_factor,) if known.job.animals else ()),
        *share_equations(rise_path(known.job, feed), diffuser_spread(*COARSE)),
        *WARMTH_EQUATIONS,
        free_co2_mg_l,
        total_carbon_mg_l,
        combined_risk_number,
        outlet_barg,
        laminar_multiplier_factor,
        whole_release_rise_ppm,
        displaced_ppm,
        clearing_h,
    )
