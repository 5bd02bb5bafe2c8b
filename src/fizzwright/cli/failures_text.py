"""What happens when something fails, as a technician reads it: one table, then each fault in a few lines."""

from __future__ import annotations

from fizzwright.cli.output import (
    band_text,
    bullet,
    findings_lines,
    heading,
    paragraph,
    sure_lines,
    value_text,
    working_lines,
)
from fizzwright.papers.words import clock, percent
from fizzwright.result import Estimate
from fizzwright.stages.failures_result import FailureCourse, FailuresResult, RoomRelease
from fizzwright.units import System

__all__ = ["failure_lines"]


def failure_lines(found: FailuresResult, system: System, *, working: bool = False) -> list[str]:
    """Every fault, the table first."""
    lead = (
        f"Each fault from the moment it happens, in {found.draws_count} draws of the plan. Starting ceiling "
        f"{found.ceiling_mg_l:.0f} mg/L, hard stop {found.hard_mg_l:.0f} mg/L ({found.set_by})."
    )
    lines = [*heading(f"{found.name}: when something fails")[1:], *paragraph(lead, "  "), ""]
    lines += _table(found)
    for course in found.courses:
        lines += _course(course, found, system)
    lines += _room(found.room, system)
    lines += findings_lines([f for f in found.trail.findings if f.level.value == "note"])
    return [*lines, *(working_lines(found.trail) if working else sure_lines(found.trail))]


def _table(found: FailuresResult) -> list[str]:
    cells = [("", "CO₂ mg/L", "O₂ at least", "to the ceiling", "to the hard stop")]
    usual = (found.p_usual_ceiling_frac, found.p_usual_hard_frac)
    cells += [
        (
            course.name,
            f"{course.co2_least_mg_l.value:.0f}…{course.co2_peak_mg_l.value:.0f}",
            f"{course.o2_least_mg_l.value:.1f}",
            _reached(course.to_ceiling_h, course.p_ceiling_frac, usual[0]),
            _reached(course.to_hard_h, course.p_hard_frac, usual[1]),
        )
        for course in found.courses
    ]
    wide = [max(len(row[column]) for row in cells) for column in range(5)]
    return ["  " + "  ".join(f"{text:<{wide[i]}}" for i, text in enumerate(row)).rstrip() for row in cells]


def _more_than_usual(share: float, usual: float) -> bool:
    """Whether a fault takes more draws over a level than an ordinary day does, by more than chance."""
    return share > usual + 0.02


def _reached(after: Estimate | None, share: float, usual: float) -> str:
    if after is None:
        return "not reached"
    if not _more_than_usual(share, usual):
        return "no more than usual"
    return f"{after.value:.1f} h in {percent(share)}"


def _course(course: FailureCourse, found: FailuresResult, system: System) -> list[str]:
    title = f"{course.name[0].upper()}{course.name[1:]}, from {clock(course.begins_min)}"
    numbers = (
        f"CO₂ peaks at {band_text(course.co2_peak_mg_l, system)}, oxygen falls to "
        f"{band_text(course.o2_least_mg_l, system)}{_times(course, found, system)}."
    )
    if course.ceiling_mg_l < found.ceiling_mg_l:
        numbers += f" The heat lowers the starting ceiling to {course.ceiling_mg_l:.0f} mg/L."
    return [
        *heading(title),
        *paragraph(f"{course.happens[0].upper()}{course.happens[1:]}. {numbers}", "  "),
        *bullet(course.sees, mark="see"),
        *bullet(course.first, mark="do "),
    ]


def _times(course: FailureCourse, found: FailuresResult, system: System) -> str:
    parts = [
        f"over {name} after {band_text(after, system)} in {percent(share)} of the draws"
        for name, after, share, usual in (
            ("the ceiling", course.to_ceiling_h, course.p_ceiling_frac, found.p_usual_ceiling_frac),
            ("the hard stop", course.to_hard_h, course.p_hard_frac, found.p_usual_hard_frac),
        )
        if after is not None and _more_than_usual(share, usual)
    ]
    return "; " + ", ".join(parts) if parts else ""


def _room(room: RoomRelease, system: System) -> list[str]:
    text = (
        f"{value_text(room.release_g, 'g', system)} of gas let go bring the mixed room to "
        f"{value_text(room.peak_ppm, 'ppm', system)}, {room.verdict}"
    )
    if room.over_8_hour_h > 0:
        text += f"; over 5000 ppm for {value_text(room.over_8_hour_h, 'h', system)}"
    return [
        *heading("The room, with the whole bottle let go"),
        *paragraph(f"{text}.", "  "),
        *bullet(room.sees, mark="see"),
        *bullet(room.first, mark="do "),
    ]
