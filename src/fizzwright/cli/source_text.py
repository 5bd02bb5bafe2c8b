"""The comparison of sources as text: the recommendation, then each source by itself."""

from __future__ import annotations

from fizzwright.cli.output import (
    Row,
    band_text,
    estimate_row,
    findings_lines,
    heading,
    paragraph,
    rows_lines,
    sure_lines,
    value_text,
    working_lines,
)
from fizzwright.stages.source_result import SourceOption, SourceResult
from fizzwright.units import System, number_text

__all__ = ["source_lines"]


def source_lines(found: SourceResult, system: System, *, working: bool = False) -> list[str]:
    """The whole comparison."""
    lines = heading(f"{found.name}: where the carbon should come from")[1:]
    lines += paragraph(found.recommendation, "  ")
    lines += rows_lines(
        [estimate_row("The tank needs", found.need_g_day, system, f"over {found.gas_hours_h:.2g} h of gas")]
    )
    for option in found.options:
        lines += heading(
            option.kind.value.capitalize() + ("  <- take this" if option.kind is found.take else "")
        )
        lines += paragraph(f"{option.why[:1].upper()}{option.why[1:]}.", "  ")
        lines += rows_lines(_rows(option, system))
    return [
        *lines,
        *findings_lines(found.trail.findings[1:]),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _rows(option: SourceOption, system: System) -> list[Row]:
    rows = [
        Row("Gives", "", remark=band_text(option.gives_g_day, system)),
        Row("Share of the need", "", remark=band_text(option.share_frac, system)),
        Row("Steadiness", "", remark=option.steadiness.value),
        Row("Work in a year", "", remark=band_text(option.work_h, system)),
    ]
    if option.renew_days is not None:
        rows.append(Row("Renewed every", "", remark=band_text(option.renew_days, system)))
    if option.course:
        points = [
            f"day {number_text(point.time_days, 2)}: {value_text(point.gas_g_day, 'g_day', system)}"
            for point in option.course
        ]
        rows.append(Row("Over time", "", remark=", ".join(points)))
    if option.cost_per_g is not None:
        rows.append(Row("A gram of CO₂", "", remark=str(option.cost_per_g)))
    if option.cost_five_years is not None:
        rows.append(Row("Five years", "", remark=str(option.cost_five_years)))
    return rows
