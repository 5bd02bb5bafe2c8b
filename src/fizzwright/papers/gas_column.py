"""The gas line as a column for the phone: one station under the other, its numbers beside it."""

from __future__ import annotations

from fizzwright.papers import gas_parts
from fizzwright.papers.svg import Board, Box, line, moved, num, path, rect
from fizzwright.papers.symbols import DRAWINGS, MARKS, Symbol, bottle, for_station, station_ring
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import spelled
from fizzwright.result import Level
from fizzwright.stages.plan_result import PlanResult, Station
from fizzwright.units import System

__all__ = ["gas_line_phone"]

_PIPE: Px = 36
_WORDS: Px = 104
_TURNED = {
    Symbol.NEEDLE_VALVE,
    Symbol.GAS_CLOCK_VALVE,
    Symbol.REGULATOR,
    Symbol.CHECK_VALVE,
    Symbol.RELIEF_VALVE,
    Symbol.VALVE,
    Symbol.HAND_VALVE,
}


def gas_line_phone(
    plan: PlanResult,
    *,
    prefix: str = "line-phone",
    system: System = System.METRIC,
    bottle_left_frac: float | None = None,
    links: gas_parts.Links | None = None,
) -> str:
    """The gas line 358 wide, the gas falling from station to station.

    `bottle_left_frac` draws the liquid in the bottle where it is known; with `links` every station leads
    somewhere, and the one chosen stands out.
    """
    board = Board(358, 6000, narrow=True)
    start = gas_parts.tank_start(plan.stations)
    levels = gas_parts.marks(plan.stations, plan.trail)
    rows = gas_parts.rows(plan.stations, system)
    board.write((358, 14), f"lost, {gas_parts.flow_unit(plan.stations)}", "t12 tp me")
    board.add(line("ln", (0, 24), (358, 24)))
    at: Px = 24
    middles, edges = [], []
    for index, (station, row, level) in enumerate(zip(plan.stations, rows, levels, strict=True)):
        end = _words(board, station, row, level, at)
        end = max(end, at + (92 if index == 0 else 58))
        middles.append((at + end) / 2)
        edges.append((at, end))
        at = end
        if index + 1 < len(plan.stations):
            board.add(line("hair", (74, at), (358, at)))
    pipe = [line("pipe", (_PIPE, 70), (_PIPE, middles[start]))]
    if len(middles) > start + 1:
        pipe.append(line("gas dash", (_PIPE, middles[start] + 8), (_PIPE, middles[-1] - 22)))
    board.under(*pipe)
    for index, (station, middle) in enumerate(zip(plan.stations, middles, strict=True)):
        board.add(_picture(station, index, middle, bottle_left_frac))
    board.height = at + 2
    if links is not None:
        for station, (top, foot) in zip(plan.stations, edges, strict=True):
            if links.chosen == station.number:
                board.add(moved(station_ring(chosen=True), (84, top + 19)))
                board.write((84, top + 23.3), str(station.number), "t12 tb mm to")
            board.add(links.around(station, Box(60, top + 1, 358, foot - 1)))
    role = "img" if links is None else "group"
    told = gas_parts.tell(plan, system)
    return board.finish(prefix, "The gas line from bottle to leaf", told, role=role)


def _picture(station: Station, index: int, middle: Px, left_frac: float | None) -> str:
    """The station's symbol on the pipe, turned so that the gas comes from above."""
    at = (_PIPE, middle)
    if index == 0:
        return moved(bottle(fill_frac=left_frac, tall=115), (_PIPE, middle - 34), scale=0.58)
    symbol = for_station(station.name, station.detail)
    if symbol is Symbol.TUBE:
        cover = rect("paperf", Box(_PIPE - 5, middle - 20, _PIPE + 5, middle + 20))
        return cover + path("pipe", f"M{num(_PIPE)} {num(middle - 22)}v4q9 4.5 0 9t0 9t0 9t0 9v4")
    if symbol is Symbol.WATER_LEVEL:
        pool = rect("watert", Box(_PIPE - 18, middle - 2, _PIPE + 18, middle + 14))
        return pool + moved(DRAWINGS[symbol], at)
    if symbol is Symbol.BUBBLE_COUNTER:
        return moved(DRAWINGS[symbol], at)
    return moved(DRAWINGS[symbol], at, turn=90 if symbol in _TURNED else 0)


def _words(board: Board, station: Station, row: gas_parts.Row, level: Level | None, top: Px) -> Px:
    """Ring, name, detail and numbers of one station; hands back where they end."""
    base = top + 24
    board.add(moved(station_ring(), (84, base - 5)))
    board.write((84, base - 0.7), str(station.number), "t12 tb mm")
    for text in wrap(station.name, 220, 14, bold=True, lines=2):
        box = board.write((_WORDS, base), text, "tb")
        base += 18
    if level is not None:
        board.add(moved(MARKS[level], (box.right + 18, box.bottom - 8)))
    for text in wrap(spelled(station.detail), 246, 13, lines=2):
        board.write((_WORDS, base), text, "t12 tp")
        base += 17
    first = base
    for cell in (row.pressure, row.flow):
        if cell is not None:
            value = board.write((_WORDS, base), f"{cell.value}\u00a0{cell.unit}")
            board.write((value.right + 8, base), cell.limits, "t12 tp")
            base += 18
    if row.lost is not None:
        heavy = gas_parts.lost_heavily(station)
        board.write((358, first), row.lost.value, "me tb tg" if heavy else "me")
        board.write((358, first + 18), row.lost.limits, "t12 tp me")
        base = max(base, first + 36)
    return base - 6
