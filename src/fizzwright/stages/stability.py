"""How steady a day is: the figures a technician compares before and after a change."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import DAY_MIN, Clock
from fizzwright.engines.day.integrate import DayRun
from fizzwright.engines.living.ceilings import combined_risk_number
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import DayRisk, Stability
from fizzwright.stages.plan_scene import Scene

__all__ = ["day_risk", "longest_over_h", "overdose_mg_h_l", "stability_of", "swing_frac"]

Array = NDArray[np.float64]
SETTLING_MIN = 30.0


def _since_light(scene: Scene, run: DayRun) -> Array:
    since: Array = (run.nodes_min - scene.light_on_min) % DAY_MIN
    return since


def _lit(scene: Scene, run: DayRun) -> tuple[Array, Array]:
    """CO2 at the lit nodes after the first half hour, (nodes, draws), and the minutes each stands for."""
    since = _since_light(scene, run)
    lit_min = (scene.light_off_min - scene.light_on_min) % DAY_MIN
    # The last node is the first one again; its half step belongs to midnight.
    width = np.gradient(run.nodes_min)
    which = (since >= min(SETTLING_MIN, lit_min / 2)) & (since <= lit_min)
    return run.co2_mg_l[which], width[which]


def swing_frac(scene: Scene, run: DayRun) -> Array:
    """(P95 - P5)/median of each draw's CO2 over the lit hours, the first half hour left out."""
    level, _ = _lit(scene, run)
    low, middle, high = np.quantile(level, [0.05, 0.5, 0.95], axis=0)
    swing: Array = (high - low) / np.maximum(middle, 1e-9)
    return swing


def overdose_mg_h_l(nodes_min: Array, co2_mg_l: Array, *, ceiling_mg_l: float) -> Array:
    """The area of CO2 over a ceiling along a course, for each draw. [mg h/L]

    Parameters
    ----------
    nodes_min : array, shape (nodes,)
    co2_mg_l : array, shape (nodes, draws)
    ceiling_mg_l : float
    """
    over = np.maximum(co2_mg_l - ceiling_mg_l, 0.0)
    width = (np.diff(nodes_min) / 60.0).reshape(-1, *[1] * (over.ndim - 1))
    dose: Array = (width * (over[1:] + over[:-1]) / 2).sum(axis=0)
    return dose


def longest_over_h(nodes_min: Array, co2_mg_l: Array, *, ceiling_mg_l: float) -> Array:
    """The longest unbroken time over a ceiling, for each draw; a run over the end goes on at the start. [h]

    Parameters
    ----------
    nodes_min : array, shape (nodes,)
        One repeating course.
    co2_mg_l : array, shape (nodes, draws)
    ceiling_mg_l : float
    """
    over = 0.5 * (co2_mg_l[1:] + co2_mg_l[:-1]) > ceiling_mg_l
    width = np.diff(nodes_min) / 60.0
    longest, now = np.zeros(co2_mg_l.shape[1:]), np.zeros(co2_mg_l.shape[1:])
    for inside, hours in zip((*over, *over), (*width, *width), strict=True):
        now = np.where(inside, now + hours, 0.0)
        longest = np.maximum(longest, now)
    return np.minimum(longest, float(width.sum()))


def _reaches_90_h(scene: Scene, run: DayRun, clock: Clock) -> Array:
    """Hours from gas-on to nine tenths of the lit median; the whole day where it is never under it."""
    level, _ = _lit(scene, run)
    aim = 0.9 * np.median(level, axis=0)
    since = (run.nodes_min[:-1] - clock.gas_on_min) % DAY_MIN
    order = np.argsort(since)
    reached = run.co2_mg_l[:-1][order] >= aim
    first = np.argmax(reached, axis=0)
    hours: Array = since[order][first] / 60.0
    return hours


def stability_of(scene: Scene, run: DayRun, clock: Clock, *, ceiling_mg_l: float) -> Stability:
    """How steady each draw's day is, with 90 % bands.

    Parameters
    ----------
    scene : Scene
    run : DayRun
        The repeating day of every draw.
    clock : Clock
        The gas clock it ran on.
    ceiling_mg_l : float
        The animals' starting ceiling.
    """
    level, width = _lit(scene, run)
    inside = (level >= scene.target_low_mg_l) & (level <= scene.target_high_mg_l)
    since = _since_light(scene, run)
    lit_min = (scene.light_off_min - scene.light_on_min) % DAY_MIN
    on, off = (int(np.argmin(np.abs(since - at))) for at in (0.0, lit_min))
    aim = 0.5 * (scene.target_low_mg_l + scene.target_high_mg_l)
    draws = Estimate.from_draws
    return Stability(
        swing_frac=draws(swing_frac(scene, run), "frac"),
        in_band_h=draws((inside * width[:, None]).sum(axis=0) / 60.0, "h"),
        lit_h=float(lit_min) / 60.0,
        lights_on_ratio=draws(run.co2_mg_l[on] / aim, "ratio"),
        reaches_90_h=draws(_reaches_90_h(scene, run, clock), "h"),
        lights_off_mg_l=draws(run.co2_mg_l[off], "mg_l"),
        night_low_mg_l=draws(run.co2_mg_l.min(axis=0), "mg_l"),
        overdose_mg_h_l=draws(
            overdose_mg_h_l(run.nodes_min, run.co2_mg_l, ceiling_mg_l=ceiling_mg_l), "mg_h_l"
        ),
        longest_over_h=draws(longest_over_h(run.nodes_min, run.co2_mg_l, ceiling_mg_l=ceiling_mg_l), "h"),
    )


def day_risk(run: DayRun, ceiling_mg_l: float) -> DayRisk:
    """CO2 and oxygen as one risk along the day, from the draws' own curves."""
    risk = np.asarray(combined_risk_number(run.co2_mg_l, ceiling_mg_l, run.o2_mg_l))
    low, middle, high = np.quantile(risk, [0.05, 0.5, 0.95], axis=1)
    peak = risk.max(axis=0)
    return DayRisk(
        clock_min=run.nodes_min,
        low_number=low,
        risk_number=middle,
        high_number=high,
        peak_number=Estimate.from_draws(peak, "number"),
        peak_at_min=float(run.nodes_min[int(np.argmax(middle))] % DAY_MIN),
        p_over_frac=float((peak > 1.0).mean()),
    )
