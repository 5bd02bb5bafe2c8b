"""Made-up faults for the papers: every number is invented and only has to look like a course."""

from __future__ import annotations

import numpy as np

from fizzwright.result import Assumption, Finding, Level, Trail
from fizzwright.sources import Equation, Source
from fizzwright.stages.failures_result import FailureCourse, FailuresResult, RoomRelease
from tests.unit.papers.papers_bands import band


def course(
    name: str = "valve stuck open",
    *,
    level: Level = Level.NOTE,
    begins_min: int = 1020,
    ends_mg_l: float = 22.8,
    length_h: float = 24.0,
    ceiling_mg_l: float = 25.0,
    over_frac: float = 0.2,
) -> FailureCourse:
    hours = np.linspace(0.0, length_h, 97)
    usual = 11.0 + 9.0 * np.cos((hours - 0.5) * np.pi / 12)
    middle = ends_mg_l + (usual[0] - ends_mg_l) * np.exp(-0.25 * hours)
    oxygen = 7.6 - 0.4 * np.sin(hours * np.pi / 12)
    return FailureCourse(
        name=name,
        happens="the gas valve does not shut at gas-off",
        begins_min=begins_min,
        hours_h=hours,
        co2_low_mg_l=middle * 0.84,
        co2_mg_l=middle,
        co2_high_mg_l=middle * 1.2,
        usual_co2_mg_l=usual,
        o2_low_mg_l=oxygen - 0.4,
        o2_mg_l=oxygen,
        o2_high_mg_l=oxygen + 0.3,
        ceiling_mg_l=ceiling_mg_l,
        co2_peak_mg_l=band(ends_mg_l, "mg_l", 0.84 * ends_mg_l, 1.2 * ends_mg_l),
        co2_least_mg_l=band(2.0, "mg_l", 1.5, 2.8),
        o2_least_mg_l=band(7.2, "mg_l", 6.7, 7.5),
        risk_peak_number=band(0.9, "number", 0.7, 1.2),
        to_ceiling_h=band(6.2, "h", 3.0, 12.5) if over_frac else None,
        p_ceiling_frac=over_frac,
        to_hard_h=None,
        p_hard_frac=0.0,
        level=level,
        sees="Bubbles go on after gas-off; animals breathe fast or hang at the surface.",
        first="Shut the bottle valve by hand, not only the timer; stir the surface; watch the animals.",
    )


def made_up_failures() -> FailuresResult:
    """A few faults of library foyer 120, the gravest in the middle."""
    return FailuresResult(
        name="library foyer 120",
        ceiling_mg_l=25.0,
        hard_mg_l=35.0,
        set_by="hardy dwarf shrimp",
        p_usual_ceiling_frac=0.03,
        p_usual_hard_frac=0.0,
        courses=(
            course("valve stuck shut", begins_min=390, ends_mg_l=1.0, over_frac=0.0),
            course("pump stopped, gas on", level=Level.STOP, begins_min=390, ends_mg_l=52.0, over_frac=1.0),
            course(level=Level.CARE),
            course("end of the bottle", begins_min=390, ends_mg_l=19.0, length_h=48.0, over_frac=0.03),
            course("heat wave", begins_min=390, ends_mg_l=18.0, length_h=72.0, ceiling_mg_l=20.0),
        ),
        room=RoomRelease(
            release_g=1412.0,
            hours_h=np.linspace(0.0, 24.0, 97),
            room_ppm=600.0 + 7400.0 * np.exp(-0.6 * np.linspace(0.0, 24.0, 97)),
            peak_ppm=8000.0,
            over_8_hour_h=0.9,
            verdict="over the 8-hour workplace limit",
            sees="A roar or hiss, headache, a room meter over 5000 ppm.",
            first="Leave first, open up from outside, do not go back in to help anyone; call for help.",
        ),
        draws_count=250,
        trail=Trail(
            equations=(
                Equation(
                    "engines.gasline.room.clearing_h",
                    "How long airing takes to bring a room down from one level to another.",
                    "room-balance",
                    "airing",
                    {},
                ),
            ),
            sources=(
                Source("room-balance", "Mass balance of a well-mixed room with exchange of air", "derived"),
            ),
            assumptions=(Assumption("heat wave: the room over its usual warmth", "10 °C", "default"),),
            findings=(Finding(Level.NOTE, "Courses treat the water as mixed.", "courses"),),
            inputs_digest="aa",
            version="0.1.0",
        ),
    )
