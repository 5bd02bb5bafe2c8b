"""The colours of a drop checker along CO2: the one drawing where the dye's own colours stand."""

from __future__ import annotations

from typing import Final

from fizzwright.papers.scales import LogAxis
from fizzwright.papers.svg import Board, line, num
from fizzwright.papers.typeface import Px
from fizzwright.stages.bench.water_curves import CheckerStrip

__all__ = ["checker_figure"]

WIDTH, HEIGHT = 640.0, 260.0
LEFT, RIGHT = 24.0, 616.0
ROWS: Final = ((54.0, 40.0), (100.0, 60.0), (166.0, 40.0))
MARKS: Final = (2.0, 3.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0, 100.0)


def checker_figure(strip: CheckerStrip) -> str:
    """What a checker shows from 2 to 100 mg/L, with the doubt of its dye above and below."""
    board = Board(WIDTH, HEIGHT)
    axis = LogAxis(float(strip.co2_mg_l[0]), float(strip.co2_mg_l[-1]), LEFT, RIGHT)
    for (top, height), colours in zip(ROWS, (strip.early, strip.middle, strip.late), strict=True):
        _row(board, axis, strip, colours, top=top, height=height)
    for mark in MARKS:
        x = axis(mark)
        board.add(line("tick", (x, 206.0), (x, 212.0)))
        board.write((x, 226.0), f"{mark:g}", "t12 mm")
    board.write((LEFT, 20.0), f"A drop checker with {strip.checker_kh_dkh:g} dKH water", "t15 tb")
    board.write((LEFT, 48.0), "if its dye turns early, as expected, or late", "t12 tp")
    board.write(((LEFT + RIGHT) / 2.0, 246.0), "CO₂ of the tank some hours ago, mg/L", "mm tp")
    words = (
        "Colours run from blue at little CO2 over green to yellow at much. The middle row is what to expect; "
        "the rows over and under it are where the pH at which the dye turns is at its 90 % limits."
    )
    return board.finish("bench-checker", "Colours of a drop checker against CO2", words)


def _row(
    board: Board, axis: LogAxis, strip: CheckerStrip, colours: tuple[str, ...], *, top: Px, height: Px
) -> None:
    levels = [float(x) for x in strip.co2_mg_l]
    ratio = (levels[1] / levels[0]) ** 0.5
    for level, colour in zip(levels, colours, strict=True):
        left, right = axis(level / ratio), axis(level * ratio)
        place = f'x="{num(left)}" y="{num(top)}" width="{num(right - left + 0.5)}" height="{num(height)}"'
        board.add(f'<rect {place} style="fill:{colour}"/>')
