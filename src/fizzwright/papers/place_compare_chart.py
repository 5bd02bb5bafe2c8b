"""Places compared: one row each, dot and 90 % bar for each figure, and under each column what may be said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, circle, line, moved
from fizzwright.papers.symbols import station_ring
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import chem, fixed
from fizzwright.result import Estimate
from fizzwright.stages.place_result import Place, PlaceResult

__all__ = ["compare_chart"]

MOST_ROWS = 16


@dataclass(frozen=True)
class _Column:
    """One figure: its words, its factor for show, and where it stands."""

    about: str
    title: str
    unit: str
    factor: Px
    of: Callable[[Place], Estimate]


_COLUMNS = (
    _Column("dissolved_frac", "mist that dissolves", "%", 100.0, lambda p: p.dissolved_frac),
    _Column("slowest_renewal_s", "slowest bed renewed", "s", 1.0, lambda p: p.slowest_renewal_s),
    _Column("poorest_co2_mg_l", "CO₂ in the poorest bed", "mg/L", 1.0, lambda p: p.poorest_co2_mg_l),
)


def compare_chart(found: PlaceResult) -> str:
    """The places in the order of their rank; a ranking stands only beyond the error."""
    places = found.places[:MOST_ROWS]
    columns = [c for c in _COLUMNS if any(j.about == c.about for j in found.judgements)]
    top, pitch, left, wide = 86.0, 38.0, 300.0, 260.0
    foot = top + pitch * len(places)
    board = Board(1196.0, foot + 96.0)
    board.write((8, 18), "Places compared", "t18 tb")
    board.write(
        (8, 38), "Dot: mean of the runs. Bar: 90 % band. Places of one rank cannot be told apart.", "t12 tp"
    )
    for n, column in enumerate(columns):
        _column(board, found, column, places=places, box=(left + n * (wide + 44.0), wide, top, pitch))
    for row, place in enumerate(places):
        y = top + pitch * (row + 0.5)
        board.add(line("hair", (8, y + pitch / 2), (1188, y + pitch / 2)))
        board.write((16, y + 5), str(place.rank), "tb mm")
        short = len(place.name) <= 2
        if short:
            board.add(moved(station_ring(chosen=place.beds == found.beds), (44, y)))
            board.write((44, y + 4.5), place.name, "tb mm t12" + (" to" if place.beds == found.beds else ""))
        where = f"{place.from_left_cm:.0f}, {place.from_front_cm:.0f} cm" + (
            f", {place.outlet}" if place.outlet != "outlet" else ""
        )
        board.write((66 if short else 34, y + 5), where if short else place.name, "")
    words = " ".join(f"{j.sentence}." for j in found.judgements)
    return board.finish("places", "Places compared", words)


def _column(
    board: Board,
    found: PlaceResult,
    column: _Column,
    *,
    places: tuple[Place, ...],
    box: tuple[Px, Px, Px, Px],
) -> None:
    left, wide, top, pitch = box
    bands = [column.of(place) for place in places]
    low = min(b.low for b in bands) * column.factor
    high = max(b.high for b in bands) * column.factor
    room = max(0.08 * (high - low), 0.02 * abs(high), 0.1)
    axis = Axis(low - room, high + room, left, left + wide)
    step = nice_step(high - low + 2 * room, 4)
    places_shown = max(0, -int(f"{step:e}".split("e")[1]))
    foot = top + pitch * len(places)
    board.write((left, top - 26), f"{column.title}, {column.unit}", "tb")
    for value in ticks(axis.start, axis.end, step):
        board.add(line("hair", (axis(value), top), (axis(value), foot)))
        board.write((axis(value), top - 8), fixed(value, places_shown), "t12 tp mm")
    for row, band in enumerate(bands):
        y = top + pitch * (row + 0.5) + 6
        ends = [axis(v * column.factor) for v in (band.low, band.high)]
        board.add(line("mid", (ends[0], y), (ends[1], y)))
        for x in ends:
            board.add(line("mid", (x, y - 4), (x, y + 4)))
        middle = axis(band.value * column.factor)
        board.add(circle("dot", (middle, y), 4))
        figures = fixed(band.value * column.factor, 0 if column.unit == "s" else 1)
        board.write((middle, y - 9), figures, "tb mm t12")
    judgement = next(j for j in found.judgements if j.about == column.about)
    text = chem(judgement.sentence) if judgement.differs else "no difference"
    for n, row_text in enumerate(wrap(text, wide, 12.0, lines=4)):
        board.write((left, foot + 24 + 16 * n), row_text, "t12 tb" if judgement.differs else "t12 ti")
