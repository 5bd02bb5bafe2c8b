"""The sum `co2`: dissolved CO2 from pH, KH and temperature, with its band and what widens it."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbonate import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    co2_at_alkalinity_mmol_l,
    co2_from_ph_mg_l,
)
from fizzwright.engines.water.ionic import Salt
from fizzwright.engines.water.kit import (
    END_PH,
    ORGANIC_EQUATIONS,
    PHOSPHATE_EQUATIONS,
    organic_alk_fakhraei_meq_l,
    organic_alk_hruska_meq_l,
    phosphate_alk_meq_l,
)
from fizzwright.engines.water.trade import trade_rule_co2_mg_l
from fizzwright.errors import NoPhysicalRoot
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Trail, make_trail
from fizzwright.stages.bench.water_co2_findings import Outcome, co2_findings
from fizzwright.stages.bench.water_draws import Array, Draws, limits, shares_of_spread
from fizzwright.stages.bench.water_readings import (
    KitReading,
    Notes,
    SaltReadings,
    kit_reading,
    probe_error_ph,
    salt_limits,
    salt_reading,
)
from fizzwright.units import DKH_MEQ_L, show

__all__ = ["Co2Answer", "Co2Question", "co2"]

PH, KH, TEMPERATURE, SALTS, PHOSPHATE, TINT = (
    "pH reading",
    "KH kit",
    "temperature",
    "salts",
    "phosphate",
    "tint",
)
# Of a phosphate kit, and of a judgement of tint by eye, as shares; common practice.
PHOSPHATE_ERROR_FRAC = 0.2
TINT_ERROR_FRAC = 0.4


@dataclass(frozen=True)
class Co2Question:
    """One reading of pH and KH at one time and temperature."""

    ph: float = asked("--ph", "pH of the tank, probe calibrated at 7 and 4", low=4.0, high=10.0)
    kh_dkh: float = asked("--kh", "KH as the kit reads it", low=0.05, high=40.0)
    water_c: float = asked(
        "--temp", "water temperature", low=0.5, high=40.0, why="the constants hold for 0 to 40 °C"
    )
    ec_us_cm: float | None = asked(
        "--ec", "conductivity, as compensated to 25 °C", low=1.0, high=6000.0, default=None
    )
    tds_mg_l: float | None = asked(
        "--tds", "reading of a TDS pen, where there is no conductivity", low=1.0, high=4000.0, default=None
    )
    gh_dgh: float | None = asked("--gh", "general hardness", low=0.0, high=60.0, default=None)
    phosphate_mg_l: float = asked("--phosphate", "phosphate as PO4", low=0.0, high=400.0, default=0.0)
    tint_doc_mg_l: float = asked(
        "--tint-doc",
        "dissolved organic carbon: 5 light tint, 20 blackwater",
        low=0.0,
        high=60.0,
        default=0.0,
    )
    kit_step_dkh: float | None = asked(
        "--kit-step", "what one drop or one mark of the KH kit stands for", low=0.005, high=3.0, default=None
    )
    drop_kit: bool = asked(
        "--drop-kit", "the KH is a count of whole drops to the colour change", default=False
    )
    error_ph: float | None = asked(
        "--ph-error", "one standard deviation of the pH reading", low=0.0, high=0.5, default=None
    )
    error_c: float = asked(
        "--temp-error", "one standard deviation of the temperature, in °C", low=0.0, high=5.0, default=0.5
    )


@dataclass(frozen=True)
class Co2Answer:
    """CO2 and the KH that is carbonate; which input to measure better; what the trade's rule reads."""

    co2_mg_l: Estimate
    carbonate_kh_dkh: Estimate
    dominant_input: str
    input_shares: tuple[str, ...]
    trade_rule_mg_l: Estimate
    trail: Trail


@dataclass(frozen=True)
class _Sum:
    """The sum itself, over whatever the unknowns are: a number each, or a column of draws each."""

    phosphate: bool
    tint: bool

    def counted_meq_l(self, unknowns: Mapping[str, Array]) -> dict[str, Array]:
        """What the kit counts beside carbonate, by what it comes from."""
        counted: dict[str, Array] = {}
        if self.phosphate:
            counted[PHOSPHATE] = phosphate_alk_meq_l(
                unknowns[PHOSPHATE],
                unknowns[PH],
                water_c=unknowns[TEMPERATURE],
                ionic_strength_mol_l=unknowns[SALTS][0],
            )
        if self.tint:
            first = organic_alk_hruska_meq_l(unknowns[TINT], unknowns[PH])
            second = organic_alk_fakhraei_meq_l(unknowns[TINT], unknowns[PH])
            counted[TINT] = 0.5 * (first + second)
        return counted

    def carbonate_dkh(self, unknowns: Mapping[str, Array]) -> Array:
        """What the kit counted, less phosphate and tint."""
        others = self.counted_meq_l(unknowns).values()
        left: Array = unknowns[KH] - sum(others, start=np.float64(0.0)) / DKH_MEQ_L
        return left

    def co2_mg_l(self, unknowns: Mapping[str, Array]) -> Array:
        """Free CO2; none where nothing of the kit's count is carbonate."""
        carbonate = self.carbonate_dkh(unknowns)
        found = co2_from_ph_mg_l(
            unknowns[PH],
            carbonate * DKH_MEQ_L,
            water_c=unknowns[TEMPERATURE],
            ionic_strength_mol_l=unknowns[SALTS][0],
            hardness_mmol_l=unknowns[SALTS][1],
        )
        return np.where(carbonate > 0.0, found, 0.0)


def co2(question: Co2Question) -> Co2Answer:
    """Dissolved CO2 from pH, KH and temperature.

    The band covers the kit's step, the pH reading, the temperature, the salts and, where given, what
    phosphate and tint add to the kit's reading. Raises InputError for readings out of range and
    NoPhysicalRoot where phosphate and tint explain all of the KH.
    """
    check(question)
    notes = Notes()
    readings = SaltReadings(question.ec_us_cm, question.tds_mg_l, question.gh_dgh)
    kit = kit_reading(question.kh_dkh, question.kit_step_dkh, drops=question.drop_kit, notes=notes)
    salt = salt_reading(kit.middle_dkh * DKH_MEQ_L, readings, notes=notes)
    error_ph = probe_error_ph(question.error_ph, readings, notes=notes)
    work = _Sum(question.phosphate_mg_l > 0.0, question.tint_doc_mg_l > 0.0)
    middle = _middles(question, kit, salt)
    drawn = _drawn(question, kit, salt=salt, error_ph=error_ph)
    kh = _estimate(work.carbonate_dkh(middle), work.carbonate_dkh(drawn), unit="dkh")
    level = _estimate(work.co2_mg_l(middle), work.co2_mg_l(drawn), unit="mg_l")
    if level.value <= 0.0:
        raise NoPhysicalRoot(_nothing_left(question, kit))
    loose = {name: column for name, column in drawn.items() if np.ptp(column, axis=-1).any()}
    shares = shares_of_spread(work.co2_mg_l, middle, drawn=loose)
    outcome = _outcome(question, kit, work=work, middle=middle, found=(level, kh))
    _note_run(question, work, notes)
    co2_findings(outcome, notes)
    return Co2Answer(
        co2_mg_l=level,
        carbonate_kh_dkh=kh,
        dominant_input=next(iter(shares), "none"),
        input_shares=tuple(f"{name} {100 * share:.0f} %" for name, share in shares.items() if share >= 0.005),
        trade_rule_mg_l=Estimate.exact(outcome.trade_rule_mg_l, "mg_l", Basis.JUDGEMENT),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _middles(question: Co2Question, kit: KitReading, salt: Salt) -> dict[str, Array]:
    """Each unknown at its middle; salts are ionic strength and hardness, one above the other."""
    middle = {
        PH: question.ph,
        KH: kit.middle_dkh,
        TEMPERATURE: question.water_c,
        SALTS: [float(salt.ionic_strength_mol_l), float(salt.hardness_mmol_l)],
        PHOSPHATE: question.phosphate_mg_l,
        TINT: question.tint_doc_mg_l,
    }
    return {name: np.asarray(value, dtype=np.float64) for name, value in middle.items()}


def _drawn(question: Co2Question, kit: KitReading, *, salt: Salt, error_ph: float) -> dict[str, Array]:
    """Each unknown drawn over what its reading leaves open."""
    draws = Draws()
    strength, hardness = salt_limits(salt)
    phosphate, doc = question.phosphate_mg_l, question.tint_doc_mg_l
    return {
        PH: draws.normal(question.ph, error_ph),
        KH: kit.drawn_dkh(draws),
        TEMPERATURE: np.clip(draws.normal(question.water_c, question.error_c), 0.0, 40.0),
        SALTS: np.stack([draws.skewed(*strength), draws.split(*hardness)]),
        PHOSPHATE: np.maximum(draws.normal(phosphate, PHOSPHATE_ERROR_FRAC * phosphate), 0.0),
        TINT: np.maximum(draws.normal(doc, TINT_ERROR_FRAC * doc), 0.0),
    }


def _estimate(middle: Array, drawn: Array, *, unit: str) -> Estimate:
    """The answer at the middle of every input, with the 90 % limits of the draws."""
    low, high = limits(drawn)
    value = float(middle)
    return Estimate(value, unit, min(low, value), max(high, value), Basis.PROPAGATED)


def _nothing_left(question: Co2Question, kit: KitReading) -> str:
    return (
        f"nothing of the {show(kit.middle_dkh, 'dkh')} is left as carbonate at pH {question.ph:.2f} once "
        "phosphate, tint and hydroxide are taken off; check those readings, or read the pH of a sample aired "
        "with room air for an hour and work the KH out from that"
    )


def _note_run(question: Co2Question, work: _Sum, notes: Notes) -> None:
    """Keep the equations that ran and the doubts nobody stated."""
    notes.ran(*CONDITIONAL_EQUATIONS, *PAIR_EQUATIONS, co2_at_alkalinity_mmol_l, trade_rule_co2_mg_l)
    if question.error_c == 0.5:
        notes.took("Doubt of the temperature, one standard deviation", "0.5 °C")
    if work.phosphate:
        notes.ran(*PHOSPHATE_EQUATIONS)
        notes.took("Doubt of the phosphate reading, one standard deviation", "20 %")
    if work.tint:
        notes.ran(*ORGANIC_EQUATIONS)
        notes.took("Strength of tannins as acids, the mean of two studies", "10.2 µeq/mg", "hruska-2003")
        notes.took("The second study of tannins", "5 % of the carbon, three steps", "fakhraei-driscoll-2015")
        notes.took("Doubt of the tint, one standard deviation", "40 %")
    if work.phosphate or work.tint:
        notes.took("The kit's colour turns at", f"pH {END_PH}", "kh-end-point")


def _outcome(
    question: Co2Question,
    kit: KitReading,
    *,
    work: _Sum,
    middle: Mapping[str, Array],
    found: tuple[Estimate, Estimate],
) -> Outcome:
    level, kh = found
    # At a given pH the CO2 goes with the carbonate KH, so what is ignored adds in proportion.
    per_dkh = level.value / kh.value
    without = {
        name: level.value + per_dkh * float(other) / DKH_MEQ_L
        for name, other in work.counted_meq_l(middle).items()
    }
    return Outcome(
        ph=question.ph,
        kit_dkh=question.kh_dkh,
        water_c=question.water_c,
        drop_kit=question.drop_kit,
        kit=kit,
        level_mg_l=level,
        carbonate_dkh=kh,
        trade_rule_mg_l=float(trade_rule_co2_mg_l(question.ph, question.kh_dkh)),
        without_phosphate_mg_l=without.get(PHOSPHATE),
        without_tint_mg_l=without.get(TINT),
    )
