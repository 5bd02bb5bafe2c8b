"""The plan at a feed, a gas clock and a surface that somebody set by hand, drawn and told like any plan.

`day_set` answers while a pointer moves: the day and what follows from it. `plan_set` answers when it
rests: line and ledger too. Both give a `PlanResult`, so that whatever shows a plan shows these.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fizzwright.engines.day.spells import with_loss
from fizzwright.result import Estimate
from fizzwright.stages.plan import curves_of
from fizzwright.stages.plan_bottle import bottle_forecast
from fizzwright.stages.plan_choice import Chosen, Decided, middle_scores
from fizzwright.stages.plan_inputs import scene_of
from fizzwright.stages.plan_parts import gas_day, ledger, stations
from fizzwright.stages.plan_result import PlanResult
from fizzwright.stages.plan_scene import (
    FINE,
    band_share_frac,
    clock_for,
    day_of,
    fastest_rise_mg_l_h,
    stuck_open_mg_l,
)
from fizzwright.stages.plan_slider import DayAt, Ready, day_at
from fizzwright.stages.plan_words import clock_text, details_of
from fizzwright.stages.stability import swing_frac
from fizzwright.units import number_text

__all__ = ["HandSet", "day_set", "hand_set_of", "plan_set"]


@dataclass(frozen=True)
class HandSet:
    """What a hand can set: bubbles at this counter, the gas clock, and how fast the surface loses.

    Clock times are minutes after midnight. `loss_per_h` is the middle of the surface loss; its spread stays
    what it was.
    """

    bubbles_per_s: float
    gas_on_min: int
    gas_off_min: int
    loss_per_h: float


def hand_set_of(plan: PlanResult) -> HandSet:
    """The settings a plan chose itself."""
    return HandSet(
        plan.bubbles_per_s.value, plan.gas_on_min, plan.gas_off_min, plan.loss_per_h.value
    )  # fmt: skip


def _feed_mg_h(plan: PlanResult, to: HandSet) -> float:
    """The feed behind a bubble rate, by the milligrams a bubble carries in the plan. [mg/h]"""
    return to.bubbles_per_s * plan.mg_per_bubble_mg.value * 3600.0


def _stirred(decided: Decided, factor_ratio: float) -> Decided:
    """The same tank with its surface moving more or less, in the draws and in their middle."""
    if abs(factor_ratio - 1.0) < 1e-9:
        return decided

    def moved(one: Chosen) -> Chosen:
        return replace(one, scene=replace(one.scene, tank=with_loss(one.scene.tank, factor_ratio)))

    return replace(decided, chosen=moved(decided.chosen), middle=moved(decided.middle))


def day_set(tank: Ready, plan: PlanResult, to: HandSet) -> PlanResult:
    """The plan with its day at the settings; line and ledger stay those of the plan.

    Parameters
    ----------
    tank : Ready
        The tank made ready to slide.
    plan : PlanResult
        The plan of the same tank.
    to : HandSet

    Returns
    -------
    PlanResult
        Every figure of the day is that of the settings, with the draws of `tank`.
    """
    feed = _feed_mg_h(plan, to)
    stirred = replace(tank, decided=_stirred(tank.decided, to.loss_per_h / plan.loss_per_h.value))
    at = day_at(stirred, feed_mg_h=feed, gas_on_min=to.gas_on_min, gas_off_min=to.gas_off_min)
    return replace(_shown(plan, to, at), draws_count=stirred.decided.chosen.scene.draws_count)


def _shown(plan: PlanResult, to: HandSet, at: DayAt) -> PlanResult:
    """A plan that tells of another day."""
    lights_on = _at_clock(at, plan.light_on_min)
    return replace(
        plan,
        kind="set by hand",
        verdict=_verdict(plan, to, at),
        feed_mg_h=_scaled(plan.feed_mg_h, at.feed_mg_h),
        bubbles_per_s=_scaled(plan.bubbles_per_s, to.bubbles_per_s),
        flow_ml_min_n=_scaled(
            plan.flow_ml_min_n, plan.flow_ml_min_n.value * at.feed_mg_h / plan.feed_mg_h.value
        ),
        gas_on_min=at.gas_on_min,
        gas_off_min=at.gas_off_min,
        co2_at_lights_on_mg_l=lights_on,
        co2_peak_mg_l=at.co2_peak_mg_l,
        p_over_ceiling_frac=at.p_over_ceiling_frac,
        share_in_band_frac=at.share_in_band_frac,
        rise_mg_l_h=at.rise_mg_l_h,
        o2_dawn_mg_l=at.o2_dawn_mg_l,
        stuck_open_24h_mg_l=at.stuck_open_24h_mg_l,
        p_stuck_over_hard_frac=at.p_stuck_over_hard_frac,
        gas_g_day=at.gas_g_day,
        loss_per_h=_scaled(plan.loss_per_h, to.loss_per_h),
        day=at.day,
    )


def _scaled(around: Estimate, value: float) -> Estimate:
    """An estimate moved to another value, its band in proportion."""
    ratio = value / around.value
    return replace(around, value=value, low=around.low * ratio, high=around.high * ratio)


def _at_clock(at: DayAt, minute_min: int) -> Estimate:
    """CO2 of the day's curves at a time of day."""
    low, value, high = (
        float(np.interp(minute_min, at.day.clock_min, curve))
        for curve in (at.day.co2_low_mg_l, at.day.co2_mg_l, at.day.co2_high_mg_l)
    )
    return Estimate(value, "mg_l", low, high)


def _verdict(plan: PlanResult, to: HandSet, at: DayAt) -> str:
    """What the settings lead to, in two sentences."""
    peak = at.co2_peak_mg_l
    low, value, high = (number_text(x) for x in (peak.low, peak.value, peak.high))
    count = round(100 * at.p_over_ceiling_frac)
    days = "fewer than one day in 100" if count < 1 else f"about {count} day{'s' * (count > 1)} in 100"
    target = f"{plan.target_low_mg_l:.0f}…{plan.target_high_mg_l:.0f} mg/L"
    return (
        f"At {number_text(to.bubbles_per_s)} bubbles a second, gas from {clock_text(at.gas_on_min)} to "
        f"{clock_text(at.gas_off_min)}, the day peaks at {value} ({low}…{high}) mg/L, over the starting "
        f"ceiling of {plan.ceiling.soft_mg_l:.0f} ({plan.ceiling.set_by}) in {days}. "
        f"The lit hours are in the target band {target} for "
        f"{round(100 * at.share_in_band_frac)} % of the time."
    )


def plan_set(
    decided: Decided, plan: PlanResult, to: HandSet, *, others_g_day: Sequence[Estimate] = ()
) -> PlanResult:
    """The plan at the settings with line and ledger worked out there, from the draws of `decided`.

    Parameters
    ----------
    decided : Decided
        The tank with its plan decided; its bubbles are those of the planned feed, which they hardly follow.
    plan : PlanResult
        The plan of the same tank and draws.
    to : HandSet
    others_g_day : sequence of Estimate
        Gas other tanks draw from the same bottle. [g/day]

    Returns
    -------
    PlanResult
    """
    feed, factor = _feed_mg_h(plan, to), to.loss_per_h / plan.loss_per_h.value
    draws = _chosen_at(decided, decided.chosen, (feed, factor), to)
    middle = _chosen_at(decided, decided.middle, (feed, factor), to)
    scene, run, limits = draws.scene, draws.run, decided.limits
    peak, stuck = run.co2_mg_l.max(axis=0), stuck_open_mg_l(scene, draws.choice.clock, feed, run)
    of_draws = Estimate.from_draws
    at = DayAt(
        feed_mg_h=feed,
        gas_on_min=round(to.gas_on_min) % 1440,
        gas_off_min=round(to.gas_off_min) % 1440,
        day=curves_of(decided.known, draws),
        co2_peak_mg_l=of_draws(peak, "mg_l"),
        p_over_ceiling_frac=float((peak > limits.ceiling_mg_l).mean()),
        share_in_band_frac=float(band_share_frac(scene, run).mean()),
        swing_frac=of_draws(swing_frac(scene, run), "frac"),
        rise_mg_l_h=of_draws(fastest_rise_mg_l_h(run), "mg_l_h"),
        o2_dawn_mg_l=of_draws(run.o2_mg_l.min(axis=0), "mg_l"),
        stuck_open_24h_mg_l=of_draws(stuck, "mg_l"),
        p_stuck_over_hard_frac=float((stuck > limits.hard_mg_l).mean()),
        gas_g_day=of_draws(draws.gas.bottle_g_day, "g_day"),
    )
    bottle = bottle_forecast(decided.known.job, draws.gas.bottle_g_day, others_g_day)
    return replace(
        _shown(plan, to, at),
        bottle_days=bottle.empty_days,
        swap_days=bottle.swap_days,
        ledger=ledger((middle.gas, middle.run), (draws.gas, run)),
        stations=stations(
            draws.walk,
            details_of(decided.known.job),
            gas=draws.gas,
            run=run,
            gas_min=draws.choice.clock.gas_min,
        ),
    )


def _chosen_at(decided: Decided, one: Chosen, scale: tuple[float, float], to: HandSet) -> Chosen:
    """Draws (or their middle) with line, day and gas at another feed and surface."""
    feed_mg_h, factor_ratio = scale
    scores = decided.scores if one is decided.chosen else middle_scores()
    scene, walk = scene_of(
        decided.known, scores, feed_mg_h=feed_mg_h, share=one.share, night=decided.learnt
    )  # fmt: skip
    scene = replace(scene, tank=with_loss(scene.tank, factor_ratio))
    clock = clock_for(
        scene, gas_on_min=to.gas_on_min, gas_off_min=to.gas_off_min, feed_mg_h=feed_mg_h
    )  # fmt: skip
    run = day_of(scene, clock, feed_mg_h, accuracy=FINE, guess=one.run.end)
    gas = gas_day(
        run,
        feed_mg_h=feed_mg_h * scene.flow_factor,
        wall_loss_mg_h=scene.wall_loss_mg_h,
        gas_min=clock.gas_min,
    )
    choice = replace(one.choice, clock=clock, feed_mg_h=feed_mg_h)
    return replace(one, scene=scene, walk=walk, choice=choice, run=run, gas=gas)
