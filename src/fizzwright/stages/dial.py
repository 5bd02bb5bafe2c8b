"""The stage `dial`: the tank as its readings teach it, and the next step towards the target.

Route: the plan's draws give the prior, the readings a posterior, the posterior a fan of feeds with their
days, and the limits pick the step. The same readings always give the same answer, so a dial-in can be
gone through again from its file.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import day_ph, free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.engines.day.rates import uptake_mg_h
from fizzwright.engines.living.plants import (
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
)
from fizzwright.engines.water.colour import (
    colour_matching_factor,
    daylight_factor,
    hue_deg,
    tristimulus_factor,
)
from fizzwright.engines.water.indicator import bromothymol_absorbance_log10, dye_base_frac
from fizzwright.errors import Fault, InputError
from fizzwright.inference.course import GasSpell
from fizzwright.inference.evidence import Evidence, ReadingErrors
from fizzwright.inference.tank import TankPosterior, learn_tank
from fizzwright.inference.tank_prior import TankPrior
from fizzwright.inference.tank_run import Days, Past, tank_run
from fizzwright.job.model import Job
from fizzwright.result import Basis, Estimate, make_trail
from fizzwright.stages.dial_past import GasClock, Told, evidence_of, gas_clock_of, past_of
from fizzwright.stages.dial_prior import prior_of
from fizzwright.stages.dial_result import Ahead, DialResult, Step
from fizzwright.stages.dial_step import Asked, next_step
from fizzwright.stages.dial_words import assumptions_of, findings_of, learnt_of, step_words, verdict_of
from fizzwright.stages.plan_choice import Decided, decide
from fizzwright.stages.plan_inputs import equations_of as inputs_run
from fizzwright.stages.plan_scene import Scene
from fizzwright.stages.plan_words import assumptions_of as plan_assumptions

__all__ = ["DRAWS_COUNT", "Tank", "dial", "equations_of", "learn", "plan_equations_of", "scene_after"]

Array = NDArray[np.float64]
DRAWS_COUNT = 600
PRIOR_DRAWS_COUNT = 200
AHEAD_H = 24.0
LONGEST_LOG_H = 24.0 * 5
FEWEST_LIT_READINGS = 4
SEED = 20260202
DYE_EQUATIONS: tuple[Callable[..., Any], ...] = (
    dye_base_frac, bromothymol_absorbance_log10, colour_matching_factor, daylight_factor, tristimulus_factor,
    hue_deg,
)  # fmt: skip


@dataclass(frozen=True)
class Tank:
    """A tank with its plan, what was done, and what its readings taught; the ground for dial and watch."""

    decided: Decided
    prior: TankPrior
    told: Told
    clock: GasClock
    past: Past
    evidence: Evidence
    posterior: TankPosterior


def learn(
    job: Job, told: Told, *, draws_count: int = DRAWS_COUNT, errors: ReadingErrors | None = None
) -> Tank:
    """What readings teach of a tank, starting from its survey and plan.

    Parameters
    ----------
    job : Job
    told : Told
        At most the last five days are used; older ones tell little of today.
    draws_count : int
        Draws of the posterior.
    errors : ReadingErrors or None
        How the instruments err.

    Raises
    ------
    InputError
        Where no reading bears on the water.
    UnsafePlan
        Where no feed keeps the animals' limits even at the middle of the survey.
    """
    told = _latest(told)
    evidence = evidence_of(job, told, errors)
    if evidence.ph is None and evidence.checker is None:
        step = "Log pH, or note the hue of a drop checker"
        raise InputError([Fault("readings", "", "no pH and no checker reading among them", step)])
    decided = decide(job, draws_count=PRIOR_DRAWS_COUNT)
    prior = prior_of(decided)
    choice, scene = decided.chosen.choice, decided.chosen.scene
    clock = gas_clock_of(job, GasClock(choice.clock.gas_on_min, choice.clock.gas_off_min, choice.feed_mg_h))
    past = past_of(job, told, clock, bubble_mg=prior.bubble_mg, line_gas_mg=scene.line_gas_mg)
    clock = replace(clock, feed_mg_h=_present_feed_mg_h(past, clock))
    posterior = learn_tank(prior, past, evidence, draws_count=draws_count)
    return Tank(decided, prior, told, clock, past, evidence, posterior)


def _latest(told: Told) -> Told:
    """The last five days of the readings, their clock moved along."""
    first = told.end_h - LONGEST_LOG_H
    if first <= 0:
        return told
    keep = told.hours_h >= first
    moved = dt.datetime.fromisoformat(told.start_day) + dt.timedelta(hours=first, minutes=told.start_min)
    return Told(
        told.hours_h[keep] - first,
        {name: values[keep] for name, values in told.columns.items()},
        tuple(replace(d, hour_h=d.hour_h - first) for d in told.doings if d.hour_h >= first),
        (told.start_min + 60.0 * first) % DAY_MIN,
        moved.date().isoformat(),
    )


def _present_feed_mg_h(past: Past, clock: GasClock) -> float:
    """The feed set last."""
    return past.spells[-1].feed_mg_h if past.spells else clock.feed_mg_h


def scene_after(tank: Tank) -> Scene:
    """The plan's scene with the posterior's draws in place of the survey's."""
    draws, before = tank.posterior.draws, tank.decided.chosen.scene
    return replace(
        before,
        tank=draws.tank,
        alk_meq_l=draws.alk_meq_l,
        flow_factor=draws.flow_factor,
        wall_loss_mg_h=np.full(draws.draws_count, tank.prior.wall_loss_mg_h),
        air_on_min=0.0,
        air_off_min=0.0,
    )


def dial(job: Job, told: Told, *, draws_count: int = DRAWS_COUNT) -> DialResult:
    """Where the tank stands after its readings so far, and the next step.

    Parameters
    ----------
    job : Job
        The surveyed tank.
    told : Told
        Readings and what was done, up to now.
    draws_count : int
        How many draws carry the spread.

    Returns
    -------
    DialResult
    """
    tank = learn(job, told, draws_count=draws_count)
    scene, rng = scene_after(tank), np.random.default_rng(SEED)
    wander = 10.0 ** (tank.evidence.errors.wander_ph * rng.standard_normal(scene.draws_count))
    now_min = (tank.told.start_min + 60.0 * tank.told.end_h) % DAY_MIN
    asked = Asked(
        scene, tank.decided.limits, tank.clock, bool(job.animals), wander, now_min, _days_seen(tank),
        tank.prior.bubble_mg,
    )  # fmt: skip
    step = next_step(asked)
    ahead, peak = _ahead(tank, step, wander)
    return _answer(tank, scene, step, (ahead, peak))


def _days_seen(tank: Tank) -> int:
    """How many lit periods hold enough pH readings to judge the feed by."""
    if tank.evidence.ph is None:
        return 0
    hours = tank.evidence.ph.hours_h
    minutes = tank.told.start_min + 60.0 * hours
    since = tank.past.lamp.since_on_min(60.0 * hours)
    lit = since < (tank.past.lamp.light_off_min - tank.past.lamp.light_on_min) % DAY_MIN
    days = np.floor((minutes - tank.past.lamp.light_on_min) / DAY_MIN)[lit].astype(int)
    return int(sum(count >= FEWEST_LIT_READINGS for count in np.unique(days, return_counts=True)[1]))


def _ahead(tank: Tank, step: Step, wander: Array) -> tuple[Ahead, Array]:
    """The next 24 h with the step taken, and every draw's peak in them."""
    start, end = tank.told.end_h, tank.told.end_h + AHEAD_H
    first_on = ((tank.clock.on_min - tank.told.start_min) % DAY_MIN) / 60.0 - 24.0
    length = tank.clock.open_min / 60.0
    spells = []
    for day in range(int(end // 24) + 3):
        on, off = first_on + 24.0 * day, first_on + 24.0 * day + length
        if off <= start or on >= end:
            continue
        running = on < start
        feed = tank.clock.feed_mg_h if running and step.kind != "lower now" else step.feed_mg_h
        lag = 0.0 if running else 60.0 * tank.decided.chosen.scene.line_gas_mg / max(feed, 1e-6)
        spells.append(GasSpell(max(on, start), off, feed, lag))
    past = Past(tank.past.lamp, tuple(spells), (), (start, end))
    run = tank_run(tank.posterior.draws, tank.prior, past, start_mg_l=tank.posterior.end_mg_l)
    drifting = _drift(run, start, tank, wander)
    low, middle, high = np.quantile(run.co2_mg_l * drifting, [0.05, 0.5, 0.95], axis=1)
    hours = run.hours_h - start
    now_min = (tank.told.start_min + 60.0 * start) % DAY_MIN
    ahead = Ahead(hours, now_min + 60.0 * hours, low, middle, high)
    return ahead, (run.co2_mg_l * drifting).max(axis=0)


def _drift(run: Days, start_h: float, tank: Tank, wander: Array) -> Array:
    """The departure from the model growing from none at the reading to its full size, (times, draws)."""
    fresh = np.sqrt(1.0 - np.exp(-2.0 * (run.hours_h - start_h) / tank.evidence.errors.wander_h))
    factor: Array = wander[None, :] ** fresh[:, None]
    return factor


def _fitted(draws: Array | float, unit: str) -> Estimate:
    return Estimate.from_draws(np.asarray(draws, dtype=float), unit, Basis.FITTED)


def _answer(tank: Tank, scene: Scene, step: Step, coming: tuple[Ahead, Array]) -> DialResult:
    """Everything the dial-in says."""
    draws, posterior, known = tank.posterior.draws, tank.posterior, tank.decided.known
    now = _fitted(posterior.end_mg_l, "mg_l")
    lit_now = _lit_level(tank, scene)
    target = (scene.target_low_mg_l, scene.target_high_mg_l)
    share = np.asarray(draws.tank.dissolved_frac)
    reaching = np.maximum(tank.clock.feed_mg_h * draws.flow_factor - tank.prior.wall_loss_mg_h, 0.0) * share
    uptake = np.asarray(uptake_mg_h(np.full(draws.draws_count, sum(target) / 2), draws.tank, 1.0))
    before = _before(tank)
    last = dt.datetime.fromisoformat(tank.told.start_day) + dt.timedelta(
        hours=tank.told.end_h, minutes=tank.told.start_min
    )
    findings = findings_of(tank.decided, posterior, step, tank.told, now)
    return DialResult(
        name=known.job.job.name,
        last_reading=last.isoformat(sep=" ", timespec="minutes"),
        verdict=verdict_of(now, _fitted(lit_now, "mg_l"), target, tank.decided.limits.ceiling_mg_l),
        next_step=step_words(step, tank.clock),
        co2_now_mg_l=now,
        loss_per_h=_fitted(draws.tank.loss_per_h, "per_h"),
        dissolved_frac=_fitted(share, "frac"),
        uptake_mg_h=_fitted(uptake + np.zeros(draws.draws_count), "mg_h"),
        breathing_mg_h=_fitted(draws.tank.breathing_mg_h, "mg_h"),
        gas_reaching_mg_h=_fitted(reaching, "mg_h"),
        mg_per_bubble_mg=_fitted(tank.prior.bubble_mg * draws.flow_factor, "mg"),
        carbonate_kh_dkh=_fitted(draws.alk_meq_l / tank.prior.meq_l_per_dkh_ratio, "dkh"),
        probe_offset_ph=_fitted(draws.offset_ph, "ph"),
        lit_level_mg_l=_fitted(lit_now, "mg_l"),
        tomorrow_peak_mg_l=_fitted(coming[1], "mg_l"),
        target_low_mg_l=target[0],
        target_high_mg_l=target[1],
        ceiling=known.ceiling.ceiling,
        step=step,
        done=step.kind == "done",
        ahead=coming[0],
        learnt=learnt_of(posterior),
        readings_count=posterior.readings_count,
        aside_count=posterior.aside_count,
        days_seen_count=_days_seen(tank),
        prior_co2_mg_l=before,
        trail=make_trail(
            equations_of(tank),
            inputs=known.job.model_dump(mode="json")
            | {"readings": posterior.readings_count, "draws": draws.draws_count},
            assumptions=assumptions_of(plan_assumptions(known)),
            findings=findings,
        ),
    )  # fmt: skip


def _lit_level(tank: Tank, scene: Scene) -> Array:
    """The mean level while lit if the present feed went on, every draw."""
    from fizzwright.stages.plan_scene import ROUGH, clock_for, day_of, lit_level_mg_l

    feed = tank.clock.feed_mg_h
    clock = clock_for(scene, gas_on_min=tank.clock.on_min, gas_off_min=tank.clock.off_min, feed_mg_h=feed)
    return lit_level_mg_l(scene, day_of(scene, clock, feed, accuracy=ROUGH))


def _before(tank: Tank) -> Estimate:
    """What would have been believed of CO2 now without a single reading."""
    nothing = replace(tank.evidence, ph=None, kit=None, checker=None, mass=None)
    blank = learn_tank(tank.prior, tank.past, nothing, draws_count=200)
    return Estimate.from_draws(blank.days.co2_mg_l[-1], "mg_l")


def plan_equations_of(decided: Decided) -> tuple[Callable[..., Any], ...]:
    """The equations that deciding on a plan runs, for the trail of what builds on it."""
    known = decided.known
    planted = (gross_uptake_mg_m2_h, oxygen_for_carbon_mg_m2_h, respiration_mg_m2_h)
    return (
        *inputs_run(known, decided.scores, decided.chosen.choice.feed_mg_h),
        *(planted if known.job.plants else ()),
        free_co2_mg_l,
        total_carbon_mg_l,
    )


def equations_of(tank: Tank) -> tuple[Callable[..., Any], ...]:
    """The equations a dial-in runs, for its trail."""
    read = tank.evidence.ph is not None or tank.evidence.checker is not None
    dye = DYE_EQUATIONS if tank.evidence.checker is not None else ()
    return (*plan_equations_of(tank.decided), *((day_ph,) if read else ()), *dye)
