"""The stage `fit`: the job card of a line, its leak test, its sharing and the end of its bottle."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from fizzwright.catalogue.tubes import TUBES
from fizzwright.engines.gasline.check_valve import pull_barg
from fizzwright.engines.gasline.cooling import evaporation_j_kg, heat_drawn_w
from fizzwright.engines.gasline.gas import ambient_bara
from fizzwright.engines.gasline.line import LineWalk, walk_line
from fizzwright.engines.gasline.line import equations_of as line_equations
from fizzwright.engines.gasline.solenoid import FAILURES, energy_kwh
from fizzwright.engines.gasline.tube import (
    closed_line_bara,
    partial_pressure_bara,
    permeability_barrer,
    siphon_lift_m,
    wall_rate_per_h,
)
from fizzwright.inference.draws import even_scores
from fizzwright.job.model import Job
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, make_trail
from fizzwright.stages.bench.gas_bottle import BOTTLE_WARNING
from fizzwright.stages.bench.gas_leak_words import LEAK_WARNING, LeakVerdict, soap_sentence
from fizzwright.stages.fit_bottle_end import END_EQUATIONS, bottle_end, end_findings
from fizzwright.stages.fit_card import CardFigures, card
from fizzwright.stages.fit_leak import (
    COUNTER_SPACE_ML,
    HIGH_SPACE_ML,
    LIMIT_EQUATIONS,
    leak_limits,
    line_volume_ml,
)
from fizzwright.stages.fit_manifold import TALK_EQUATIONS, branch_talk, talk_findings
from fizzwright.stages.fit_readings import Readings, judged
from fizzwright.stages.fit_result import FitResult
from fizzwright.stages.fit_trail import standing_on
from fizzwright.stages.parts_misfits import NEVER_AT_THE_OUTLET
from fizzwright.stages.plan_inputs import UNKNOWNS, line_setup
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import show

__all__ = ["fit"]

_DRAWS_COUNT, _SEED = 400, 20260105
_NIGHT_H = 14.0
_LONGEST_MIN = 1440.0
_WARMEST_LIQUID_C = 30.0
# Common practice: power of a small solenoid's coil.
_COIL_LOW_W, _COIL_MID_W, _COIL_HIGH_W = 2.0, 5.0, 10.0


@dataclass(frozen=True)
class _Line:
    """The line in steady flow over the draws, the night after, and the equations behind both."""

    walk: LineWalk
    overnight_bara: float
    ran: tuple[Callable[..., Any], ...]


def fit(
    job: Job,
    plan: PlanResult,
    *,
    shared: Sequence[tuple[Job, PlanResult]] = (),
    readings: str | None = None,
    today: date | None = None,
) -> FitResult:
    """The job card: steps with their checks, leak test with its limits, sharing, and the swap date.

    Parameters
    ----------
    job : Job
    plan : PlanResult
        The plan of the job.
    shared : sequence of Job and PlanResult
        The other tanks on the same bottle.
    readings : str or None
        Text of the filled-in form of the leak test.
    today : date or None
        For the swap date.

    Returns
    -------
    FitResult
    """
    line = _line(job, plan)
    walk = line.walk
    limits = leak_limits(job, plan)
    told = None if readings is None else judged(readings, job, limits)
    end = bottle_end(job, plan, _together(plan, shared), today=today)
    talks = branch_talk(job, [(job, plan), *shared]) if shared else ()
    air = float(ambient_bara(job.room.altitude_m))
    startup = _band(np.minimum(np.asarray(walk.startup_min), _LONGEST_MIN), "min")
    run_on = _band(np.minimum(3.0 * np.asarray(walk.run_on_tau_min), _LONGEST_MIN), "min")
    counter = _band(np.asarray(walk.counter_bara) - air, "barg")
    figures = CardFigures(startup, run_on, counter, limits)
    return FitResult(
        name=job.job.name,
        steps=card(job, plan, figures),
        line_volume_ml=line_volume_ml(job),
        set_barg=job.gasline.regulator.set_pressure_barg,
        counter_barg=counter,
        bubbles_per_s=plan.bubbles_per_s,
        startup_min=startup,
        run_on_min=run_on,
        run_on_mg=_band(np.asarray(walk.run_on_mg), "mg"),
        overnight_bara=line.overnight_bara,
        siphon_lift_m=float(siphon_lift_m(line.overnight_bara, air)),
        coil_kwh=_coil_kwh(job, plan),
        bottle_heat_w=_bottle_heat_w(job, plan),
        solenoid=FAILURES,
        leak=limits,
        end=end,
        manifold=talks,
        tests=() if told is None else told.tests,
        trail=standing_on(
            make_trail(
                _ran(line, told, shared=bool(shared)),
                inputs=job.model_dump(mode="json") | {"shared": len(shared), "read": readings},
                assumptions=_assumptions(job),
                findings=_findings(job, line, told, (*end_findings(end, job), *talk_findings(talks))),
            ),
            (plan.trail, *(other.trail for _, other in shared), *(() if told is None else told.trails)),
        ),
    )


def _ran(line: _Line, told: Readings | None, *, shared: bool) -> tuple[Callable[..., Any], ...]:
    return (
        *line.ran,
        *LIMIT_EQUATIONS,
        *END_EQUATIONS,
        *(TALK_EQUATIONS if shared else ()),
        *(() if told is None else told.ran),
        energy_kwh,
        evaporation_j_kg,
        pull_barg,
    )


def _line(job: Job, plan: PlanResult) -> _Line:
    scores = even_scores(UNKNOWNS, _DRAWS_COUNT, np.random.default_rng(_SEED))
    setup = line_setup(job, scores, plan.feed_mg_h.value)
    walk = walk_line(setup)
    tube, row = job.gasline.tube, TUBES[job.gasline.tube.material]
    warm = job.room.temperature_c
    barrers = (
        permeability_barrer(row.co2_barrer, warm, activation_j_mol=row.activation_j_mol),
        row.o2_barrer,
        row.n2_barrer,
    )
    co2, oxygen, nitrogen = (
        wall_rate_per_h(barrer, bore_mm=tube.bore_mm, outer_mm=tube.outer_mm, temperature_c=warm)
        for barrer in barrers
    )
    course = closed_line_bara(
        np.geomspace(0.01, _NIGHT_H, 120),
        float(np.median(walk.counter_bara)),
        rates_per_h=(co2, oxygen, nitrogen),
        ambient_bara=float(ambient_bara(job.room.altitude_m)),
    )
    ran: tuple[Callable[..., Any], ...] = (
        *line_equations(setup), wall_rate_per_h, partial_pressure_bara, permeability_barrer, ambient_bara,
    )  # fmt: skip
    return _Line(walk, float(np.min(course)), ran)


def _band(draws: Any, unit: str) -> Estimate:
    return Estimate.from_draws(np.broadcast_to(np.asarray(draws, dtype=float), (_DRAWS_COUNT,)), unit)


def _together(plan: PlanResult, shared: Sequence[tuple[Job, PlanResult]]) -> Estimate:
    """What every tank on the bottle draws in a day."""
    uses = [plan.gas_g_day, *(other.gas_g_day for _, other in shared)]
    middle = sum(use.value for use in uses)
    down = sum((use.value - use.low) ** 2 for use in uses) ** 0.5
    up = sum((use.high - use.value) ** 2 for use in uses) ** 0.5
    return Estimate(middle, "g_day", max(middle - down, 0.05 * middle), middle + up)


def _hours(plan: PlanResult) -> float:
    return ((plan.gas_off_min - plan.gas_on_min) % 1440) / 60 or 24.0


def _coil_kwh(job: Job, plan: PlanResult) -> Estimate:
    """What the solenoid uses in a year."""
    known = job.parts.solenoid_w
    powers = (_COIL_MID_W, _COIL_LOW_W, _COIL_HIGH_W) if known is None else (known, 0.9 * known, 1.1 * known)
    middle, low, high = (float(energy_kwh(power, _hours(plan))) for power in powers)
    return Estimate(middle, "kwh", low, high, Basis.JUDGEMENT if known is None else Basis.PROPAGATED)


def _bottle_heat_w(job: Job, plan: PlanResult) -> Estimate:
    """The heat the feed draws from the bottle while the gas is open."""
    bottle = job.gasline.bottle
    warm_c = job.room.temperature_c if bottle.temperature_c is None else bottle.temperature_c
    heat = evaporation_j_kg(min(warm_c, _WARMEST_LIQUID_C))
    feed = plan.feed_mg_h
    low, middle, high = (float(heat_drawn_w(flow, heat)) for flow in (feed.low, feed.value, feed.high))
    return Estimate(middle, "w", low, high)


def _findings(job: Job, line: _Line, told: Readings | None, more: Sequence[Finding]) -> list[Finding]:
    found = [*_test_findings(told), *more]
    air = float(ambient_bara(job.room.altitude_m))
    pull = float(pull_barg(0.0, line.overnight_bara, ambient_bara=air))
    if pull > 0.03:
        text = (
            f"Shut overnight, the line falls to about {line.overnight_bara:.2f} bar abs and pulls with "
            f"{show(pull, 'barg', digits=2)} on the check valve, enough to lift water "
            f"{float(siphon_lift_m(line.overnight_bara, air)):.1f} m. A spring check valve near the tank, "
            "the tube once over the water level; water in a regulator or near mains leads is a hazard."
        )
        found.append(Finding(Level.CARE, text, "check valve", "gasline-shut-line"))
    if bool(np.any(line.walk.starved)):
        text = "In some cases the tube's wall takes the whole feed and no bubble comes: take a tighter tube."
        found.append(Finding(Level.CARE, text, "tube"))
    text = (
        "The solenoid's coil runs 30 to 60 K over the room and warms a needle fixed to it: set and count "
        "with the coil warm. A power cut shuts the gas; a grain in the seat does not, so look for "
        "bubbles at "
        "night."
    )
    found.append(Finding(Level.NOTE, text, "solenoid valve"))
    text = (
        "The feed draws milliwatts from the bottle: frost on valve or regulator never comes from it, "
        "but from a "
        "purge or from liquid in the regulator. Shut the bottle, stand it upright, let it warm by "
        "itself; mind "
        "cold burns."
    )
    found.append(Finding(Level.NOTE, text, "cold", "span-wagner-1996"))
    found += [
        Finding(Level.NOTE, soap_sentence(), "test liquid"),
        Finding(Level.CARE, LEAK_WARNING, "leak"),
        Finding(Level.NOTE, NEVER_AT_THE_OUTLET, "bottle outlet"),
        Finding(Level.NOTE, BOTTLE_WARNING, "bottle"),
    ]
    return found


def _test_findings(told: Readings | None) -> list[Finding]:
    """The verdicts of the form; a failed test stops the job."""
    if told is None:
        return []
    levels = {
        LeakVerdict.FAILS.value: Level.STOP,
        LeakVerdict.WAIT.value: Level.CARE,
        LeakVerdict.PASSES.value: Level.NOTE,
    }
    return [
        Finding(levels[test.verdict], f"{test.test.capitalize()}: {test.verdict}. {test.said}.", test.test)
        for test in told.tests
    ]


def _assumptions(job: Job) -> list[Assumption]:
    told = [
        Assumption("gas space of the counter", f"{COUNTER_SPACE_ML:g} mL"),
        Assumption("gas space from bottle valve to regulator seat", f"{HIGH_SPACE_ML:g} mL"),
        Assumption("needle", "anything between a nozzle and a fine gap"),
        Assumption(
            "share of the gas that dissolves", "as at the planned feed, also at the end of the bottle"
        ),
    ]
    if job.gasline.regulator.supply_effect_frac is None:
        told.append(Assumption("outlet rise for each bar the bottle falls", "1 % a stage, 0.3 to 3 %"))
    if job.parts.solenoid_w is None:
        told.append(Assumption("power of the solenoid", "5 W, 2 to 10"))
    return told
