"""Tanks that share a regulator: what each gets, and what happens to it when the others shut."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.gasline.gas import ambient_bara
from fizzwright.engines.gasline.manifold import Branch, Manifold, cross_talk_factors, outlet_at_flow_barg
from fizzwright.engines.gasline.needle_fit import NeedlePoint, blend_flow_mg_h, needle_law_from_one_point
from fizzwright.engines.gasline.regulator_rest import LOCK_UP_HIGH_BARG, LOCK_UP_LOW_BARG
from fizzwright.job.model import Job
from fizzwright.result import Estimate, Finding, Level
from fizzwright.stages.fit_result import BranchTalk
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import number_text, show

__all__ = ["TALK_EQUATIONS", "branch_talk", "talk_findings"]

TALK_EQUATIONS: tuple[Callable[..., Any], ...] = (
    ambient_bara, needle_law_from_one_point, blend_flow_mg_h, outlet_at_flow_barg,
)  # fmt: skip
Array = NDArray[np.float64]
_DRAWS_COUNT, _SEED = 200, 20260104
_NINETY = 1.6449


def branch_talk(job: Job, tanks: Sequence[tuple[Job, PlanResult]]) -> tuple[BranchTalk, ...]:
    """What each tank on this job's regulator gets with the others shut; none where it is alone.

    Parameters
    ----------
    job : Job
        Whose regulator feeds them.
    tanks : sequence of Job and PlanResult
        Every tank on it, this one among them.

    Returns
    -------
    tuple of BranchTalk
        The needles are taken as anything between a nozzle and a fine gap.
    """
    if len(tanks) < 2:
        return ()
    rng = np.random.default_rng(_SEED)
    air = float(ambient_bara(job.room.altitude_m))
    set_barg = job.gasline.regulator.set_pressure_barg
    branches = tuple(_branch(tank, plan, rng, before_bara=set_barg + air) for tank, plan in tanks)
    manifold = Manifold(
        branches=branches,
        set_barg=set_barg,
        design_mg_h=sum(plan.feed_mg_h.value for _, plan in tanks),
        lock_up_barg=rng.uniform(LOCK_UP_LOW_BARG, LOCK_UP_HIGH_BARG, _DRAWS_COUNT),
        ambient_bara=air,
        room_c=job.room.temperature_c,
    )
    names = [branch.name for branch in branches]
    talks = []
    for (_, plan), name in zip(tanks, names, strict=True):
        factors = cross_talk_factors(manifold, [other for other in names if other != name])
        talks.append(BranchTalk(name, plan.feed_mg_h, Estimate.from_draws(factors[name], "factor")))
    return tuple(talks)


def _branch(tank: Job, plan: PlanResult, rng: np.random.Generator, *, before_bara: float) -> Branch:
    """One tank's branch, its needle set so that it passes the plan's feed."""
    air = float(ambient_bara(tank.room.altitude_m))
    behind = _behind_barg(plan, rng)
    behind = np.minimum(behind, 0.98 * before_bara - air)
    law = needle_law_from_one_point(
        NeedlePoint(before_bara, behind + air, plan.feed_mg_h.value, tank.room.temperature_c),
        rng.permutation(np.linspace(0.0, 1.0, _DRAWS_COUNT)),
    )
    return Branch(tank.job.name, law, behind)


def _behind_barg(plan: PlanResult, rng: np.random.Generator) -> Array:
    """What stands behind the needle, from the plan's station at the counter."""
    told = next(station.pressure_barg for station in plan.stations if station.name == "counter")
    assert told is not None
    spread = np.log(max(told.high, 1e-3) / max(told.low, 1e-3)) / (2.0 * _NINETY)
    behind: Array = told.value * np.exp(spread * rng.standard_normal(_DRAWS_COUNT))
    return behind


def talk_findings(talks: tuple[BranchTalk, ...]) -> list[Finding]:
    """What sharing a regulator asks for."""
    if not talks:
        return []
    worst = max(talks, key=lambda talk: talk.others_shut_factor.high)
    total = sum(talk.feed_mg_h.value for talk in talks)
    text = (
        f"{len(talks)} tanks take {show(total, 'mg_h')} together. When the others shut, {worst.name} gets "
        f"{number_text(worst.others_shut_factor.value, 3)} times its feed, "
        f"{number_text(worst.others_shut_factor.high, 3)} at the high end. Shut them at the same time, or "
        "count each with only its own branch open; a higher outlet with finer needles makes it less."
    )
    level = Level.CARE if worst.others_shut_factor.high > 1.15 else Level.NOTE
    return [Finding(level, text, "manifold", "manifold-node")]
