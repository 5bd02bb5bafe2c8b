"""A placement as a technician reads it: the verdict, the water, each bed, the places, what to mind."""

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
    working_lines,
)
from fizzwright.papers.words import chem, decimals, fixed, percent
from fizzwright.result import Estimate
from fizzwright.stages.place_result import BedFigures, Place, PlaceResult
from fizzwright.units import System, convert

__all__ = ["place_lines"]

_ABOUT = {
    "dissolved_frac": "Mist that dissolves", "slowest_renewal_s": "Slowest bed renewed",
    "poorest_co2_mg_l": "CO₂ in the poorest bed",
}  # fmt: skip
SHOWN_PLACES = 12


def place_lines(found: PlaceResult, system: System, *, working: bool = False) -> list[str]:
    """The whole placement, section by section."""
    title = f"{found.name}: where the water goes" + ("" if found.finished else " (ended early)")
    return [
        *heading(title)[1:],
        *paragraph(chem(found.verdict), "  "),
        *_water(found, system),
        *_beds(found, system),
        *_places(found, system),
        *_layout(found),
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _speed(estimate: Estimate, system: System) -> tuple[str, str, str]:
    """A speed as value, band and unit: cm/s, or ft/s as the reader wishes."""
    unit = "ft/s" if system is System.US else "cm/s"
    low, value, high = (convert(x, "m_s", unit) for x in (estimate.low, estimate.value, estimate.high))
    places = decimals(value, low, high)
    return fixed(value, places), f"({fixed(low, places)}…{fixed(high, places)})", unit


def _water(found: PlaceResult, system: System) -> list[str]:
    value, band, unit = _speed(found.speed_m_s, system)
    rows = [
        Row("Mean speed", value, band, unit),
        estimate_row("Filter turns the tank over in", found.turnover_s, system),
        estimate_row("A mark is even to 5 % after", found.mixing_s, system),
        estimate_row("Left behind by the filter", found.dead_frac, system, "over 1.5 turnovers old"),
        estimate_row("CO₂ differs from place to place by", found.uneven_frac, system, "of its mean"),
    ]
    return [*heading(f"The water, diffuser at {_own(found).name}"), *rows_lines(rows)]


def _own(found: PlaceResult) -> Place:
    """The place the fields and beds were drawn for."""
    return next(p for p in found.places if p.beds == found.beds)


def _beds(found: PlaceResult, system: System) -> list[str]:
    if not found.beds:
        return []
    lines = heading(f"The beds, tank mean held at {found.level_mg_l:.1f} mg/L")
    for bed in found.beds:
        lines += [f"  {bed.name}", *rows_lines(_bed_rows(bed, system), "    ")]
    return lines


def _bed_rows(bed: BedFigures, system: System) -> list[Row]:
    middle, band, unit = _speed(bed.leaf_speed_m_s, system)
    slow, slow_band, _ = _speed(bed.slow_leaf_speed_m_s, system)
    return [
        Row("Speed at the leaves", middle, band, unit),
        Row("nine tenths faster than", slow, slow_band, unit),
        estimate_row("Water renewed in", bed.renewal_s, system),
        estimate_row("CO₂, poorest twentieth", bed.co2_low_mg_l, system, _short(bed)),
        estimate_row("Share of the mist", bed.mist_frac, system),
    ]


def _short(bed: BedFigures) -> str:
    return f"{percent(bed.short_frac)} under the target" if bed.short_frac > 0.005 else ""


def _places(found: PlaceResult, system: System) -> list[str]:
    if len(found.places) < 2:
        return []
    shown = found.places[:SHOWN_PLACES]
    cells = [("", "dissolves", "slowest bed", "poorest bed"), *(_place_cells(p, system) for p in shown)]
    wide = [max(len(row[column]) for row in cells) for column in range(4)]
    lines = heading("Places compared; those with one rank cannot be told apart")
    for row in cells:
        lines.append("  " + "  ".join(f"{text:<{wide[column]}}" for column, text in enumerate(row)).rstrip())
    if len(found.places) > SHOWN_PLACES:
        lines.append(f"  and {len(found.places) - SHOWN_PLACES} more; --json lists them all")
    for judgement in found.judgements:
        lines += bullet(chem(f"{_ABOUT[judgement.about]}: {judgement.sentence}."))
    return lines


def _place_cells(place: Place, system: System) -> tuple[str, str, str, str]:
    left, front, up = place.from_left_cm, place.from_front_cm, place.height_cm
    where = f"{left:.0f} from left, {front:.0f} from front, {up:.0f} up, cm"
    name = place.name if place.name.endswith(" cm") else f"{place.name} ({where})"
    return (
        f"{place.rank}  {name}",
        band_text(place.dissolved_frac, system),
        f"{place.slowest_bed} {band_text(place.slowest_renewal_s, system)}" if place.beds else "",
        f"{place.poorest_bed} {band_text(place.poorest_co2_mg_l, system)}" if place.beds else "",
    )


def _layout(found: PlaceResult) -> list[str]:
    """The layout as read, so that a mistake is seen without a picture."""
    drawn = found.drawn
    lines = heading("Drawn as read, cm from left, from front, up; --pictures FOLDER draws it")
    at, intake = drawn.outlet_at, drawn.intake_at
    lines += [
        f"  outlet   {at.left_cm:g}, {at.front_cm:g}, {at.low_cm:g}   {drawn.outlet_words}, to "
        f"{_toward(drawn.outlet_toward)}",
        f"  intake   {intake.left_cm:g}, {intake.front_cm:g}, {intake.low_cm:g}",
    ]
    for kind, boxes in (("stone", drawn.boxes), ("bed", drawn.beds)):
        for box in boxes:
            lines.append(
                f"  {kind:<7}  {box.left_cm:g}…{box.right_cm:g}, {box.front_cm:g}…{box.back_cm:g}, "
                f"{box.low_cm:g}…{box.high_cm:g}   {box.name}"
            )
    return lines


def _toward(vector: tuple[float, float, float]) -> str:
    """A direction in words, the strongest part first."""
    words = (("right", "left"), ("back", "front"), ("up", "down"))
    parts = [
        (abs(part), pair[0] if part > 0 else pair[1])
        for part, pair in zip(vector, words, strict=True)
        if abs(part) > 0.1
    ]
    return " and ".join(name for _, name in sorted(parts, reverse=True))
