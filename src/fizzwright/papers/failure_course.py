"""One fault over hours: CO2 with its band, the usual day as a thin line, the ceiling as a wall.

All courses of one tank share the height of their scale, so that they can be set beside one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fizzwright.catalogue.room_air import EIGHT_HOUR_PPM
from fizzwright.papers.curves import Obstacles, Trace, place, thinned
from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, path, polyline, rect
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import clock, fixed, in_words, percent, round_figure
from fizzwright.stages.failures_result import FailureCourse, FailuresResult, RoomRelease

__all__ = [
    "Lamp",
    "failure_course_desk",
    "failure_course_paper",
    "failure_course_phone",
    "more_than_usual",
    "room_course_paper",
]

_HOUR_STEPS = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0)
# A course far over the hard stop runs off the top, so that the others keep a shape.
_MOST_OVER_HARD = 2.2
_CHANCE_FRAC = 0.02


@dataclass(frozen=True)
class Lamp:
    """The lamp's hours, for the shade of the dark ones."""

    on_min: int
    off_min: int


def more_than_usual(share_frac: float, usual_frac: float) -> bool:
    """Whether a fault takes more draws over a level than an ordinary day does, by more than chance."""
    return share_frac > usual_frac + _CHANCE_FRAC


def failure_course_desk(
    found: FailuresResult, course: FailureCourse, lamp: Lamp, *, prefix: str = "fault"
) -> str:
    """One fault for a third of a wide page."""
    return _course(found, course, lamp, (Board(380, 178), prefix))


def failure_course_paper(
    found: FailuresResult, course: FailureCourse, lamp: Lamp, *, prefix: str = "fault"
) -> str:
    """The same for a third of the width of an A4 page."""
    return _course(found, course, lamp, (Board(254, 118), prefix))


def failure_course_phone(
    found: FailuresResult, course: FailureCourse, lamp: Lamp, *, prefix: str = "fault-phone"
) -> str:
    """The same 358 wide."""
    return _course(found, course, lamp, (Board(358, 176, narrow=True), prefix))


def _course(found: FailuresResult, course: FailureCourse, lamp: Lamp, sheet: tuple[Board, str]) -> str:
    board, prefix = sheet
    x, y = _axes(board, course.hours_h, _top(found))
    board.write((0, 13), "CO₂, mg/L", "t12 tp")
    for start, end in _dark_h(course, lamp):
        board.add(rect("shade", Box(x.held(start), y.at_end, x.held(end), y.at_start)))
    _grid(board, x, y)
    low, middle, high, usual = (
        np.array([y.held(float(v)) for v in curve])
        for curve in (course.co2_low_mg_l, course.co2_mg_l, course.co2_high_mg_l, course.usual_co2_mg_l)
    )
    across = np.array([x(float(h)) for h in course.hours_h])
    trace = Trace(across, low, middle, high)
    board.add(path("gast", trace.band()))
    wall = _wall(board, x, y, course.ceiling_mg_l)
    board.add(path("thin", polyline(thinned(across, usual))), path("gas", trace.curve()))
    if more_than_usual(course.p_ceiling_frac, found.p_usual_ceiling_frac):
        wall += _reached(board, x, y, course)
    _names(board, (x, y), course, (trace, usual, wall))
    return board.finish(prefix, f"{course.name[:1].upper()}{course.name[1:]}", _words(course))


def _top(found: FailuresResult) -> Px:
    """The height all courses of a tank share."""
    base = max(found.hard_mg_l, found.ceiling_mg_l, 1.0)
    most = max((float(c.co2_high_mg_l.max()) for c in found.courses), default=base)
    return min(max(1.25 * base, 1.04 * most), _MOST_OVER_HARD * base)


def _axes(board: Board, hours: Sequence[float] | np.ndarray, top: Px) -> tuple[Axis, Axis]:
    left = 10 + board.width_of("0.0" if top < 20 else "0" * len(fixed(top, 0)), "t12")
    return (
        Axis(float(hours[0]), float(hours[-1]), left, board.width - 20),
        Axis(0.0, top, board.height - 24, 22.0),
    )


def _dark_h(course: FailureCourse, lamp: Lamp) -> list[tuple[float, float]]:
    """The usual dark hours along the course, in hours from its start."""
    begin, length = course.begins_min, (lamp.off_min - lamp.on_min) % 1440 or 1440
    last = float(course.hours_h[-1])
    if length == 1440:
        return []
    dark = []
    for day in range(-2, int(last / 24) + 2):
        start = (1440 * day + lamp.on_min + length - begin) / 60
        end = (1440 * (day + 1) + lamp.on_min - begin) / 60
        if end > 0 and start < last:
            dark.append((max(start, 0.0), min(end, last)))
    return dark


def _grid(board: Board, x: Axis, y: Axis) -> None:
    step = nice_step(y.end - y.start, 3)
    for tick in ticks(y.start, y.end, step):
        board.add(line("hair", (x.at_start, y(tick)), (x.at_end, y(tick))))
        text = fixed(tick, 0 if step == round(step) else 1)
        board.write((x.at_start - 6, y(tick) + 4.5), text, "t12 tp me")
    board.add(line("ln", (x.at_start, y.at_start), (x.at_end, y.at_start)))
    apart = next((s for s in _HOUR_STEPS if (x.end - x.start) / s <= 6.5), _HOUR_STEPS[-1])
    hours = ticks(x.start, x.end, apart)
    for hour in hours:
        board.add(line("ln", (x(hour), y.at_start), (x(hour), y.at_start + 4)))
        end = board.write((x(hour), y.at_start + 18), fixed(hour, 0), "t12 tp mm").right
    board.write((end + 2, y.at_start + 18), "h", "t12 tp")


def _wall(board: Board, x: Axis, y: Axis, level: float) -> list[Box]:
    if not y.start < level < y.end:
        return []
    ends = (x.at_start, y(level)), (x.at_end, y(level))
    board.add(path("hatch", hatch_line(*ends, side=-1, length=6)), line("mid", *ends))
    return [Box(x.at_start, y(level) - 7, x.at_end, y(level) + 1)]


def _reached(board: Board, x: Axis, y: Axis, course: FailureCourse) -> list[Box]:
    """When the ceiling is passed: a dot on it and a bar for nine of ten of the draws that do."""
    after = course.to_ceiling_h
    if after is None or not y.start < course.ceiling_mg_l < y.end:
        return []
    at = y(course.ceiling_mg_l)
    board.add(line("pipe", (x.held(after.low), at), (x.held(after.high), at)))
    board.add(circle("dot", (x.held(after.value), at), 4))
    return [Box(x.held(after.low), at - 5, x.held(after.high), at + 5)]


def _names(
    board: Board,
    axes: tuple[Axis, Axis],
    course: FailureCourse,
    drawn: tuple[Trace, np.ndarray, list[Box]],
) -> None:
    """The ceiling and the usual day named on their lines, where there is room."""
    (x, y), (trace, usual, taken) = axes, drawn
    taken = [*taken, *_thin_boxes(Trace(trace.x, usual, usual, usual))]
    frame = Box(x.at_start + 2, y.at_end, x.at_end, y.at_start - 2)
    words = f"ceiling {round_figure(course.ceiling_mg_l)}"
    wide = board.width_of(words, "t12")
    steps = [x.at_start + 4 + 6 * i for i in range(int((x.at_end - x.at_start) / 6))]
    if y.start < course.ceiling_mg_l < y.end:
        at = y(course.ceiling_mg_l)
        spots = [(left, base) for base in (at - 11, at + 15) for left in steps]
        inside = [(left, base) for left, base in spots if left + wide < x.at_end]
        place(board, words, "t12", inside, _free(frame, trace, taken))
    if not bool(np.max(np.abs(usual - trace.y)) > 4):
        return
    far = sorted(steps, key=lambda s: -abs(float(np.interp(s, trace.x, usual - trace.y))))
    free = _free(frame, trace, taken)
    for left in far:
        at = float(np.interp(left, trace.x, usual))
        for base in (at - 6, at + 14):
            if place(board, "usual day", "t12 tp", [(left, base)], free) is not None:
                return


def _free(frame: Box, trace: Trace, taken: list[Box]) -> Obstacles:
    return Obstacles(frame, trace, tuple(taken))


def _thin_boxes(trace: Trace) -> list[Box]:
    """A thin line as small boxes, for words to keep clear of."""
    pairs = zip(zip(trace.x, trace.y, strict=True), zip(trace.x[1:], trace.y[1:], strict=True), strict=False)
    return [
        Box(float(x0), float(min(y0, y1)) - 1, float(x1), float(max(y0, y1)) + 1)
        for (x0, y0), (x1, y1) in pairs
    ]


def _words(course: FailureCourse) -> str:
    after = course.to_ceiling_h
    passes = (
        "The ceiling is not reached"
        if after is None
        else f"The ceiling is passed after {in_words(after)} in {percent(course.p_ceiling_frac)} of the draws"
    )
    return (
        f"From {clock(course.begins_min)}, {fixed(float(course.hours_h[-1]), 0)} hours: carbon dioxide "
        f"peaks at {in_words(course.co2_peak_mg_l)}, starting ceiling {round_figure(course.ceiling_mg_l)}; "
        f"oxygen falls to {in_words(course.o2_least_mg_l)}. {passes}. The thin line is the usual "
        "day, the band holds nine draws in ten."
    )


def room_course_paper(room: RoomRelease, *, prefix: str = "room") -> str:
    """The mixed room after a whole bottle, under the 8-hour workplace figure."""
    board = Board(254, 118)
    top = max(1.25 * EIGHT_HOUR_PPM, 1.05 * float(room.room_ppm.max()))
    x, y = _axes(board, room.hours_h, top / 1000)
    board.write((0, 13), "CO₂ in the room, 1000 ppm", "t12 tp")
    _grid(board, x, y)
    across = np.array([x(float(h)) for h in room.hours_h])
    middle = np.array([y.held(float(v) / 1000) for v in room.room_ppm])
    trace = Trace(across, middle, middle, middle)
    taken = _wall(board, x, y, EIGHT_HOUR_PPM / 1000)
    board.add(path("gas", trace.curve()))
    at = y(EIGHT_HOUR_PPM / 1000)
    steps = [x.at_start + 4 + 6 * i for i in range(30)]
    free = _free(Box(x.at_start + 2, y.at_end - 2, x.at_end, y.at_start - 2), trace, taken)
    place(board, "8-hour figure 5", "t12", [(s, b) for b in (at + 15, at - 11) for s in steps], free)
    words = f"The mixed room begins at {fixed(room.peak_ppm, 0)} ppm, {room.verdict}."
    return board.finish(prefix, "The room with the whole bottle let go", words)
