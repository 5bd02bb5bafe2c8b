"""A plan as a technician reads it at the tank: the settings first, then what they do, then why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fizzwright.cli.day_text import day_lines
from fizzwright.cli.output import (
    Row,
    band_text,
    bullet,
    estimate_row,
    findings_lines,
    heading,
    paragraph,
    rows_lines,
    sure_lines,
    value_text,
    working_lines,
)
from fizzwright.cli.plan_more_text import lever_lines, ramp_lines, steady_lines
from fizzwright.papers.words import clock, fixed, percent
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import Ledger, LedgerLine, PlanResult, Station
from fizzwright.units import System

if TYPE_CHECKING:
    from fizzwright.readings import Decision

__all__ = ["plan_lines", "reading_lines"]


def plan_lines(plan: PlanResult, system: System, *, working: bool = False) -> list[str]:
    """The whole plan, section by section."""
    return [
        *_opening(plan),
        *_settings(plan, system),
        *_day(plan, system),
        *steady_lines(plan, system),
        *_stuck(plan, system),
        *ramp_lines(plan.ramp, system),
        *_bottle(plan, system),
        *_line(plan.stations, system),
        *_ledger(plan.ledger),
        *_night(plan, system),
        *_next(plan),
        *lever_lines(plan),
        *findings_lines(plan.trail.findings),
        *(working_lines(plan.trail) if working else sure_lines(plan.trail)),
    ]


def _opening(plan: PlanResult) -> list[str]:
    kind = {"starting": "starting plan", "fitted": "plan fitted to a logged night"}.get(plan.kind, plan.kind)
    return [*heading(f"{plan.name}: {kind}")[1:], *paragraph(plan.verdict, "  ")]


def _settings(plan: PlanResult, system: System) -> list[str]:
    gas = f"on {clock(plan.gas_on_min)}, off {clock(plan.gas_off_min)}"
    lamp = f"on {clock(plan.light_on_min)}, off {clock(plan.light_off_min)}"
    rows = [
        estimate_row("Feed", plan.feed_mg_h, system),
        estimate_row("The same as flow", plan.flow_ml_min_n, system),
        estimate_row(
            "Bubbles", plan.bubbles_per_s, system, f"of {band_text(plan.mg_per_bubble_mg, system)} each"
        ),
        Row("Gas", "", remark=gas),
        Row("Lamp", "", remark=lamp),
    ]
    if _differs(plan.expected_feed_mg_h, plan.feed_mg_h):
        rows.insert(2, estimate_row("Expected in the end", plan.expected_feed_mg_h, system))
    return [*heading("Set"), *rows_lines(rows)]


def _differs(one: Estimate, other: Estimate) -> bool:
    return abs(one.value - other.value) > 0.01 * abs(other.value)


def _day(plan: PlanResult, system: System) -> list[str]:
    wished = f"wished for {plan.target_low_mg_l:g} to {plan.target_high_mg_l:g}"
    ceiling, chance = plan.ceiling, plan.p_over_ceiling_frac
    rows = [
        estimate_row("CO₂ at lights-on", plan.co2_at_lights_on_mg_l, system, wished),
        estimate_row("CO₂ peak", plan.co2_peak_mg_l, system),
        Row("Starting ceiling", f"{ceiling.soft_mg_l:g}", "", "mg/L", f"set by {ceiling.set_by}"),
        Row("Hard stop", f"{ceiling.hard_mg_l:g}", "", "mg/L", f"how sure: {ceiling.confidence}"),
        Row("Chance over the ceiling", "", remark=_chance(chance, plan.draws_count)),
        Row("Lit hours as wished", "", remark=percent(plan.share_in_band_frac)),
        estimate_row("Fastest rise", plan.rise_mg_l_h, system),
        estimate_row("O₂ at dawn", plan.o2_dawn_mg_l, system),
    ]
    trade = paragraph(plan.trade.sentence, "  ") if plan.trade.sentence else []
    return [*heading("The day"), *rows_lines(rows), "", *day_lines(plan), *([""] if trade else []), *trade]


def _chance(share: float, draws_count: int) -> str:
    """A share of the draws; where none did, that is all the draws can say."""
    return percent(share) if share > 0 else f"none of {draws_count} draws passed it"


def _stuck(plan: PlanResult, system: System) -> list[str]:
    chance = f"over the hard stop in {percent(plan.p_stuck_over_hard_frac)} of the draws"
    row = estimate_row("CO₂ after 24 h", plan.stuck_open_24h_mg_l, system, chance)
    return [*heading("If the valve sticks open"), *rows_lines([row])]


def _bottle(plan: PlanResult, system: System) -> list[str]:
    rows = [
        estimate_row("Gas a day", plan.gas_g_day, system),
        estimate_row("Lasts", plan.bottle_days, system),
        estimate_row("Swap or weigh by", plan.swap_days, system),
    ]
    return [*heading("The bottle"), *rows_lines(rows)]


def _line(stations: Sequence[Station], system: System) -> list[str]:
    """One line a station, in the order the gas passes; pressure and flow are after it."""
    if not stations:
        return []
    cells = [("", "pressure", "flow", "lost on the way"), *(_station_cells(s, system) for s in stations)]
    wide = [max(len(row[column]) for row in cells) for column in range(4)]
    lines = heading("The gas line, bottle to leaf")
    for index, row in enumerate(cells):
        lines.append("  " + "  ".join(f"{text:<{wide[column]}}" for column, text in enumerate(row)).rstrip())
        if index > 0:
            station = stations[index - 1]
            lines += paragraph("; ".join(filter(None, (station.detail, station.sets_it))), "    ")
    return lines


def _station_cells(station: Station, system: System) -> tuple[str, str, str, str]:
    return (
        f"{station.number} {station.name}",
        _known(station.pressure_barg, system),
        _known(station.flow_mg_h, system),
        _known(station.lost_mg_h, system),
    )


def _known(estimate: Estimate | None, system: System) -> str:
    return "" if estimate is None else band_text(estimate, system)


def _ledger(ledger: Ledger) -> list[str]:
    """Carbon in and out in grams of CO2 a day; the middles add up, the sums stand under them."""
    lines = heading("Where the CO₂ goes, grams a day")
    for side, title in (("in", "In"), ("out", "Out")):
        rows = [_ledger_row(line) for line in ledger.lines if line.side == side]
        total = Row(f"{title}, together", fixed(ledger.total_g_day(side), 2))
        lines += [*rows_lines([*rows, total]), *([""] if side == "in" else [])]
    return [*lines, *paragraph(_balance_sentence(ledger.residual_frac), "  ")]


def _ledger_row(line: LedgerLine) -> Row:
    """One stream; hundredths of a gram for all, so that the column adds up."""
    estimate = line.carbon_g_day
    has_band = estimate.high > estimate.low
    band = f"({fixed(estimate.low, 2)}…{fixed(estimate.high, 2)})" if has_band else ""
    return Row(line.name, fixed(estimate.value, 2), band)


def _balance_sentence(residual: float) -> str:
    if abs(residual) < 1e-6:
        return "In and out balance to round-off."
    return f"In and out differ by {100 * abs(residual):.2g} % of what goes in."


def _night(plan: PlanResult, system: System) -> list[str]:
    night = plan.night
    if night is None:
        return []
    lines = [*heading("The logged night"), *paragraph(night.verdict, "  ")]
    rows = []
    if night.loss_per_h is not None:
        before = f"before the night {night.prior_low_per_h:.2g} to {night.prior_high_per_h:.2g}"
        rows.append(estimate_row("Surface loss", night.loss_per_h, system, before))
    if night.settles_mg_l is not None:
        rows.append(estimate_row("Settles at", night.settles_mg_l, system))
    used = f"{night.readings_count} over {value_text(night.hours_h, 'h', system)}"
    if night.set_aside_count:
        used += f", {night.set_aside_count} set aside"
    rows.append(Row("Readings", "", remark=used))
    return [*lines, *rows_lines(rows)]


def _next(plan: PlanResult) -> list[str]:
    if not plan.next_readings:
        return []
    lines = heading("Measure next")
    for reading in plan.next_readings:
        after = f"the day's peak would then be known to {reading.low_mg_l:.0f}…{reading.high_mg_l:.0f} mg/L"
        lines += bullet(f"{reading.name} ({reading.effort}): {reading.settles}; {after}")
    return lines


def reading_lines(decisions: Sequence[Decision]) -> list[str]:
    """How the file of a night was read: headings in one line, then every rule that touched a row."""
    if not decisions:
        return []
    mapped = ", ".join(decision.text for decision in decisions if decision.rule == "heading")
    lines = heading("How the night's file was read")
    lines += bullet(mapped) if mapped else []
    for decision in decisions:
        if decision.rule != "heading":
            lines += bullet(decision.text + _rows_named(decision))
    return lines


def _rows_named(decision: Decision) -> str:
    """The lines a rule touched, where they are few enough to look up."""
    if not decision.rows or len(decision.rows) > 6:
        return ""
    return f" (line {', '.join(str(row) for row in decision.rows)})"
