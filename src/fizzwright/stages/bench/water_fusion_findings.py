"""What a keeper should hear about readings that were taken together."""

from __future__ import annotations

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.gases import ROOM_AIR
from fizzwright.inference.fusion import Fused
from fizzwright.result import Level
from fizzwright.stages.bench.water_co2_question import Co2Question, ions_of
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["fusion_findings"]


def fusion_findings(question: Co2Question, found: Fused, *, notes: Notes) -> None:
    """Add every finding that applies."""
    _disagreements(found, notes)
    if question.aired_ph is not None:
        _aired(question, found, notes)
    if question.checker_hue_deg is not None or question.checker_colour is not None:
        _checker(question, notes)
    if question.night_ph is not None:
        notes.found(
            Level.NOTE,
            "A tank before its gas comes on is not at the air's level: animals and filter hold it at 2 to "
            "6 mg/L, more where it is well stocked. The answer goes one for one with the level taken for it.",
            "night",
        )
        notes.took(
            "CO2 at the end of the night",
            f"{show(question.night_co2_mg_l, 'mg_l')}, x/÷ {number_text(question.night_error_factor, 2)}",
        )
    if question.ca_mg_l is not None:
        _analysis(question, found, notes)
    worst = found.co2_mg_l
    if question.kh_dkh is None and worst.value >= 40.0:
        notes.found(
            Level.CARE,
            f"{show(worst.value, 'mg_l')} is over what most animals of a planted tank are started at. Watch "
            "them, turn the gas down and move the surface while you check the reading.",
            "co2",
        )


def _disagreements(found: Fused, notes: Notes) -> None:
    if not found.disagreements:
        return
    first = found.disagreements[0]
    notes.found(
        Level.CARE,
        f"The readings do not fit together. Distrust the {first.reading} first: {first.text}. The band "
        "allows for one of them being plain wrong.",
        "readings",
    )
    for other in found.disagreements[1:]:
        notes.found(Level.NOTE, f"If it is not that: {other.text}.", "readings")


def _aired(question: Co2Question, found: Fused, notes: Notes) -> None:
    kh = found.carbonate_kh_dkh.value
    if question.room_co2_ppm is None:
        notes.found(
            Level.CARE,
            "The room's CO2 is guessed, and what the aired sample says goes with it one for one. A meter "
            "beside the sample settles it.",
            "room-co2",
            ROOM_AIR.source,
        )
        notes.took(
            "The room's CO2 is not given; lived-in rooms",
            f"{show(ROOM_AIR.low_ppm, 'ppm')} to {show(ROOM_AIR.high_ppm, 'ppm')} (90 %)",
            ROOM_AIR.source,
        )
    if question.aired_h is None:
        notes.took(
            "The aired sample's pH had stopped moving", "at most 0.05 pH short", "airing-with-buffering"
        )
    if question.aired_way is not AiringWay.BUBBLED:
        notes.found(
            Level.CARE,
            "A sample that was not bubbled is seldom level with the air: a glass left for a day at 4 dKH can "
            "still be 0.2 pH low, and hard water takes days. A low aired pH makes the KH, and the CO2, read "
            "low. Bubble room air through it for an hour, four above 8 dKH, wait five minutes, read again.",
            "aired-ph",
            "airing-with-buffering",
        )
    if question.kh_dkh is not None and question.kh_dkh > kh + 0.5 and found.beside_kh_dkh < 0.2:
        notes.found(
            Level.NOTE,
            f"The kit counts {show(question.kh_dkh, 'dkh')}, the readings together leave "
            f"{show(kh, 'dkh')} as carbonate. Phosphate, tannins or a buffer make up such a gap; so does a "
            "sample that was not aired to the end.",
            "kh",
        )


def _checker(question: Co2Question, notes: Notes) -> None:
    notes.took("Bromothymol blue in the checker, half blue at", "pH 7.25 ± 0.13 (90 %)", "bromothymol-pk")
    notes.took("The hue as seen, one standard deviation", "10° to 14°", "bromothymol-spectrum")
    if question.checker_kh_dkh == 4.0:
        notes.took("KH of the water in the checker", "4 dKH, good to 5 %")
    text = (
        "A drop checker shows what the tank held hours ago, and one colour spans a factor of three in CO2. "
        "Read it after four hours of steady CO2, against white, in daylight."
    )
    if question.second_hue_deg is None:
        text += " A second one with other KH water beside it brackets the level."
    notes.found(Level.NOTE, text, "checker", "checker-lag")


def _analysis(question: Co2Question, found: Fused, notes: Notes) -> None:
    ions = ions_of(question)
    if ions is None:
        return
    alk = found.carbonate_kh_dkh.value * DKH_MEQ_L
    cations = 2.0 * (ions.ca_mmol_l + ions.mg_mmol_l) + ions.na_mmol_l + ions.k_mmol_l
    anions = 2.0 * ions.so4_mmol_l + ions.cl_mmol_l + ions.no3_mmol_l + alk
    off = abs(cations - anions) / max(0.5 * (cations + anions), 1e-9)
    if off > 0.15:
        notes.found(
            Level.NOTE,
            f"The ions do not balance: {number_text(cations, 2)} meq/L of cations against "
            f"{number_text(anions, 2)} meq/L of anions with the KH. One is missing or the KH is not of the "
            "same water; CO2 changes little, scale formation more.",
            "ca",
        )
