"""The day strip: CO2, pH, oxygen and their risk over one day, lamp and gas on the same clock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from fizzwright.catalogue.limits import O2_FLOOR_MG_L
from fizzwright.papers import day_drawn as drawn
from fizzwright.papers.curves import Obstacles, Trace, place, spells
from fizzwright.papers.day_clock import axis_drawn, clock_rows
from fizzwright.papers.day_gutter import gutter
from fizzwright.papers.day_panels import (
    Curve,
    DayReading,
    Frame,
    Panel,
    co2_panel,
    o2_panel,
    ph_panel,
    risk_panel,
)
from fizzwright.papers.scales import Axis
from fizzwright.papers.svg import Board, Box, circle, line, path
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import clock, fixed, in_words, range_text
from fizzwright.stages.plan_result import PlanResult

__all__ = ["DayReading", "day_strip_desk", "day_strip_paper", "day_strip_phone"]

_DESK = Frame(1196, 92, 964, (236, 96, 96, 72), 10, 26, 2)
_PAPER = Frame(800, 68, 602, (168, 64, 72, 58), 10, 22, 2)
_PHONE = Frame(358, 40, 349, (196, 92, 92, 84), 22, 40, 4, narrow=True)


@dataclass(frozen=True)
class _Extras:
    readings: tuple[DayReading, ...]
    now_min: float | None


def day_strip_desk(
    plan: PlanResult,
    *,
    prefix: str = "day",
    readings: Sequence[DayReading] = (),
    now_min: float | None = None,
) -> str:
    """One day in the water as a wide SVG, with names and limits in the gutters.

    `readings` are set on their curves; `now_min` draws a line through all panels with a read-out.
    """
    return _strip(plan, _DESK, prefix, _Extras(tuple(readings), now_min))


def day_strip_paper(
    plan: PlanResult,
    *,
    prefix: str = "day",
    readings: Sequence[DayReading] = (),
    now_min: float | None = None,
) -> str:
    """The same strip for the width of an A4 page."""
    return _strip(plan, _PAPER, prefix, _Extras(tuple(readings), now_min))


def day_strip_phone(
    plan: PlanResult,
    *,
    prefix: str = "day-phone",
    readings: Sequence[DayReading] = (),
    now_min: float | None = None,
) -> str:
    """The same strip 358 wide: names over the panels, limits written on their lines."""
    return _strip(plan, _PHONE, prefix, _Extras(tuple(readings), now_min))


def _strip(plan: PlanResult, frame: Frame, prefix: str, extras: _Extras) -> str:
    shown_panels = (
        co2_panel(plan, frame),
        ph_panel(plan),
        o2_panel(plan, frame),
        *(() if plan.risk is None else (risk_panel(plan.risk, plan.day.clock_min, frame),)),
    )
    heights = frame.heights[: len(shown_panels)]
    rows = 84 if frame.narrow else 40
    height = frame.top + sum(heights) + (len(heights) - 1) * frame.gap + 16 + rows + 28
    board = Board(frame.width, height, narrow=frame.narrow)
    top = frame.top
    for panel, tall in zip(shown_panels, heights, strict=True):
        _panel(board, frame, panel, (top, tall), plan, extras)
        top += tall + frame.gap
    bottom = clock_rows(board, frame, plan, top - frame.gap + 16)
    axis_drawn(board, frame, bottom + 2)
    return board.finish(prefix, "One day in the water", _words(plan, extras))


def _panel(
    board: Board, frame: Frame, panel: Panel, room: tuple[Px, Px], plan: PlanResult, extras: _Extras
) -> None:
    top, height = room
    y = panel.axis(top, height)
    lit = list(spells(plan.light_on_min, plan.light_off_min))
    drawn.ground(board, frame, panel, top, height, _dark(lit))
    trace = drawn.trace_of(panel, frame, y, plan.day.clock_min)
    board.add(path(f"{panel.colour}t", trace.band()))
    lines = drawn.limits_drawn(board, frame, panel, y, lit)
    board.add(path(panel.colour, trace.curve()))
    drawn.key_dot(board, frame, panel, y)
    of_panel = [r for r in extras.readings if r.of == panel.of]
    lines = (*lines, *drawn.readings_drawn(board, frame, y, of_panel))
    spots = drawn.inside(frame, panel, trace, y, lines)
    if frame.narrow:
        _phone_words(board, frame, panel, top, spots, lit)
    else:
        board.write((0, top + 12), panel.name, "tb")
        board.write((0, top + 28), panel.unit, "t12 tp")
        gutter(board, frame, panel, top, height)
    if extras.now_min is not None:
        _now(board, frame, panel, (top, height), spots, (extras.now_min, plan.day.clock_min))
    if panel.of == "co2":
        _pointers(board, frame, trace, spots)


def _dark(lit: list[tuple[int, int]]) -> list[tuple[int, int]]:
    edges = [0, *(edge for spell in lit for edge in spell), 1440]
    return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]


def _now(
    board: Board,
    frame: Frame,
    panel: Panel,
    room: tuple[Px, Px],
    spots: Obstacles,
    moment: tuple[float, Curve],
) -> None:
    """The present: a hair line through the panel with a read-out beside it."""
    minute, clock_min = moment
    x = frame.time(minute)
    top, height = room
    # Between wide panels the line runs on; on a phone their names stand there.
    start = top if frame.narrow or top <= frame.top else top - frame.gap
    board.add(line("thin", (x, start), (x, top + height)))
    low, middle, high = (float(np.interp(minute, clock_min, curve)) for curve in panel.curves)
    places = 2 if panel.of in ("ph", "risk") else 1
    words = f"{fixed(middle, places)} ({range_text(fixed(low, places), fixed(high, places))})"
    loose = Obstacles(Box(frame.left, top, board.width, top + height))
    choices = [(f"{clock(minute)}\u00a0 {words}", spots)] if panel.of == "co2" else []
    for text, obstacles in [*choices, (words, spots), (words, loose)]:
        css = "t12 halo" if obstacles is loose else "t12"
        left = x - 5 - board.width_of(text.replace("\u2060", ""), css)
        rows = [top + 14 + 5 * i for i in range(int((height - 14) / 5))]
        if place(board, text, css, [(side, row) for side in (x + 5, left) for row in rows], obstacles):
            return


def _phone_words(
    board: Board, frame: Frame, panel: Panel, top: Px, spots: Obstacles, lit: list[tuple[int, int]]
) -> None:
    """Name and key number over the panel; limits on their lines."""
    unit = f", {panel.unit}" if panel.unit else ""
    board.write((0, top - 9), f"{panel.name}{unit}", "tb")
    limits = f" ({panel.key.under})" if panel.key.under else ""
    board.write((frame.right, top - 9), f"{panel.key.words}{limits}", "t12 me")
    y = Axis(panel.reach[0], panel.reach[1], top + frame.heights[_INDEX[panel.of]], top)
    widest = frame.right - frame.left - 8
    over = Obstacles(Box(frame.left, top - 4, frame.right, y.at_start + 4), spots.trace, ())
    for wall in panel.walls:
        at = y(wall.value)
        words = f"{wall.words}, {wall.under.split(';')[0]}" if wall.under else wall.words
        (text,) = wrap(words, widest, board.size("t12"), lines=1)
        base = at - 12 if wall.side < 0 else at - 5
        _on_line(board, text, [(frame.left + 4 + 12 * i, base) for i in range(14)], over)
    if panel.target is not None:
        words = "target " + range_text(*(fixed(v, 0 if v == round(v) else 1) for v in panel.target))
        _on_line(board, words, list(_target_spots(board, frame, words, panel.target, y, lit)), spots)
    if panel.rest is not None:
        at = y(panel.rest[0])
        bases = (at - 5, at + 15)
        _on_line(
            board, panel.rest[1], [(frame.left + 4 + 12 * i, b) for b in bases for i in range(16)], spots
        )


_INDEX = {"co2": 0, "ph": 1, "o2": 2, "risk": 3}


def _target_spots(
    board: Board, frame: Frame, words: str, target: tuple[Px, Px], y: Axis, lit: list[tuple[int, int]]
) -> Iterator[tuple[Px, Px]]:
    """On the dashed lines, between them, or at their ends."""
    start, end = max(lit, key=lambda spell: spell[1] - spell[0])
    left, right = frame.time(start), frame.time(end)
    low, high, wide = y(target[0]), y(target[1]), board.width_of(words, "t12")
    for base in (high - 5, low + 15, (low + high) / 2 + 5):
        yield from ((x, base) for x in _steps(left + 3, right - wide))
    for base in (high + 4, low + 4, (low + high) / 2 + 5):
        yield (left - 6 - wide, base)
        yield (right + 6, base)


def _steps(start: Px, end: Px) -> list[Px]:
    return [start + 6 * i for i in range(max(int((end - start) / 6), 0) + 1)]


def _on_line(board: Board, words: str, spots: list[tuple[Px, Px]], obstacles: Obstacles) -> None:
    """Write at the first clear spot; failing that, on the curve but clear of every other word."""
    if place(board, words, "t12", spots, obstacles):
        return
    loose = Obstacles(Box(0, 0, board.width, board.height))
    place(board, words, "t12 halo", spots, loose)


def _pointers(board: Board, frame: Frame, trace: Trace, spots: Obstacles) -> None:
    """Point out the curve and its band once, where there is room."""
    shares = (0.86, 0.9, 0.82, 0.78, 0.93, 0.72, 0.1, 0.16, 0.22, 0.28, 0.5, 0.6, 0.4)
    for words, css, part in (("90\u00a0% band", "t12 tp", 0.5), ("expected", "t12 tg", 1.0)):
        for share, away in ((s, a) for a in (20, 30, 44) for s in shares):
            x = frame.left + share * (frame.right - frame.left)
            upper, middle, lower = trace.edges_at(x)
            tip = middle + (upper - middle) * (1 - part) if part == 1.0 else (upper + middle) / 2
            if place(board, words, css, [(x + 10, upper - away)], spots):
                board.add(line("thin", (x + 8, upper - away + 1), (x, tip)), circle("sk", (x, tip), 1.6))
                break
            tip = middle if part == 1.0 else (lower + middle) / 2
            if place(board, words, css, [(x + 10, lower + away + 8)], spots):
                board.add(line("thin", (x + 8, lower + away + 3), (x, tip)), circle("sk", (x, tip), 1.6))
                break


def _words(plan: PlanResult, extras: _Extras) -> str:
    """The strip for somebody who cannot see it."""
    peak_at = plan.day.clock_min[int(plan.day.co2_mg_l.argmax())]
    low_ph, low_o2 = float(plan.day.ph.min()), float(plan.day.o2_mg_l.min())
    gas = f"from {clock(plan.gas_on_min)} to {clock(plan.gas_off_min)}"
    if (plan.gas_off_min - plan.gas_on_min) % 1440 == 0:
        gas = "all day"
    read = f" {len(extras.readings)} readings are set on the curves." if extras.readings else ""
    return (
        f"Gas {gas}, lamp from {clock(plan.light_on_min)} to {clock(plan.light_off_min)}. "
        f"Dissolved carbon dioxide stands at {in_words(plan.co2_at_lights_on_mg_l)} at lights-on and "
        f"peaks at "
        f"{in_words(plan.co2_peak_mg_l)} near {clock(peak_at)}; target {_target_words(plan)} mg/L "
        f"while the lamp is lit; "
        f"starting ceiling {fixed(plan.ceiling.soft_mg_l, 1)} mg/L set by {plan.ceiling.set_by}. "
        f"pH falls to {fixed(low_ph, 2)}. Oxygen stays above {fixed(low_o2, 1)} mg/L in the middle of "
        f"its band, "
        f"{in_words(plan.o2_dawn_mg_l)} at dawn, floor {fixed(O2_FLOOR_MG_L, 1)}. Bands hold "
        f"nine days in ten.{_risk_words(plan)}{read}"
    )


def _risk_words(plan: PlanResult) -> str:
    """The risk panel as words; a tank without animals has none."""
    if plan.risk is None:
        return ""
    return (
        f" Carbon dioxide and oxygen as one risk are highest near {clock(plan.risk.peak_at_min)}, "
        f"{in_words(plan.risk.peak_number)}; the alarm is at 1."
    )


def _target_words(plan: PlanResult) -> str:
    """The target as words."""
    return f"{fixed(plan.target_low_mg_l, 1)} to {fixed(plan.target_high_mg_l, 1)}"
