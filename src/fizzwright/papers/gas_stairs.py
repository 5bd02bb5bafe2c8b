"""The pressure staircase of the gas line: bars on a decade scale over the stations' own columns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from fizzwright.papers.scales import LogAxis
from fizzwright.papers.svg import Board, Box, line, path, polyline
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import fixed
from fizzwright.stages.plan_result import Station
from fizzwright.units import System, convert, unit_text

__all__ = ["staircase"]

_FOOT = 0.01  # pressures under this are drawn on the foot of the scale

Step = tuple[float, float, float]


def staircase(
    board: Board,
    stations: Sequence[Station],
    columns: Sequence[Px],
    frame: tuple[Px, Px, Px, Px],
    *,
    system: System,
) -> Px:
    """Draw the staircase and hand back where it ends.

    `frame` holds its left and right end, its top, and how tall a decade is.
    """
    ends, top, decade = frame[:2], frame[2], frame[3]
    unit = unit_text("barg", system)
    steps: list[tuple[Px, Px, Step, str]] = []
    for index, (station, x) in enumerate(zip(stations, columns, strict=True)):
        if station.pressure_barg is None:
            break
        after = columns[index + 1] if index + 1 < len(columns) else ends[1]
        held = index + 1 < len(stations) and stations[index + 1].pressure_barg is not None
        e = station.pressure_barg
        low, middle, high = (max(convert(v, "barg", unit), _FOOT) for v in (e.low, e.value, e.high))
        begin = ends[0] if index == 0 else x
        steps.append(
            (
                begin,
                after if held else min(x + 0.66 * (after - x), ends[1]),
                (low, middle, high),
                station.sets_it,
            )
        )
    if not steps:
        return top
    values = [v for _, _, step, _ in steps for v in step]
    low, high = math.floor(math.log10(min(values))), math.ceil(math.log10(max(values)) + 1e-9)
    high = max(high, low + 2)
    bottom = top + decade * (high - low)
    y = LogAxis(10.0**low, 10.0**high, bottom, top)
    _grid(board, y, (low, high), ends, unit)
    _names(board, steps, y)
    upper = [p for a, b, step, _ in steps for p in ((a, y(step[2])), (b, y(step[2])))]
    lower = [p for a, b, step, _ in steps for p in ((a, y(step[0])), (b, y(step[0])))]
    board.add(path("gast", polyline(upper + lower[::-1], closed=True)))
    board.add(
        path("gas", polyline([p for a, b, step, _ in steps for p in ((a, y(step[1])), (b, y(step[1])))]))
    )
    return bottom


def _grid(board: Board, y: LogAxis, decades: tuple[int, int], ends: tuple[Px, Px], unit: str) -> None:
    for power in range(decades[0], decades[1] + 1):
        at = y(10.0**power)
        board.add(line("hair", (ends[0], at), (ends[1], at)))
        board.write((ends[0] - 8, at + 4), fixed(10.0**power, max(-power, 0)), "t12 tp me")
    board.write((0, y(10.0 ** decades[1]) - 12), unit, "t12 tp")


def _names(board: Board, steps: list[tuple[Px, Px, Step, str]], y: LogAxis) -> None:
    """What sets each pressure, once for each run of stations it holds for."""
    runs: list[tuple[Px, Px, list[Step], str]] = []
    for begin, end, step, words in steps:
        if runs and (runs[-1][3] == words or runs[-1][2][-1] == step):
            # The same pressure as before is still set by whatever set it there.
            runs[-1] = (runs[-1][0], end, [*runs[-1][2], step], runs[-1][3])
        else:
            runs.append((begin, end, [step], words))
    edges = [Box(a, y(s[2]) - 2, b, y(s[0]) + 2) for a, b, s, _ in steps]
    edges += [
        Box(b - 1, min(y(s[2]), y(t[2])), b + 1, max(y(s[0]), y(t[0])))
        for (_, b, s, _), (_, _, t, _) in pairwise(steps)
    ]
    for begin, _, bands, words in runs:
        over, under = min(y(s[2]) for s in bands) - 8, max(y(s[0]) for s in bands) + 15
        first_over = y(bands[0][2]) - 8
        spots = [(begin + 10, first_over), (begin + 10, over), (begin + 10, under), (begin - 10, under)]
        spots += [(begin + 10, over - 14 * i) for i in (1, 2, 3)] + [
            (begin + 10, under + 14 * i) for i in (1, 2)
        ]
        for spot in spots:
            css = "t12 halo me" if spot[0] < begin else "t12 halo"
            box = board.box_of(spot, words, css)
            if board.free(box) and not any(box.meets(edge) for edge in edges):
                board.write(spot, words, css)
                break
