"""The sum `co2`: dissolved CO2 from whatever was read, with its band and what widens it."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbon import from_ph_and_alk
from fizzwright.engines.water.carbonate import co2_from_ph_mg_l
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.engines.water.ionic import Ions, Salt
from fizzwright.engines.water.kit import END_PH
from fizzwright.engines.water.known_ions import ionic_water
from fizzwright.engines.water.trade import trade_rule_co2_mg_l
from fizzwright.errors import NoPhysicalRoot
from fizzwright.form import check
from fizzwright.inference.fusion import Fused, Readings, fused
from fizzwright.inference.fusion_likelihood import Beside, beside_carbonate
from fizzwright.result import Basis, Estimate, Trail, make_trail
from fizzwright.stages.bench.water_co2_findings import Outcome, co2_findings
from fizzwright.stages.bench.water_co2_question import Co2Question, demand_a_route, readings_of
from fizzwright.stages.bench.water_fusion_findings import fusion_findings
from fizzwright.stages.bench.water_readings import (
    KitReading,
    Notes,
    SaltReadings,
    kit_reading,
    probe_error_ph,
    salt_reading,
)
from fizzwright.units import DKH_MEQ_L, show

__all__ = ["Co2Answer", "Co2Question", "co2"]


@dataclass(frozen=True)
class Co2Answer:
    """CO2 and the KH that is carbonate; which input to measure better; what to read next.

    `trade_rule_mg_l` is None without a pH and a KH, `distrust` where no reading stands out.
    """

    co2_mg_l: Estimate
    carbonate_kh_dkh: Estimate | None
    dominant_input: str
    input_shares: tuple[str, ...]
    trade_rule_mg_l: Estimate | None
    distrust: str | None
    next_readings: tuple[str, ...]
    trail: Trail


@dataclass(frozen=True)
class _Middle:
    """The plain sum at the middle of every input: CO2, and the KH left as carbonate."""

    co2_mg_l: float
    carbonate_dkh: float
    beside: Beside


def co2(question: Co2Question) -> Co2Answer:
    """Dissolved CO2 from pH and KH, an aired sample, a drop checker, or all of them together.

    Every reading given is weighed by how far it can be believed; the band is what they leave together.
    Raises InputError for readings out of range or too few, and NoPhysicalRoot where phosphate and tint
    explain all of the KH.
    """
    check(question)
    demand_a_route(question)
    notes = Notes()
    salts = SaltReadings(question.ec_us_cm, question.tds_mg_l, question.gh_dgh)
    error_ph = probe_error_ph(question.error_ph, salts, notes=notes) if question.ph is not None else 0.05
    kit = None
    if question.kh_dkh is not None:
        kit = kit_reading(question.kh_dkh, question.kit_step_dkh, drops=question.drop_kit, notes=notes)
    readings = readings_of(question, kit, error_ph=error_ph)
    if readings.salts.ions is None:
        guess_dkh = kit.middle_dkh if kit is not None else 3.0
        # Only for its notes on what had to be assumed; the sum works the salts out along with the KH.
        salt_reading(guess_dkh * DKH_MEQ_L, salts, notes=notes)
    middle = _middle(question, kit, readings)
    alone = readings.aired is None and readings.night is None and not readings.checkers
    if middle is not None and alone and middle.co2_mg_l <= 0.0:
        raise NoPhysicalRoot(_nothing_left(question, middle))
    found = fused(readings)
    level, kh = _estimates(found, middle if alone else None)
    notes.ran(*found.equations)
    _note_run(question, notes)
    rule = None
    if question.ph is not None and question.kh_dkh is not None and kit is not None and middle is not None:
        rule = float(trade_rule_co2_mg_l(question.ph, question.kh_dkh))
        notes.ran(trade_rule_co2_mg_l)
        co2_findings(_outcome(question, kit, middle=middle, found=(level, kh)), notes)
    fusion_findings(question, found, notes=notes)
    knows_kh = question.ph is not None or kit is not None
    return Co2Answer(
        co2_mg_l=level,
        carbonate_kh_dkh=kh if knows_kh else None,
        dominant_input=found.dominant_input,
        input_shares=tuple(
            f"{name} {100 * share:.0f} %" for name, share in found.input_shares.items() if share >= 0.005
        ),
        trade_rule_mg_l=None if rule is None else Estimate.exact(rule, "mg_l", Basis.JUDGEMENT),
        distrust=found.disagreements[0].reading if found.disagreements else None,
        next_readings=tuple(
            f"{reading.text}: narrows the band by about {100 * reading.narrows_frac:.0f} %"
            for reading in found.next_readings[:3]
            if reading.narrows_frac >= 0.05
        ),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _middle(question: Co2Question, kit: KitReading | None, readings: Readings) -> _Middle | None:
    """The plain sum of pH and KH; None where one is missing."""
    if question.ph is None or kit is None:
        return None
    ph = np.asarray(question.ph)
    ions = readings.salts.ions
    salt = _salt_at(kit, question) if ions is None else None
    strength = float(salt.ionic_strength_mol_l) if salt is not None else 0.005
    beside = beside_carbonate(readings.beside, ph, water_c=question.water_c, strength_mol_l=strength)
    carbonate = kit.middle_dkh * DKH_MEQ_L - float(beside.total_meq_l)
    if carbonate <= 0.0:
        return _Middle(0.0, carbonate / DKH_MEQ_L, beside)
    if salt is None and ions is not None:
        level = _ionic_co2_mg_l(question.ph, carbonate, ions, question.water_c)
    else:
        assert salt is not None
        level = float(
            co2_from_ph_mg_l(
                question.ph,
                carbonate,
                water_c=question.water_c,
                ionic_strength_mol_l=salt.ionic_strength_mol_l,
                hardness_mmol_l=salt.hardness_mmol_l,
            )
        )
    return _Middle(level, carbonate / DKH_MEQ_L, beside)


def _salt_at(kit: KitReading, question: Co2Question) -> Salt:
    readings = SaltReadings(question.ec_us_cm, question.tds_mg_l, question.gh_dgh)
    return salt_reading(kit.middle_dkh * DKH_MEQ_L, readings, notes=Notes())


def _ionic_co2_mg_l(ph: float, alk_meq_l: float, ions: Ions, water_c: float) -> float:
    _, shared = ionic_water(
        lambda constants: from_ph_and_alk(ph, alk_meq_l, constants=constants), ions, water_c=water_c
    )
    return CO2_G_MOL * float(shared.co2_mmol_l)


def _estimates(found: Fused, middle: _Middle | None) -> tuple[Estimate, Estimate]:
    """The estimates; with pH and KH alone the middle of each input gives the value."""
    level, kh = found.co2_mg_l, found.carbonate_kh_dkh
    if middle is None:
        return level, kh
    return _about(level, middle.co2_mg_l), _about(kh, middle.carbonate_dkh)


def _about(estimate: Estimate, value: float) -> Estimate:
    return dataclasses.replace(
        estimate, value=value, low=min(estimate.low, value), high=max(estimate.high, value)
    )


def _nothing_left(question: Co2Question, middle: _Middle) -> str:
    counted = middle.carbonate_dkh + float(middle.beside.total_meq_l) / DKH_MEQ_L
    return (
        f"nothing of the {show(counted, 'dkh')} is left as carbonate at pH {question.ph:.2f} once "
        "phosphate, tint and hydroxide are taken off; check those readings, or read the pH of a sample aired "
        "with room air for an hour and give it as --aired-ph"
    )


def _note_run(question: Co2Question, notes: Notes) -> None:
    """Keep the doubts nobody stated."""
    q = question
    if q.error_c == 0.5:
        notes.took("Doubt of the temperature, one standard deviation", "0.5 °C")
    if q.phosphate_mg_l > 0.0:
        notes.took("Doubt of the phosphate reading, one standard deviation", "20 %")
    if q.tint_doc_mg_l > 0.0:
        notes.took("Strength of tannins as acids, the mean of two studies", "10.2 µeq/mg", "hruska-2003")
        notes.took("The second study of tannins", "5 % of the carbon, three steps", "fakhraei-driscoll-2015")
        notes.took("Doubt of the tint, one standard deviation", "40 %")
    if q.phosphate_mg_l > 0.0 or q.tint_doc_mg_l > 0.0:
        notes.took("Phosphate and tint are counted down to", f"pH {END_PH}", "kh-end-point")
    if q.kh_dkh is not None:
        notes.took(
            "The kit's colour turns at pH 4.4 to 5.0, with up to 40 % of the carbon still in the vial",
            "both even",
            "kh-end-point",
        )


def _outcome(
    question: Co2Question, kit: KitReading, *, middle: _Middle, found: tuple[Estimate, Estimate]
) -> Outcome:
    level, kh = found
    # At a given pH the CO2 goes with the carbonate KH, so what is ignored adds in proportion.
    per_meq = level.value / (kh.value * DKH_MEQ_L)
    phosphate, tint = float(middle.beside.phosphate_meq_l), float(middle.beside.tint_meq_l)
    minor = float(middle.beside.minor_meq_l)
    assert question.ph is not None
    assert question.kh_dkh is not None
    return Outcome(
        ph=question.ph,
        kit_dkh=question.kh_dkh,
        water_c=question.water_c,
        drop_kit=question.drop_kit,
        kit=kit,
        level_mg_l=level,
        carbonate_dkh=kh,
        trade_rule_mg_l=float(trade_rule_co2_mg_l(question.ph, question.kh_dkh)),
        without_phosphate_mg_l=level.value + per_meq * phosphate if question.phosphate_mg_l > 0.0 else None,
        without_tint_mg_l=level.value + per_meq * tint if question.tint_doc_mg_l > 0.0 else None,
        without_minor_mg_l=level.value + per_meq * minor if minor > 0.0 else None,
    )
