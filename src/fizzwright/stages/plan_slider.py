"""The day at a feed and gas clock somebody slides to: no search, one tank made ready once.

`ready` reads the job and works line and bubbles out; `day_at` then answers a changed feed or clock in well
under a tenth of a second.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.integrate import State
from fizzwright.job.model import Job
from fizzwright.result import Estimate
from fizzwright.stages.plan import curves_of
from fizzwright.stages.plan_choice import Decided, decide
from fizzwright.stages.plan_night import NightLog
from fizzwright.stages.plan_result import DayCurves
from fizzwright.stages.plan_scene import (
    Accuracy,
    band_share_frac,
    clock_for,
    day_of,
    fastest_rise_mg_l_h,
    stuck_open_mg_l,
)
from fizzwright.stages.stability import swing_frac

__all__ = ["SLIDER_DRAWS_COUNT", "DayAt", "Ready", "day_at", "ready"]

Array = NDArray[np.float64]
SLIDER_DRAWS_COUNT = 200
# Steps of a quarter of an hour show the curve; a hundredth of a mg/L at midnight is far under a pixel.
SHOWN = Accuracy(15.0, 1e-2)


@dataclass(frozen=True)
class Ready:
    """One tank ready to slide: its plan, and the midnight of the plan to start from."""

    decided: Decided
    midnight: State


@dataclass(frozen=True)
class DayAt:
    """What a feed and a clock lead to, with the bands of the draws."""

    feed_mg_h: float
    gas_on_min: int
    gas_off_min: int
    day: DayCurves
    co2_peak_mg_l: Estimate
    p_over_ceiling_frac: float
    share_in_band_frac: float
    swing_frac: Estimate
    rise_mg_l_h: Estimate
    o2_dawn_mg_l: Estimate
    stuck_open_24h_mg_l: Estimate
    p_stuck_over_hard_frac: float
    gas_g_day: Estimate


def ready(job: Job, *, night: NightLog | None = None, draws_count: int = SLIDER_DRAWS_COUNT) -> Ready:
    """A tank read, its line and bubbles worked out at its planned feed, for `day_at` to start from."""
    decided = decide(job, night=night, draws_count=draws_count)
    return Ready(decided, decided.chosen.run.end)


def day_at(tank: Ready, *, feed_mg_h: float, gas_on_min: float, gas_off_min: float) -> DayAt:
    """The day at a feed and gas clock, everything else as in the plan.

    Parameters
    ----------
    tank : Ready
        Line pressures and dissolved share are those of its planned feed, which they hardly follow.
    feed_mg_h : float
        Feed set at the needle while the valve is open. [mg/h]
    gas_on_min, gas_off_min : float
        The valve's clock, minutes after midnight. [min]
    """
    decided = tank.decided
    scene, limits = decided.chosen.scene, decided.limits
    clock = clock_for(scene, gas_on_min=gas_on_min, gas_off_min=gas_off_min, feed_mg_h=feed_mg_h)
    run = day_of(scene, clock, feed_mg_h, accuracy=SHOWN, guess=tank.midnight)
    peak = run.co2_mg_l.max(axis=0)
    stuck = stuck_open_mg_l(scene, clock, feed_mg_h, run)
    draws = Estimate.from_draws
    return DayAt(
        feed_mg_h=feed_mg_h,
        gas_on_min=round(gas_on_min) % 1440,
        gas_off_min=round(gas_off_min) % 1440,
        day=curves_of(decided.known, replace(decided.chosen, run=run)),
        co2_peak_mg_l=draws(peak, "mg_l"),
        p_over_ceiling_frac=float((peak > limits.ceiling_mg_l).mean()),
        share_in_band_frac=float(band_share_frac(scene, run).mean()),
        swing_frac=draws(swing_frac(scene, run), "frac"),
        rise_mg_l_h=draws(fastest_rise_mg_l_h(run), "mg_l_h"),
        o2_dawn_mg_l=draws(run.o2_mg_l.min(axis=0), "mg_l"),
        stuck_open_24h_mg_l=draws(stuck, "mg_l"),
        p_stuck_over_hard_frac=float((stuck > limits.hard_mg_l).mean()),
        gas_g_day=draws(feed_mg_h * scene.flow_factor * clock.gas_min / 60e3, "g_day"),
    )
