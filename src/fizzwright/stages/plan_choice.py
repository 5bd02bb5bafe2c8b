"""Deciding on feed and gas clock: from a surveyed job to a choice, with the day of every draw.

The choice is an optimisation under sampled doubt. Unknown: when the valve opens and shuts, and the feed.
Wanted: as much of the lit time as can be, over all draws, with CO2 in the target band; an hour of lead must
earn its price in that. Kept: over the animals' starting ceiling in at most 5 draws of 100, over the fastest
rise in at most 5, and half of the draws under the hard stop with the valve stuck open for a day. Refused
where even the middle of all inputs breaks a limit, or the night's oxygen falls under its floor.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.limits import MAX_RISE_MG_L_H, O2_FLOOR_MG_L
from fizzwright.engines.bubbles.population import DissolvedShare
from fizzwright.engines.day.integrate import DayRun
from fizzwright.engines.gasline.line import LineWalk
from fizzwright.engines.living.ceilings import O2_WANTED_MG_L
from fizzwright.errors import UnsafePlan
from fizzwright.inference.draws import Scores, even_scores
from fizzwright.job.model import Job
from fizzwright.result import Estimate
from fizzwright.stages.ceiling import ceiling_for
from fizzwright.stages.plan_inputs import (
    UNKNOWNS,
    LossKnown,
    Surveyed,
    bubble_side,
    first_feed_mg_h,
    scene_of,
    surveyed,
)
from fizzwright.stages.plan_night import NightLog, fit_of
from fizzwright.stages.plan_parts import GasDay, gas_day
from fizzwright.stages.plan_result import NightFit
from fizzwright.stages.plan_scene import FINE, ROUGH, Scene, clock_for, day_of
from fizzwright.stages.plan_search import (
    OVER_CEILING_ALLOWED_FRAC,
    SEARCH_DRAWS_COUNT,
    Choice,
    Limits,
    choose,
    middle_reasons,
    settle,
)

__all__ = ["DRAWS_COUNT", "Chosen", "Decided", "decide", "gas_use_g_day", "middle_scores"]

Array = NDArray[np.float64]
DRAWS_COUNT = 600
SEED = 20260101


@dataclass(frozen=True)
class Chosen:
    """A chosen plan with its draws: scene, line, choice, the repeating day, its gas."""

    scene: Scene
    walk: LineWalk
    choice: Choice
    share: DissolvedShare
    run: DayRun
    gas: GasDay


@dataclass(frozen=True)
class _Around:
    """A feed to work around and what the bubbles do there; the bubbles are worked out once for both uses."""

    feed_mg_h: float
    share: DissolvedShare

    @classmethod
    def feed(cls, known: Surveyed, feed_mg_h: float) -> _Around:
        return cls(feed_mg_h, bubble_side(known.job, feed_mg_h))


@dataclass(frozen=True)
class Decided:
    """A tank with its plan decided: what was surveyed, the draws, the limits, the choice and its days.

    `middle` is the same choice in the one draw with every input at its middle.
    """

    known: Surveyed
    scores: Scores
    limits: Limits
    chosen: Chosen
    middle: Chosen
    night: NightFit | None
    learnt: LossKnown | None


def middle_scores() -> Scores:
    """The one draw with every unknown at its middle."""
    return Scores(UNKNOWNS, np.zeros((len(UNKNOWNS), 1)))


def decide(job: Job, *, night: NightLog | None = None, draws_count: int = DRAWS_COUNT) -> Decided:
    """Feed and gas clock for one tank, with the day of every draw.

    Parameters
    ----------
    job : Job
        The surveyed tank.
    night : NightLog or None
        pH readings of a night with gas and lamp off.
    draws_count : int
        How many draws carry the spread; the same job and count always give the same choice.

    Raises
    ------
    UnsafePlan
        Where even the middle of the spread breaks the animals' ceiling, the stuck-open limit or the
        night's oxygen floor; every reason is listed.
    """
    known = surveyed(job)
    told = fit_of(known, night) if night is not None else None
    learnt = told.learnt if told is not None else None
    first = _Around.feed(known, first_feed_mg_h(known, learnt))
    middle_scene, walk = scene_of(
        known, middle_scores(), feed_mg_h=first.feed_mg_h, share=first.share, night=learnt
    )
    known, middle_scene = _lowered_for_oxygen(known, middle_scene, first.feed_mg_h)
    limits = _limits(known)
    _refuse_hopeless(middle_scene, walk, limits)
    scores = even_scores(UNKNOWNS, draws_count, np.random.default_rng(SEED))
    chosen = _choose(known, scores, limits, learnt, first)
    middle = _run(known, middle_scores(), chosen.choice, learnt, chosen.share)
    return Decided(known, scores, limits, chosen, middle, told.fit if told else None, learnt)


def gas_use_g_day(job: Job, *, draws_count: int = DRAWS_COUNT) -> Estimate:
    """What a tank is planned to draw from its bottle, for the other tanks that share it. [g/day]"""
    return Estimate.from_draws(decide(job, draws_count=draws_count).chosen.gas.bottle_g_day, "g_day")


def _lowered_for_oxygen(known: Surveyed, middle: Scene, feed_mg_h: float) -> tuple[Surveyed, Scene]:
    """Survey and scene with ceilings and target lowered where the middle day's oxygen is short at dawn."""
    if not known.job.animals:
        return known, middle
    clock = clock_for(
        middle, gas_on_min=middle.light_on_min, gas_off_min=middle.light_off_min, feed_mg_h=feed_mg_h
    )
    dawn = float(day_of(middle, clock, feed_mg_h, accuracy=ROUGH).o2_mg_l.min())
    if dawn >= O2_WANTED_MG_L:
        return known, middle
    lower = ceiling_for(known.job, dawn)
    return replace(known, ceiling=lower), replace(
        middle, target_low_mg_l=lower.target_low_mg_l, target_high_mg_l=lower.target_high_mg_l
    )


def _limits(known: Surveyed) -> Limits:
    ceiling = known.ceiling.ceiling
    return Limits(
        ceiling_mg_l=ceiling.soft_mg_l,
        hard_mg_l=ceiling.hard_mg_l,
        rise_mg_l_h=MAX_RISE_MG_L_H if known.job.animals else None,
        o2_floor_mg_l=O2_FLOOR_MG_L,
    )


def _refuse_hopeless(middle: Scene, walk: LineWalk, limits: Limits) -> None:
    """Refuse a tank that cannot be planned for even at the middle of all inputs."""
    reasons = list(middle_reasons(middle, limits))
    if bool(np.any(walk.starved)):
        reasons.append(
            "the tube wall takes more than the whole feed before the diffuser opens: use another tube "
            "material, a shorter run or a diffuser that opens at less pressure"
        )
    if reasons:
        raise UnsafePlan(reasons)


def _choose(
    known: Surveyed, scores: Scores, limits: Limits, learnt: LossKnown | None, first: _Around
) -> Chosen:
    """Search once around a first feed, then settle the feed with line and bubbles as they are there.

    The search has a few even draws of its own, so that the clock does not hang on how many carry the plan.
    """
    few = even_scores(UNKNOWNS, SEARCH_DRAWS_COUNT, np.random.default_rng(SEED + 1))
    scene, _ = scene_of(known, few, feed_mg_h=first.feed_mg_h, share=first.share, night=learnt)
    choice = choose(scene, limits)
    near = _Around.feed(known, choice.feed_mg_h)
    scene, _ = scene_of(known, scores, feed_mg_h=near.feed_mg_h, share=near.share, night=learnt)
    choice = _round_feed(settle(scene, limits, choice))
    chosen = _run(known, scores, choice, learnt, bubble_side(known.job, choice.feed_mg_h))
    peak = chosen.run.co2_mg_l.max(axis=0)
    if float((peak > limits.ceiling_mg_l).mean()) <= OVER_CEILING_ALLOWED_FRAC:
        return chosen
    # Finer steps and the bubbles of the final feed can lift a draw or two over the ceiling after all.
    top = float(np.quantile(peak, 1 - 0.97 * OVER_CEILING_ALLOWED_FRAC))
    lower = _round_feed(replace(choice, feed_mg_h=choice.feed_mg_h * min(limits.ceiling_mg_l / top, 1.0)))
    return _run(known, scores, lower, learnt, chosen.share)


def _round_feed(choice: Choice) -> Choice:
    """Three figures, rounded down: a needle is not set closer, and down keeps the limits."""
    step = 10.0 ** (np.floor(np.log10(choice.feed_mg_h)) - 2)
    return replace(choice, feed_mg_h=round(float(np.floor(choice.feed_mg_h / step + 1e-9) * step), 9))


def _run(
    known: Surveyed, scores: Scores, choice: Choice, learnt: LossKnown | None, share: DissolvedShare
) -> Chosen:
    scene, walk = scene_of(known, scores, feed_mg_h=choice.feed_mg_h, share=share, night=learnt)
    run = day_of(scene, choice.clock, choice.feed_mg_h, accuracy=FINE)
    gas = gas_day(
        run,
        feed_mg_h=choice.feed_mg_h * scene.flow_factor,
        wall_loss_mg_h=scene.wall_loss_mg_h,
        gas_min=choice.clock.gas_min,
    )
    return Chosen(scene, walk, choice, share, run, gas)
