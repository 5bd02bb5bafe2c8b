"""The page "When something fails": one cell for each fault, the gravest first."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fizzwright.papers.failure_course import Lamp, failure_course_paper, more_than_usual, room_course_paper
from fizzwright.papers.sheet_words import mark_svg
from fizzwright.papers.typeface import covered
from fizzwright.papers.typeset import drawing
from fizzwright.papers.words import clock, limits, percent, quantity, round_figure, spelled
from fizzwright.result import Estimate, Level, Trail
from fizzwright.stages.failures_result import FailureCourse, FailuresResult, RoomRelease
from fizzwright.units import System

__all__ = ["failure_page", "joined"]

_GRAVEST = {Level.STOP: 0, Level.CARE: 1, Level.NOTE: 2}


def failure_page(found: FailuresResult, lamp: Lamp, system: System) -> dict[str, Any]:
    """Figures and words of every fault for the template."""
    courses = sorted(found.courses, key=lambda c: _GRAVEST[c.level])
    hard = f", hard stop {quantity(found.hard_mg_l, 'mg_l')}" if found.hard_mg_l else ""
    return {
        "words": covered(
            spelled(
                f"Hours from the moment it happens, {found.draws_count} draws of this plan. Thick: CO2 and "
                f"its 90 % band. Thin: the usual day. Hatched: starting ceiling "
                f"{quantity(found.ceiling_mg_l, 'mg_l')}{hard}. Bar on it: when it is passed."
            )
        ),
        "cells": [
            *(_cell(found, course, lamp, number, system) for number, course in enumerate(courses)),
            _room(found.room, system),
        ],
        "after": covered(
            "Courses treat the water as mixed; corners can be worse. Advisory only: the animals have the "
            "last word."
        ),
    }


def _cell(
    found: FailuresResult, course: FailureCourse, lamp: Lamp, number: int, system: System
) -> dict[str, Any]:
    happens = f"From {clock(course.begins_min)}: {course.happens}."
    if course.ceiling_mg_l < found.ceiling_mg_l:
        happens += f" The ceiling falls to {quantity(float(round_figure(course.ceiling_mg_l)), 'mg_l')}."
    return {
        "mark": None if course.level is Level.NOTE else mark_svg(course.level, on_ground=False),
        "level": "" if course.level is Level.NOTE else course.level.value,
        "name": covered(spelled(f"{course.name[:1].upper()}{course.name[1:]}")),
        "figure": drawing(failure_course_paper(found, course, lamp, prefix=f"fault-{number}")),
        "happens": covered(spelled(happens)),
        "reached": covered(spelled(_reached(found, course))),
        "numbers": covered(
            spelled(
                f"CO2 at most {limits(course.co2_peak_mg_l, system)}, O2 at least "
                f"{limits(course.o2_least_mg_l, system)}."
            )
        ),
        "sees": covered(spelled(course.sees)),
        "first": covered(spelled(course.first)),
    }


def _reached(found: FailuresResult, course: FailureCourse) -> str:
    """Time to the ceiling and to the hard stop, where a fault brings them nearer than a usual day."""
    parts = [
        _after(name, after, share)
        for name, after, share, usual in (
            ("ceiling", course.to_ceiling_h, course.p_ceiling_frac, found.p_usual_ceiling_frac),
            ("hard stop", course.to_hard_h, course.p_hard_frac, found.p_usual_hard_frac),
        )
        if after is not None and more_than_usual(share, usual)
    ]
    if parts:
        told = "; ".join(parts)
        return f"{told[0].upper()}{told[1:]} of draws."
    if course.to_ceiling_h is None:
        return "The ceiling is not reached."
    return "Over the ceiling no oftener than on a usual day."


def _after(name: str, after: Estimate, share_frac: float) -> str:
    return f"{name} after {limits(after)} in {percent(share_frac)}"


def _room(room: RoomRelease, system: System) -> dict[str, Any]:
    over = f" Over 5000 ppm for {quantity(room.over_8_hour_h, 'h')}." if room.over_8_hour_h > 0 else ""
    return {
        "mark": None,
        "level": "",
        "name": "The room, whole bottle let go",
        "figure": drawing(room_course_paper(room)),
        "happens": covered(f"{quantity(room.release_g, 'g', system)} of gas mixed through the room."),
        "reached": covered(
            spelled(f"Begins at {quantity(round(room.peak_ppm, -1), 'ppm')}, {room.verdict}.{over}")
        ),
        "numbers": "",
        "sees": covered(spelled(room.sees)),
        "first": covered(spelled(room.first)),
    }


def joined(plan: Trail, failures: Trail | None) -> Trail:
    """One working for both answers: each assumption, equation and source once."""
    if failures is None:
        return plan
    said, run = {a.text for a in plan.assumptions}, {e.name for e in plan.equations}
    cited = {s.key for s in plan.sources}
    return replace(
        plan,
        assumptions=(*plan.assumptions, *(a for a in failures.assumptions if a.text not in said)),
        equations=(*plan.equations, *(e for e in failures.equations if e.name not in run)),
        sources=(*plan.sources, *(s for s in failures.sources if s.key not in cited)),
    )
