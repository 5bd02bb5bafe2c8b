"""How one panel of the day strip is drawn: ground, curves, limits, readings."""

from __future__ import annotations

import numpy as np

from fizzwright.papers.curves import Obstacles, Trace
from fizzwright.papers.day_panels import Curve, DayReading, Frame, Panel
from fizzwright.papers.scales import Axis, ticks
from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, path, rect
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import fixed

__all__ = ["ground", "inside", "key_dot", "limits_drawn", "readings_drawn", "trace_of"]


def ground(
    board: Board, frame: Frame, panel: Panel, top: Px, height: Px, dark: list[tuple[int, int]]
) -> None:
    """Dark hours, grid and tick figures."""
    time, y = frame.time, panel.axis(top, height)
    for start, end in dark:
        board.add(rect("shade", Box(time(start), top, time(end), top + height)))
    for tick in ticks(*panel.reach, panel.step):
        board.add(line("hair", (frame.left, y(tick)), (frame.right, y(tick))))
        board.write((frame.left - 8, y(tick) + 4.5), fixed(tick, panel.places), "t12 tp me")


def trace_of(panel: Panel, frame: Frame, y: Axis, clock_min: Curve) -> Trace:
    """The panel's curves in drawing pixels."""
    time = frame.time
    low, middle, high = (np.array([y.held(float(v)) for v in curve]) for curve in panel.curves)
    return Trace(np.array([time(float(t)) for t in clock_min]), low, middle, high)


def limits_drawn(
    board: Board, frame: Frame, panel: Panel, y: Axis, lit: list[tuple[int, int]]
) -> tuple[Box, ...]:
    """Target, walls and the level at rest; hands back where their lines run."""
    taken: list[Box] = []
    time = frame.time
    if panel.target is not None:
        for start, end in lit:
            for value in panel.target:
                at = y(value)
                board.add(line("mid dash", (time(start), at), (time(end), at)))
                taken.append(Box(time(start), at - 1, time(end), at + 1))
    if panel.rest is not None:
        at = y(panel.rest[0])
        board.add(line("tick chain", (frame.left, at), (frame.right, at)))
        taken.append(Box(frame.left, at - 0.5, frame.right, at + 0.5))
    for wall in panel.walls:
        at = y(wall.value)
        ends = (frame.left, at), (frame.right, at)
        board.add(path("hatch", hatch_line(*ends, side=wall.side)), line("mid", *ends))
        near, far = sorted((at, at + 8 * wall.side))
        taken.append(Box(frame.left, near - 1, frame.right, far + 1))
    return tuple(taken)


def key_dot(board: Board, frame: Frame, panel: Panel, y: Axis) -> None:
    """A dot where the panel's key number stands."""
    board.add(circle(f"{panel.colour}f", (frame.time(panel.key.clock_min), y.held(panel.key.value)), 3))


def readings_drawn(board: Board, frame: Frame, y: Axis, readings: list[DayReading]) -> tuple[Box, ...]:
    """Readings as paper-filled rings with whiskers; one set aside stays in sight, struck through."""
    taken = []
    for reading in readings:
        x, at = frame.time(reading.clock_min), y.held(reading.estimate.value)
        low, high = y.held(reading.estimate.low), y.held(reading.estimate.high)
        board.add(line("ln", (x, low), (x, high)), circle("dot", (x, at), 4))
        if reading.set_aside:
            board.add(line("mid", (x - 6, at + 6), (x + 6, at - 6)))
        taken.append(Box(x - 6, min(high, at - 6), x + 6, max(low, at + 6)))
    return tuple(taken)


def inside(frame: Frame, panel: Panel, trace: Trace, y: Axis, lines: tuple[Box, ...]) -> Obstacles:
    """Where words may stand in the panel: clear of band and lines, on the near side of every wall."""
    top, bottom = y.at_end, y.at_start
    for wall in panel.walls:
        at = y(wall.value)
        if wall.side < 0 and float(trace.high_y.min()) > at:
            top = at
        if wall.side > 0 and float(trace.low_y.max()) < at:
            bottom = at
    return Obstacles(Box(frame.left + 2, top + 2, frame.right - 2, bottom - 2), trace, lines)
