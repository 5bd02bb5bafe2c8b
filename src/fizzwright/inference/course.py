"""Lamp and gas over several days as they were, cut into steps that never straddle a switch."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import DAY_MIN, Clock, Forcing, light_share_frac, night_share_frac

__all__ = ["GasSpell", "Lamp", "course", "mean_feed_mg_h"]

Array = NDArray[np.float64]
# Further than switches are rounded, short enough not to matter.
NUDGE_MIN = 1e-4


@dataclass(frozen=True)
class Lamp:
    """The lamp's clock in minutes after midnight, and what the tank's clock shows when the course starts."""

    light_on_min: float
    light_off_min: float
    ramp_min: float
    start_min: float

    def since_on_min(self, elapsed_min: Array) -> Array:
        """Minutes since the lamp last came on. [min]"""
        since: Array = (self.start_min + elapsed_min - self.light_on_min) % DAY_MIN
        return since


@dataclass(frozen=True)
class GasSpell:
    """A stretch of open valve: hours since the start, the feed set meanwhile, how long the line fills.

    `line_lag_min` passes before the first gas arrives; what the line then holds runs out again after the
    valve shuts, over twice that time. A spell that only changes the feed has none.
    """

    start_h: float
    end_h: float
    feed_mg_h: float
    line_lag_min: float = 0.0


def course(
    lamp: Lamp, spells: Sequence[GasSpell], *, span_h: tuple[float, float], step_min: float
) -> Forcing:
    """The time grid of a course and what lamp and gas do on it; gas as a share of 1 mg/h of set feed.

    Parameters
    ----------
    lamp : Lamp
    spells : sequence of GasSpell
        May overlap in their tails; feeds add up.
    span_h : tuple of float
        Start and end, hours since the course's own start. [h]
    step_min : float
        The longest step. [min]

    Returns
    -------
    Forcing
        Nodes count minutes since the course's own start; `gas_frac` has one column, in mg/h. No air pump,
        meals or afternoon sag: their mean is part of what the readings tell.
    """
    first, last = span_h[0] * 60.0, max(span_h[1] * 60.0, span_h[0] * 60.0 + 0.5)
    marks = {first, last} | {m for m in _lamp_marks(lamp, first, last) if first < m < last}
    for spell in spells:
        marks |= {round(m, 3) for m in _spell_marks(spell) if first < m < last}
    ordered = sorted(marks)
    pieces = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / step_min - 1e-9))) + 1)[:-1]
        for a, b in itertools.pairwise(ordered)
        if b - a > 1e-3
    ]
    nodes = np.append(np.concatenate(pieces), last)
    width = np.diff(nodes)[:, None]
    nudge = np.minimum(NUDGE_MIN, width / 4)
    inside = nodes[:-1, None] + np.hstack([nudge, width / 2, width - nudge])
    clock = Clock(lamp.light_on_min, lamp.light_off_min, 0.0, 0.0, lamp.ramp_min)
    since = lamp.since_on_min(inside)
    gas = np.zeros_like(inside)
    for spell in spells:
        gas += spell.feed_mg_h * _share(spell, inside)
    return Forcing(
        nodes_min=nodes,
        light_frac=light_share_frac(clock, since),
        gas_frac=gas[..., None],
        night_frac=night_share_frac(clock, since),
        air_frac=np.zeros_like(inside),
        meal_frac=np.zeros_like(inside),
        afternoon_frac=np.zeros_like(inside),
    )


def _lamp_marks(lamp: Lamp, first_min: float, last_min: float) -> list[float]:
    marks = {lamp.light_on_min, lamp.light_off_min}
    if lamp.ramp_min > 0:
        marks |= {lamp.light_on_min + lamp.ramp_min, lamp.light_off_min - lamp.ramp_min}
    days = range(int(first_min // DAY_MIN) - 1, int(last_min // DAY_MIN) + 2)
    return [round((mark - lamp.start_min) % DAY_MIN + DAY_MIN * day, 3) for mark in marks for day in days]


def _spell_marks(spell: GasSpell) -> list[float]:
    start, end = spell.start_h * 60.0, spell.end_h * 60.0
    return [start, end, min(start + spell.line_lag_min, end), end + 2 * spell.line_lag_min]


def _share(spell: GasSpell, minute_min: Array) -> Array:
    """The share of the set feed that reaches the diffuser."""
    start, end, lag = spell.start_h * 60.0, spell.end_h * 60.0, spell.line_lag_min
    full = np.where((minute_min >= min(start + lag, end)) & (minute_min < end), 1.0, 0.0)
    if lag <= 0:
        return full
    since = minute_min - end
    return full + np.where(since >= 0, np.maximum(1.0 - since / (2.0 * lag), 0.0), 0.0)


def mean_feed_mg_h(spells: Sequence[GasSpell], start_h: float, end_h: float) -> float:
    """The set feed as a mean over some hours, shut times counted. [mg/h]"""
    inside = sum(s.feed_mg_h * max(min(s.end_h, end_h) - max(s.start_h, start_h), 0.0) for s in spells)
    return inside / max(end_h - start_h, 1e-9)
