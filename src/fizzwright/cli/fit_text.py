"""A job card as text: steps with a box to tick, the leak test, the end of the bottle."""

from __future__ import annotations

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
from fizzwright.stages.fit_result import FitResult
from fizzwright.units import System

__all__ = ["fit_lines"]


def fit_lines(found: FitResult, system: System, *, working: bool = False) -> list[str]:
    """The whole card; verdicts of a filled-in form first."""
    lines = heading(f"{found.name}: job card")[1:]
    if found.tests:
        for test in found.tests:
            lines += bullet(f"{test.test}: {test.said}", mark=f"{test.verdict:<11}")
    for step in found.steps:
        lines += bullet(f"{step.do}", mark=f"[ ] {step.number:>2}")
        lines += bullet(f"{step.check}.", mark="check:", indent="         ")
    lines += heading("This line")
    lines += rows_lines(_line_rows(found, system))
    lines += heading("Leak test: limits and waiting times")
    lines += rows_lines(_leak_rows(found, system))
    lines += heading("If the solenoid fails")
    for state in found.solenoid:
        flows = "gas flows" if state.gas_flows else "no gas"
        lines += bullet(
            f"{state.state.value} ({flows}): {state.means}. Guard: {state.guard}. Tell it by: {state.check}."
        )
    lines += _end_lines(found, system)
    if found.manifold:
        lines += heading("Tanks on this regulator")
        lines += rows_lines(
            [
                Row(talk.name, "", remark=f"{band_text(talk.feed_mg_h, system)}; with the others shut "
                    f"{band_text(talk.others_shut_factor, system)} times that")
                for talk in found.manifold
            ]
        )  # fmt: skip
    return [
        *lines,
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _line_rows(found: FitResult, system: System) -> list[Row]:
    return [
        Row("Set at the regulator", "", remark=value_text(found.set_barg, "barg", system)),
        estimate_row("Counter then stands at", found.counter_barg, system),
        estimate_row("Count", found.bubbles_per_s, system),
        estimate_row("First bubble after", found.startup_min, system),
        estimate_row("Runs on for", found.run_on_min, system, "95 % is out by then"),
        estimate_row("Gas that runs on", found.run_on_mg, system),
        Row("Shut overnight it falls to", "", remark=value_text(found.overnight_bara, "bara", system)),
        estimate_row("Solenoid uses in a year", found.coil_kwh, system),
        estimate_row("Heat the feed takes from the bottle", found.bottle_heat_w, system),
    ]


def _leak_rows(found: FitResult, system: System) -> list[Row]:
    leak = found.leak
    return [
        Row("Gas space shut in", "", remark=value_text(found.line_volume_ml, "ml", system)),
        Row(
            "Leak allowed, low side",
            "",
            remark=f"{value_text(leak.low_limit_ml_min_n, 'ml_min_n', system)}, "
            f"{value_text(365 * leak.low_limit_g_day, 'g', system)} in a year if always under pressure",
        ),
        estimate_row("which is, of the feed", leak.feed_share_frac, system),
        estimate_row("The tube's own loss, taken off", leak.wall_loss_ml_min_n, system),
        Row(
            "Watch it",
            "",
            remark=f"{leak.dial_watch_min:.0f} min on a dial, {leak.digital_watch_min:.0f} digital",
        ),
        Row("Bottle side", "", remark=f"{leak.high_watch_h:.0f} h or more, at an even temperature"),
        Row(
            "Weighing",
            "",
            remark=f"{value_text(leak.weighing_limit_g, 'g', system)} in {leak.weighing_days:.0f} days",
        ),
    ]


def _end_lines(found: FitResult, system: System) -> list[str]:
    end = found.end
    lines = heading("The end of the bottle")
    lines += paragraph(end.verdict, "  ")
    when = ""
    if end.swap_on is not None and end.swap_on_early is not None:
        when = f", {end.swap_on.isoformat()}, at high use {end.swap_on_early.isoformat()}"
    lines += rows_lines(
        [
            Row(
                "Gauge first falls in",
                "",
                remark=f"{band_text(end.swap_days, system)}{when}: swap before it does",
            ),
            Row("Then it lasts", "", remark=f"{band_text(end.last_part_days, system)} more"),
        ]
    )
    for row in end.rows:
        lines += bullet(
            f"{value_text(row.left_frac, 'frac', system)} left, gauge "
            f"{value_text(row.gauge_barg, 'barg', system)}: feed "
            f"{band_text(row.flow_factor, system)} times, day's peak "
            f"{band_text(row.co2_peak_mg_l, system)}, over the "
            f"ceiling in {100 * row.p_over_ceiling_frac:.0f} % of cases"
        )
    return lines
