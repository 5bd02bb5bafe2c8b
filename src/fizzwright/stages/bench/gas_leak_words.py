"""What a leak test says in words: pass, fail or wait longer, and what to mind."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from fizzwright.engines.gasline.leak import SOAP_HIGH_ML_MIN_N, SOAP_LOW_ML_MIN_N, leak_cost_g_day
from fizzwright.result import Assumption, Estimate, Finding, Level
from fizzwright.stages.bench.gas_bands import assumed
from fizzwright.units import number_text, show

if TYPE_CHECKING:
    from fizzwright.stages.bench.gas_leak import LeakQuestion

__all__ = [
    "LEAK_WARNING",
    "LeakVerdict",
    "Side",
    "assumptions_of",
    "findings_of",
    "soap_sentence",
    "verdict_of",
]

LEAK_WARNING = (
    "Any hiss: shut the bottle, open a window, leave the room. Put test liquid free of ammonia on joints, "
    "never a flame; shut the bottle and let the pressure out before you undo anything; keep mains leads dry."
)


class Side(StrEnum):
    """Which part of the line was shut and watched."""

    LOW = "low"
    HIGH = "high"


class LeakVerdict(StrEnum):
    """What a test shows at nine in ten."""

    PASSES = "passes"
    FAILS = "fails"
    WAIT = "wait longer"


def verdict_of(found: Estimate, limit_ml_min_n: float) -> LeakVerdict:
    """Pass where the whole band lies under the limit, fail where it lies over, else it was too short."""
    if found.low > limit_ml_min_n:
        return LeakVerdict.FAILS
    return LeakVerdict.PASSES if found.high <= limit_ml_min_n else LeakVerdict.WAIT


def soap_sentence() -> str:
    """What test liquid can and cannot find."""
    low, high = (365 * float(leak_cost_g_day(x)) for x in (SOAP_LOW_ML_MIN_N, SOAP_HIGH_ML_MIN_N))
    return (
        f"Test liquid finds {SOAP_LOW_ML_MIN_N:g} to {SOAP_HIGH_ML_MIN_N:g} mL/min, {low:.0f} to {high:.0f} "
        "g a year. No bubble in ten seconds still allows a leak that empties half a kilo in about a year: "
        "look at each joint for a whole minute."
    )


def findings_of(
    question: LeakQuestion, found: Estimate, *, watch_min: float, per_kelvin_barg: float
) -> list[Finding]:
    """What a practitioner should hear beside the number."""
    said = [*_verdict_findings(question, found, watch_min)]
    if found.high < 0.0 and question.tube_loss_mg_h == 0.0:
        text = "Pressure rose by more than its error: a creeping regulator, a valve not shut, or warmth."
        said.append(Finding(Level.CARE, text, "drop"))
    if question.end_c is None:
        text = (
            f"No second temperature: one kelvin moves this line by {1000 * per_kelvin_barg:.0f} mbar, as "
            "much as a small leak. Read both."
        )
        said.append(Finding(Level.NOTE, text, "temperature"))
    if question.side is Side.LOW and question.tube_loss_mg_h == 0.0:
        text = (
            "The loss through the tube's wall is in this figure. Work it out with the tube sum and take it "
            "off; with silicone tube this test says nothing."
        )
        said.append(Finding(Level.NOTE, text, "tube"))
    said.append(_side_finding(question))
    said.append(Finding(Level.NOTE, soap_sentence(), "test liquid"))
    said.append(Finding(Level.CARE, LEAK_WARNING, "leak"))
    return said


def _verdict_findings(question: LeakQuestion, found: Estimate, watch_min: float) -> list[Finding]:
    limit = question.limit_ml_min_n
    verdict = verdict_of(found, limit)
    if verdict is LeakVerdict.FAILS:
        text = (
            f"It leaks: {number_text(found.value, 2)} mL/min against {number_text(limit, 2)} allowed. Put "
            "test liquid on every joint, the nut at the bottle first, shut the bottle before you undo "
            "anything, and test again."
        )
        return [Finding(Level.STOP, text, "leak")]
    if verdict is LeakVerdict.WAIT:
        text = (
            "Not shown either way: the doubt of this test is larger than the limit. Watch for "
            f"{_time_text(watch_min)} or more at an even temperature, or read a finer gauge."
        )
        return [Finding(Level.CARE, text, "minutes")]
    return []


def _time_text(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes < 180 else f"{minutes / 60:.0f} h"


def _side_finding(question: LeakQuestion) -> Finding:
    if question.side is Side.HIGH:
        text = (
            "Near saturation the gauge falls about five times slower than an ideal gas would, and a kelvin "
            "moves it by half a bar: watch overnight, an hour proves nothing. Weighing over a week is surer."
        )
        return Finding(Level.NOTE, text, "bottle side", "span-wagner-1996")
    text = (
        "This tests the low side only. On the bottle side gas is far from ideal and an hour proves nothing: "
        "test liquid on the nut, then weigh over a week."
    )
    return Finding(Level.NOTE, text, "bottle side", "span-wagner-1996")


def assumptions_of(question: LeakQuestion) -> list[Assumption]:
    """Everything nobody told us."""
    texts = {
        "start_c": ("temperature at the start", show(question.start_c, "c")),
        "end_c": ("temperature at the end", "as at the start"),
        "limit_ml_min_n": ("leak allowed", show(question.limit_ml_min_n, "ml_min_n")),
        "drop_error_barg": ("90 % error of the fall", show(question.drop_error_barg, "barg")),
        "temperature_error_c": (
            "90 % error of the change in temperature",
            f"{question.temperature_error_c:g} K",
        ),
        "volume_error_frac": ("90 % error of the volume", show(question.volume_error_frac, "frac")),
        "altitude_m": ("height over the sea", show(question.altitude_m, "m")),
    }
    if question.side is Side.LOW:
        texts["tube_loss_mg_h"] = ("loss through the tube wall", "not taken off")
    return assumed(question, texts)
