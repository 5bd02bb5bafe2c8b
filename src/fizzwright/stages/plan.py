"""The stage `plan`: feed, gas clock, the day they lead to, and how sure all of that is.

Route: survey numbers, draws of what is not known, a search over whole days, the day of every draw, and the
parts that follow from it. A night of readings sharpens the loss rate before the search starts.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import day_ph
from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.engines.day.integrate import DayRun
from fizzwright.engines.gasline.gas import flow_ml_min_n
from fizzwright.inference.draws import Scores, shares_of_spread
from fizzwright.job.model import Job
from fizzwright.result import Basis, Estimate, make_trail
from fizzwright.stages.plan_bottle import bottle_forecast
from fizzwright.stages.plan_choice import DRAWS_COUNT, Chosen, Decided, decide
from fizzwright.stages.plan_front import front
from fizzwright.stages.plan_inputs import Surveyed
from fizzwright.stages.plan_inputs import equations_of as inputs_run
from fizzwright.stages.plan_levers import levers
from fizzwright.stages.plan_night import NightLog
from fizzwright.stages.plan_parts import ledger, next_readings, stations
from fizzwright.stages.plan_result import DayCurves, InputShare, PlanResult, Trade
from fizzwright.stages.plan_scene import band_share_frac, fastest_rise_mg_l_h, stuck_open_mg_l
from fizzwright.stages.plan_search import feed_for_middle_mg_h
from fizzwright.stages.plan_words import (
    Facts,
    assumptions_of,
    details_of,
    equations_of,
    findings_of,
    readings_of,
    trade_words,
    verdict_of,
)
from fizzwright.stages.ramp import ramp
from fizzwright.stages.stability import day_risk, stability_of, swing_frac

__all__ = ["DRAWS_COUNT", "curves_of", "plan", "told"]

Array = NDArray[np.float64]


def plan(
    job: Job,
    *,
    night: NightLog | None = None,
    others_g_day: Sequence[Estimate] = (),
    draws_count: int = DRAWS_COUNT,
) -> PlanResult:
    """A plan for one tank, from its survey and, where there is one, a gas-off night.

    Parameters
    ----------
    job : Job
        The surveyed tank.
    night : NightLog or None
        pH readings of a night with gas and lamp off.
    others_g_day : sequence of Estimate
        Gas other tanks draw from the same bottle. [g/day]
    draws_count : int
        How many draws carry the spread; the same job and count always give the same plan.

    Returns
    -------
    PlanResult

    Raises
    ------
    UnsafePlan
        Where even the middle of the spread breaks the animals' ceiling, the stuck-open limit or the
        night's oxygen floor; every reason is listed.
    """
    return told(decide(job, night=night, draws_count=draws_count), others_g_day=others_g_day)


def curves_of(known: Surveyed, chosen: Chosen) -> DayCurves:
    """The day's CO2, pH and oxygen with 90 % bands, from the draws."""
    run = chosen.run
    ph = day_ph(
        run.co2_mg_l,
        run.alk_meq_l,
        carbonate_ratio=chosen.scene.tank.carbonate_ratio,
        k1_mol_l=float(known.constants.k1_mol_l),
    )
    bands = [np.quantile(values, [0.05, 0.5, 0.95], axis=1) for values in (run.co2_mg_l, ph, run.o2_mg_l)]
    (co2, ph_band, o2) = bands
    return DayCurves(
        clock_min=run.nodes_min,
        co2_low_mg_l=co2[0],
        co2_mg_l=co2[1],
        co2_high_mg_l=co2[2],
        low_ph=ph_band[0],
        ph=ph_band[1],
        high_ph=ph_band[2],
        o2_low_mg_l=o2[0],
        o2_mg_l=o2[1],
        o2_high_mg_l=o2[2],
        o2_saturation_mg_l=known.air.o2_saturation_mg_l,
    )


def _at_lights_on(run: DayRun, light_on_min: float) -> Array:
    away = np.abs((run.nodes_min - light_on_min + DAY_MIN / 2) % DAY_MIN - DAY_MIN / 2)
    found: Array = run.co2_mg_l[int(np.argmin(away))]
    return found


def told(decided: Decided, *, others_g_day: Sequence[Estimate] = ()) -> PlanResult:
    """Everything the plan says, once feed and clock are chosen and every draw has its day.

    `others_g_day` is the gas other tanks draw from the same bottle. [g/day]
    """
    known, scores, limits, night, learnt = (
        decided.known, decided.scores, decided.limits, decided.night, decided.learnt
    )  # fmt: skip
    chosen, middle = decided.chosen, decided.middle
    job, scene, run, choice = known.job, chosen.scene, chosen.run, chosen.choice
    peak = run.co2_mg_l.max(axis=0)
    stuck = stuck_open_mg_l(scene, choice.clock, choice.feed_mg_h, run)
    rise = fastest_rise_mg_l_h(run)
    wished = feed_for_middle_mg_h(scene, choice.clock, choice.feed_mg_h)
    true_feed = choice.feed_mg_h * scene.flow_factor
    per_bubble = np.broadcast_to(chosen.walk.mg_per_bubble_mg, true_feed.shape)
    middle_bubble = float(np.ravel(middle.walk.mg_per_bubble_mg)[0])
    rate_per_s = choice.feed_mg_h / middle_bubble / 3600.0
    bottle = bottle_forecast(job, chosen.gas.bottle_g_day, others_g_day)
    band_share = band_share_frac(scene, run)
    trade = Trade(
        float(band_share.mean()),
        choice.lead_h,
        float(swing_frac(middle.scene, middle.run)[0]),
        trade_words(choice, limits),
    )
    facts = Facts(
        job=job,
        ceiling=known.ceiling,
        choice=choice,
        fitted=learnt is not None or job.surface.loss_per_h is not None,
        peak_mg_l=peak,
        stuck_mg_l=stuck,
        o2_low_mg_l=run.o2_mg_l.min(axis=0),
        band_frac=band_share,
        limits=limits,
        rate_per_s=rate_per_s,
        wished_mg_h=wished,
        dissolved_frac=np.asarray(scene.tank.dissolved_frac),
        wall_share_frac=chosen.gas.wall_g_day / chosen.gas.bottle_g_day,
        bottle=bottle,
        night=night,
    )
    return PlanResult(
        name=job.job.name,
        kind="fitted" if facts.fitted else "starting",
        verdict=verdict_of(facts),
        feed_mg_h=_around(choice.feed_mg_h, true_feed, "mg_h"),
        expected_feed_mg_h=Estimate.from_draws(wished, "mg_h"),
        bubbles_per_s=_around(rate_per_s, choice.feed_mg_h / per_bubble / 3600.0, "per_s"),
        mg_per_bubble_mg=_around(middle_bubble, per_bubble, "mg"),
        flow_ml_min_n=_around(
            float(flow_ml_min_n(choice.feed_mg_h)), np.asarray(flow_ml_min_n(true_feed)), "ml_min_n"
        ),
        gas_on_min=round(choice.clock.gas_on_min) % 1440,
        gas_off_min=round(choice.clock.gas_off_min) % 1440,
        light_on_min=job.light.on_min,
        light_off_min=job.light.off_min,
        target_low_mg_l=known.ceiling.target_low_mg_l,
        target_high_mg_l=known.ceiling.target_high_mg_l,
        ceiling=known.ceiling.ceiling,
        co2_at_lights_on_mg_l=Estimate.from_draws(_at_lights_on(run, job.light.on_min), "mg_l"),
        co2_peak_mg_l=Estimate.from_draws(peak, "mg_l"),
        p_over_ceiling_frac=float((peak > limits.ceiling_mg_l).mean()),
        share_in_band_frac=float(band_share.mean()),
        rise_mg_l_h=Estimate.from_draws(rise, "mg_l_h"),
        o2_dawn_mg_l=Estimate.from_draws(run.o2_mg_l.min(axis=0), "mg_l"),
        stuck_open_24h_mg_l=Estimate.from_draws(stuck, "mg_l"),
        p_stuck_over_hard_frac=float((stuck > limits.hard_mg_l).mean()),
        gas_g_day=Estimate.from_draws(chosen.gas.bottle_g_day, "g_day"),
        bottle_days=bottle.empty_days,
        swap_days=bottle.swap_days,
        loss_per_h=Estimate.from_draws(
            scene.tank.loss_per_h, "per_h", Basis.FITTED if facts.fitted else Basis.SOURCE
        ),
        dissolved_frac=Estimate.from_draws(scene.tank.dissolved_frac, "frac"),
        net_volume_l=Estimate.from_draws(scene.tank.volume_l, "l"),
        day=curves_of(known, chosen),
        ledger=ledger((middle.gas, middle.run), (chosen.gas, run)),
        stations=stations(
            chosen.walk, details_of(job), gas=chosen.gas, run=run, gas_min=choice.clock.gas_min
        ),
        night=night,
        trade=trade,
        next_readings=next_readings(readings_of(facts), scores, peak),
        draws_count=len(peak),
        trail=make_trail(
            equations_of(known, inputs_run(known, scores, choice.feed_mg_h), night is not None),
            inputs=job.model_dump(mode="json") | {"draws": len(peak), "night": night is not None},
            assumptions=assumptions_of(known),
            findings=findings_of(facts),
        ),
        stability=stability_of(scene, run, choice.clock, ceiling_mg_l=limits.ceiling_mg_l),
        risk=day_risk(run, limits.ceiling_mg_l) if job.animals else None,
        front=front(scene, limits, choice),
        levers=levers(scene, limits, choice, run),
        input_shares=_input_shares(scores, peak),
        ramp=ramp(scene, limits, choice, mg_per_bubble_mg=middle_bubble) if job.animals else (),
        bottle_left_frac=_left_frac(job),
    )


def _left_frac(job: Job) -> float | None:
    """The gas left of a full charge; None where nobody weighed the bottle."""
    bottle = job.gasline.bottle
    return None if bottle.remaining_g is None else min(bottle.remaining_g / bottle.charge_g, 1.0)


def _input_shares(scores: Scores, peak_mg_l: Array) -> tuple[InputShare, ...]:
    """What carries the spread of the day's peak, the heaviest first; trifles under 1 % are left out."""
    shares = sorted(shares_of_spread(scores, peak_mg_l).items(), key=lambda item: -item[1])
    return tuple(InputShare(name, share) for name, share in shares if share >= 0.01)


def _around(value: float, draws: Array, unit: str) -> Estimate:
    """A setting with the band the draws give it; the set value stands in the middle."""
    low, high = np.quantile(draws, [0.05, 0.95])
    return Estimate(value, unit, min(float(low), value), max(float(high), value))
