"""Steadiness against gas: gas clocks that bring the same CO2 to the lit hours, the chosen one marked."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.papers.curves import Obstacles, place
from fizzwright.papers.scales import Axis, nice_step, ticks
from fizzwright.papers.svg import Board, Box, circle, line
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import clock, decimals, fixed, in_words, percent
from fizzwright.stages.plan_result import FrontPoint, PlanResult
from fizzwright.units import System, convert, unit_text

__all__ = ["steady_front_desk", "steady_front_paper", "steady_front_phone"]


def steady_front_desk(plan: PlanResult, *, prefix: str = "front", system: System = System.METRIC) -> str:
    """Swing of CO2 in the light against gas a day, for half a wide page."""
    return _front(plan, Board(588, 286), prefix, system)


def steady_front_paper(plan: PlanResult, *, prefix: str = "front", system: System = System.METRIC) -> str:
    """The same for half the width of an A4 page."""
    return _front(plan, Board(388, 236), prefix, system)


def steady_front_phone(
    plan: PlanResult, *, prefix: str = "front-phone", system: System = System.METRIC
) -> str:
    """The same 358 wide."""
    return _front(plan, Board(358, 270, narrow=True), prefix, system)


@dataclass(frozen=True)
class _Scales:
    x: Axis
    y: Axis
    unit: str


def _front(plan: PlanResult, board: Board, prefix: str, system: System) -> str:
    points, unit = plan.front, unit_text("g_day", system)
    if points:
        scales = _scales(points, unit, board)
        _grid(board, scales)
        _points(board, points, scales)
    told = "; ".join(
        f"gas {_times(p)}: swing {_percent(p)}, {in_words(p.gas_g_day, system)}"
        f"{', the plan' if p.chosen else ''}"
        for p in points
    )
    words = f"{len(points)} gas clocks that bring the same CO2 to the lit hours. {told}."
    return board.finish(prefix, "Steadiness against gas", words)


def _percent(point: FrontPoint) -> str:
    swing = point.swing_frac
    return f"{percent(swing.value)}, {percent(swing.low)} to {percent(swing.high)}"


def _scales(points: tuple[FrontPoint, ...], unit: str, board: Board) -> _Scales:
    grams = [convert(p.gas_g_day.value, "g_day", unit) for p in points]
    low, high = min(grams), max(grams)
    room = max(0.16 * (high - low), 0.04 * high, 1e-6)
    most = 100 * max(max(p.swing_frac.high, p.swing_frac.value) for p in points)
    return _Scales(
        Axis(max(low - room, 0.0), high + room, 40.0, board.width - 6),
        Axis(0.0, max(most, 1.0) * 1.08, board.height - 42, 26.0),
        unit,
    )


def _grid(board: Board, scales: _Scales) -> None:
    x, y = scales.x, scales.y
    board.write((0, 14), "swing in the light, %", "t12 tp")
    step = nice_step(y.end - y.start, 4)
    for tick in ticks(y.start, y.end, step):
        board.add(line("hair", (x.at_start, y(tick)), (x.at_end, y(tick))))
        board.write((x.at_start - 8, y(tick) + 4.5), fixed(tick, 0 if step >= 1 else 1), "t12 tp me")
    board.add(line("ln", (x.at_start, y.at_start), (x.at_end, y.at_start)))
    step = nice_step(x.end - x.start, 5)
    places = max(decimals(step, step, step) - 1, 0) if step < 1 else 0 if step == round(step) else 1
    for tick in ticks(x.start, x.end, step):
        board.add(line("ln", (x(tick), y.at_start), (x(tick), y.at_start + 5)))
        spot = (x(tick), y.at_start + 19)
        if board.free(board.box_of(spot, fixed(tick, places), "t12 tp mm")):
            board.write(spot, fixed(tick, places), "t12 tp mm")
    board.write((x.at_end, board.height - 5), f"gas, {scales.unit}", "t12 tp me")


def _points(board: Board, points: tuple[FrontPoint, ...], scales: _Scales) -> None:
    x, y = scales.x, scales.y
    spots = [
        (x(convert(p.gas_g_day.value, "g_day", scales.unit)), y.held(100 * p.swing_frac.value))
        for p in points
    ]
    taken = []
    for point, (at_x, at_y) in zip(points, spots, strict=True):
        low, high = (y.held(100 * v) for v in (point.swing_frac.low, point.swing_frac.high))
        board.add(line("ln", (at_x, low), (at_x, high)))
        css, radius = ("gasf", 6.0) if point.chosen else ("dot", 4.0)
        board.add(circle(css, (at_x, at_y), radius))
        taken += [Box(at_x - 1, high, at_x + 1, low), Box(at_x - 6, at_y - 6, at_x + 6, at_y + 6)]
    free = Obstacles(Box(x.at_start + 2, y.at_end - 6, board.width, y.at_start - 3), None, tuple(taken))
    order = sorted(range(len(points)), key=lambda i: not points[i].chosen)
    for index in order:
        _label(board, points[index], spots[index], free)


def _label(board: Board, point: FrontPoint, spot: tuple[Px, Px], free: Obstacles) -> None:
    """The gas hours of a point beside it, with a leader where the near places are taken."""
    words, css = _times(point), "t12"
    if point.chosen:
        words, css = f"this plan, {words}", "t12 tb tg"
    at_x, at_y = spot
    wide = board.width_of(words, css)
    near = [(at_x + side, at_y + drop) for drop in (4.5, -7, 17) for side in (10, -10 - wide)]
    if place(board, words, css, near, free) is not None:
        return
    for away in range(24, 190, 8):
        for side in (6.0, -6.0 - wide, -wide / 2, 30.0, -30.0 - wide):
            for up in (-1, 1):
                box = place(board, words, css, [(at_x + side, at_y + up * away)], free)
                if box is not None:
                    tip = min(max(at_x, box.left), box.right), box.bottom if up < 0 else box.top
                    board.add(line("tick", tip, (at_x, at_y + up * 6)))
                    return


def _times(point: FrontPoint) -> str:
    if (point.gas_off_min - point.gas_on_min) % 1440 == 0:
        return "all day"
    return f"{clock(point.gas_on_min)}–{clock(point.gas_off_min)}"
