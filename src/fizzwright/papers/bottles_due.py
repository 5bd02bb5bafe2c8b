"""When each bottle is empty, on one date axis from today: best date, band, and the test stamp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fizzwright.papers.scales import Axis
from fizzwright.papers.svg import Board, Box, circle, line, num, path, rect
from fizzwright.papers.typeface import Px, wrap
from fizzwright.result import Estimate

__all__ = ["BottleDue", "bottles_due_desk", "bottles_due_phone", "due_words"]

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_LONGEST_DAYS = 730.0
_TITLE = "Bottles due"


@dataclass(frozen=True)
class BottleDue:
    """One bottle: the tank it feeds and the days until it is empty, 90 % band."""

    name: str
    empty_days: Estimate


def _day(day: date, today: date) -> str:
    year = "" if day.year == today.year else f" {day.year}"
    return f"{day.day}\u00a0{_MONTHS[day.month - 1]}{year}"


def due_words(days: Estimate, today: date) -> tuple[str, str]:
    """The best date and its limits; beyond two years only that much is said."""
    if days.value > _LONGEST_DAYS:
        return "over two years", ""
    best, low, high = (
        today + timedelta(days=min(max(d, 0.0), _LONGEST_DAYS)) for d in (days.value, days.low, days.high)
    )
    last = "later" if days.high > _LONGEST_DAYS else _day(high, today)
    return _day(best, today), f"{_day(low, today)}…{last}"


def bottles_due_desk(rows: Sequence[BottleDue], *, today: date) -> str:
    """The dates as a wide drawing."""
    board = Board(1196, 40 + 44 * len(rows))
    span = _span(rows)
    x = Axis(0.0, span, 250, 1100)
    _months(board, x, today, (24, board.height - 14))
    for number, row in enumerate(rows):
        at = 58 + 44 * number
        board.write(
            (0, at + 4.5), wrap(row.name, 230, 13, bold=number == 0, lines=1)[0], "tb" * (number == 0)
        )
        _bar(board, row, x, at)
        best, band = due_words(row.empty_days, today)
        wide = board.width_of(best, "tb") + 8 + board.width_of(band, "t12")
        right = x.held(row.empty_days.high) + 12
        left = right if right + wide < board.width else x.held(row.empty_days.low) - 12 - wide
        board.add(rect("paperf", Box(left - 3, at - 8, left + wide + 3, at + 9)))
        told = board.write((left, at + 4.5), best, "tb")
        board.write((told.right + 8, at + 4.5), band, "t12 tp")
    board.add(line("ln", (250, board.height - 10), (1100, board.height - 10)))
    return board.finish("bottles", _TITLE, _words(rows, today))


def bottles_due_phone(rows: Sequence[BottleDue], *, today: date) -> str:
    """The dates 358 wide, words over each bar."""
    board = Board(358, 44 + 64 * len(rows), narrow=True)
    x = Axis(0.0, _span(rows), 6, 350)
    _months(board, x, today, (24, board.height - 14))
    for number, row in enumerate(rows):
        at = 44 + 64 * number
        best, band = due_words(row.empty_days, today)
        board.add(rect("paperf", Box(8, at, 358, at + 38)))
        board.write(
            (10, at + 14), wrap(row.name, 340, 14, bold=number == 0, lines=1)[0], "tb" * (number == 0)
        )
        told = board.write((10, at + 32), best, "tb")
        board.write((told.right + 8, at + 32), band, "t12 tp")
        _bar(board, row, x, at + 48)
    board.add(line("ln", (6, board.height - 10), (350, board.height - 10)))
    return board.finish("bottles-phone", _TITLE, _words(rows, today))


def _span(rows: Sequence[BottleDue]) -> Px:
    most = max((min(row.empty_days.high, _LONGEST_DAYS) for row in rows), default=60.0)
    return max(most * 1.04, 45.0)


def _months(board: Board, x: Axis, today: date, ends: tuple[Px, Px]) -> None:
    """A hair line at the first of a month, named where there is room."""
    top, foot = ends
    board.add(line("mid", (x(0), top), (x(0), foot)))
    start = "" if board.narrow else "me"
    board.write((x(0) - (2 if start else 0), 16), "today", f"t12 tb {start}".strip())
    year, month = today.year, today.month
    last = x(0) + (44 if board.narrow else 8)
    while True:
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        days = (date(year, month, 1) - today).days
        if days > x.end:
            break
        name = _MONTHS[month - 1] + (f" {year}" if month == 1 else "")
        board.under(line("hair", (x(days), top), (x(days), foot)))
        if x(days) + 4 > last and x(days) + 4 + board.width_of(name, "t12") < board.width:
            last = board.write((x(days) + 4, 16), name, "t12 tp").right + 10


def _bar(board: Board, row: BottleDue, x: Axis, at: Px) -> None:
    low, middle, high = (x.held(v) for v in (row.empty_days.low, row.empty_days.value, row.empty_days.high))
    board.add(
        path("gas", f"M{num(low)} {num(at - 8)}v16M{num(high)} {num(at - 8)}v16"),
        rect("gast", Box(low, at - 5, high, at + 5)),
        line("gas1", (low, at), (high, at)),
        circle("dot", (middle, at), 4.5),
    )


def _words(rows: Sequence[BottleDue], today: date) -> str:
    told = [
        f"{row.name} {best}" + (f", between {band.replace('…', ' and ')}" if band else "")
        for row in rows
        for best, band in (due_words(row.empty_days, today),)
    ]
    return f"Empty dates with 90 percent bands: {'; '.join(told)}."
