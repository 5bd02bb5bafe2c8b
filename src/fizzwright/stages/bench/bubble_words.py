"""What a practitioner should hear about one bubble."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from fizzwright.result import Level
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import number_text, show

__all__ = ["Asker", "Seen", "fate_findings"]

# Seconds for 99 % of the CO2 to leave, for each mm of size: a stiff skin, and the one of tap water.
STIFF_S_MM, TAP_S_MM = 4.6, 3.0


class Asker(Protocol):
    """The part of a question the findings speak about."""

    @property
    def diameter_mm(self) -> float:
        """Size asked for. [mm]"""

    @property
    def depth_cm(self) -> float:
        """Depth asked for. [cm]"""

    @property
    def water(self) -> str | None:
        """State of the skin, None where it was left open."""

    @property
    def up_m_s(self) -> float:
        """Upward water speed. [m/s]"""

    @property
    def o2_saturation_ratio(self) -> float:
        """Oxygen over saturation. [-]"""


@dataclass(frozen=True)
class Seen:
    """What the middle case showed; `critical_mm` is the largest size that gives up 99 % of its CO2."""

    critical_mm: float
    rise_m_s: float
    stiff_frac: float
    tap_frac: float
    surfaced: bool
    co2_frac: float
    dissolved_frac: float


def _percent(share_frac: float) -> str:
    return f"{number_text(100 * share_frac, 2)} %"


def fate_findings(question: Asker, seen: Seen, *, notes: Notes) -> None:
    """Add what is worth hearing to the notes.

    Parameters
    ----------
    question : what was asked
    seen : the middle case
    notes : where findings are kept
    """
    _ending(question, seen, notes)
    if question.water is None and question.diameter_mm > 0.6:
        _open_skin(question, seen, notes)
    if question.water == "clean":
        text = (
            "A clean skin needs purified water and a fresh bubble. Water with fish, food and plants in it "
            "stiffens the skin, and less dissolves than this. Take it as the upper end."
        )
        notes.found(Level.CARE, text, "water", "skin-by-size")
    if question.up_m_s < -seen.rise_m_s:
        text = (
            "The water flows down faster than this bubble rises, so it stays under until it is small or "
            "gone. Here it is held at its release depth."
        )
        notes.found(Level.NOTE, text, "current", "bubble-balance")
    if question.up_m_s > 0.0:
        text = (
            "Water that rises with the bubble shortens its stay. Blowing across the diffuser, or setting it "
            "under a down-flow, wins that time back."
        )
        notes.found(Level.NOTE, text, "current", "bubble-balance")
    if question.o2_saturation_ratio > 1.2:
        text = (
            "Oxygen is well over saturation. Small bubbles then take it up, stop shrinking and linger as "
            "mist, and they carry a little CO2 out. Lingering mist is a sign of the water's gases, not of a "
            "poor diffuser."
        )
        notes.found(Level.CARE, text, "o2 saturation", "bubble-balance")


def _ending(question: Asker, seen: Seen, notes: Notes) -> None:
    """Gone, an air bubble, or CO2 lost."""
    size, depth = show(seen.critical_mm, "mm", digits=2), show(question.depth_cm, "cm", digits=2)
    if not seen.surfaced:
        text = "The bubble is gone before it reaches the surface; nothing of it is lost."
        notes.found(Level.NOTE, text, "dissolved", "bubble-balance")
    elif seen.co2_frac < 0.1:
        text = (
            f"What arrives is an air bubble with {_percent(seen.co2_frac)} CO2: nitrogen and oxygen from the "
            "water took the place of the CO2. A haze of such bubbles is no waste."
        )
        notes.found(Level.NOTE, text, "surface co2", "bubble-balance")
    else:
        text = (
            f"The bubble still holds {_percent(seen.co2_frac)} CO2 at the surface and takes "
            f"{_percent(1 - seen.dissolved_frac)} of its gas with it. Let go at {depth}, bubbles up to about "
            f"{size} give up 99 %. A finer or cleaner diffuser, or a deeper place, helps more than anything "
            "else."
        )
        notes.found(Level.CARE, text, "surface co2", "bubble-balance")


def _open_skin(question: Asker, seen: Seen, notes: Notes) -> None:
    """Say what the skin decides, and how to find out."""
    if abs(seen.tap_frac - seen.stiff_frac) < 0.02:
        return
    slow, quick = STIFF_S_MM * question.diameter_mm, TAP_S_MM * question.diameter_mm
    text = (
        f"The skin decides here: {_percent(seen.stiff_frac)} dissolves if it is stiff, "
        f"{_percent(seen.tap_frac)} if it is like that of fresh tap water. To see which, film single beads "
        f"against a ruler over a long rise: a stiff one this size needs about {number_text(slow, 2)} s to "
        f"shrink to a third, the other about {number_text(quick, 2)} s."
    )
    notes.found(Level.NOTE, text, "water", "skin-by-size")
