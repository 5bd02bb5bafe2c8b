"""What steadiness costs in gas: gas clocks that bring the same CO2 to the lit hours, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import DAY_MIN, Clock
from fizzwright.engines.day.integrate import DayRun
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import FrontPoint
from fizzwright.stages.plan_scene import (
    ROUGH,
    Scene,
    band_share_frac,
    clock_for,
    days_of,
    lit_level_mg_l,
    take,
)
from fizzwright.stages.plan_search import Choice, Limits
from fizzwright.stages.stability import swing_frac

__all__ = ["front"]

Array = NDArray[np.float64]
DRAWS_COUNT = 60
LEADS_H = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)
TAILS_H = (0.0, 1.0, 2.0)
MOST_POINTS = 5
# Two clocks whose swing and gas differ by less than this are one choice.
SAME_FRAC = 0.03


def front(scene: Scene, limits: Limits, choice: Choice) -> tuple[FrontPoint, ...]:
    """The gas clocks no other beats in both steadiness and gas, from thrifty to steady.

    Each brings the lit hours the mean CO2 of the chosen plan, in the middle of a few draws, so that the
    swing is all that is bought with the gas. The chosen plan stands among them even where it is beaten.

    Parameters
    ----------
    scene : Scene
        All draws; a few even ones are used.
    limits : Limits
        The ceiling the chance is counted against.
    choice : Choice
        The plan.
    """
    few = take(scene, np.linspace(0, scene.draws_count - 1, min(DRAWS_COUNT, scene.draws_count)).astype(int))
    clocks = (choice.clock, *_alternatives(few, choice))
    runs, feeds = _same_level(few, clocks, choice.feed_mg_h)
    swing = np.stack([swing_frac(few, _row(runs, i)) for i in range(len(clocks))])
    hours = np.array([clock.gas_min for clock in clocks]) / 60.0
    gas = feeds[:, None] * few.flow_factor * hours[:, None] / 1000.0
    kept = _unbeaten(np.median(swing, axis=1), np.median(gas, axis=1))
    return tuple(
        FrontPoint(
            gas_on_min=round(clocks[i].gas_on_min) % 1440,
            gas_off_min=round(clocks[i].gas_off_min) % 1440,
            feed_mg_h=float(feeds[i]),
            swing_frac=Estimate.from_draws(swing[i], "frac"),
            gas_g_day=Estimate.from_draws(gas[i], "g_day"),
            share_in_band_frac=float(band_share_frac(few, _row(runs, i)).mean()),
            p_over_ceiling_frac=float((runs.co2_mg_l[:, i].max(axis=0) > limits.ceiling_mg_l).mean()),
            chosen=i == 0,
        )
        for i in kept
    )


def _alternatives(scene: Scene, choice: Choice) -> list[Clock]:
    """Clocks over a grid of leads and tails, and gas round the clock."""
    lit_h = ((scene.light_off_min - scene.light_on_min) % DAY_MIN) / 60
    found = [
        clock_for(
            scene,
            gas_on_min=scene.light_on_min - 60 * lead,
            gas_off_min=scene.light_off_min - 60 * tail,
            feed_mg_h=choice.feed_mg_h,
        )
        for lead in LEADS_H
        for tail in TAILS_H
        if tail < lit_h / 2 and lead + lit_h - tail < 22
    ]
    return [*found, replace(choice.clock, gas_on_min=0.0, gas_off_min=0.0, always_on=True)]


def _same_level(scene: Scene, clocks: Sequence[Clock], feed_mg_h: float) -> tuple[DayRun, Array]:
    """The days of all clocks at feeds that bring the same mean CO2 to the lit hours as the first clock's."""
    hours = np.array([clock.gas_min for clock in clocks])
    feeds = feed_mg_h * (hours[0] / hours) ** 0.3
    feeds[0] = feed_mg_h
    run = days_of(scene, clocks, feeds, accuracy=ROUGH)
    for _ in range(2):
        level = np.median(lit_level_mg_l(scene, run), axis=1)
        # Nearly straight in the feed above what the water holds without gas.
        rest = float(np.median(scene.tank.air_co2_mg_l))
        feeds = feeds * np.clip((level[0] - rest) / np.maximum(level - rest, 0.1), 0.3, 3.0)
        run = days_of(scene, clocks, feeds, accuracy=ROUGH, guess=run.end)
    return run, feeds


def _row(runs: DayRun, index: int) -> DayRun:
    """One clock's days out of several, with draws in the last place."""
    return replace(runs, co2_mg_l=runs.co2_mg_l[:, index], o2_mg_l=runs.o2_mg_l[:, index])


def _unbeaten(swing: Array, gas: Array) -> list[int]:
    """Which clocks no other beats in both, thrifty first, thinned to a few; the first is always kept."""
    kept: list[int] = []
    for i in np.argsort(gas):
        better = [swing[j] for j in kept]
        if not better or swing[i] < min(better) * (1 - SAME_FRAC) - 1e-4:
            kept.append(int(i))
    if len(kept) > MOST_POINTS:
        kept = [kept[k] for k in np.linspace(0, len(kept) - 1, MOST_POINTS).round().astype(int)]
    near = [k for k in kept if k and abs(gas[k] / gas[0] - 1) < SAME_FRAC and abs(swing[k] - swing[0]) < 0.01]
    kept = [k for k in kept if k not in near]
    return sorted({*kept, 0}, key=lambda k: float(gas[k]))
