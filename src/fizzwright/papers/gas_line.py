"""The gas line, bottle to leaf, on one wide drawing: symbols, stations, pressure staircase, numbers."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.papers import gas_parts
from fizzwright.papers.gas_stairs import staircase
from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, moved, num, path, rect
from fizzwright.papers.symbols import (
    DRAWINGS,
    MARKS,
    Symbol,
    bottle,
    bubbles,
    for_station,
    plant,
    station_ring,
)
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import Shown, clock, spelled
from fizzwright.stages.plan_result import PlanResult, Station
from fizzwright.units import System

__all__ = ["gas_line_desk", "gas_line_paper"]

_PIPE: Px = 96
_RIM: Px = 60
_FOOT: Px = 252
_SURFACE: Px = 82
_BED: Px = 230
_RINGS: Px = 276


@dataclass(frozen=True)
class _Room:
    """The size of the page a line is drawn for; `details` writes what a station is made of."""

    bottle: Px
    pitch: Px
    tank: Px
    lead: Px
    foot: Px
    decade: Px
    details: bool


@dataclass(frozen=True)
class _Lines:
    """Where the columns of one drawing stand; the station at `start` is the first in the tank."""

    width: Px
    columns: tuple[Px, ...]
    start: int
    tank_left: Px

    @property
    def diffuser(self) -> Px:
        """The column of the first station in the tank."""
        return self.columns[self.start]


_DESK = _Room(bottle=138, pitch=96.3, tank=414, lead=66, foot=84, decade=30, details=True)
_PAPER = _Room(bottle=100, pitch=72, tank=284, lead=54, foot=62, decade=24, details=False)


def gas_line_desk(
    plan: PlanResult,
    *,
    prefix: str = "line",
    system: System = System.METRIC,
    bottle_left_frac: float | None = None,
    links: gas_parts.Links | None = None,
) -> str:
    """The gas line as a wide SVG. `bottle_left_frac` draws the liquid in the bottle where it is known.

    With `links` every station leads somewhere, and the one chosen stands out.
    """
    return _drawing(plan, _Wanted(_DESK, prefix, system, bottle_left_frac, links))


def gas_line_paper(
    plan: PlanResult,
    *,
    prefix: str = "line",
    system: System = System.METRIC,
    bottle_left_frac: float | None = None,
) -> str:
    """The same drawing for the width of an A4 page."""
    return _drawing(plan, _Wanted(_PAPER, prefix, system, bottle_left_frac))


def _lines(stations: tuple[Station, ...], room: _Room, system: System) -> _Lines:
    start = gas_parts.tank_start(stations)
    pitch = max(room.pitch, gas_parts.widest(gas_parts.rows(stations, system), 12) + 8)
    within = len(stations) - start
    columns = [room.bottle + pitch * i for i in range(start)]
    tank_left = columns[-1] + room.lead
    inner = max(room.tank, within * (pitch + 20))
    first, last = tank_left + 0.18 * inner, tank_left + 0.79 * inner
    gap = (last - first) / max(within - 1, 1)
    columns += [first + gap * i for i in range(within)]
    return _Lines(tank_left + inner, tuple(columns), start, tank_left)


@dataclass(frozen=True)
class _Wanted:
    """What is asked of one drawing."""

    room: _Room
    prefix: str
    system: System
    left_frac: float | None
    links: gas_parts.Links | None = None


def _drawing(plan: PlanResult, wanted: _Wanted) -> str:
    stations, room, system = plan.stations, wanted.room, wanted.system
    lines = _lines(stations, room, system)
    board = Board(lines.width, 4000)
    _tank(board, lines)
    _pipe_and_symbols(board, lines, plan, wanted.left_frac)
    names_end = _rings(board, lines, plan, room)
    frame = (room.foot, lines.columns[-1], names_end + 22, room.decade)
    bottom = staircase(board, stations, lines.columns, frame, system=system)
    board.under(*(line("tick dots", (x, names_end + 8), (x, bottom + 18)) for x in lines.columns))
    board.height = _numbers(board, lines, plan, bottom + 22, system)
    if wanted.links is not None:
        _linked(board, lines, plan, wanted.links, bottom + 26)
    role = "img" if wanted.links is None else "group"
    told = gas_parts.tell(plan, system)
    return board.finish(wanted.prefix, "The gas line from bottle to leaf", told, role=role)


def _linked(board: Board, lines: _Lines, plan: PlanResult, links: gas_parts.Links, rows_top: Px) -> None:
    """A field over each column that leads to the station; ring and brackets in copper for the chosen one."""
    gaps = [b - a for a, b in zip(lines.columns, lines.columns[1:], strict=False)]
    half = min([44.0, *(gap / 2 for gap in gaps)])
    for station, x in zip(plan.stations, lines.columns, strict=True):
        if station.number == links.chosen:
            foot = board.height - 4
            board.add(moved(station_ring(chosen=True), (x, _RINGS)))
            board.write((x, _RINGS + 4.3), str(station.number), "t12 tb mm to")
            board.add(
                path(
                    "gas",
                    f"M{num(x - half + 10)} {num(rows_top)}h-8V{num(foot)}h8"
                    f"M{num(x + half - 10)} {num(rows_top)}h8V{num(foot)}h-8",
                )
            )
        board.add(links.around(station, Box(x - half, _RINGS - 16, x + half, board.height)))


def _tank(board: Board, lines: _Lines) -> None:
    """The tank in section: water, ground, glass, level."""
    left, right = lines.tank_left, lines.width - 1.5
    board.add(
        rect("watert", Box(left, _SURFACE, right, _BED)),
        rect("shade", Box(left, _BED, right, _FOOT)),
        path("hatchw", hatch_line((left, _FOOT), (right, _FOOT), side=-1, step=11, length=20)),
        line("ln", (left, _BED), (right, _BED)),
        line("water1", (left, _SURFACE), (right, _SURFACE)),
        path("bold", f"M{num(left)} {num(_RIM)}V{num(_FOOT)}H{num(right)}V{num(_RIM)}"),
    )


def _pipe_and_symbols(board: Board, lines: _Lines, plan: PlanResult, left_frac: float | None) -> None:
    first, foot = lines.columns[0], lines.diffuser
    last = plan.stations[lines.start]
    inline = for_station(last.name, last.detail) is Symbol.REACTOR
    end = foot - (10 if inline else 18)
    over = lines.tank_left - (16 if lines.tank_left - lines.columns[lines.start - 1] < 60 else 30)
    drop = 212
    board.add(
        path(
            "pipe",
            f"M{num(first)} {_PIPE:g}H{num(over)}V34H{num(foot - 26)}V{drop}H{num(end)}",
        ),
        bubbles((foot, drop - 10), _SURFACE),
    )
    _in_the_water(board, lines)
    board.add(moved(bottle(fill_frac=left_frac), (first, 104)))
    for index, station in enumerate(plan.stations[: lines.start]):
        symbol, x = for_station(station.name, station.detail), lines.columns[index]
        if symbol is Symbol.TUBE:
            board.add(rect("paperf", Box(x - 26, _PIPE - 4, x + 26, _PIPE + 4)))
            board.add(path("pipe", f"M{num(x - 28)} 96h4q6 -9 12 0t12 0t12 0t12 0h4"))
            continue
        if symbol is Symbol.REGULATOR:
            for side in (-28, 28):
                board.add(
                    line("ln", (x + side, _PIPE), (x + side, 72)),
                    moved(DRAWINGS[Symbol.GAUGE], (x + side, 61)),
                )
        if symbol is Symbol.GAS_CLOCK_VALVE and plan.gas_on_min != plan.gas_off_min:
            # Over the gauges, which stand too near on a narrow page to write between them.
            words = f"{clock(plan.gas_on_min)}–{clock(plan.gas_off_min)}"
            board.write((x, 42), words, "t12 tp mm")
            board.add(line("tick", (x, 47), (x, 71)))
        board.add(moved(DRAWINGS[symbol], (x, _PIPE)))
    board.add(moved(DRAWINGS[Symbol.REACTOR if inline else Symbol.DIFFUSER], (foot, drop)))


def _in_the_water(board: Board, lines: _Lines) -> None:
    """Where the gas goes: up as bubbles, out of the surface, over to the leaves."""
    foot, right = lines.diffuser, lines.width
    inner = lines.columns[lines.start :]
    water = inner[1] if len(inner) > 2 else (foot + right) / 2
    leaf = inner[-1] if len(inner) > 1 else right - 80
    up, off = foot + 8, water + 0.35 * (leaf - water)
    for x, css, text in ((up, "gas1", "escapes in bubbles"), (off, "gas1 dash", "out of the surface")):
        board.add(line(css, (x, _SURFACE - 8), (x, 38)), path("gasf", f"M{num(x - 4)} 40l4 -9l4 9Z"))
        if board.width_of(text, "t12") + x + 8 > right or (
            x == up and x + 24 + board.width_of(text, "t12") > off
        ):
            words, tail = text.split(" ", 1)
            board.write((x + 9, 41), words, "t12 tp")
            board.write((x + 9, 56), tail, "t12 tp")
        else:
            board.write((x + 9, 48), text, "t12 tp")
    board.add(moved(DRAWINGS[Symbol.WATER_LEVEL], (foot + 0.62 * (water - foot), _SURFACE)))
    spread = min(46.0, (right - leaf) - 26)
    for shift, scale in ((-spread, 1.5), (0.0, 2.3), (spread, 1.7)):
        board.add(moved(plant(scale=scale), (leaf + shift, _BED)))
    begin, end, at = foot + 42, leaf - spread - 18, 176
    board.add(
        path(
            "gas dash",
            f"M{num(begin)} {at}C{num(begin + 36)} {at - 10} "
            f"{num(end - 46)} {at + 12} {num(end - 8)} {at + 4}",
        ),
        path("gasf", f"M{num(end - 9)} {at - 1}l11 5l-11 5Z"),
    )
    board.write(((begin + end) / 2, at - 12), "dissolved", "t12 tg mm")


def _rings(board: Board, lines: _Lines, plan: PlanResult, room: _Room) -> Px:
    """Station numbers on leaders, finding marks beside them, names and details below."""
    wide = room.pitch - 4
    levels = gas_parts.marks(plan.stations, plan.trail)
    end = _RINGS
    for index, (station, x, level) in enumerate(zip(plan.stations, lines.columns, levels, strict=True)):
        if index < lines.start:
            tip = (
                247.0
                if index == 0
                else _PIPE
                + (22 if for_station(station.name, station.detail) is Symbol.BUBBLE_COUNTER else 14)
            )
            board.add(line("thin", (x, tip), (x, _RINGS - 11)), circle("sk", (x, tip), 1.6))
        board.add(moved(station_ring(), (x, _RINGS)))
        board.write((x, _RINGS + 4.3), str(station.number), "t12 tb mm")
        if level is not None:
            board.add(moved(MARKS[level], (x + 24, _RINGS)))
        at = _RINGS + 27
        for text in wrap(station.name, wide, 13, lines=2):
            board.write((x, at), text, "mm")
            at += 15
        for text in wrap(spelled(station.detail), wide, 12, lines=3) if room.details else ():
            board.write((x, at), text, "t12 tp mm")
            at += 14.5
        end = max(end, at)
    return end


def _numbers(board: Board, lines: _Lines, plan: PlanResult, top: Px, system: System) -> Px:
    """Three rows under the columns: pressure after it, flow that goes on, flow lost."""
    board.add(line("ln", (0, top), (lines.width, top)))
    flow = gas_parts.flow_unit(plan.stations)
    titles = (("after it", gas_parts.pressure_unit(system)), ("goes on", flow), ("lost", flow))
    for number, (name, below) in enumerate(titles):
        base = top + 22 + 40 * number
        board.write((0, base), name)
        board.write((0, base + 16), below, "t12 tp")
    for station, row, x in zip(
        plan.stations, gas_parts.rows(plan.stations, system), lines.columns, strict=True
    ):
        heavy = gas_parts.lost_heavily(station)
        cells: tuple[tuple[Shown | None, str], ...] = (
            (row.pressure, "mm"),
            (row.flow, "mm"),
            (row.lost, "mm tb tg" if heavy else "mm"),
        )
        for number, (cell, css) in enumerate(cells):
            base = top + 22 + 40 * number
            board.write((x, base), "–" if cell is None else cell.value, css if cell else "mm tp")
            if cell is not None:
                board.write((x, base + 16), cell.limits, "t12 tp mm")
    return top + 22 + 80 + 24
