"""Curves and bands on a drawing, and free places beside them for words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.svg import Board, Box, polyline
from fizzwright.papers.typeface import Px

__all__ = ["Obstacles", "Trace", "place", "spells", "thinned"]

Points = list[tuple[Px, Px]]
_MOST_POINTS = 361


def thinned(xs: NDArray[np.float64], ys: NDArray[np.float64], *, tolerance: Px = 0.1) -> Points:
    """The fewest points whose straight lines stay within a tolerance of the curve."""
    if len(xs) > _MOST_POINTS:
        keep = np.unique(np.linspace(0, len(xs) - 1, _MOST_POINTS).round().astype(int))
        xs, ys = xs[keep], ys[keep]
    kept, start = [0], 0
    for end in range(2, len(xs)):
        inside = slice(start + 1, end)
        chord = ys[start] + (ys[end] - ys[start]) * (xs[inside] - xs[start]) / (xs[end] - xs[start])
        if np.max(np.abs(chord - ys[inside])) > tolerance:
            start = end - 1
            kept.append(start)
    kept.append(len(xs) - 1)
    return [(float(xs[i]), float(ys[i])) for i in kept]


@dataclass(frozen=True)
class Trace:
    """One curve with its band in drawing pixels; `high_y` is the band's upper edge (a smaller y)."""

    x: NDArray[np.float64]
    low_y: NDArray[np.float64]
    y: NDArray[np.float64]
    high_y: NDArray[np.float64]

    def band(self) -> str:
        """Path data of the band."""
        upper, lower = thinned(self.x, self.high_y), thinned(self.x, self.low_y)
        return polyline(upper + lower[::-1], closed=True)

    def curve(self) -> str:
        """Path data of the expected curve."""
        return polyline(thinned(self.x, self.y))

    def edges_at(self, x: Px) -> tuple[Px, Px, Px]:
        """Upper edge, curve and lower edge of the band at a place along the axis."""
        upper, middle, lower = (float(np.interp(x, self.x, y)) for y in (self.high_y, self.y, self.low_y))
        return upper, middle, lower

    def meets(self, box: Box, *, gap: Px = 2.0) -> bool:
        """Whether a box comes nearer to the band than a gap."""
        near = np.linspace(box.left - gap, box.right + gap, 25)
        upper, lower = np.interp(near, self.x, self.high_y), np.interp(near, self.x, self.low_y)
        return bool(np.any((box.bottom + gap > upper) & (box.top - gap < lower)))


@dataclass(frozen=True)
class Obstacles:
    """What a word may not cover: a trace, drawn lines as thin boxes; it must stay inside the frame."""

    frame: Box
    trace: Trace | None = None
    lines: tuple[Box, ...] = field(default=())

    def clear(self, board: Board, box: Box) -> bool:
        """Whether a word may stand here."""
        within = (
            box.left >= self.frame.left
            and box.right <= self.frame.right
            and box.top >= self.frame.top
            and box.bottom <= self.frame.bottom
        )
        return (
            within
            and board.free(box)
            and not any(box.meets(one) for one in self.lines)
            and not (self.trace is not None and self.trace.meets(box))
        )


def place(
    board: Board, text: str, css: str, spots: Iterable[tuple[Px, Px]], obstacles: Obstacles
) -> Box | None:
    """Write a word at the first spot where it covers nothing; None where there is no such spot."""
    for spot in spots:
        if obstacles.clear(board, board.box_of(spot, text, css)):
            return board.write(spot, text, css)
    return None


def spells(on_min: int, off_min: int) -> Sequence[tuple[int, int]]:
    """A daily spell as stretches of one calendar day, cut at midnight; on = off is the whole day.

    Examples
    --------
    >>> spells(1320, 360)
    ((0, 360), (1320, 1440))
    """
    start = on_min % 1440
    length = (off_min - on_min) % 1440 or 1440
    end = start + length
    if end <= 1440:
        return ((start, end),)
    return ((0, end - 1440), (start, 1440)) if end - 1440 < start else ((0, 1440),)
