"""What to measure next: the band of the day's peak now (thin) and after each reading (thick)."""

from __future__ import annotations

from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, circle, hatch_line, line, num, path
from fizzwright.papers.typeface import Px, wrap
from fizzwright.papers.words import fixed, in_words, range_text, spelled
from fizzwright.stages.plan_result import NextReading, PlanResult

__all__ = ["next_readings_desk", "next_readings_paper", "next_readings_phone"]

_TITLE = "What to measure next"


def next_readings_desk(plan: PlanResult, *, prefix: str = "next") -> str:
    """Readings worth taking, one row each, on one scale of the day's peak."""
    columns = (24.0, 300.0, 520.0, 900.0, 930.0, 1040.0, 1196.0)
    return _wide(plan, prefix, columns)


def next_readings_paper(plan: PlanResult, *, prefix: str = "next") -> str:
    """The same rows for the width of an A4 page."""
    columns = (20.0, 0.0, 392.0, 660.0, 684.0, 800.0, 800.0)
    return _wide(plan, prefix, columns)


def next_readings_phone(plan: PlanResult, *, prefix: str = "next-phone") -> str:
    """The same rows 358 wide, words over each whisker."""
    rows = plan.next_readings
    board = Board(358, 4000, narrow=True)
    x = _axis(plan, (8, 350))
    at: Px = 36
    spans = [(22.0, 27.0)]
    for number, row in enumerate(rows, 1):
        base = at + 14
        board.write((0, base), str(number), "tb")
        for text in wrap(spelled(row.name), 339, 14, bold=number == 1, lines=2):
            board.write((19, base), text, "tb" if number == 1 else "")
            base += 18
        for text in wrap(f"{spelled(row.settles)}; {spelled(row.effort)}", 338, 13, lines=3):
            board.write((19, base), text, "t12 tp")
            base += 17
        board.write((19, base), f"peak after it {_band(row)}\u00a0mg/L", "t12")
        _whisker(board, plan, row, x, base + 18)
        _ceiling(board, plan, x, (base + 8, base + 28))
        spans.append((base + 8, base + 28))
        at = base + 38
    _ticks(board, x, spans, 4)
    if x.start < plan.ceiling.soft_mg_l < x.end:
        board.write(
            (358, at + 8), f"hatched: starting ceiling {fixed(plan.ceiling.soft_mg_l, 0)}", "t12 tp me"
        )
        at += 14
    board.height = at
    return board.finish(prefix, _TITLE, _words(plan))


def _band(row: NextReading) -> str:
    return range_text(fixed(row.low_mg_l, 1), fixed(row.high_mg_l, 1))


def _axis(plan: PlanResult, ends: tuple[Px, Px]) -> Axis:
    peak = plan.co2_peak_mg_l
    lows = [peak.low, *(r.low_mg_l for r in plan.next_readings)]
    highs = [peak.high, *(r.high_mg_l for r in plan.next_readings)]
    low, high = min(lows), max(highs)
    soft = plan.ceiling.soft_mg_l
    # The ceiling is drawn where it is near enough to matter to these bands.
    if soft <= high + 1.5 * (high - low):
        high = max(high, soft)
    room = max(0.12 * (high - low), 0.5)
    return Axis(max(low - room, 0.0), high + room, *ends)


def _ticks(board: Board, x: Axis, spans: list[tuple[Px, Px]], count: int) -> None:
    """Figures over the first stretch of the grid; the grid beneath everything."""
    step = nice_step(x.end - x.start, count)
    places = next((n for n in (0, 1) if abs(round(step, n) - step) < 1e-9), 2)
    for tick in ticks(x.start, x.end, step):
        board.under(*(line("hair", (x(tick), top), (x(tick), bottom)) for top, bottom in spans))
        spot = (x(tick), spans[0][0] - 8)
        if board.free(board.box_of(spot, fixed(tick, places), "t12 tp mm")):
            board.write(spot, fixed(tick, places), "t12 tp mm")


def _whisker(board: Board, plan: PlanResult, row: NextReading, x: Axis, y: Px) -> None:
    peak = plan.co2_peak_mg_l
    low, high = x.held(peak.low), x.held(peak.high)
    board.add(
        path(
            "tick", f"M{num(low)} {num(y - 5)}v10M{num(high)} {num(y - 5)}v10M{num(low)} {num(y)}H{num(high)}"
        ),
        line("pipe", (x.held(row.low_mg_l), y), (x.held(row.high_mg_l), y)),
        circle("dot", (x.held(peak.value), y), 4),
    )


def _ceiling(board: Board, plan: PlanResult, x: Axis, span: tuple[Px, Px]) -> None:
    soft = plan.ceiling.soft_mg_l
    if not x.start < soft < x.end:
        return
    ends = (x(soft), span[0]), (x(soft), span[1])
    board.add(path("hatch", hatch_line(*ends, side=1, length=6)), line("mid", *ends))


def _wide(plan: PlanResult, prefix: str, columns: tuple[Px, ...]) -> str:
    name_at, settles_at, plot, plot_end, band_at, effort_at, right = columns
    beside = settles_at > name_at
    board = Board(right, 4000)
    x = _axis(plan, (plot, plot_end))
    board.write((band_at, 16), "peak after it, mg/L", "t12 tp")
    at: Px = 34
    names_wide = (settles_at if beside else plot) - name_at - 20
    for number, row in enumerate(plan.next_readings, 1):
        bold = "tb" if number == 1 else ""
        names = [(t, bold) for t in wrap(spelled(row.name), names_wide, 13, bold=number == 1, lines=2)]
        if not beside:
            names += [
                (t, "t12 tp")
                for t in wrap(f"{spelled(row.settles)}; {spelled(row.effort)}", names_wide, 12, lines=2)
            ]
        settles = wrap(spelled(row.settles), plot - settles_at - 24, 13, lines=2) if beside else ()
        efforts = wrap(spelled(row.effort), right - effort_at, 13, lines=2) if beside else ()
        tall = max(len(names), len(settles), len(efforts), 1) * 17 + (18 if beside else 13)
        middle = at + tall / 2
        board.write((0, _first(middle, len(names))), str(number), "tb")
        _stack(board, (name_at, middle), names)
        _stack(board, (settles_at, middle), [(t, "tp") for t in settles])
        _stack(board, (effort_at, middle), [(t, "tp") for t in efforts])
        board.write((band_at, middle + 4.5), _band(row))
        _whisker(board, plan, row, x, middle)
        at += tall
        board.under(line("hair", (0, at), (right, at)))
    _ceiling(board, plan, x, (28, at))
    _ticks(board, x, [(26, at)], 6)
    if x.start < plan.ceiling.soft_mg_l < x.end:
        board.write((x(plan.ceiling.soft_mg_l), at + 17), "starting ceiling", "t12 mm")
        at += 18
    board.height = at + 6
    return board.finish(prefix, _TITLE, _words(plan))


def _first(middle: Px, count: int) -> Px:
    return middle - 17 * (count - 1) / 2 + 4.5


def _stack(board: Board, at: tuple[Px, Px], lines: list[tuple[str, str]]) -> None:
    for index, (text, css) in enumerate(lines):
        board.write((at[0], _first(at[1], len(lines)) + 17 * index), text, css)


def _words(plan: PlanResult) -> str:
    told = "; ".join(
        f"{row.name} ({row.effort}) would narrow it to {fixed(row.low_mg_l, 1)} to {fixed(row.high_mg_l, 1)}"
        for row in plan.next_readings
    )
    return f"The day's peak is {in_words(plan.co2_peak_mg_l)} now. {told}."
