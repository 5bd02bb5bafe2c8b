"""A diffuser's answer as text: the share first, then the mist, the other ways, and what a change buys."""

from __future__ import annotations

from fizzwright.cli.output import (
    Row,
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
from fizzwright.papers.words import percent, range_text, shown
from fizzwright.result import Estimate
from fizzwright.stages.diffuser_result import DiffuserResult
from fizzwright.units import System

__all__ = ["diffuser_lines"]

# Under this share of the gas a saving is not worth a figure.
TRIFLE_FRAC = 0.005


def diffuser_lines(
    found: DiffuserResult, system: System, *, working: bool = False, steps: bool = False
) -> list[str]:
    """The whole answer, section by section."""
    return [
        *heading(f"{found.name}: {found.kind}, {value_text(100 * found.depth_m, 'cm', system)} deep")[1:],
        *paragraph(found.verdict, "  "),
        *heading("Here"),
        *rows_lines(_here(found, system)),
        *heading("The mist"),
        *rows_lines(_mist(found, system)),
        *paragraph(found.haze.sentence, "  "),
        *heading("Ways to put the gas in"),
        *_ways(found, system),
        *heading("Where the answer turns"),
        *[line for flip in found.flips for line in bullet(_turn(flip.sentence, flip.depth_m, system))],
        *heading("What a change buys, the water getting as much as now"),
        *_gains(found, system),
        *_beads(found, system, steps),
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _here(found: DiffuserResult, system: System) -> list[Row]:
    gas = value_text(found.gas_g_day, "g_day", system)
    feed = value_text(found.feed_mg_h, "mg_h", system)
    return [
        Row(
            "Feed",
            "",
            remark=f"{feed} for {value_text(found.gas_h, 'h', system)} a day, {gas}; {found.feed_from}",
        ),
        Row("Dissolves", "", remark=_share(found.dissolved_frac)),
        Row("Breaks the surface", "", remark=_lost(found.lost_g_day.value, system)),
        estimate_row(
            "Skin of the bubbles", found.skin_frac, system, f"0 stiff, 100 mobile; {found.skin_known}"
        ),
    ]


def _mist(found: DiffuserResult, system: System) -> list[Row]:
    haze = found.haze
    shares = (
        ("Seen: CO₂-rich at the surface", haze.rich_seen_frac, "of the bubbles, counted"),
        ("Seen: CO₂-rich in the water", haze.rich_hanging_frac, "of the mist at any moment"),
        ("Lost: in CO₂-rich bubbles", haze.rich_lost_frac, "of the gas that leaves"),
        ("CO₂ in the gas that leaves", haze.escaping_co2_frac, "of it; the rest is air"),
    )
    rows = [Row(label, "", remark=f"{_share(share)} {of}") for label, share, of in shares]
    total = shown(found.total_gas_ratio, system)
    pressed = f"{total.value} ({total.limits}) times the air's; over 1 mist lingers".replace("\u2060", "")
    return [*rows, Row("All dissolved gases press", "", remark=pressed)]


def _share(estimate: Estimate) -> str:
    if estimate.low > 0.99:
        return percent(min(estimate.value, 0.995))
    return f"{percent(estimate.value)} ({percent(estimate.low)} to {percent(estimate.high)})"


def _ways(found: DiffuserResult, system: System) -> list[str]:
    name = max(len(way.name) for way in found.ways)
    wide = max(len(_share(way.dissolved_frac)) for way in found.ways)
    lines = []
    for way in found.ways:
        chance = "" if way.here else f"; better in {percent(way.better_frac)} of cases"
        lost = _lost(way.lost_g_day.value, system)
        lines.append(f"  {way.name:<{name}}  {_share(way.dissolved_frac):<{wide}}  loses {lost}{chance}")
        lines += paragraph(f"{way.remark}.", "      ")
    return lines


def _lost(lost_g_day: float, system: System) -> str:
    """Two figures, as the band is wider than that; trifles are called so."""
    if lost_g_day < 0.001:
        return "next to nothing"
    return value_text(float(f"{lost_g_day:.2g}"), "g_day", system)


def _turn(sentence: str, depth: Estimate | None, system: System) -> str:
    if depth is None:
        return sentence
    low, high = (100 * x for x in (depth.low, depth.high))
    limits = shown(Estimate(100 * depth.value, "cm", low, high), system, places=0)
    return f"{sentence} 90 % limits {range_text(limits.low, limits.high)} {limits.unit}.".replace(
        "\u2060", ""
    )


def _gains(found: DiffuserResult, system: System) -> list[str]:
    if not found.gains:
        return paragraph("Nothing simple is left to change.", "  ")
    lines = []
    for gain in found.gains:
        saves = shown(gain.saves_g_day, system)
        days = shown(gain.more_days, system)
        lines += bullet(f"{gain.name}: {gain.change}.")
        if gain.saves_g_day.value < TRIFLE_FRAC * found.gas_g_day:
            lines += paragraph(f"Dissolves {_share(gain.dissolved_frac)}; saves next to nothing.", "      ")
            continue
        lines += paragraph(
            f"Dissolves {_share(gain.dissolved_frac)}; saves {saves.value} ({saves.limits}) {saves.unit}, "
            f"{days.value} ({days.limits}) more bottle days.".replace("\u2060", ""),
            "      ",
        )
    return lines


def _beads(found: DiffuserResult, system: System, steps: bool) -> list[str]:
    lines: list[str] = []
    if found.fit is not None:
        fit = found.fit
        rows = [
            Row(
                "Beads",
                "",
                remark=f"{fit.beads_count} used, {fit.odd_count} odd, {fit.aside_count} set aside",
            ),
            estimate_row("Skin they tell", fit.skin_frac, system, "0 stiff, 100 mobile"),
            estimate_row("Films over the laws", fit.film_factor, system),
        ]
        lines += [*heading("The timed beads"), *rows_lines(rows), *paragraph(fit.verdict, "  ")]
    if steps:
        lines += heading("How to time beads on a phone video")
        for number, step in enumerate(found.protocol, 1):
            lines += bullet(step, mark=f"{number}.")
    return lines
