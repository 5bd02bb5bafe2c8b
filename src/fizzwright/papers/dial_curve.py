"""Today at the tank, small enough for a phone beside it: expected CO2, today's readings, now, the limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.curves import Trace, spells
from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, path, polyline, rect
from fizzwright.papers.words import fixed, in_words, range_text
from fizzwright.result import Estimate
from fizzwright.stages.dial_result import Ahead
from fizzwright.stages.plan_result import PlanResult

__all__ = ["DialDay", "dial_curve"]

_LEFT, _RIGHT, _TOP, _FOOT = 30, 350, 12, 106


@dataclass(frozen=True)
class DialDay:
    """What was read today and what comes: clock in minutes after midnight, each reading with its CO2.

    `ahead` starts at the last reading, at `ahead_from_min` of today's clock; None where nothing was read.
    """

    readings: Sequence[tuple[float, Estimate]]
    now_min: float
    ahead: Ahead | None = None
    ahead_from_min: float = 0.0


def dial_curve(plan: PlanResult, day: DialDay) -> str:
    """The day so far and the rest of it, 358 wide; dashed ahead of now."""
    board = Board(358, 128, narrow=True)
    x = Axis(0.0, 1440.0, _LEFT, _RIGHT)
    y = Axis(0.0, _most(plan, day), _FOOT, _TOP)
    lit = spells(plan.light_on_min, plan.light_off_min)
    for start, end in _dark(lit):
        board.add(rect("shade", Box(x(start), _TOP, x(end), _FOOT)))
    for tick in ticks(0.0, y.end, nice_step(y.end, 3)):
        board.add(line("hair", (_LEFT, y(tick)), (_RIGHT, y(tick))))
        board.write((_LEFT - 6, y(tick) + 4.5), fixed(tick, 0), "t12 tp me")
    _expected(board, plan, day, (x, y))
    for start, end in lit:
        for value in (plan.target_low_mg_l, plan.target_high_mg_l):
            board.add(line("thin dash", (x(start), y(value)), (x(end), y(value))))
    _ceiling(board, plan, y)
    for minute, estimate in day.readings:
        at = x(minute)
        board.add(
            line("mid", (at, y.held(estimate.low)), (at, y.held(estimate.high))),
            circle("dot", (at, y.held(estimate.value)), 4),
        )
    board.add(line("thin", (x(day.now_min), _TOP - 4), (x(day.now_min), _FOOT)))
    board.add(line("ln", (_LEFT, _FOOT), (_RIGHT, _FOOT)))
    for hour in range(0, 25, 4):
        board.write((x(60 * hour), 123), f"{hour:02d}", "t12 tp mm")
    return board.finish("today", "Today so far", _words(plan, day)).replace(
        'class="narrow"', 'class="mini"', 1
    )


def _most(plan: PlanResult, day: DialDay) -> float:
    highs = [plan.ceiling.soft_mg_l * 1.12, plan.day.co2_high_mg_l.max() * 1.02]
    highs += [estimate.high for _, estimate in day.readings]
    if day.ahead is not None:
        highs.append(float(day.ahead.co2_high_mg_l.max()) * 1.02)
    return float(min(max(highs), 3.0 * plan.ceiling.soft_mg_l))


def _dark(lit: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    edges = [0, *(edge for spell in lit for edge in spell), 1440]
    return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]


def _drawn(
    clock_min: NDArray[np.float64], curves: tuple[NDArray[np.float64], ...], axes: tuple[Axis, Axis]
) -> Trace:
    x, y = axes
    low, middle, high = (np.array([y.held(float(v)) for v in curve]) for curve in curves)
    return Trace(np.array([x(float(t)) for t in clock_min]), low, middle, high)


def _expected(board: Board, plan: PlanResult, day: DialDay, axes: tuple[Axis, Axis]) -> None:
    """The planned day up to the last reading, and what the readings say of the rest."""
    of_plan = (plan.day.co2_low_mg_l, plan.day.co2_mg_l, plan.day.co2_high_mg_l)
    if day.ahead is None:
        trace = _drawn(plan.day.clock_min, of_plan, axes)
        board.add(path("gast", trace.band()))
        _cut(board, trace, axes[0](day.now_min))
        return
    planned = _drawn(plan.day.clock_min, of_plan, axes)
    board.add(path("tick", planned.curve()))
    clock = day.ahead_from_min + 60.0 * day.ahead.hours_h
    today = (clock >= 0.0) & (clock <= 1440.0)
    if today.sum() < 2:
        return
    of_ahead = (day.ahead.co2_low_mg_l, day.ahead.co2_mg_l, day.ahead.co2_high_mg_l)
    trace = _drawn(clock[today], tuple(curve[today] for curve in of_ahead), axes)
    board.add(path("gast", trace.band()))
    _cut(board, trace, axes[0](day.now_min))


def _cut(board: Board, trace: Trace, now: float) -> None:
    """Solid behind now, dashed ahead."""
    for css, keep in (("gas", trace.x <= now), ("gas dash", trace.x >= now)):
        points = [(float(a), float(b)) for a, b in zip(trace.x[keep], trace.y[keep], strict=True)]
        if len(points) > 1:
            board.add(path(css, polyline(points)))


def _ceiling(board: Board, plan: PlanResult, y: Axis) -> None:
    at = y(plan.ceiling.soft_mg_l)
    ends = (_LEFT, at), (_RIGHT, at)
    board.add(path("hatch", hatch_line(*ends, side=-1, length=6)), line("mid", *ends))
    board.write((_LEFT + 4, at + 15), f"ceiling {fixed(plan.ceiling.soft_mg_l, 0)}", "t12 halo")


def _words(plan: PlanResult, day: DialDay) -> str:
    target = range_text(fixed(plan.target_low_mg_l, 0), fixed(plan.target_high_mg_l, 0)).replace("\u2060", "")
    told = f"Target {target} mg/L while lit, starting ceiling {fixed(plan.ceiling.soft_mg_l, 0)}. "
    if not day.readings:
        return f"{told}Nothing read today. The planned day peaks at {in_words(plan.co2_peak_mg_l)}."
    last = day.readings[-1][1]
    return f"{told}{len(day.readings)} read today, the last at {in_words(last)}."
