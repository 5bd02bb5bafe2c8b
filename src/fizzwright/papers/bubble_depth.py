"""Dissolved share against the depth of the diffuser, with its band and the level of an in-hose atomiser."""

from __future__ import annotations

import numpy as np

from fizzwright.papers.bubble_life import life_drawn, life_words
from fizzwright.papers.curves import Trace
from fizzwright.papers.scales import Axis, ticks
from fizzwright.papers.svg import Board, Box, circle, line, path
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import fixed, percent
from fizzwright.result import Estimate
from fizzwright.stages.diffuser_result import BubbleLife, DepthCurve

__all__ = ["bubble_depth_desk", "bubble_depth_phone", "bubble_sheet", "depth_drawn", "depth_words"]

TITLE = "Dissolved share by depth"


def bubble_depth_desk(curve: DepthCurve, *, prefix: str = "depth") -> str:
    """Dissolved share against depth as a wide SVG."""
    board = Board(1196, 400)
    depth_drawn(board, curve, Box(0, 0, 1196, 400))
    return board.finish(prefix, TITLE, depth_words(curve))


def bubble_depth_phone(curve: DepthCurve, *, prefix: str = "depth-phone") -> str:
    """The same 358 wide."""
    board = Board(358, 370, narrow=True)
    depth_drawn(board, curve, Box(0, 0, 358, 370))
    return board.finish(prefix, TITLE, depth_words(curve))


def bubble_sheet(
    curve: DepthCurve, life: BubbleLife, *, prefix: str = "bubbles", narrow: bool = False
) -> str:
    """Both drawings one under the other: share by depth, then the life of a middle bubble."""
    wide: Px = 358 if narrow else 1196
    first, gap, second = (370, 36, 380) if narrow else (400, 44, 430)
    board = Board(wide, first + gap + second, narrow=narrow)
    depth_drawn(board, curve, Box(0, 0, wide, first))
    life_drawn(board, life, Box(0, first + gap, wide, first + gap + second))
    return board.finish(prefix, "Bubbles of this diffuser", f"{depth_words(curve)} {life_words(life)}")


def depth_drawn(board: Board, curve: DepthCurve, room: Box) -> None:
    """The drawing inside a part of a board."""
    narrow = board.narrow
    board.write((room.left, room.top + 14), TITLE, "tb")
    top = _key(board, curve, room) + 14
    left, right = room.left + (38 if narrow else 52), room.right - 12
    bottom = room.bottom - 44
    foot = _foot(curve)
    x, y = Axis(0.0, 60.0, left, right), Axis(foot, 100.0, bottom, top)
    for tick in ticks(foot, 100.0, 10.0 if foot >= 50 or not narrow else 20.0):
        board.add(line("hair", (left, y(tick)), (right, y(tick))))
        board.write((left - 8, y(tick) + 4.5), fixed(tick, 0), "t12 tp me")
    for tick in ticks(0.0, 60.0, 10.0):
        board.add(line("hair", (x(tick), bottom), (x(tick), top)))
        board.write((x(tick), bottom + 18), fixed(tick, 0), "t12 tp mm")
    board.write(((left + right) / 2, bottom + 37), "diffuser under the surface, cm", "mm")
    low, middle, high = (
        np.array([y.held(100 * float(v)) for v in row])
        for row in (curve.low_frac, curve.middle_frac, curve.high_frac)
    )
    across = np.array([x(100 * float(z)) for z in curve.depth_m])
    trace = Trace(across, low, middle, high)
    board.add(path("gast", trace.band()))
    level = y.held(100 * curve.level_frac.value)
    board.add(line("water dash", (left, level), (right, level)))
    board.add(path("gas", trace.curve()), line("ln", (left, bottom), (right, bottom)))
    _marks(board, curve, x, y)


def _foot(curve: DepthCurve) -> Px:
    """A round per cent under everything drawn."""
    lowest = 100 * min(float(curve.low_frac.min()), curve.here_frac.low, curve.level_frac.low)
    return max(0.0, 10.0 * float(np.floor(lowest / 10.0)))


def _marks(board: Board, curve: DepthCurve, x: Axis, y: Axis) -> None:
    """Where the diffuser sits, and the depth at which the answer turns."""
    if curve.flip_m is not None:
        at = x.held(100 * curve.flip_m)
        board.add(line("tick chain", (at, y.at_start), (at, y.at_end)))
        text = f"as good from {fixed(100 * curve.flip_m, 0)} cm"
        side = "me" if at > (x.at_start + x.at_end) / 2 else ""
        board.write((at + (-6 if side else 6), y.at_start - 8), text, f"t12 tp halo {side}")
    if curve.here_in_tank:
        at, level = x.held(100 * curve.here_m), y.held(100 * curve.here_frac.value)
        low, high = y.held(100 * curve.here_frac.low), y.held(100 * curve.here_frac.high)
        board.add(line("mid", (at, low), (at, high)), circle("dot", (at, level), 5))


def _key(board: Board, curve: DepthCurve, room: Box) -> Px:
    """What each mark means, with its numbers; hands back where the key stops."""
    rows = [
        ("gas", f"{curve.kind} in the tank, with 90 % limits"),
        ("water dash", f"in-hose atomiser: {_band(curve.level_frac)}"),
    ]
    if curve.here_in_tank:
        rows.append(("", f"here, {fixed(100 * curve.here_m, 0)} cm: {_band(curve.here_frac)}"))
    base = room.top + 38
    for css, text in rows:
        if css:
            board.add(line(css, (room.left, base - 5), (room.left + 26, base - 5)))
        else:
            board.add(circle("dot", (room.left + 13, base - 5), 5))
        for part in wrap(text, room.right - room.left - 36, board.size("t12"), lines=2):
            board.write((room.left + 34, base), part, "t12")
            base += 20
    return base


def _band(estimate: Estimate) -> str:
    low, high = percent(estimate.low), percent(estimate.high)
    return f"{percent(estimate.value)} ({low} to {high})"


def depth_words(curve: DepthCurve) -> str:
    """The drawing told to a listener."""
    told = [
        f"At {at} cm {percent(float(np.interp(at / 100, curve.depth_m, curve.middle_frac)))} dissolves."
        for at in (10, 20, 30, 40)
    ]
    turn = "" if curve.flip_m is None else f" The answer turns at {fixed(100 * curve.flip_m, 0)} cm."
    return (
        f"A {curve.kind} in the tank. {' '.join(told)} An in-hose atomiser: {_band(curve.level_frac)}.{turn}"
    )
