"""Coming up to the feed: a day-by-day plan of small steps for a tank with animals in it."""

from __future__ import annotations

import math

import numpy as np

from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import RampDay
from fizzwright.stages.plan_scene import Scene, outlook, take
from fizzwright.stages.plan_search import Choice, Limits

__all__ = ["FEWEST_DAYS_COUNT", "STEP_MG_L", "ramp"]

DRAWS_COUNT = 150
# Three to five mg/L a day over five to seven days (common practice, no source).
STEP_MG_L = 4.0
LARGEST_STEP_MG_L = 5.0
FEWEST_DAYS_COUNT = 5
USUAL_DAYS_COUNT = 7


def ramp(scene: Scene, limits: Limits, choice: Choice, *, mg_per_bubble_mg: float) -> tuple[RampDay, ...]:
    """The feed for each of the first days, so that the day's peak climbs by a few mg/L a day.

    Parameters
    ----------
    scene : Scene
        All draws; a few even ones are used.
    limits : Limits
    choice : Choice
        The plan to arrive at; its gas clock holds from the first day.
    mg_per_bubble_mg : float
        Gas in one counted bubble at the middle of what is known. [mg]

    Returns
    -------
    tuple of RampDay
        Five to seven days, more only where a step would pass 5 mg/L; the last is the plan itself. Peaks are
        those of a day that repeats, which a stirred tank all but reaches on the first.
    """
    few = take(scene, np.linspace(0, scene.draws_count - 1, min(DRAWS_COUNT, scene.draws_count)).astype(int))
    grid = choice.feed_mg_h * np.array([0.0, 0.15, 0.35, 0.6, 0.8, 1.0])
    reached = np.median(outlook(few, [choice.clock], grid).peak_mg_l[0], axis=1)
    climb = float(reached[-1] - reached[0])
    days = int(np.clip(math.ceil(climb / STEP_MG_L), FEWEST_DAYS_COUNT, USUAL_DAYS_COUNT))
    days = max(days, math.ceil(climb / LARGEST_STEP_MG_L - 1e-9))
    aims = reached[0] + climb * np.arange(1, days + 1) / days
    feeds = np.interp(aims, reached, grid)
    feeds[-1] = choice.feed_mg_h
    peaks = outlook(few, [choice.clock], feeds).peak_mg_l[0]
    look_at = _peaks_at_min(scene, choice)
    return tuple(
        RampDay(
            day_count=day,
            feed_mg_h=float(feed),
            bubbles_per_s=float(feed) / mg_per_bubble_mg / 3600.0,
            co2_peak_mg_l=Estimate.from_draws(peak, "mg_l"),
            p_over_ceiling_frac=float((peak > limits.ceiling_mg_l).mean()),
            look_at_min=look_at,
        )
        for day, (feed, peak) in enumerate(zip(feeds, peaks, strict=True), start=1)
    )


def _peaks_at_min(scene: Scene, choice: Choice) -> int:
    """When to stand at the tank: gas-off or lamp-off, whichever comes first after lights-on."""
    ends = [(at - scene.light_on_min) % DAY_MIN for at in (choice.clock.gas_off_min, scene.light_off_min)]
    return round(scene.light_on_min + min(ends)) % 1440
