"""A bubble's life drawn: how wide it is and how much CO2 it holds, against its height over the diffuser."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.curves import thinned
from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, Box, circle, line, path, polyline, rect
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import fixed, percent
from fizzwright.stages.diffuser_result import BubbleLife, LifeCurve

__all__ = ["bubble_life_desk", "bubble_life_phone", "life_drawn", "life_words"]

Values = NDArray[np.float64]
# Line classes by the order of the skins, and how the key draws them.
_LINES = ("gas", "water dash", "leaf dots")
_DOTS = ("gasf", "waterf", "leaff")


@dataclass(frozen=True)
class _Panel:
    """One quantity across, height up."""

    name: str
    unit: str
    x: Axis
    step: Px
    of: Callable[[LifeCurve], Values]


def bubble_life_desk(life: BubbleLife, *, prefix: str = "life") -> str:
    """The life of a bubble as a wide SVG: width on the left, CO2 on the right, the surface on top."""
    board = Board(1196, 430)
    life_drawn(board, life, Box(0, 0, 1196, 430))
    return board.finish(prefix, _title(life), life_words(life))


def bubble_life_phone(life: BubbleLife, *, prefix: str = "life-phone") -> str:
    """The same 358 wide."""
    board = Board(358, 380, narrow=True)
    life_drawn(board, life, Box(0, 0, 358, 380))
    return board.finish(prefix, _title(life), life_words(life))


def _title(life: BubbleLife) -> str:
    return f"The life of a {fixed(life.diameter_mm, 2)} mm bubble from {fixed(100 * life.depth_m, 0)} cm"


def life_drawn(board: Board, life: BubbleLife, room: Box) -> None:
    """Both panels and their key inside a part of a board."""
    narrow = board.narrow
    board.write((room.left, room.top + 14), _title(life), "tb")
    top = _key(board, life, room) + 26
    bottom = room.bottom - 44
    gap: Px = 26 if narrow else 72
    left, right = room.left + (34 if narrow else 52), room.right - (14 if narrow else 12)
    wide = (right - left - gap) / 2
    y = Axis(0.0, 100 * life.depth_m, bottom, top)
    widest = max(float(c.diameter_mm.max()) for c in life.curves)
    step = nice_step(1.08 * widest, 3 if narrow else 6)
    end = step * float(np.ceil(1.02 * widest / step))
    panels = (
        _Panel("width", "mm", Axis(0.0, end, left, left + wide), step, lambda c: c.diameter_mm),
        _Panel(
            "CO₂ in its gas", "%", Axis(0.0, 100.0, right - wide, right), 50.0 if narrow else 20.0,
            lambda c: 100 * c.co2_frac,
        ),
    )  # fmt: skip
    for at, panel in enumerate(panels):
        _drawn(board, life, panel, y, heights=at == 0)
    board.write((room.left, top - 14), "cm up" if narrow else "height, cm", "t12 tp")


def _drawn(board: Board, life: BubbleLife, panel: _Panel, y: Axis, *, heights: bool) -> None:
    """Grid, water and curves of one panel."""
    x, bottom, top = panel.x, y.at_start, y.at_end
    board.add(rect("watert", Box(x.at_start, top, x.at_end, bottom)))
    rise = nice_step(y.end, 4 if board.narrow else 6)
    for tick in ticks(0.0, y.end, rise):
        board.add(line("hair", (x.at_start, y(tick)), (x.at_end, y(tick))))
        if heights:
            board.write((x.at_start - 8, y(tick) + 4.5), fixed(tick, _places(rise)), "t12 tp me")
    for tick in ticks(0.0, x.end, panel.step):
        board.add(line("hair", (x(tick), bottom), (x(tick), top)))
        board.write((x(tick), bottom + 18), fixed(tick, _places(panel.step)), "t12 tp mm")
    board.add(
        line("water", (x.at_start, top), (x.at_end, top)),
        line("ln", (x.at_start, bottom), (x.at_end, bottom)),
    )
    board.write(((x.at_start + x.at_end) / 2, bottom + 37), f"{panel.name}, {panel.unit}", "mm")
    for index, curve in enumerate(life.curves):
        across = np.array([x.held(float(v)) for v in panel.of(curve)])
        up = np.array([y.held(100 * float(h)) for h in curve.height_m])
        # Thinned along the height, which only grows.
        points = [(b, a) for a, b in thinned(up, across)]
        board.add(path(_LINES[index % 3], polyline(points)))
        board.add(circle(_DOTS[index % 3], points[-1], 3.5))


def _places(step: Px) -> int:
    """Decimals that tell the multiples of a step apart."""
    return next((n for n in (0, 1) if abs(step * 10**n - round(step * 10**n)) < 1e-6), 2)


def _key(board: Board, life: BubbleLife, room: Box) -> Px:
    """One line for each skin with how it ends; hands back where the key stops."""
    base = room.top + 38
    for index, curve in enumerate(life.curves):
        x0 = room.left
        board.add(line(_LINES[index % 3], (x0, base - 5), (x0 + 26, base - 5)))
        board.write((x0 + 34, base), _ending(life, curve, short=board.narrow), "t12")
        base += 20
    return base


def _ending(life: BubbleLife, curve: LifeCurve, *, short: bool) -> str:
    seconds = float(curve.time_s[-1])
    time = f"{fixed(seconds, 1 if seconds < 20 else 0)} s"
    gone = float(curve.height_m[-1]) < 0.999 * life.depth_m
    share = percent(float(curve.dissolved_frac[-1]))
    if short:
        return f"{curve.skin}: {share} dissolved, {'gone' if gone else 'up'} in {time}"
    fate = "gone" if gone else f"at the surface {fixed(float(curve.diameter_mm[-1]), 2)} mm wide"
    return f"skin {curve.skin}: {share} of its CO₂ dissolves; {fate} after {time}"


def life_words(life: BubbleLife) -> str:
    """The drawing told to a listener."""
    return " ".join(f"{_ending(life, curve, short=False)}." for curve in life.curves)
