"""The words at the right of the day strip: limits and key numbers, level with what they name."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.papers.day_panels import Frame, Panel
from fizzwright.papers.scales import spread
from fizzwright.papers.svg import Board, num, path, polyline
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import range_text, round_figure

__all__ = ["gutter"]


@dataclass(frozen=True)
class _Block:
    """Words in the gutter that belong to a height on the panel; `tied` ones get a leader when moved."""

    wished: Px
    lines: tuple[tuple[str, str], ...]
    tied: Px | None = None
    pitch: Px = 16.0

    @property
    def height(self) -> Px:
        """Room the words take."""
        return self.pitch * len(self.lines)


def _block(board: Board, frame: Frame, wished: Px, words: tuple[str, str, str], tied: Px | None) -> _Block:
    bold, under, css = words
    wide = frame.gutter[1] - frame.gutter[0]
    head = [(text, css) for text in wrap(bold, wide, board.size(css), bold=True, lines=2)]
    tail = [(text, "t12 tp") for text in wrap(under, wide, board.size("t12"), lines=3)]
    return _Block(wished, (*head, *tail), tied)


def gutter(board: Board, frame: Frame, panel: Panel, top: Px, height: Px) -> None:
    """Limit names and the key number at the right, each as near to its height as the others allow."""
    y, edge = panel.axis(top, height), frame.right + 2
    blocks = [_block(board, frame, y(w.value), (w.words, w.under, "tb"), edge) for w in panel.walls]
    key = (panel.key.words, panel.key.under, f"tb {_INKS[panel.colour]}".strip())
    blocks.append(_block(board, frame, y.held(panel.key.value), key, None))
    if panel.target is not None:
        upper, lower, x = y(panel.target[1]), y(panel.target[0]), frame.right + 9
        words = (
            "target " + range_text(*(round_figure(v) for v in panel.target)),
            "while the lamp is lit",
            "tb",
        )
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


_INKS = {"gas": "tg", "water": "tw", "leaf": "tl", "risk": ""}


def _set_block(board: Board, frame: Frame, block: _Block, centre: Px) -> None:
    x = frame.gutter[0]
    first = centre - block.height / 2 + block.pitch * 0.72
    for index, (text, css) in enumerate(block.lines):
        board.write((x, first + index * block.pitch), text, css)
    if block.tied is not None and abs(centre - block.wished) > 9:
        points = [(block.tied, block.wished), (block.tied + 4, block.wished), (x - 4, centre)]
        board.add(path("tick", polyline(points)))
