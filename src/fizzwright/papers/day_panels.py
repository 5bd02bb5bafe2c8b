"""One panel of the day strip: what stands in it and how it is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.limits import O2_FLOOR_MG_L
from fizzwright.papers.curves import Obstacles, Trace
from fizzwright.papers.scales import Axis, nice_step, spread, ticks
from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, num, path, polyline, rect
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import clock, fixed, range_text, shown
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import DayCurves, PlanResult

__all__ = ["DayReading", "Frame", "Key", "Panel", "Wall", "co2_panel", "o2_panel", "ph_panel"]

Curve = NDArray[np.float64]
Of = Literal["co2", "ph", "o2"]


@dataclass(frozen=True)
class DayReading:
    """A reading to set on the strip: when, of what, with its own band; `set_aside` strikes it through."""

    clock_min: float
    of: Of
    estimate: Estimate
    set_aside: bool = False


@dataclass(frozen=True)
class Frame:
    """The skeleton of one strip: its width, the ends of the time axis, panel heights, spaces."""

    width: Px
    left: Px
    right: Px
    heights: tuple[Px, Px, Px]
    top: Px
    gap: Px
    hour_step: int
    narrow: bool = False

    @property
    def time(self) -> Axis:
        """Minutes of the day along the strip."""
        return Axis(0.0, 1440.0, self.left, self.right)

    @property
    def gutter(self) -> tuple[Px, Px]:
        """Left and right end of the words at the right of the panels."""
        return self.right + 22, self.width


@dataclass(frozen=True)
class Wall:
    """A limit drawn as a wall, hatched on the forbidden side (-1 above, +1 below)."""

    value: Px
    side: int
    words: str
    under: str = ""


@dataclass(frozen=True)
class Key:
    """The one number of a panel that the reader should take away, and where it stands on the curve."""

    words: str
    under: str
    clock_min: Px
    value: Px


@dataclass(frozen=True)
class Panel:
    """Everything one panel shows, in the unit of its quantity."""

    of: Of
    name: str
    unit: str
    colour: str
    curves: tuple[Curve, Curve, Curve]
    reach: tuple[Px, Px]
    step: Px
    key: Key
    walls: tuple[Wall, ...] = ()
    target: tuple[Px, Px] | None = None
    rest: tuple[Px, str] | None = None

    def axis(self, top: Px, height: Px) -> Axis:
        """The quantity up the panel."""
        return Axis(self.reach[0], self.reach[1], top + height, top)

    @property
    def places(self) -> int:
        """Decimals the ticks need."""
        return next((n for n in range(3) if abs(round(self.step, n) - self.step) < 1e-9), 2)


def co2_panel(plan: PlanResult, frame: Frame) -> Panel:
    """Dissolved CO2 with the target and the animals' starting ceiling."""
    day, soft = plan.day, plan.ceiling.soft_mg_l
    room = 30.0 if frame.narrow else 20.0
    top = max(
        float(day.co2_high_mg_l.max()) * 1.06,
        plan.target_high_mg_l * 1.08,
        soft / (1 - room / frame.heights[0]),
    )
    peak, at = shown(plan.co2_peak_mg_l), int(np.argmax(day.co2_mg_l))
    hard = f"; hard\u00a0stop\u00a0{_figure(plan.ceiling.hard_mg_l)}" if plan.ceiling.hard_mg_l > soft else ""
    return Panel(
        "co2",
        "CO₂",
        "mg/L",
        "gas",
        (day.co2_low_mg_l, day.co2_mg_l, day.co2_high_mg_l),
        (0.0, top),
        nice_step(top, 4 if frame.heights[0] > 120 else 3),
        Key(
            f"peak {peak.value} {_when(day, day.co2_mg_l, at)}",
            peak.limits,
            float(day.clock_min[at]),
            float(day.co2_mg_l[at]),
        ),
        (Wall(soft, -1, f"starting ceiling {_figure(soft)}", f"set by {plan.ceiling.set_by}{hard}"),),
        (plan.target_low_mg_l, plan.target_high_mg_l),
    )


def ph_panel(plan: PlanResult) -> Panel:
    """pH, which falls as CO2 rises."""
    day = plan.day
    low, high = float(day.low_ph.min()), float(day.high_ph.max())
    room = max(0.06 * (high - low), (0.4 - (high - low)) / 2, 0.02)
    at = int(np.argmin(day.ph))
    limits = range_text(fixed(float(day.low_ph[at]), 2), fixed(float(day.high_ph[at]), 2))
    reach = (low - room, high + room)
    return Panel(
        "ph",
        "pH",
        "",
        "water",
        (day.low_ph, day.ph, day.high_ph),
        reach,
        nice_step(reach[1] - reach[0], 3),
        Key(
            f"lowest {fixed(float(day.ph[at]), 2)} {_when(day, day.ph, at)}",
            limits,
            float(day.clock_min[at]),
            float(day.ph[at]),
        ),
    )


def o2_panel(plan: PlanResult, frame: Frame) -> Panel:
    """Dissolved oxygen over its floor, with the level it would rest at under air."""
    day = plan.day
    low = min(float(day.o2_low_mg_l.min()), O2_FLOOR_MG_L)
    high = max(float(day.o2_high_mg_l.max()), day.o2_saturation_mg_l)
    height = frame.heights[2]
    reach = (low - (high - low) * 14 / height, high + (high - low) * 12 / height)
    dawn = shown(plan.o2_dawn_mg_l)
    at_dawn = float(np.interp(plan.light_on_min % 1440, day.clock_min, day.o2_mg_l))
    return Panel(
        "o2",
        "O₂",
        "mg/L",
        "leaf",
        (day.o2_low_mg_l, day.o2_mg_l, day.o2_high_mg_l),
        reach,
        nice_step(reach[1] - reach[0], 3),
        Key(f"at dawn {dawn.value}", dawn.limits, float(plan.light_on_min % 1440), at_dawn),
        (Wall(O2_FLOOR_MG_L, 1, f"floor {_figure(O2_FLOOR_MG_L)}"),),
        None,
        (day.o2_saturation_mg_l, f"{fixed(day.o2_saturation_mg_l, 1)} at rest with air"),
    )


def _when(day: DayCurves, curve: Curve, at: int) -> str:
    """The clock time of an extreme; a curve that does not move has none."""
    if float(np.ptp(curve)) < 0.005 * max(abs(float(curve[at])), 1.0):
        return "all day"
    return f"at {clock(day.clock_min[at])}"


def _figure(value: Px) -> str:
    return fixed(value, 0 if abs(value - round(value)) < 0.05 else 1)


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


@dataclass(frozen=True)
class Block:
    """Words in the gutter that belong to a height on the panel; `tied` ones get a leader when moved."""

    wished: Px
    lines: tuple[tuple[str, str], ...]
    tied: Px | None = None
    pitch: Px = 16.0

    @property
    def height(self) -> Px:
        """Room the words take."""
        return self.pitch * len(self.lines)


def _block(board: Board, frame: Frame, wished: Px, words: tuple[str, str, str], tied: Px | None) -> Block:
    bold, under, css = words
    wide = frame.gutter[1] - frame.gutter[0]
    head = [(text, css) for text in wrap(bold, wide, board.size(css), bold=True, lines=2)]
    tail = [(text, "t12 tp") for text in wrap(under, wide, board.size("t12"), lines=3)]
    return Block(wished, (*head, *tail), tied)


def gutter(board: Board, frame: Frame, panel: Panel, top: Px, height: Px) -> None:
    """Limit names and the key number at the right, each as near to its height as the others allow."""
    y, edge = panel.axis(top, height), frame.right + 2
    blocks = [_block(board, frame, y(w.value), (w.words, w.under, "tb"), edge) for w in panel.walls]
    key = (panel.key.words, panel.key.under, f"tb {_INKS[panel.colour]}")
    blocks.append(_block(board, frame, y.held(panel.key.value), key, None))
    if panel.target is not None:
        upper, lower, x = y(panel.target[1]), y(panel.target[0]), frame.right + 9
        words = ("target " + range_text(*(_figure(v) for v in panel.target)), "while the lamp is lit", "tb")
        blocks.append(_block(board, frame, (upper + lower) / 2, words, x + 1))
        ends = "".join(f"M{num(x - 4)} {num(at)}h8" for at in (upper, lower))
        board.add(path("ln", f"M{num(x)} {num(upper)}V{num(lower)}{ends}"))
    if panel.rest is not None:
        blocks.append(_block(board, frame, y(panel.rest[0]), ("", panel.rest[1], "tb"), edge))
    centres = spread(
        [b.wished for b in blocks], [b.height for b in blocks], low=top - 8, high=top + height + 10
    )
    for block, centre in zip(blocks, centres, strict=True):
        _set_block(board, frame, block, centre)


_INKS = {"gas": "tg", "water": "tw", "leaf": "tl"}


def _set_block(board: Board, frame: Frame, block: Block, centre: Px) -> None:
    x = frame.gutter[0]
    first = centre - block.height / 2 + block.pitch * 0.72
    for index, (text, css) in enumerate(block.lines):
        board.write((x, first + index * block.pitch), text, css)
    if block.tied is not None and abs(centre - block.wished) > 9:
        points = [(block.tied, block.wished), (block.tied + 4, block.wished), (x - 4, centre)]
        board.add(path("tick", polyline(points)))


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
