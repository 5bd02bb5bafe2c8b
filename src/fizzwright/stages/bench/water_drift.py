"""The sum `drift`: what bacteria, plants, limestone and soil do to KH over days, and so to CO2."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.carbon import from_co2_and_alk
from fizzwright.engines.water.carbonate import alkalinity_at_co2_meq_l
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.engines.water.drift import (
    PLANT_SHARE,
    calcite_log10,
    calcite_saturation_log10,
    nitrogen_alk_meq_l,
    stone_first_log10,
    stone_meq_l_h,
    stone_rates,
    stone_second_log10,
    stone_third_log10,
)
from fizzwright.engines.water.ionic import Ions
from fizzwright.engines.water.known_ions import KNOWN_IONS_EQUATIONS, ionic_water
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.inference.fusion_drift import fitted_kh_drift
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_bands import estimate_of
from fizzwright.stages.bench.water_draws import Array, Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["DriftAnswer", "DriftQuestion", "drift"]

# Fish food is about 40 % protein, a sixth of which is nitrogen; most of it ends as ammonium.
FOOD_NITROGEN_FRAC = 0.064
NITROGEN_IN_NITRATE = 14.0067 / 62.0049
# Of what bare calcite would give: biofilm, impurity and dead corners.
STONE_SHARE = (0.15, 0.5, 1.0)
STEPS = 60


@dataclass(frozen=True)
class DriftQuestion:
    """What goes into a tank and out of it between water changes."""

    kh_dkh: float = asked("--kh", "KH at the start", low=0.05, high=30.0)
    co2_mg_l: float = asked("--co2", "CO2 held by the gas", low=0.3, high=100.0)
    water_c: float = asked("--temp", "water temperature", low=5.0, high=40.0)
    volume_l: float = asked("--volume", "water in the tank", low=1.0, high=50000.0)
    days_days: float = asked("--days", "how long", low=0.5, high=120.0, default=7.0)
    food_g_day: float = asked("--food", "dry food a day", low=0.0, high=500.0, default=0.0)
    ammonium_n_mg_l: float = asked(
        "--ammonium-n", "ammonium or urea dosed over that time, as N", low=0.0, high=50.0, default=0.0
    )
    nitrate_mg_l: float = asked(
        "--nitrate-taken", "nitrate plants took over that time, as NO3", low=0.0, high=300.0, default=0.0
    )
    denitrified_mg_l: float = asked(
        "--nitrate-lost", "nitrate lost as gas over that time, as NO3", low=0.0, high=300.0, default=0.0
    )
    stone_m2: float = asked(
        "--stone", "bare limestone, shell or coral sand surface", low=0.0, high=20.0, default=0.0
    )
    ca_mg_l: float = asked("--ca", "calcium", low=0.0, high=500.0, default=30.0)
    kh_log: str = asked("--kh-log", "KH read on days, as 0:5 4:4 8:3, to fit a soil", default="")
    log_step_dkh: float = asked(
        "--kit-step", "what one drop of that kit stands for", low=0.05, high=3.0, default=1.0
    )


@dataclass(frozen=True)
class DriftAnswer:
    """What each does to KH over the time, and what a pH controller makes of the sum."""

    end_kh_dkh: Estimate
    bacteria_dkh: Estimate
    plants_dkh: Estimate
    stone_dkh: Estimate
    soil_dkh_day: Estimate | None
    limestone_end_kh_dkh: Estimate
    co2_at_same_ph_mg_l: Estimate
    trail: Trail


def drift(question: DriftQuestion) -> DriftAnswer:
    """What bacteria, plants, limestone and an acid soil do to KH over days.

    Plants and stone are an order of magnitude; a soil is fitted from a log of KH or left out. Raises
    InputError for inputs out of range and for a log that cannot be read.
    """
    check(question)
    q = question
    notes = Notes()
    draws = Draws()
    bacteria = _bacteria(q, draws, notes)
    plants = _plants(q, draws, notes)
    stone, end_point = _stone(q, draws, notes)
    soil = _soil(q)
    total = bacteria[1] + plants[1] + stone[1]
    middle = bacteria[0] + plants[0] + stone[0]
    if soil is not None:
        notes.took(
            "The log holds everything that moves KH, so only it is used for the end", "fitted", "judgement"
        )
        middle = soil.value * q.days_days
        total = q.days_days * _like(soil, draws)
    end, ends = max(q.kh_dkh + middle, 0.02), np.maximum(q.kh_dkh + total, 0.02)
    answer = DriftAnswer(
        end_kh_dkh=estimate_of(end, ends, "dkh"),
        bacteria_dkh=estimate_of(*bacteria, "dkh"),
        plants_dkh=estimate_of(*plants, "dkh"),
        stone_dkh=estimate_of(*stone, "dkh"),
        soil_dkh_day=soil,
        limestone_end_kh_dkh=Estimate(end_point, "dkh", 0.9 * end_point, 1.1 * end_point, Basis.PROPAGATED),
        # At a pH that is held, CO2 goes with KH.
        co2_at_same_ph_mg_l=estimate_of(q.co2_mg_l * end / q.kh_dkh, q.co2_mg_l * ends / q.kh_dkh, "mg_l"),
        trail=make_trail([], inputs=None),
    )
    _findings(q, answer, notes)
    trail = make_trail(
        notes.equations,
        inputs=dataclasses.asdict(question),
        assumptions=notes.assumptions,
        findings=notes.findings,
    )
    return dataclasses.replace(answer, trail=trail)


def _like(estimate: Estimate, draws: Draws) -> Array:
    return estimate.value + draws.normal(0.0, (estimate.high - estimate.low) / 3.29)


def _bacteria(q: DriftQuestion, draws: Draws, notes: Notes) -> tuple[float, Array]:
    """KH taken by nitrification of food and of dosed ammonium, given back where nitrate goes as gas."""
    notes.ran(nitrogen_alk_meq_l)
    if q.food_g_day > 0.0:
        notes.took("Nitrogen in dry food", "6.4 %, x/÷ 1.3")
    from_food = 1000.0 * FOOD_NITROGEN_FRAC * q.food_g_day * q.days_days / q.volume_l
    gas = q.denitrified_mg_l * NITROGEN_IN_NITRATE

    def sum_dkh(food_mg_l: Array | float) -> Array:
        parts = nitrogen_alk_meq_l(food_mg_l, -1.0) + nitrogen_alk_meq_l(q.ammonium_n_mg_l, -2.0)
        return (parts + nitrogen_alk_meq_l(gas, 1.0)) / DKH_MEQ_L

    return float(sum_dkh(from_food)), sum_dkh(from_food * np.exp(draws.normal(0.0, 0.16)))


def _plants(q: DriftQuestion, draws: Draws, notes: Notes) -> tuple[float, Array]:
    """KH given back by plants for the nitrate they take, less what goes for potassium, calcium, magnesium."""
    taken = q.nitrate_mg_l * NITROGEN_IN_NITRATE
    share = PLANT_SHARE
    if taken > 0.0:
        notes.took(
            "Plants give back for a mole of nitrate",
            f"{share.middle_ratio} equivalents, {share.low_ratio} to {share.high_ratio}",
            share.source,
        )
    shares = draws.split(share.low_ratio, share.middle_ratio, share.high_ratio)
    middle = float(nitrogen_alk_meq_l(taken, share.middle_ratio)) / DKH_MEQ_L
    return middle, nitrogen_alk_meq_l(taken, shares) / DKH_MEQ_L


def _stone(q: DriftQuestion, draws: Draws, notes: Notes) -> tuple[tuple[float, Array], float]:
    """KH from limestone over the time, stepped, and the KH it would end at."""
    rates = stone_rates(q.water_c)
    notes.ran(*KNOWN_IONS_EQUATIONS, alkalinity_at_co2_meq_l, calcite_log10, calcite_saturation_log10)
    notes.ran(stone_first_log10, stone_second_log10, stone_third_log10, stone_meq_l_h)
    start = q.kh_dkh * DKH_MEQ_L
    calcium = q.ca_mg_l / 40.078
    level = q.co2_mg_l / CO2_G_MOL
    # Speciate a row of alkalinities once; every meq/L the stone gives brings half a mmol/L of calcium.
    row = start + np.linspace(0.0, max(8.0 - start, 2.0), 40)
    ions = Ions(ca_mmol_l=calcium + 0.5 * (row - start), na_mmol_l=max(start - 2 * calcium, 0.0))  # type: ignore[arg-type]
    water, shared = ionic_water(
        lambda constants: from_co2_and_alk(level, row, constants=constants), ions, water_c=q.water_c
    )
    index = calcite_saturation_log10(water.ca_activity_mol_kg, water.co3_activity_mol_kg, water_c=q.water_c)
    speed = stone_meq_l_h(
        shared.ph,
        level,
        saturation_log10=index,
        rates=rates,
        stone_m2_l_ratio=q.stone_m2 / q.volume_l,
    )
    low, middle, high = STONE_SHARE
    if q.stone_m2 > 0.0:
        notes.took(
            "Of what bare calcite gives, for biofilm and impurity", "0.15 to 1, middle 0.5", "judgement"
        )
    shares = draws.split(low, middle, high)
    full = float(np.interp(0.0, index, row)) / DKH_MEQ_L
    return (float(_crept(q, middle, row, speed)), _crept(q, shares, row, speed)), full


def _crept(q: DriftQuestion, share: Array | float, row: Array, speed: Array) -> Array:
    hours = 24.0 * q.days_days / STEPS
    alk = np.full(np.shape(share), row[0])
    for _ in range(STEPS):
        alk = alk + hours * np.asarray(share) * np.maximum(np.interp(alk, row, speed), 0.0)
    grown: Array = (alk - row[0]) / DKH_MEQ_L
    return grown


def _soil(q: DriftQuestion) -> Estimate | None:
    if not q.kh_log.strip():
        return None
    days, read = [], []
    for entry in q.kh_log.replace(",", " ").split():
        day, _, kh = entry.partition(":")
        try:
            days.append(float(day))
            read.append(float(kh))
        except ValueError as wrong:
            raise InputError(
                [
                    Fault(
                        "--kh-log", entry, "must be a day and a KH such as 4:3.5", 'For example "0:5 4:4 8:3"'
                    )
                ]
            ) from wrong
    return fitted_kh_drift(days, read, step_dkh=q.log_step_dkh).drift_dkh_day


def _findings(q: DriftQuestion, answer: DriftAnswer, notes: Notes) -> None:
    change = answer.end_kh_dkh.value / q.kh_dkh
    if abs(change - 1.0) > 0.1:
        held = show(answer.co2_at_same_ph_mg_l.value, "mg_l")
        notes.found(
            Level.CARE if change > 1.3 else Level.NOTE,
            f"A pH controller left at its set point would hold {held} at the end, where it holds "
            f"{show(q.co2_mg_l, 'mg_l')} now: at one pH the CO2 goes with KH. Read KH and set it "
            "anew. A drop checker is not moved by this.",
            "co2",
        )
    if q.stone_m2 > 0.0:
        notes.found(
            Level.CARE if answer.stone_dkh.value > 0.3 else Level.NOTE,
            f"Limestone creeps: about {show(answer.stone_dkh.value, 'dkh')} in {show(q.days_days, 'days')}, "
            "an order of magnitude only. CO2 keeps it dissolving, towards "
            f"{show(answer.limestone_end_kh_dkh.value, 'dkh')} at this level; without gas the same stone may "
            "take scale instead. Readings from pH and KH stay right as long as KH is read again.",
            "stone",
            "plummer-1978",
        )
    if answer.bacteria_dkh.value < -0.3:
        notes.found(
            Level.NOTE,
            "Bacteria that turn ammonium to nitrate take KH: 0.4 dKH for each mg/L of ammonium nitrogen. "
            "Half of it comes back where plants or denitrification take the nitrate.",
            "bacteria",
        )
    if answer.end_kh_dkh.value < 1.0:
        notes.found(
            Level.CARE,
            f"KH falls to {show(answer.end_kh_dkh.value, 'dkh')}: pH no longer tells the CO2 there, and "
            "little acid moves it far. Change water sooner or add bicarbonate.",
            "kh",
        )
    soil = answer.soil_dkh_day
    if soil is not None:
        sure = soil.high < 0.0
        notes.found(
            Level.NOTE,
            f"The log says {number_text(soil.value, 2)} dKH a day ({number_text(soil.low, 2)} to "
            f"{number_text(soil.high, 2)}). "
            + (
                "An acid or ion-exchanging soil does that until it is spent." if sure else "That may be none."
            ),
            "soil",
        )
