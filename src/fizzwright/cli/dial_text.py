"""A dial-in as it is read beside the tank: what to do first, then what the tank is like."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fizzwright.cli.output import (
    Row,
    bullet,
    estimate_row,
    findings_lines,
    heading,
    paragraph,
    rows_lines,
    sure_lines,
    working_lines,
)
from fizzwright.inference.taps import TapCount
from fizzwright.papers.words import clock, percent
from fizzwright.stages.dial_result import DialResult
from fizzwright.units import System, number_text

__all__ = ["dial_lines", "replay_lines", "tap_lines"]

AHEAD_EVERY_H = 3.0


def dial_lines(found: DialResult, system: System, *, working: bool = False) -> list[str]:
    """The whole answer, the step first."""
    return [
        *heading(f"{found.name}: dial-in at {found.last_reading}")[1:],
        *paragraph(found.next_step, "  "),
        *heading("Now"),
        *paragraph(found.verdict, "  "),
        *rows_lines([
            estimate_row("CO₂ now", found.co2_now_mg_l, system),
            estimate_row("Believed without readings", found.prior_co2_mg_l, system),
            estimate_row("Lit hours at this feed", found.lit_level_mg_l, system),
            estimate_row("Highest in the next 24 h", found.tomorrow_peak_mg_l, system),
            Row("Chance over the ceiling", "", remark=percent(found.step.p_over_frac)),
        ]),
        *_ahead(found),
        *_tank(found, system),
        *_learnt(found),
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]  # fmt: skip


def _ahead(found: DialResult) -> list[str]:
    """The expected curve, every three hours."""
    ahead = found.ahead
    rows = []
    for hour in np.arange(0.0, 24.0 + 1e-9, AHEAD_EVERY_H):
        low, middle, high, minute = (
            float(np.interp(hour, ahead.hours_h, curve))
            for curve in (ahead.co2_low_mg_l, ahead.co2_mg_l, ahead.co2_high_mg_l, ahead.clock_min)
        )
        band = f"({number_text(low, 2)}…{number_text(high, 2)})"
        rows.append(Row(clock(round(minute) % 1440), number_text(middle, 3), band, "mg/L"))
    return [*heading("Expected from here, with the step taken"), *rows_lines(rows)]


def _tank(found: DialResult, system: System) -> list[str]:
    rows = [
        estimate_row("Surface loss", found.loss_per_h, system),
        estimate_row(
            "Gas that reaches the water", found.gas_reaching_mg_h, system, "while the valve is open"
        ),
        estimate_row("Share that dissolves", found.dissolved_frac, system),
        estimate_row("Gas in one bubble", found.mg_per_bubble_mg, system),
        estimate_row("Plants' uptake in full light", found.uptake_mg_h, system),
        estimate_row("Animals and ground breathe", found.breathing_mg_h, system),
        estimate_row("Carbonate hardness", found.carbonate_kh_dkh, system),
        estimate_row("Probe offset", found.probe_offset_ph, system),
    ]
    return [*heading("The tank as learnt"), *rows_lines(rows)]


def _learnt(found: DialResult) -> list[str]:
    rows = [
        Row(row.name, "", remark=f"{percent(row.left_frac)} of the first doubt left"
            + ("" if row.identified else f"; {row.reading}"))
        for row in found.learnt
    ]  # fmt: skip
    return [*heading("What is settled, and what would settle the rest"), *rows_lines(rows)]


def replay_lines(found: Sequence[DialResult]) -> list[str]:
    """One entry for each day of a dial-in."""
    lines = heading(f"{found[0].name}: {len(found)} days gone through again")[1:]
    for day in found:
        now, lit = day.co2_now_mg_l, day.lit_level_mg_l
        band = f"{number_text(lit.value)} ({number_text(lit.low)}…{number_text(lit.high)})"
        lines += bullet(
            f"{day.last_reading}: CO₂ {number_text(now.value)} mg/L, lit hours {band}. {day.next_step}"
        )
    return lines


def tap_lines(counted: TapCount, system: System) -> list[str]:
    """A tapped bubble rate with its band and what was wrong with the taps."""
    rows = [
        estimate_row("Bubbles", counted.bubbles_per_s, system),
        Row("Counted", str(counted.bubbles_count), "", "bubbles"),
        Row("Unevenness", "", remark=f"{percent(counted.unevenness_frac)} of the time between bubbles"),
    ]
    if counted.missed_count:
        rows.append(Row("Missed", "", remark=f"{counted.missed_count} between taps, filled in"))
    if counted.double_count:
        rows.append(Row("Twice", "", remark=f"{counted.double_count} too close on another, left out"))
    if counted.wanted_count > counted.bubbles_count:
        rows.append(Row("Better", "", remark=f"tap {counted.wanted_count} bubbles for 3 % either way"))
    return [*heading("Bubbles tapped")[1:], *rows_lines(rows)]
