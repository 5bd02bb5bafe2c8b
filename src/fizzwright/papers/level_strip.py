"""One tank's CO2 in a line of a table: the reading on its band, against target and ceiling."""

from __future__ import annotations

from fizzwright.papers.scales import Axis, ticks
from fizzwright.papers.svg import Board, circle, hatch_line, line, path
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import fixed
from fizzwright.result import Estimate

__all__ = ["level_scale", "level_strip"]

_WIDE: Px = 230
_ENDS: tuple[Px, Px] = (6, 222)


def _axis(most_mg_l: float) -> Axis:
    return Axis(0.0, most_mg_l, *_ENDS)


def level_strip(
    now: Estimate | None, *, target_mg_l: tuple[float, float], ceiling_mg_l: float, most_mg_l: float
) -> str:
    """The strip of one tank, hidden from readers since its figures stand in the same row.

    `most_mg_l` ends the scale, the same for every row of a table.
    """
    x = _axis(most_mg_l)
    board = Board(_WIDE, 32)
    board.add(line("tick", (_ENDS[0], 16), (_ENDS[1], 16)))
    for value in target_mg_l:
        board.add(line("thin dash", (x.held(value), 7), (x.held(value), 25)))
    at = x.held(ceiling_mg_l)
    wall = ((at, 5.0), (at, 27.0))
    board.add(line("mid", *wall), path("hatch", hatch_line(*wall, side=1, step=7, length=6)))
    if now is not None:
        board.add(
            line("pipe", (x.held(now.low), 16), (x.held(now.high), 16)),
            circle("dot", (x.held(now.value), 16), 4.2),
        )
    return _hidden(board)


def level_scale(most_mg_l: float) -> str:
    """The scale over a column of strips."""
    x = _axis(most_mg_l)
    board = Board(_WIDE, 24)
    for tick in ticks(0.0, most_mg_l, 10.0):
        board.add(line("ln", (x(tick), 18), (x(tick), 24)))
        board.write((x(tick), 12), fixed(tick, 0), "t12 tp mm")
    return _hidden(board)


def _hidden(board: Board) -> str:
    svg = board.finish("level", "", "")
    body = svg[svg.index("</desc>") + len("</desc>") :]
    size = f'viewBox="0 0 {board.width:g} {board.height:g}" width="{board.width:g}" height="{board.height:g}"'
    return f'<svg class="strip" {size} aria-hidden="true" focusable="false">{body}'
