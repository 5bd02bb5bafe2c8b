"""The sum `dose`: what a carbonate, a bicarbonate or an acid does to a tank."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbonate import co2_at_alkalinity_mmol_l, co2_from_ph_mg_l
from fizzwright.engines.water.ionic import ionic_strength_best, ionic_strength_from_alk_mol_l
from fizzwright.engines.water.mixing import (
    MIXING_EQUATIONS,
    BulkWater,
    CarbonState,
    blended_mmol_l,
    bulk_from_co2,
    carbon_state,
)
from fizzwright.engines.water.powders import POWDERS, Powder, added_mmol_l
from fizzwright.errors import Fault, InputError, NoPhysicalRoot
from fizzwright.form import asked, check
from fizzwright.result import Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_bands import estimate_of
from fizzwright.stages.bench.water_draws import Array, Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, show

__all__ = ["DoseAnswer", "DoseQuestion", "dose"]

ACIDS = (Powder.SODIUM_BISULFATE, Powder.HYDROGEN_CHLORIDE)
CARBONATES = (Powder.POTASSIUM_CARBONATE, Powder.SODIUM_CARBONATE)


@dataclass(frozen=True)
class DoseQuestion:
    """A powder or acid for a tank whose KH and CO2 (or pH) are known."""

    substance: Powder = asked("--substance", "what is added, pure and dry")
    mass_g: float = asked("--mass", "how much of it", low=0.001, high=10000.0)
    volume_l: float = asked("--volume", "water in the tank", low=0.1, high=50000.0)
    kh_dkh: float = asked("--kh", "KH of the tank", low=0.05, high=40.0)
    water_c: float = asked("--temp", "water temperature", low=0.5, high=40.0)
    co2_mg_l: float | None = asked("--co2", "dissolved CO2 before", low=0.1, high=300.0, default=None)
    ph: float | None = asked("--ph", "pH before, instead of the CO2", low=4.0, high=10.0, default=None)
    kh_error_frac: float = asked(
        "--kh-error", "one standard deviation of the KH", low=0.0, high=0.5, default=0.05
    )
    mass_error_frac: float = asked(
        "--mass-error", "one standard deviation of mass and purity", low=0.0, high=0.5, default=0.03
    )


@dataclass(frozen=True)
class DoseAnswer:
    """The tank right after, before anything leaves through the surface."""

    kh_dkh: Estimate
    co2_mg_l: Estimate
    ph: Estimate
    before_ph: Estimate
    before_co2_mg_l: Estimate
    trail: Trail


def dose(question: DoseQuestion) -> DoseAnswer:
    """What a carbonate, a bicarbonate or an acid does to KH, CO2 and pH of a tank, right after.

    Raises InputError for inputs out of range, and NoPhysicalRoot where acid uses up all of the KH.
    """
    check(question)
    q = question
    if (q.co2_mg_l is None) == (q.ph is None):
        raise InputError(
            [Fault("--co2", "", "give the CO2 of the tank, or its pH", 'For example --co2 "20 mg/L"')]
        )
    notes = Notes()
    draws = Draws()
    kind = POWDERS[q.substance]
    alk, alks = q.kh_dkh * DKH_MEQ_L, q.kh_dkh * DKH_MEQ_L * draws.normal(1.0, q.kh_error_frac)
    alks = np.maximum(alks, 0.02)
    strength = float(ionic_strength_best(alk).ionic_strength_mol_l)
    notes.ran(ionic_strength_from_alk_mol_l)
    masses = q.mass_g * draws.normal(1.0, q.mass_error_frac)
    level, levels = _levels(q, alk, alks, strength, draws, notes)
    before, befores = (
        bulk_from_co2(co2, amount, water_c=q.water_c, ionic_strength_mol_l=strength)
        for co2, amount in ((level, alk), (levels, alks))
    )
    after, afters = _added(before, q.mass_g, q), _added(befores, masses, q)
    notes.ran(*(e for e in MIXING_EQUATIONS if e is not blended_mmol_l), added_mmol_l)
    if float(after.alk_meq_l) <= 0.01:
        raise NoPhysicalRoot(
            f"{show(q.mass_g, 'g')} of {q.substance.value} uses up all of the {show(q.kh_dkh, 'dkh')}; pH "
            "would fall below 5 and all of it turn into CO2. Do not add it to a tank"
        )
    afters = dataclasses.replace(afters, alk_meq_l=np.maximum(afters.alk_meq_l, 0.005))
    states = [carbon_state(water) for water in (before, befores, after, afters)]
    _findings(question, states[0], states[2], kind.alk_ratio, notes)
    return DoseAnswer(
        kh_dkh=estimate_of(after.alk_meq_l / DKH_MEQ_L, afters.alk_meq_l / DKH_MEQ_L, "dkh"),
        co2_mg_l=estimate_of(states[2].co2_mg_l, states[3].co2_mg_l, "mg_l"),
        ph=estimate_of(states[2].ph, states[3].ph, "ph"),
        before_ph=estimate_of(states[0].ph, states[1].ph, "ph"),
        before_co2_mg_l=estimate_of(states[0].co2_mg_l, states[1].co2_mg_l, "mg_l"),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _levels(
    question: DoseQuestion, alk: float, alks: Array, strength: float, draws: Draws, notes: Notes
) -> tuple[float, Array]:
    if question.ph is not None:
        rest = {"water_c": question.water_c, "ionic_strength_mol_l": strength}
        notes.ran(co2_at_alkalinity_mmol_l)
        notes.took("Doubt of the pH reading, one standard deviation", "0.05")
        level = float(co2_from_ph_mg_l(question.ph, alk, **rest))
        return max(level, 0.02), np.maximum(
            co2_from_ph_mg_l(draws.normal(question.ph, 0.05), alks, **rest), 0.02
        )
    level = question.co2_mg_l or 0.0
    notes.took("Doubt of a CO2 that was given, one standard deviation", "10 %")
    return level, level * np.exp(draws.normal(0.0, 0.1))


def _added(water: BulkWater, mass_g: Array | float, question: DoseQuestion) -> BulkWater:
    kind = POWDERS[question.substance]
    given = {"molar_g": kind.molar_g, "volume_l": question.volume_l}
    return dataclasses.replace(
        water,
        alk_meq_l=water.alk_meq_l + added_mmol_l(mass_g, given_ratio=kind.alk_ratio, **given),
        dic_mmol_l=water.dic_mmol_l + added_mmol_l(mass_g, given_ratio=kind.carbon_ratio, **given),
    )


def _findings(
    question: DoseQuestion, before: CarbonState, after: CarbonState, alk_ratio: float, notes: Notes
) -> None:
    was, now = float(before.co2_mg_l), float(after.co2_mg_l)
    if question.substance in CARBONATES:
        notes.found(
            Level.CARE,
            f"Carbonate eats CO2: {show(was, 'mg_l')} becomes {show(now, 'mg_l')}, about 8 mg/L for each "
            "degree, and pH jumps until the feed makes it good. Bicarbonate raises KH and leaves CO2 alone.",
            "co2",
        )
    elif question.substance in ACIDS:
        notes.found(
            Level.STOP if now > 40.0 else Level.CARE,
            f"Acid turns bicarbonate into CO2, one for one: {show(was, 'mg_l')} becomes {show(now, 'mg_l')}, "
            "16 mg/L for each degree. Added to a stocked tank it can gas the animals. Treat the change water "
            "in a bucket instead, air it overnight, and read KH and pH before it goes in. Acid into water, "
            "never water into acid; goggles and gloves.",
            "co2",
        )
    elif alk_ratio == 0.0:
        notes.found(
            Level.NOTE, "This salt changes hardness and saltiness only; KH, CO2 and pH stay.", "substance"
        )
    elif question.substance is Powder.CALCIUM_CARBONATE:
        notes.found(
            Level.NOTE,
            "Calcium carbonate dissolves over hours to days, and only while there is CO2 to dissolve it; the "
            "figures hold once it has, and each degree takes 8 mg/L of CO2 with it.",
            "substance",
        )
    else:
        notes.found(
            Level.NOTE,
            f"Bicarbonate leaves the CO2 where it is and raises pH from {float(before.ph):.2f} to "
            f"{float(after.ph):.2f}: a pH controller would read that as CO2 missing and feed more. Set it "
            "anew.",
            "ph",
        )
