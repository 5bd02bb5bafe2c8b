"""The sum `drop`: CO2 from how far the tank's pH stands below that of the same water with a known CO2."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.aired import DROP_EQUATIONS, co2_after_drop_mg_l
from fizzwright.engines.water.airing import (
    AIRING_PRIORS,
    AiringWay,
    Glass,
    airing_curve,
    airing_elapsed_h,
    hours_to_within_h,
    short_of_settled_ph,
)
from fizzwright.engines.water.carbonate import alk_from_ph_co2_meq_l, ph_from_co2
from fizzwright.engines.water.gases import CO2_AIR_EQUATIONS, ROOM_AIR, co2_air_equilibrium_mg_l
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_bands import estimate_of
from fizzwright.stages.bench.water_draws import Array, Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["DropAnswer", "DropQuestion", "drop"]

METER_PPM, METER_FRAC = 50.0, 0.03
TARGET_MG_L = 30.0
RULE_BASELINE_MG_L = 3.0
STRENGTH_MOL_L = 0.003


@dataclass(frozen=True)
class DropQuestion:
    """Two readings of one probe: the water with a CO2 that is known, and the tank now."""

    settled_ph: float = asked(
        "--degassed-ph", "pH of the aired sample, or of the tank before its gas", low=4.0, high=10.5
    )
    ph: float = asked("--ph", "pH of the tank now, same probe", low=4.0, high=10.0)
    water_c: float = asked(
        "--temp", "water temperature of both", low=0.5, high=40.0, why="the constants hold for 0 to 40 °C"
    )
    room_co2_ppm: float | None = asked(
        "--room-co2", "CO2 of the air the sample was aired with", low=200.0, high=20000.0, default=None
    )
    baseline_co2_mg_l: float | None = asked(
        "--baseline-co2", "CO2 of the first reading, where it was not aired", low=0.2, high=60.0, default=None
    )
    baseline_error_factor: float = asked(
        "--baseline-factor", "one standard deviation of that CO2, as a factor", low=1.0, high=4.0, default=1.4
    )
    kh_dkh: float | None = asked(
        "--kh", "KH as the kit reads it, to check the sample by", low=0.05, high=40.0, default=None
    )
    aired_way: AiringWay = asked("--aired-way", "how the sample was aired", default=AiringWay.BUBBLED)
    aired_h: float | None = asked(
        "--aired-hours", "how long, where its pH was still moving", low=0.02, high=240.0, default=None
    )
    depth_cm: float = asked(
        "--aired-depth", "depth of the sample in its glass", low=0.5, high=40.0, default=5.0
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=5000.0, default=0.0)
    error_ph: float = asked(
        "--ph-error",
        "one standard deviation of each reading, offset left out",
        low=0.0,
        high=0.3,
        default=0.02,
    )


@dataclass(frozen=True)
class DropAnswer:
    """CO2 now, the CO2 it was counted from, and the drop that makes 30 mg/L in this room."""

    co2_mg_l: Estimate
    baseline_co2_mg_l: Estimate
    carbonate_kh_dkh: Estimate
    drop_for_30mg_ph: Estimate
    trade_rule_mg_l: Estimate
    trail: Trail


def drop(question: DropQuestion) -> DropAnswer:
    """CO2 from how far the pH stands below that of the same water with a known CO2.

    Alkalinity, what a kit counts beside it, and the probe's offset all cancel; what does not is the CO2
    of the first reading. Raises InputError for inputs out of range, or where the first reading is lower.
    """
    check(question)
    if question.settled_ph <= question.ph:
        raise InputError(
            [
                Fault(
                    "--degassed-ph",
                    f"{question.settled_ph:.2f}",
                    f"must lie over the tank's {question.ph:.2f}, since airing takes CO2 out",
                    "Read both again with the same probe.",
                )
            ]
        )
    notes = Notes()
    draws = Draws()
    base, bases = _baseline(question, draws, notes)
    short = _short(question, base, draws, notes)
    water = {"water_c": question.water_c, "ionic_strength_mol_l": STRENGTH_MOL_L}
    settled = draws.normal(question.settled_ph, question.error_ph) + short
    slope = draws.normal(1.0, 0.02)
    now = settled - slope * (settled - short - draws.normal(question.ph, question.error_ph)) - short
    level = co2_after_drop_mg_l(
        question.settled_ph + float(np.median(short)), question.ph, baseline_co2_mg_l=base, **water
    )
    levels = co2_after_drop_mg_l(settled, now, baseline_co2_mg_l=bases, **water)
    alk = alk_from_ph_co2_meq_l(question.settled_ph + float(np.median(short)), base, **water)
    alks = alk_from_ph_co2_meq_l(settled, bases, **water)
    needed = _needed_ph(float(alk), base, water)
    notes.ran(*DROP_EQUATIONS)
    notes.took("Ionic strength, which hardly matters to a difference", "3 mmol/L", "griffin-jurinak-1973")
    notes.took("Slope of the electrode, one standard deviation", "2 %")
    rule = RULE_BASELINE_MG_L * 10.0 ** (question.settled_ph - question.ph)
    answer = DropAnswer(
        co2_mg_l=estimate_of(level, levels, "mg_l"),
        baseline_co2_mg_l=estimate_of(base, bases, "mg_l"),
        carbonate_kh_dkh=estimate_of(alk / DKH_MEQ_L, alks / DKH_MEQ_L, "dkh"),
        drop_for_30mg_ph=estimate_of(needed, needed - np.log10(bases / base), "ph"),
        trade_rule_mg_l=Estimate.exact(rule, "mg_l", Basis.JUDGEMENT),
        trail=make_trail([], inputs=None),
    )
    _findings(question, answer, notes)
    trail = make_trail(
        notes.equations,
        inputs=dataclasses.asdict(question),
        assumptions=notes.assumptions,
        findings=notes.findings,
    )
    return dataclasses.replace(answer, trail=trail)


def _baseline(question: DropQuestion, draws: Draws, notes: Notes) -> tuple[float, Array]:
    """CO2 of the first reading: said, or what the air leaves."""
    if question.baseline_co2_mg_l is not None:
        spread = np.log(question.baseline_error_factor)
        return question.baseline_co2_mg_l, question.baseline_co2_mg_l * np.exp(draws.normal(0.0, spread))
    notes.ran(*CO2_AIR_EQUATIONS)
    if question.room_co2_ppm is None:
        notes.took(
            "The room's CO2 is not given; lived-in rooms",
            f"{show(ROOM_AIR.low_ppm, 'ppm')} to {show(ROOM_AIR.high_ppm, 'ppm')} (90 %)",
            ROOM_AIR.source,
        )
        room = ROOM_AIR.median_ppm
        rooms = draws.skewed(ROOM_AIR.low_ppm, ROOM_AIR.median_ppm, ROOM_AIR.high_ppm)
    else:
        room = question.room_co2_ppm
        error = float(np.hypot(METER_PPM, METER_FRAC * room))
        rooms = np.maximum(draws.normal(room, error), 150.0)
        notes.took("Doubt of the room meter, one standard deviation", show(error, "ppm"))
    height = question.altitude_m
    level = float(co2_air_equilibrium_mg_l(question.water_c, room, altitude_m=height))
    return level, co2_air_equilibrium_mg_l(question.water_c, rooms, altitude_m=height)


def _short(question: DropQuestion, base_mg_l: float, draws: Draws, notes: Notes) -> Array:
    """How far below its end the aired sample may still be; nil where the first reading was not aired."""
    if question.baseline_co2_mg_l is not None:
        return np.zeros_like(draws.even(0.0, 1.0))
    if question.aired_h is None:
        notes.took(
            "The aired sample's pH had stopped moving", "at most 0.05 pH short", "airing-with-buffering"
        )
        return draws.even(0.0, 0.05)
    prior = AIRING_PRIORS[question.aired_way]
    notes.ran(airing_elapsed_h)
    notes.took(
        f"Transfer velocity of a sample {prior.said}",
        f"{prior.median_cm_h:g} cm/h, {prior.low_cm_h:g} to {prior.high_cm_h:g} cm/h (90 %)",
        prior.source,
    )
    velocities = draws.skewed(prior.low_cm_h, prior.median_cm_h, prior.high_cm_h)
    kh = question.kh_dkh if question.kh_dkh is not None else _guessed_dkh(question, base_mg_l)
    glass = Glass(question.depth_cm, 1.0, question.water_c, STRENGTH_MOL_L, base_mg_l)
    curve = airing_curve(25.0, kh * DKH_MEQ_L, glass=glass)
    reached = np.interp(question.aired_h * velocities, curve.elapsed_h, curve.ph)
    median = dataclasses.replace(glass, velocity_cm_h=prior.median_cm_h)
    done = airing_curve(25.0, kh * DKH_MEQ_L, glass=median)
    left = short_of_settled_ph(done, question.aired_h)
    if left > 0.03:
        notes.found(
            Level.CARE,
            f"Not really aired: after {show(question.aired_h, 'h')} a sample {prior.said}, "
            f"{show(question.depth_cm, 'cm')} deep, is still about {number_text(left, 2)} pH low at this KH; "
            f"it needs about {show(hours_to_within_h(done, 0.02), 'h')}. The sum allows for it, widely. "
            "Bubble room air through it, wait five minutes and read again.",
            "aired-ph",
            "airing-with-buffering",
        )
    result: Array = np.maximum(float(curve.settled_ph) - reached, 0.0)
    return result


def _guessed_dkh(question: DropQuestion, base_mg_l: float) -> float:
    alk = alk_from_ph_co2_meq_l(
        question.settled_ph, base_mg_l, water_c=question.water_c, ionic_strength_mol_l=STRENGTH_MOL_L
    )
    return max(float(alk) / DKH_MEQ_L, 0.1)


def _needed_ph(alk_meq_l: float, base_mg_l: float, water: dict[str, float]) -> float:
    first = ph_from_co2(base_mg_l, alk_meq_l, **water)
    return float(first - ph_from_co2(TARGET_MG_L, alk_meq_l, **water))


def _findings(question: DropQuestion, answer: DropAnswer, notes: Notes) -> None:
    base, rule = answer.baseline_co2_mg_l.value, answer.trade_rule_mg_l.value
    level = answer.co2_mg_l.value
    side = "over" if rule > level else "under"
    notes.found(
        Level.CARE if max(rule / level, level / rule) > 1.3 else Level.NOTE,
        "The trade's rule that one pH below degassed is 30 mg/L takes 3 mg/L for granted at the first "
        f"reading. Here it was {show(base, 'mg_l')}, so the rule reads {show(rule, 'mg_l')} where there is "
        f"{show(level, 'mg_l')}: {side} by a factor of {number_text(max(rule / level, level / rule), 2)}. "
        f"In this water a drop of {number_text(answer.drop_for_30mg_ph.value, 3)} pH makes 30 mg/L.",
        "baseline",
    )
    if question.baseline_co2_mg_l is not None:
        notes.found(
            Level.CARE,
            "A tank before its gas is not degassed: animals and filter hold it at 2 to 6 mg/L, and at 6 a "
            "drop of one pH is 60 mg/L, the dangerous direction. Air a sample of it with a room meter beside "
            "it once, and the level is known.",
            "baseline",
        )
    elif question.room_co2_ppm is None:
        notes.found(
            Level.CARE,
            "The room's CO2 is guessed, and the answer goes with it one for one. A room meter beside the "
            "sample settles it.",
            "room-co2",
            ROOM_AIR.source,
        )
    kh = answer.carbonate_kh_dkh
    if question.kh_dkh is not None and question.kh_dkh > 1.15 * kh.high:
        notes.found(
            Level.CARE,
            f"The kit reads {show(question.kh_dkh, 'dkh')}, the aired sample says {show(kh.value, 'dkh')}. "
            "Either the sample is not really aired, and the CO2 is higher than given here, or phosphate or "
            "tannins count in the kit.",
            "kh",
        )
    if level >= 40.0:
        notes.found(
            Level.CARE,
            f"{show(level, 'mg_l')} is over what most animals of a planted tank are started at. Watch them, "
            "turn the gas down and move the surface while you check the reading.",
            "co2",
        )
