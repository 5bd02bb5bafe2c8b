"""The rest of a printed plan: how steady it is, what steadiness costs, what would help, the first days."""

from __future__ import annotations

from collections.abc import Sequence

from fizzwright.cli.output import Row, band_text, bullet, estimate_row, heading, paragraph, rows_lines
from fizzwright.papers.words import clock, percent
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import FrontPoint, InputShare, PlanResult, RampDay
from fizzwright.units import System, number_text

__all__ = ["lever_lines", "ramp_lines", "steady_lines"]


def steady_lines(plan: PlanResult, system: System) -> list[str]:
    """How steady the day is, and the gas clocks that trade gas for steadiness."""
    return [*_stability(plan, system), *_front(plan.front)]


def _percent_band(share: Estimate) -> str:
    return f"{100 * share.value:.0f} ({100 * share.low:.0f}…{100 * share.high:.0f}) %"


def _stability(plan: PlanResult, system: System) -> list[str]:
    steady = plan.stability
    if steady is None:
        return []
    swing = f"{_percent_band(steady.swing_frac)}; up to 20 is good, up to 35 fair"
    rows = [
        Row("Swing in the light", "", remark=swing),
        estimate_row("Hours in the band", steady.in_band_h, system, f"of {steady.lit_h:g} lit"),
        Row("At lights-on", "", remark=f"{_percent_band(steady.lights_on_ratio)} of the wished middle"),
        estimate_row("Nine tenths reached", steady.reaches_90_h, system, "after gas-on"),
        estimate_row("Lowest of the night", steady.night_low_mg_l, system),
        estimate_row("Longest over the ceiling", steady.longest_over_h, system),
    ]  # fmt: skip
    if plan.risk is not None:
        text = f"highest about {clock(round(plan.risk.peak_at_min) % 1440)}; the alarm is at 1"
        rows.append(estimate_row("CO₂ and O₂ as one risk", plan.risk.peak_number, system, text))
    return [*heading("How steady"), *rows_lines(rows)]


def _front(points: Sequence[FrontPoint]) -> list[str]:
    if len(points) < 2:
        return []
    cells = [("", "gas on", "gas off", "mg/h", "swing %", "g/day", "over the ceiling")]
    for point in points:
        cells.append(
            (
                "plan" if point.chosen else "",
                *_times(point),
                number_text(point.feed_mg_h, 3),
                f"{100 * point.swing_frac.value:.0f}",
                number_text(point.gas_g_day.value, 3),
                percent(point.p_over_ceiling_frac),
            )
        )
    lead = "Gas clocks that bring the same CO₂ to the lit hours, from thrifty to steady:"
    return [*heading("Steadiness against gas"), *paragraph(lead, "  "), *_table(cells)]


def _times(point: FrontPoint) -> tuple[str, str]:
    if point.gas_on_min == point.gas_off_min:
        return "all day", ""
    return clock(point.gas_on_min), clock(point.gas_off_min)


def _table(cells: Sequence[Sequence[str]]) -> list[str]:
    wide = [max(len(row[column]) for row in cells) for column in range(len(cells[0]))]
    return [
        "  " + "  ".join(f"{text:>{wide[column]}}" for column, text in enumerate(row)).rstrip()
        for row in cells
    ]


def lever_lines(plan: PlanResult) -> list[str]:
    """What else could be changed, and what carries the doubt."""
    lines = heading("What would help") if plan.levers else []
    for lever in plan.levers:
        lines += bullet(f"{lever.name[0].upper()}{lever.name[1:]} ({lever.change}). {lever.sentence}")
    return [*lines, *_shares(plan.input_shares)]


def _shares(shares: Sequence[InputShare]) -> list[str]:
    if not shares:
        return []
    text = ", ".join(f"{share.name} {percent(share.share_frac)}" for share in shares[:4])
    return [*heading("What the spread of the peak comes from"), *paragraph(text, "  ")]


def ramp_lines(days: Sequence[RampDay], system: System) -> list[str]:
    """The first days: the feed for each, and what to see before the next step."""
    if not days:
        return []
    cells = [("day", "mg/h", "bubbles/s", "peak", "over the ceiling")]
    cells += [
        (
            str(day.day_count), number_text(day.feed_mg_h, 3), number_text(day.bubbles_per_s, 3),
            band_text(day.co2_peak_mg_l, system), percent(day.p_over_ceiling_frac),
        )
        for day in days
    ]  # fmt: skip
    text = (
        f"One step each morning, never late in the day or before you leave. Stand at the tank at "
        f"{clock(days[-1].look_at_min)}, when the day peaks: with animals breathing fast or at the surface "
        "go back a step and stay there two days."
    )
    return [*heading("The first days"), *_table(cells), *paragraph(text, "  ")]
