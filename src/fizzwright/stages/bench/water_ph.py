"""The sum `ph`: the pH a CO2 level gives in a water of known KH, and what holding it means."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbonate import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    alkalinity_at_co2_meq_l,
    ph_from_co2,
)
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_draws import Array, Draws, limits, shares_of_spread
from fizzwright.stages.bench.water_readings import (
    Notes,
    SaltReadings,
    kit_reading,
    salt_limits,
    salt_reading,
)
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["PhAnswer", "PhQuestion", "ph"]

CO2, KH, TEMPERATURE, SALTS = "CO2", "KH kit", "temperature", "salts"


@dataclass(frozen=True)
class PhQuestion:
    """A CO2 level wished for or read elsewhere, and the water it is in."""

    co2_mg_l: float = asked("--co2", "dissolved CO2", low=0.01, high=300.0)
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
    kit_step_dkh: float | None = asked(
        "--kit-step", "what one drop or one mark of the KH kit stands for", low=0.005, high=3.0, default=None
    )
    drop_kit: bool = asked(
        "--drop-kit", "the KH is a count of whole drops to the colour change", default=False
    )
    co2_error_mg_l: float = asked(
        "--co2-error", "one standard deviation of the CO2, nil for a target", low=0.0, high=100.0, default=0.0
    )
    error_c: float = asked(
        "--temp-error", "one standard deviation of the temperature, in °C", low=0.0, high=5.0, default=0.5
    )


@dataclass(frozen=True)
class PhAnswer:
    """The pH a well-calibrated probe should show, and the input that widens it most."""

    ph: Estimate
    dominant_input: str
    input_shares: tuple[str, ...]
    trail: Trail


def _ph(unknowns: Mapping[str, Array]) -> Array:
    return ph_from_co2(
        unknowns[CO2],
        unknowns[KH] * DKH_MEQ_L,
        water_c=unknowns[TEMPERATURE],
        ionic_strength_mol_l=unknowns[SALTS][0],
        hardness_mmol_l=unknowns[SALTS][1],
    )


def ph(question: PhQuestion) -> PhAnswer:
    """The pH a CO2 level gives in a water of known KH.

    The band covers the kit's step, the temperature, the salts and the stated doubt of the CO2; the
    probe's own error comes on top. Raises InputError for inputs out of range.
    """
    check(question)
    notes = Notes()
    readings = SaltReadings(question.ec_us_cm, question.tds_mg_l, question.gh_dgh)
    kit = kit_reading(question.kh_dkh, question.kit_step_dkh, drops=question.drop_kit, notes=notes)
    salt = salt_reading(kit.middle_dkh * DKH_MEQ_L, readings, notes=notes)
    draws = Draws()
    strength, hardness = salt_limits(salt)
    middle = {
        CO2: np.asarray(question.co2_mg_l),
        KH: np.asarray(kit.middle_dkh),
        TEMPERATURE: np.asarray(question.water_c),
        SALTS: np.array([float(salt.ionic_strength_mol_l), float(salt.hardness_mmol_l)]),
    }
    drawn = {
        CO2: np.maximum(draws.normal(question.co2_mg_l, question.co2_error_mg_l), 1e-3),
        KH: kit.drawn_dkh(draws),
        TEMPERATURE: np.clip(draws.normal(question.water_c, question.error_c), 0.0, 40.0),
        SALTS: np.stack([draws.skewed(*strength), draws.split(*hardness)]),
    }
    value, (low, high) = float(_ph(middle)), limits(_ph(drawn))
    notes.ran(*CONDITIONAL_EQUATIONS, *PAIR_EQUATIONS, alkalinity_at_co2_meq_l)
    if question.error_c == 0.5:
        notes.took("Doubt of the temperature, one standard deviation", "0.5 °C")
    _findings(question, value, (low, high), notes=notes)
    loose = {name: column for name, column in drawn.items() if np.ptp(column, axis=-1).any()}
    shares = shares_of_spread(_ph, middle, drawn=loose)
    return PhAnswer(
        ph=Estimate(value, "ph", min(low, value), max(high, value), Basis.PROPAGATED),
        dominant_input=next(iter(shares), "none"),
        input_shares=tuple(f"{name} {100 * share:.0f} %" for name, share in shares.items() if share >= 0.005),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _findings(question: PhQuestion, value: float, band: tuple[float, float], *, notes: Notes) -> None:
    low, high = band
    notes.found(
        Level.NOTE,
        "Probe error comes on top of this band: 0.05 pH is 12 % of the CO2 and 0.1 pH is 26 %. A pH "
        f"controller holds pH, not CO2: one degree more KH at this pH is {_one_degree(question)} more CO2. "
        "Read the KH again before a set point is trusted for a month.",
        "ph",
    )
    if question.kh_dkh <= 1.0:
        notes.found(
            Level.CARE,
            "At a KH of 1 dKH or less the kit is hardly able to tell what the pH will be, and tannins and an "
            "acid soil count in it. Work the KH out from the pH of a sample aired with room air for an hour.",
            "kh",
            "abril-2015",
        )
    if high - low > 0.3:
        notes.found(
            Level.CARE,
            f"The band is {number_text(high - low, 2)} pH wide, which is a factor of "
            f"{number_text(10 ** (high - low), 2)} in CO2. Titrate a larger sample before a pH is used as a "
            "target.",
            "kh",
        )
    if value < 6.0:
        notes.found(
            Level.NOTE,
            f"pH {value:.2f} looks low, but the CO2 makes it so: the water goes back up when it is aired. "
            "Animals answer to the CO2 here, not to the pH.",
            "ph",
        )
    if question.co2_mg_l >= 40.0:
        notes.found(
            Level.CARE,
            f"{show(question.co2_mg_l, 'mg_l')} is over what most animals of a planted tank are started at. "
            "Come up to it over days, if at all, and watch the animals.",
            "co2",
        )


def _one_degree(question: PhQuestion) -> str:
    return f"{number_text(100.0 / question.kh_dkh, 2)} %"
