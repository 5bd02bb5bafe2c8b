"""The foot of the day strip: the lamp's and the gas's hours as bars, and the hour axis."""

from __future__ import annotations

from fizzwright.papers.curves import spells
from fizzwright.papers.day_panels import Frame
from fizzwright.papers.svg import Board, Box, line, path, rect
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import clock, hours_between
from fizzwright.stages.plan_result import PlanResult

__all__ = ["axis_drawn", "clock_rows"]

_BAR: Px = 14.0


def clock_rows(board: Board, frame: Frame, plan: PlanResult, top: Px) -> Px:
    """Draw both bars from `top` down and hand back where they end."""
    rows = (
        ("light", "lampf", plan.light_on_min, plan.light_off_min),
        ("gas", "gasf", plan.gas_on_min, plan.gas_off_min),
    )
    for name, css, on_min, off_min in rows:
        if frame.narrow:
            top = _row_phone(board, frame, (name, css), (on_min, off_min), top)
        else:
            top = _row_desk(board, frame, (name, css), (on_min, off_min), top)
    return top


def _times(on_min: int, off_min: int) -> str:
    if _whole_day((on_min, off_min)):
        return "day and night"
    return f"{clock(on_min)}–{clock(off_min)}"


def _bars(board: Board, frame: Frame, css: str, spell: tuple[int, int], top: Px) -> list[tuple[Px, Px]]:
    time = frame.time
    ends = [(time(start), time(end)) for start, end in spells(*spell)]
    for left, right in ends:
        board.add(rect(css, Box(left, top, right, top + _BAR)))
        board.add(path("ln", f"M{left:.1f} {top:.1f}H{right:.1f}V{top + _BAR:.1f}H{left:.1f}Z"))
    return ends


def _row_line(board: Board, frame: Frame, middle: Px, taken: list[tuple[Px, Px]]) -> None:
    """The hair line of a row, broken where a bar or a clock time stands."""
    at = frame.left
    for left, right in sorted(taken):
        if left - at > 2:
            board.add(line("hair", (at, middle), (left, middle)))
        at = max(at, right)
    if frame.right - at > 2:
        board.add(line("hair", (at, middle), (frame.right, middle)))


def _row_phone(board: Board, frame: Frame, style: tuple[str, str], spell: tuple[int, int], top: Px) -> Px:
    """Words over the bar: a phone has no room beside it."""
    name, css = style
    end = board.write((0, top + 13), name, "tb").right
    length = "" if _whole_day(spell) else f", {hours_between(*spell)}"
    board.write((max(end + 8, frame.left), top + 13), _times(*spell) + length)
    ends = _bars(board, frame, css, spell, top + 19)
    _row_line(board, frame, top + 19 + _BAR / 2, ends)
    return top + 19 + _BAR + 9


def _whole_day(spell: tuple[int, int]) -> bool:
    return (spell[1] - spell[0]) % 1440 == 0


def _row_desk(board: Board, frame: Frame, style: tuple[str, str], spell: tuple[int, int], top: Px) -> Px:
    """Clock times at the ends of the bar where they fit, else in the gutter; the length always there."""
    name, css = style
    board.write((0, top + 11), name, "tb")
    taken = ends = _bars(board, frame, css, spell, top)
    # A spell over midnight shows its two cut ends inwards: off on the left bar, on on the right one.
    inner = ((ends[0][0], spell[0], "me"), (ends[0][1], spell[1], ""))
    if len(ends) == 2:
        inner = ((ends[0][1], spell[1], ""), (ends[1][0], spell[0], "me"))
    room = board.width_of("00:00", "t12") + 10
    gap = ends[1][0] - ends[0][1] if len(ends) == 2 else 2 * room
    fits = (
        not _whole_day(spell)
        and gap >= 2 * room
        and all(x - room >= frame.left if css_end else x + room <= frame.right for x, _, css_end in inner)
    )
    if fits:
        for x, minute, anchor in inner:
            box = board.write(
                (x - 6 if anchor else x + 6, top + 11.5), clock(minute), f"t12 {anchor}".strip()
            )
            taken = [*taken, (box.left - 3, box.right + 3)]
    _row_line(board, frame, top + _BAR / 2, taken)
    length = "" if _whole_day(spell) else hours_between(*spell)
    words = length if fits else ", ".join(filter(None, [_times(*spell), length]))
    board.write((frame.gutter[0], top + 11.5), words, "t12 tp")
    return top + _BAR + 6


def axis_drawn(board: Board, frame: Frame, top: Px) -> None:
    """The hours, 00 to 24."""
    time = frame.time
    board.add(line("ln", (frame.left, top), (frame.right, top)))
    for hour in range(25):
        x = time(60.0 * hour)
        numbered = hour % frame.hour_step == 0
        board.add(line("ln" if numbered else "tick", (x, top), (x, top + (6 if numbered else 4))))
        if numbered:
            board.write((x, top + 20), f"{hour:02d}", "t12 tp mm")
    if not frame.narrow:
        board.write((frame.gutter[0], top + 20), "hour of the day", "t12 tp")
