"""One cut through the tank as a drawing: glass, ground, stones, beds, streaks of the current, mist."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.papers.svg import Board, Box, circle, hatch_line, line, moved, num, path, polyline, rect
from fizzwright.papers.symbols import DRAWINGS, Symbol, station_ring
from fizzwright.papers.typeface import Px
from fizzwright.stages.place_result import Place, PlaceResult, Rectangle

__all__ = [
    "Cut",
    "beds_lines",
    "draw_tank",
    "mist_points",
    "plan_cut",
    "rings",
    "section_cut",
    "stones",
    "streaks",
]

Field = NDArray[np.float64]
STREAK_S = 3.0
_GOLDEN = (0.7548776662466927, 0.5698402909980532)


@dataclass(frozen=True, eq=False)
class Cut:
    """A level or an upright cut: which way its axes run and where it falls on the drawing.

    `across` and `along` are the speeds in the cut's own plane, rows from the low end of its second axis.
    `level_cm` is where it lies on the axis left out.
    """

    box: Box
    upright: bool
    length_cm: Px
    second_cm: Px
    ground_cm: Px
    level_cm: Px
    across: Field
    along: Field
    water: NDArray[np.bool_]
    mist: Field

    @property
    def scale(self) -> Px:
        """Drawing pixels for a centimetre."""
        return (self.box.right - self.box.left) / self.length_cm

    def at_cell(self, column: Px, row: Px) -> tuple[Px, Px]:
        """Where a place in cells falls; the cells fill the water of the drawing exactly."""
        rows, columns = self.water.shape
        second = self.ground_cm + row * (self.second_cm - self.ground_cm) / rows
        return self.x(column * self.length_cm / columns), self.y(second)

    def x(self, cm: Px) -> Px:
        """Where a distance from the left glass falls."""
        return self.box.left + cm * self.scale

    def y(self, cm: Px) -> Px:
        """Where a height, or a distance from the front glass, falls: both grow upwards on paper."""
        return self.box.bottom - cm * self.scale

    def span(self, thing: Rectangle) -> tuple[Px, Px]:
        """A thing's extent on the second axis."""
        return (thing.low_cm, thing.high_cm) if self.upright else (thing.front_cm, thing.back_cm)

    def box_of(self, thing: Rectangle) -> Box:
        """A thing's outline on the drawing."""
        low, high = self.span(thing)
        return Box(self.x(thing.left_cm), self.y(high), self.x(thing.right_cm), self.y(low))


def section_cut(found: PlaceResult, box_left: Px, box_top: Px, *, wide: Px, from_front_cm: Px) -> Cut:
    """An upright cut from left to right at a distance from the front glass."""
    streams, drawn = found.streams, found.drawn
    row = min(max(int(from_front_cm / 100 / streams.cell_m), 0), streams.water.shape[1] - 1)
    high = wide / drawn.length_cm * drawn.depth_cm
    return Cut(
        Box(box_left, box_top, box_left + wide, box_top + high), True,
        drawn.length_cm, drawn.depth_cm, drawn.ground_cm,
        from_front_cm, streams.across_m_s[:, row], streams.up_m_s[:, row], streams.water[:, row],
        streams.mist_frac.sum(axis=1),
    )  # fmt: skip


def plan_cut(found: PlaceResult, box_left: Px, box_top: Px, *, wide: Px, height_cm: Px) -> Cut:
    """A level cut at a height over the bottom glass."""
    streams, drawn = found.streams, found.drawn
    layer = (height_cm - drawn.ground_cm) / 100 / streams.cell_m
    layer = min(max(int(layer), 0), streams.water.shape[0] - 1)
    high = wide / drawn.length_cm * drawn.width_cm
    return Cut(
        Box(box_left, box_top, box_left + wide, box_top + high), False,
        drawn.length_cm, drawn.width_cm, 0.0, height_cm,
        streams.across_m_s[layer], streams.back_m_s[layer], streams.water[layer],
        streams.mist_frac.sum(axis=0),
    )  # fmt: skip


def draw_tank(board: Board, cut: Cut) -> None:
    """Water, glass, and in an upright cut the ground and the surface."""
    box = cut.box
    board.add(rect("watert", box))
    if not cut.upright:
        board.add(
            path(
                "bold", f"M{num(box.left)} {num(box.top)}H{num(box.right)}V{num(box.bottom)}H{num(box.left)}Z"
            )
        )
        return
    ground = cut.y(cut.ground_cm)
    board.add(
        rect("shade", Box(box.left, ground, box.right, box.bottom)),
        line("mid", (box.left, ground), (box.right, ground)),
    )
    if box.bottom - ground > 12:
        board.add(
            path(
                "hatchw",
                hatch_line((box.left, box.bottom), (box.right, box.bottom), side=-1, step=14, length=10),
            )
        )
    rim = box.top - 12
    board.add(
        path("bold", f"M{num(box.left)} {num(rim)}V{num(box.bottom)}H{num(box.right)}V{num(rim)}"),
        line("water1", (box.left, box.top), (box.right, box.top)),
        moved(DRAWINGS[Symbol.WATER_LEVEL], ((box.left + box.right) / 2, box.top), scale=0.7),
    )


def stones(board: Board, cut: Cut, found: PlaceResult) -> None:
    """What no water passes, hatched where the cut goes through it, outlined where it stands elsewhere."""
    for thing in found.drawn.boxes:
        box = cut.box_of(thing)
        low, high = (thing.front_cm, thing.back_cm) if cut.upright else (thing.low_cm, thing.high_cm)
        through = low <= cut.level_cm <= high
        outline = f"M{num(box.left)} {num(box.top)}H{num(box.right)}V{num(box.bottom)}H{num(box.left)}Z"
        if not through:
            board.add(path("thin dash", outline))
            continue
        board.add(path("sy", outline))
        marks = []
        high_px, wide_px = box.bottom - box.top, box.right - box.left
        at = 8.0
        while at < wide_px + high_px:
            start = (box.left + min(at, wide_px), box.top + max(at - wide_px, 0.0))
            end = (box.left + max(at - high_px, 0.0), box.top + min(at, high_px))
            marks.append(f"M{num(start[0])} {num(start[1])}L{num(end[0])} {num(end[1])}")
            at += 9.0
        board.add(path("hatch", "".join(marks)))


def beds_lines(board: Board, cut: Cut, found: PlaceResult) -> None:
    """Planted beds, chain-lined."""
    for bed in found.drawn.beds:
        box = cut.box_of(bed)
        board.add(
            path(
                "leaf1 chain",
                f"M{num(box.left)} {num(box.top)}H{num(box.right)}V{num(box.bottom)}H{num(box.left)}Z",
            )
        )


def _read(field: Field, x: Px, y: Px) -> Px:
    """A field between the middles of its cells, places in cells."""
    rows, columns = field.shape
    x, y = min(max(x - 0.5, 0.0), columns - 1.001), min(max(y - 0.5, 0.0), rows - 1.001)
    i, j = int(x), int(y)
    a, b = x - i, y - j
    low = field[j, i] * (1 - a) + field[j, i + 1] * a
    high = field[j + 1, i] * (1 - a) + field[j + 1, i + 1] * a
    return float(low * (1 - b) + high * b)


def streaks(board: Board, cut: Cut, *, count: int = 260) -> None:
    """The way water travels in three seconds from places spread evenly; the thick end leads."""
    rows, columns = cut.water.shape
    cell_cm = cut.length_cm / columns
    thin, thick = [], []
    for n in range(count):
        x, y = ((n + 0.5) * _GOLDEN[0]) % 1.0 * columns, ((n + 0.5) * _GOLDEN[1]) % 1.0 * rows
        if not cut.water[int(y), int(x)]:
            continue
        points = [(x, y)]
        for _ in range(24):
            u, v = _read(cut.across, x, y), _read(cut.along, x, y)
            step = STREAK_S / 24 * 100 / cell_cm
            x, y = x + u * step, y + v * step
            if not (0.0 <= x < columns and 0.0 <= y < rows and cut.water[int(y), int(x)]):
                break
            points.append((x, y))
        drawn = [cut.at_cell(a, b) for a, b in points]
        long = sum(abs(q[0] - p[0]) + abs(q[1] - p[1]) for p, q in itertools.pairwise(drawn))
        if long < 2.0:
            continue
        thin.append(polyline(drawn[::2] if len(drawn) > 4 else drawn))
        head = drawn[2 * len(drawn) // 3 - 1 :]
        if len(head) > 1:
            thick.append(polyline(head))
    board.add(path("water1", "".join(thin)), path("water", "".join(thick)))


def mist_points(board: Board, cut: Cut, *, count: int = 420) -> None:
    """Gas hanging in the water as copper points, as many in a place as there is gas."""
    weight = cut.mist.ravel()
    if weight.sum() <= 0.0:
        return
    columns = cut.mist.shape[1]
    edges = np.cumsum(weight) / weight.sum()
    picks = np.searchsorted(edges, (np.arange(count) + 0.5) / count)
    for n, pick in enumerate(np.minimum(picks, weight.size - 1)):
        row, column = divmod(int(pick), columns)
        a, b = column + (n * _GOLDEN[0]) % 1.0, row + (n * _GOLDEN[1]) % 1.0
        board.add(circle("gasf", cut.at_cell(a, b), 1.0))


def rings(board: Board, cut: Cut, places: tuple[Place, ...], chosen: str) -> None:
    """Each place's letter in a ring, the chosen one solid copper; places with long names get a dot."""
    for place in places:
        at = (cut.x(place.from_left_cm), cut.y(place.height_cm if cut.upright else place.from_front_cm))
        if len(place.name) > 2:
            board.add(circle("dot", at, 3))
            continue
        on = place.name == chosen
        board.add(moved(station_ring(chosen=on), at))
        board.write((at[0], at[1] + 4.5), place.name, "tb mm t12" + (" to" if on else ""))
