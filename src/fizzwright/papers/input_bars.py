"""What drives the spread of the day's peak: one bar for each unknown, the heaviest first."""

from __future__ import annotations

from fizzwright.papers.svg import Board, Box, line, rect
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import percent, spelled
from fizzwright.stages.plan_result import PlanResult

__all__ = ["input_bars_desk", "input_bars_paper", "input_bars_phone"]

_MOST = 7
_ROW: Px = 27.0


def input_bars_desk(plan: PlanResult, *, prefix: str = "spread") -> str:
    """The unknowns behind the spread, for half a wide page."""
    return _bars(plan, Board(588, 4000), prefix, 210.0)


def input_bars_paper(plan: PlanResult, *, prefix: str = "spread") -> str:
    """The same for half the width of an A4 page."""
    return _bars(plan, Board(388, 4000), prefix, 150.0)


def input_bars_phone(plan: PlanResult, *, prefix: str = "spread-phone") -> str:
    """The same 358 wide."""
    return _bars(plan, Board(358, 4000, narrow=True), prefix, 142.0)


def _rows(plan: PlanResult) -> list[tuple[str, float]]:
    kept = plan.input_shares[:_MOST]
    rows = [(spelled(s.name), s.share_frac) for s in kept]
    rest = 1.0 - sum(share for _, share in rows)
    return [*rows, ("all else", rest)] if rest >= 0.005 else rows


def _bars(plan: PlanResult, board: Board, prefix: str, names_wide: Px) -> str:
    rows = _rows(plan)
    room = board.width_of("under 1 %") + 8
    start, end = names_wide + 8, board.width - room
    at: Px = 4.0
    board.add(line("ln", (0, at), (board.width, at)))
    for index, (name, share) in enumerate(rows):
        heavy = "tb" if index == 0 else ""
        lines = wrap(name, names_wide, board.size(heavy), bold=index == 0, lines=2)
        tall = _ROW + 16 * (len(lines) - 1)
        middle = at + tall / 2
        for number, text in enumerate(lines):
            board.write((0, middle + 4.5 - 8 * (len(lines) - 1) + 16 * number), text, heavy)
        reach = start + (end - start) * min(max(share, 0.0), 1.0)
        board.add(rect("gasf" if index == 0 else "riskf", Box(start, middle - 5, reach, middle + 5)))
        board.write((reach + 7, middle + 4.5), percent(share), heavy)
        at += tall
        board.add(line("hair", (0, at), (board.width, at)))
    board.height = at + 4
    told = "; ".join(f"{name} {percent(share)}" for name, share in rows)
    return board.finish(prefix, "What drives the spread of the day's peak", f"{told}.")
