"""A tank's draws run through days as they were, and what every reading of those days should have shown."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import day_ph
from fizzwright.engines.day.integrate import State, day_from
from fizzwright.inference.course import GasSpell, Lamp, course
from fizzwright.inference.evidence import CheckerReadings, Evidence, lagged_mg_l
from fizzwright.inference.tank_prior import TankDraws, TankPrior

__all__ = ["Days", "Past", "shown_number", "tank_run"]

Array = NDArray[np.float64]
PK_DYE_PH = 7.25


@dataclass(frozen=True)
class Past:
    """What was done to a tank: lamp, gas spells, water changes as (hour, share), and the span. [h]"""

    lamp: Lamp
    spells: tuple[GasSpell, ...]
    changes_h: tuple[tuple[float, float], ...]
    span_h: tuple[float, float]


@dataclass(frozen=True)
class Days:
    """Curves of every draw over a stretch of days: `hours_h` (times,), the rest (times, draws).

    `fed_g` is the set gas let in since the start, shape (times,); a draw's own is `flow_factor` times it.
    """

    hours_h: Array
    co2_mg_l: Array
    alk_meq_l: Array
    fed_g: Array

    def at_mg_l(self, hours_h: Array) -> Array:
        """CO2 of every draw at some hours, shape (hours, draws). [mg/L]"""
        return _between(self.hours_h, self.co2_mg_l, hours_h)


def _between(times: Array, curves: Array, wanted: Array) -> Array:
    """Every draw's curve read off between its nodes."""
    upper = np.clip(np.searchsorted(times, wanted), 1, len(times) - 1)
    width = np.maximum(times[upper] - times[upper - 1], 1e-9)
    share = np.clip((wanted - times[upper - 1]) / width, 0.0, 1.0)[:, None]
    read: Array = curves[upper - 1] * (1.0 - share) + curves[upper] * share
    return read


def tank_run(
    draws: TankDraws, prior: TankPrior, past: Past, *, step_min: float = 30.0, start_mg_l: Array | None = None
) -> Days:
    """Every draw's CO2 over a stretch of days with gas, lamp and water changes as they were.

    Parameters
    ----------
    draws : TankDraws
    prior : TankPrior
        Gives what the tube wall takes while gas flows.
    past : Past
    step_min : float
        The longest step. [min]
    start_mg_l : array, shape (draws,), optional
        CO2 at the start; the draws' own guess where it is not given. [mg/L]
    """
    level = draws.start_mg_l if start_mg_l is None else start_mg_l
    oxygen = np.full_like(level, prior.o2_saturation_mg_l * 0.9)
    state = State(level, oxygen, draws.alk_meq_l)
    typical = _typical_feed_mg_h(past.spells)
    kept = np.maximum(1.0 - prior.wall_loss_mg_h / np.maximum(typical * draws.flow_factor, 1e-6), 0.02)
    tank = replace(draws.tank, feed_mg_h=draws.flow_factor * kept)
    cuts = [hour for hour, _ in past.changes_h if past.span_h[0] < hour < past.span_h[1]]
    shares = dict(past.changes_h)
    edges = [past.span_h[0], *cuts, past.span_h[1]]
    hours, co2, alk, fed = [], [], [], []
    gone = 0.0
    for start, end in itertools.pairwise(edges):
        if start in shares:
            kept_frac = 1.0 - shares[start]
            diluted = kept_frac * state.co2_mg_l + shares[start] * np.asarray(draws.tank.air_co2_mg_l)
            state = State(diluted, state.o2_mg_l, state.alk_meq_l)
        forced = course(past.lamp, past.spells, span_h=(start, end), step_min=step_min)
        run = day_from(state, tank, forced)
        rate = forced.gas_frac[..., 0].mean(axis=1) if len(forced.gas_frac) else np.zeros(0)
        width = np.diff(forced.nodes_min) / 60.0
        total = gone + np.concatenate([[0.0], np.cumsum(rate * width)]) / 1000.0
        hours.append(forced.nodes_min / 60.0)
        co2.append(run.co2_mg_l)
        alk.append(run.alk_meq_l)
        fed.append(total)
        gone, state = float(total[-1]), run.end
    return Days(np.concatenate(hours), np.concatenate(co2), np.concatenate(alk), np.concatenate(fed))


def _typical_feed_mg_h(spells: Sequence[GasSpell]) -> float:
    lengths = [max(s.end_h - s.start_h, 0.0) for s in spells]
    total = sum(lengths)
    if total <= 0:
        return 1e9
    return max(sum(s.feed_mg_h * w for s, w in zip(spells, lengths, strict=True)) / total, 1e-3)


def shown_number(days: Days, draws: TankDraws, prior: TankPrior, evidence: Evidence) -> Array:
    """What every reading should have shown, the kinds one after another, shape (readings, draws).

    The order is pH, kit, checker, mass, as in `observed`; kit readings are in dKH, masses in g let out since
    the bottle's first weighing.
    """
    parts = []
    if evidence.ph is not None:
        parts.append(_ph_shown(days, draws, prior, evidence.ph.hours_h))
    if evidence.kit is not None:
        alk = _between(days.hours_h, days.alk_meq_l, evidence.kit.hours_h)
        parts.append(alk / prior.meq_l_per_dkh_ratio)
    if evidence.checker is not None:
        parts.append(_hue_shown(days, draws, prior, evidence.checker))
    if evidence.mass is not None:
        fed = np.interp(evidence.mass.hours_h, days.hours_h, days.fed_g)
        first = {b: fed[np.argmax(evidence.mass.bottle == b)] for b in np.unique(evidence.mass.bottle)}
        since = fed - np.array([first[b] for b in evidence.mass.bottle])
        parts.append(since[:, None] * draws.flow_factor[None, :])
    if not parts:
        return np.zeros((0, draws.draws_count))
    return np.concatenate(parts)


def _hue_shown(days: Days, draws: TankDraws, prior: TankPrior, checker: CheckerReadings) -> Array:
    """What the drop checker's hue should be: its water follows the tank's CO2 with a lag."""
    lagged = lagged_mg_l(days.hours_h, days.co2_mg_l, lag_h=draws.lag_h)
    felt = np.maximum(_between(days.hours_h, lagged, checker.hours_h), 0.05)
    liquid = np.full_like(felt, checker.checker_kh_dkh * prior.meq_l_per_dkh_ratio)
    ph = day_ph(felt, liquid, carbonate_ratio=prior.carbonate_ratio, k1_mol_l=prior.k1_mol_l)
    return checker.scale.hue_at_deg(ph - PK_DYE_PH - draws.dye_ph)


def _ph_shown(days: Days, draws: TankDraws, prior: TankPrior, hours_h: Array) -> Array:
    co2 = np.maximum(_between(days.hours_h, days.co2_mg_l, hours_h), 0.05)
    alk = _between(days.hours_h, days.alk_meq_l, hours_h)
    ph = day_ph(co2, alk, carbonate_ratio=prior.carbonate_ratio, k1_mol_l=prior.k1_mol_l)
    day = (hours_h - days.hours_h[0])[:, None] / 24.0
    shown_ph: Array = ph + draws.offset_ph + draws.drift_ph * day
    return shown_ph
