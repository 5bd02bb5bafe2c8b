"""A watch as a technician reads it a month later: what changed first, then how steady, then the bottle."""

from __future__ import annotations

from collections.abc import Sequence

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
    working_lines,
)
from fizzwright.papers.words import percent
from fizzwright.stages.watch_result import BottleOutlook, Steadiness, Watching, WatchResult
from fizzwright.units import System, number_text

__all__ = ["watch_lines"]


def watch_lines(found: WatchResult, system: System, *, working: bool = False) -> list[str]:
    """The whole answer."""
    span = f"{found.days_count} days, {found.first_day} to {found.last_day}"
    return [
        *heading(f"{found.name}: {span}")[1:],
        *paragraph(found.verdict, "  "),
        *_changes(found.watchings),
        *_months(found),
        *_bottle(found.bottle, system),
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _changes(watchings: Sequence[Watching]) -> list[str]:
    lines = heading("What changed")
    if not watchings:
        return [*lines, *bullet("nothing that stands out from what a quiet tank does by itself")]
    for one in watchings:
        lines += bullet(
            f"{one.name}: {one.size}. Since {one.since}, seen on {one.seen_on}; {one.confidence}."
        )
        lines += paragraph(f"Shown by: {one.evidence}.", "      ")
        lines += paragraph(f"Settle it: {one.check}.", "      ")
        lines += paragraph(f"Then: {one.do}.", "      ")
        if one.others:
            lines += paragraph(f"Fits nearly as well: {'; '.join(one.others)}.", "      ")
    return lines


def _months(found: WatchResult) -> list[str]:
    """The figures of all days, or month beside month."""
    blocks = found.months if len(found.months) > 1 else (found.stability,)
    shown = blocks if len(blocks) < 3 else (blocks[0], blocks[-1])
    title = "How steady" if len(shown) == 1 else "How steady, first month and last"
    lines = heading(title)
    for block in shown:
        lines += paragraph(f"{block.first_day} to {block.last_day}, {block.days_count} whole days:", "  ")
        lines += rows_lines(_steady_rows(block), "    ")
    return lines


def _steady_rows(block: Steadiness) -> list[Row]:
    rows = [
        ("Lit hours, median", block.lit_median_mg_l, "mg/L"),
        ("At lights-on", block.lights_on_mg_l, "mg/L"),
        ("At lights-off", block.lights_off_mg_l, "mg/L"),
        ("Lowest at night", block.night_low_mg_l, "mg/L"),
        ("Fastest rise", block.fastest_rise_mg_l_h, "mg/L/h"),
        ("In the band", block.in_band_h, "h a day"),
        ("Longest over the ceiling", block.longest_over_h, "h"),
        ("Dose over the ceiling", block.over_ceiling_mg_h_l, "mg h/L"),
    ]
    made = [Row(label, number_text(value, 2), "", unit) for label, value, unit in rows]
    made.append(Row("Swing in the lit hours", "", remark=f"{percent(block.swing_frac)} (up to 20 % is good)"))
    made.append(Row("From day to day", "", remark=percent(block.day_to_day_frac)))
    made.append(Row("pH trend", f"{block.trend_ph:+.2f}".replace("-", "−"), "", "a week"))
    if block.trend_bubbles_frac is not None:
        made.append(
            Row("Bubble trend", f"{100 * block.trend_bubbles_frac:+.1f}".replace("-", "−"), "", "% a week")
        )
    return made


def _bottle(bottle: BottleOutlook, system: System) -> list[str]:
    rows = []
    if bottle.left_g is not None:
        rows.append(estimate_row("Left", bottle.left_g, system))
    if bottle.use_g_day is not None:
        rows.append(estimate_row("Use", bottle.use_g_day, system))
    if bottle.empty_on is not None:
        between = f"between {bottle.empty_earliest} and {bottle.empty_latest}"
        rows.append(Row("Empty on", "", remark=f"{bottle.empty_on}, {between}"))
        rows.append(Row("Swap by", "", remark=f"{bottle.swap_on}, before the gauge falls and the feed rises"))
    if bottle.leak_g_day is not None:
        rows.append(
            Row(
                "Scale over count", "", remark=f"{band_text(bottle.leak_g_day, system)} (a leak, if over nil)"
            )
        )
    return [*heading("The bottle"), *rows_lines(rows), *paragraph(bottle.says, "  ")]
