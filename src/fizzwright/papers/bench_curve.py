"""Single sums as curves: CO2 against pH with its band, and a sample's pH while it is aired."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, circle, line, path, polyline
from fizzwright.papers.typeface import Px
from fizzwright.stages.bench.water_curves import AiringPath, Co2AgainstPh

__all__ = ["airing_figure", "co2_figure"]

WIDTH, HEIGHT = 640.0, 400.0
LEFT, RIGHT, TOP, BOTTOM = 58.0, 616.0, 40.0, 350.0


@dataclass(frozen=True)
class _Frame:
    """Both scales of a drawing and the words along them."""

    across: Axis
    up: Axis
    across_word: str
    up_word: str


def co2_figure(curve: Co2AgainstPh) -> str:
    """CO2 against pH for the KH a tank may have, with the tank on it."""
    low, middle, high = curve.tank_mg_l
    top = min(max(2.2 * high, 10.0), float(max(curve.high_mg_l)))
    frame = _Frame(
        Axis(float(curve.ph[0]), float(curve.ph[-1]), LEFT, RIGHT),
        Axis(0.0, top, BOTTOM, TOP),
        "pH of the tank",
        "CO₂, mg/L",
    )
    board = _board(frame)
    ph = [float(x) for x in curve.ph]
    _band(board, frame, ph, [list(map(float, curve.low_mg_l)), list(map(float, curve.high_mg_l))], top)
    _curve(board, frame, "water", ph, [float(x) for x in curve.middle_mg_l])
    at = frame.across(curve.tank_ph)
    board.add(line("mid", (at, frame.up.held(low)), (at, frame.up.held(high))))
    board.add(circle("dot", (at, frame.up.held(middle)), 4.5))
    board.write(
        (at + 10.0, frame.up.held(middle) - 8.0), f"{middle:.0f} mg/L ({low:.0f} to {high:.0f})", "tb halo"
    )
    board.write((LEFT, 20.0), f"CO₂ against pH at {curve.carbonate_dkh:.1f} dKH of carbonate", "t15 tb")
    words = (
        f"CO2 falls as pH rises. At pH {curve.tank_ph:.2f} it is {middle:.0f} mg/L, {low:.0f} to {high:.0f} "
        "nine times in ten. The shaded band is what KH alone leaves open; the upright line adds "
        "the pH reading."
    )
    return board.finish("bench-co2", "CO2 against pH", words)


def airing_figure(found: AiringPath) -> str:
    """pH of a sample while it is aired, for a fast, a usual and a slow surface."""
    hours = [float(x) for x in found.elapsed_h]
    lowest = min(float(found.slow_ph[0]), found.settled_ph - 0.5)
    frame = _Frame(
        Axis(0.0, max(hours[-1], 0.1), LEFT, RIGHT),
        Axis(lowest, found.settled_ph + 0.15, BOTTOM, TOP),
        "hours of airing",
        "pH of the sample",
    )
    board = _board(frame)
    top = found.settled_ph + 0.15
    _band(board, frame, hours, [list(map(float, found.slow_ph)), list(map(float, found.fast_ph))], top)
    _curve(board, frame, "water", hours, [float(x) for x in found.middle_ph])
    level = frame.up(found.settled_ph)
    board.add(line("thin dash", (LEFT, level), (RIGHT, level)))
    board.write((RIGHT, level - 6.0), f"settles at pH {found.settled_ph:.2f}", "me halo")
    board.write((LEFT, 20.0), f"A sample {found.way}, on its way to the air's level", "t15 tb")
    words = (
        f"pH of a sample {found.way} rises to {found.settled_ph:.2f}; the last tenths take longest. The band "
        "runs from a fast to a slow surface."
    )
    return board.finish("bench-airing", "pH of a sample while it is aired", words)


def _board(frame: _Frame) -> Board:
    board = Board(WIDTH, HEIGHT)
    across = (frame.across.start, frame.across.end)
    for at in ticks(*across, nice_step(across[1] - across[0], 7)):
        x = frame.across(at)
        board.add(line("hair", (x, TOP), (x, BOTTOM)))
        board.write((x, BOTTOM + 18.0), f"{at:g}", "t12 mm")
    up = (frame.up.start, frame.up.end)
    for at in ticks(*up, nice_step(up[1] - up[0], 6)):
        y = frame.up(at)
        board.add(line("hair", (LEFT, y), (RIGHT, y)))
        board.write((LEFT - 8.0, y + 4.0), f"{at:g}", "t12 me")
    board.add(line("ln", (LEFT, BOTTOM), (RIGHT, BOTTOM)), line("ln", (LEFT, TOP), (LEFT, BOTTOM)))
    board.write(((LEFT + RIGHT) / 2.0, BOTTOM + 38.0), frame.across_word, "mm tp")
    board.write((RIGHT, TOP - 8.0), frame.up_word, "me tp")
    return board


def _band(board: Board, frame: _Frame, across: Sequence[Px], edges: list[list[Px]], top: Px) -> None:
    """The ground between two curves, cut at the top of the drawing."""
    lower, upper = edges
    there = [(frame.across(x), frame.up(min(y, top))) for x, y in zip(across, lower, strict=True)]
    back = [(frame.across(x), frame.up(min(y, top))) for x, y in zip(across, upper, strict=True)]
    board.add(path("watert", polyline(there + back[::-1], closed=True)))


def _curve(board: Board, frame: _Frame, css: str, across: Sequence[Px], up: Sequence[Px]) -> None:
    points = [
        (frame.across(x), frame.up(y)) for x, y in zip(across, up, strict=True) if y <= frame.up.end + 1e-9
    ]
    board.add(path(css, polyline(points)))
