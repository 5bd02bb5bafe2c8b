"""The sum `salts`: how much of which salt brings pure or soft water to a wanted KH and GH."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from enum import StrEnum

from fizzwright.engines.water.powders import POWDERS, Powder, added_mmol_l, grams_for_g
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_readings import DGH_MMOL_L, Notes
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["CalciumSalt", "KhSalt", "SaltsAnswer", "SaltsQuestion", "salts"]

MOLAR_G = {"k": 39.0983, "na": 22.9898, "ca": 40.078, "mg": 24.305, "so4": 96.06, "cl": 35.453}
PURITY_ERROR_FRAC = 0.03


class KhSalt(StrEnum):
    """Which bicarbonate gives the KH."""

    POTASSIUM = "potassium"
    SODIUM = "sodium"


class CalciumSalt(StrEnum):
    """Which salt gives the calcium."""

    SULFATE = "sulfate"
    CHLORIDE = "chloride"


KH_POWDERS = {
    KhSalt.POTASSIUM: Powder.POTASSIUM_BICARBONATE,
    KhSalt.SODIUM: Powder.SODIUM_BICARBONATE,
}
CALCIUM_POWDERS = {
    CalciumSalt.SULFATE: Powder.CALCIUM_SULFATE,
    CalciumSalt.CHLORIDE: Powder.CALCIUM_CHLORIDE,
}


@dataclass(frozen=True)
class SaltsQuestion:
    """The water there is, and the KH and GH wanted."""

    volume_l: float = asked("--volume", "water to be made up", low=0.1, high=50000.0)
    kh_dkh: float = asked("--kh", "KH wanted", low=0.0, high=20.0)
    gh_dgh: float = asked("--gh", "GH wanted", low=0.0, high=40.0)
    start_kh_dkh: float = asked("--start-kh", "KH of the water as it is", low=0.0, high=20.0, default=0.0)
    start_gh_dgh: float = asked("--start-gh", "GH of the water as it is", low=0.0, high=40.0, default=0.0)
    kh_salt: KhSalt = asked("--kh-salt", "bicarbonate used", default=KhSalt.POTASSIUM)
    calcium_salt: CalciumSalt = asked("--calcium-salt", "calcium salt used", default=CalciumSalt.SULFATE)
    ca_share_frac: float = asked(
        "--calcium-share",
        "calcium's share of the added GH, the rest is magnesium",
        low=0.0,
        high=1.0,
        default=0.75,
    )


@dataclass(frozen=True)
class SaltsAnswer:
    """Grams of each salt, and what they bring beside KH and GH."""

    kh_salt_g: Estimate
    calcium_salt_g: Estimate
    magnesium_salt_g: Estimate
    potassium_mg_l: Estimate
    sodium_mg_l: Estimate
    calcium_mg_l: Estimate
    magnesium_mg_l: Estimate
    sulfate_mg_l: Estimate
    chloride_mg_l: Estimate
    recipe: tuple[str, ...]
    trail: Trail


def salts(question: SaltsQuestion) -> SaltsAnswer:
    """Grams of each salt that bring a water to a wanted KH and GH.

    The band is the purity and dryness of household salts. Raises InputError where the water already
    holds more than is wanted.
    """
    check(question)
    q = question
    _demand_room(q)
    notes = Notes()
    notes.ran(grams_for_g, added_mmol_l)
    hardness = (q.gh_dgh - q.start_gh_dgh) * DGH_MMOL_L
    parts = (
        (KH_POWDERS[q.kh_salt], (q.kh_dkh - q.start_kh_dkh) * DKH_MEQ_L, "alk_ratio"),
        (CALCIUM_POWDERS[q.calcium_salt], q.ca_share_frac * hardness, "ca_ratio"),
        (Powder.MAGNESIUM_SULFATE, (1.0 - q.ca_share_frac) * hardness, "mg_ratio"),
    )
    grams = [
        (
            powder,
            float(
                grams_for_g(
                    wanted,
                    q.volume_l,
                    molar_g=POWDERS[powder].molar_g,
                    given_ratio=getattr(POWDERS[powder], ratio),
                )
            ),
        )
        for powder, wanted, ratio in parts
    ]
    brought = {ion: _brought_mg_l(ion, grams, q.volume_l) for ion in MOLAR_G}
    notes.took("Purity and dryness of the salts, one standard deviation", "3 %")
    _findings(q, brought, notes)
    mass = [_within(amount, "g") for _, amount in grams]
    ion = {name: _within(amount, "mg_l") for name, amount in brought.items()}
    return SaltsAnswer(
        kh_salt_g=mass[0],
        calcium_salt_g=mass[1],
        magnesium_salt_g=mass[2],
        potassium_mg_l=ion["k"],
        sodium_mg_l=ion["na"],
        calcium_mg_l=ion["ca"],
        magnesium_mg_l=ion["mg"],
        sulfate_mg_l=ion["so4"],
        chloride_mg_l=ion["cl"],
        recipe=tuple(
            f"{number_text(amount)} g of {powder.value}" for powder, amount in grams if amount > 0.0
        ),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _demand_room(question: SaltsQuestion) -> None:
    faults = []
    for option, wanted, there, suffix in (
        ("--kh", question.kh_dkh, question.start_kh_dkh, "dkh"),
        ("--gh", question.gh_dgh, question.start_gh_dgh, "dgh"),
    ):
        if wanted < there:
            faults.append(
                Fault(
                    option,
                    show(wanted, suffix),
                    f"the water already has {show(there, suffix)}, and salts take nothing out",
                    "Thin it with pure water first.",
                )
            )
    if faults:
        raise InputError(faults)


def _brought_mg_l(ion: str, grams: list[tuple[Powder, float]], volume_l: float) -> float:
    """What all salts together add of one ion."""
    return sum(
        MOLAR_G[ion]
        * float(
            added_mmol_l(
                amount,
                volume_l,
                molar_g=POWDERS[powder].molar_g,
                given_ratio=getattr(POWDERS[powder], f"{ion}_ratio"),
            )
        )
        for powder, amount in grams
    )


def _within(value: float, unit: str) -> Estimate:
    reach = 1.645 * PURITY_ERROR_FRAC * value
    return Estimate(value, unit, value - reach, value + reach, Basis.PROPAGATED)


def _findings(question: SaltsQuestion, brought: dict[str, float], notes: Notes) -> None:
    notes.found(
        Level.NOTE,
        "Dissolve the KH salt and the GH salts apart, each in its own jug: poured together dry or strong "
        "they fall out as chalk. Calcium sulfate takes an hour of stirring.",
        "recipe",
    )
    if brought["k"] > 40.0:
        notes.found(
            Level.NOTE,
            f"Potassium bicarbonate brings {show(brought['k'], 'mg_l')} of potassium; count it in the "
            "fertiliser, or take half the KH from sodium bicarbonate.",
            "potassium",
        )
    if brought["na"] > 40.0:
        notes.found(
            Level.NOTE,
            f"Sodium bicarbonate brings {show(brought['na'], 'mg_l')} of sodium, which plants have little "
            "use for. Potassium bicarbonate does the same for KH.",
            "sodium",
        )
    if question.kh_dkh < 1.0:
        notes.found(
            Level.CARE,
            "Under 1 dKH a KH kit and pH hardly tell the CO2, and little acid moves pH far. Take at least 2 "
            "dKH where pH is to be used for dialling in.",
            "kh",
        )
