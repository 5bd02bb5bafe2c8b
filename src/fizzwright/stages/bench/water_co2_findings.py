"""What a keeper should hear beside a CO2 worked out from pH and KH."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.result import Estimate, Level
from fizzwright.stages.bench.water_readings import KitReading, Notes
from fizzwright.units import number_text, show

__all__ = ["Outcome", "co2_findings"]


@dataclass(frozen=True)
class Outcome:
    """What was asked and found. The last say what CO2 would read with some term ignored."""

    ph: float
    kit_dkh: float
    water_c: float
    drop_kit: bool
    kit: KitReading
    level_mg_l: Estimate
    carbonate_dkh: Estimate
    trade_rule_mg_l: float
    without_phosphate_mg_l: float | None
    without_tint_mg_l: float | None
    without_minor_mg_l: float | None = None


def co2_findings(outcome: Outcome, notes: Notes) -> None:
    """Add every finding that applies."""
    _kit(outcome, notes)
    _others(outcome, notes)
    _range(outcome, notes)
    _trade_rule(outcome, notes)


def _kit(o: Outcome, notes: Notes) -> None:
    step = show(o.kit.step_dkh, "dkh")
    if o.drop_kit and o.kit.low_dkh <= 0.0:
        notes.found(
            Level.CARE,
            f"The kit changed at its first drop: the KH is anything up to {show(o.kit.high_dkh, 'dkh')}, "
            "so the CO2 is hardly known. Titrate five times the sample, which makes a drop a fifth as much, "
            "or read the pH of a sample aired with room air for an hour.",
            "kh",
            "drop-kit-rounding",
        )
    elif o.drop_kit:
        notes.found(
            Level.NOTE,
            f"A drop kit shows the next whole drop: {show(o.kit_dkh, 'dkh')} means over "
            f"{show(o.kit.low_dkh, 'dkh')}, and half a drop less on average. The CO2 here allows for it. "
            "A larger sample makes the drops smaller.",
            "kh",
            "drop-kit-rounding",
        )
    elif 2.0 * o.kit.step_dkh >= o.kit_dkh:
        notes.found(
            Level.CARE,
            f"The kit's step of {step} is coarse for a KH of {show(o.kit_dkh, 'dkh')}. Titrate two to five "
            "times the sample and divide, or read the pH of an aired sample.",
            "kh",
        )
    if o.carbonate_dkh.value <= 1.0:
        notes.found(
            Level.CARE,
            "Below about 1 dKH tannins, an acid soil and the kit's own end point are as large as the KH, "
            "and CO2 from pH and KH reads high, at times several-fold. The pH of a sample aired with room "
            "air for an hour gives the KH better here.",
            "kh",
            "abril-2015",
        )
    if not o.drop_kit and o.level_mg_l.high > 2.0 * o.level_mg_l.low > 0.0:
        notes.found(
            Level.CARE,
            f"The band runs from {show(o.level_mg_l.low, 'mg_l')} to {show(o.level_mg_l.high, 'mg_l')}: "
            "too wide to set a rate by. Measure the input named as the largest better, and look at a drop "
            "checker.",
            "co2",
        )


def _others(o: Outcome, notes: Notes) -> None:
    if o.without_phosphate_mg_l is not None:
        share = o.without_phosphate_mg_l / o.level_mg_l.value - 1.0
        if share > 0.05:
            text = (
                f"Phosphate is counted by the KH kit; ignored, it would make the CO2 read {_percent(share)} "
                "high. So much phosphate comes from a buffer powder, not from fertiliser. It is taken off "
                "here; a drop checker with its own KH water is untouched by it."
            )
        else:
            text = (
                f"Phosphate at this level moves the CO2 by {_percent(share)} only. It does not spoil a "
                "reading from pH and KH; a phosphate buffer powder would."
            )
        notes.found(Level.CARE if share > 0.05 else Level.NOTE, text, "phosphate", "phreeqc-2013")
    if o.without_tint_mg_l is not None:
        share = o.without_tint_mg_l / o.level_mg_l.value - 1.0
        notes.found(
            Level.CARE if share > 0.05 else Level.NOTE,
            f"Tannins are counted by the KH kit; ignored, they would make the CO2 read {_percent(share)} "
            "high. They are taken off here by their usual strength, which differs by a third from water to "
            "water.",
            "tint",
            "hruska-2003",
        )

    if o.without_minor_mg_l is not None:
        share = o.without_minor_mg_l / o.level_mg_l.value - 1.0
        notes.found(
            Level.CARE if share > 0.05 else Level.NOTE,
            f"Silicate, borate and ammonia together move the CO2 by {_percent(share)}. Below pH 8 they are "
            "next to nothing, whatever a label says.",
            "minor",
            "phreeqc-2013",
        )


def _range(o: Outcome, notes: Notes) -> None:
    if o.ph > 8.0:
        notes.found(
            Level.NOTE,
            "Above pH 8 hardly any CO2 is left, and calcium holds part of the carbonate. Take the figure as "
            "an order of magnitude: no gas to speak of is reaching this water.",
            "ph",
            "plummer-busenberg-1982",
        )
    if o.ph < 5.5:
        notes.found(
            Level.CARE,
            "Below pH 5.5 a KH kit has little left to titrate, and the bacteria that use up ammonia slow "
            "down. Check the pH probe in a buffer of 4 before the CO2 is believed.",
            "ph",
        )
    if not 10.0 <= o.water_c <= 32.0:
        notes.found(
            Level.NOTE,
            f"At {show(o.water_c, 'c')} the activity slope is carried past the 10 to 30 °C it was measured "
            "for. The error stays far below that of the kit.",
            "temp",
            "yao-byrne-2001",
        )
    if o.level_mg_l.value >= 40.0:
        notes.found(
            Level.CARE,
            f"{show(o.level_mg_l.value, 'mg_l')} is over what most animals of a planted tank are started at. "
            "Watch them for hanging at the surface or lying still, turn the gas down and move the surface "
            "while you check the reading.",
            "co2",
        )


def _trade_rule(o: Outcome, notes: Notes) -> None:
    share = o.trade_rule_mg_l / o.level_mg_l.value - 1.0
    if abs(share) < 0.03:
        return
    side = "high" if share > 0.0 else "low"
    factor = number_text(o.level_mg_l.value / o.carbonate_dkh.value * 10.0 ** (o.ph - 7.0))
    if share < 0.0:
        why = (
            "Its factor of 3 fits water at 32 °C; in cooler, softer water it reads low, to the animals' cost."
        )
    elif o.kit_dkh > 1.01 * o.carbonate_dkh.value:
        why = "It takes all the kit counts for KH."
    else:
        why = "This water is warmer or saltier than its factor of 3 fits."
    notes.found(
        Level.NOTE,
        f"The trade's rule 3 x KH x 10^(7 - pH) reads {show(o.trade_rule_mg_l, 'mg_l')}, {_percent(share)} "
        f"{side}. {why} The carbonate in this water asks for {factor} in place of 3.",
        "co2",
        "trade-rule-co2",
    )


def _percent(share_frac: float) -> str:
    """A share as a percentage without its sign."""
    size = 100.0 * abs(share_frac)
    return "under 1 %" if size < 1.0 else f"{number_text(size, 2)} %"
