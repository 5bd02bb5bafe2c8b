"""The curves behind single sums, for whoever draws them: CO2 against pH, a checker's colours, an airing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.airing import AIRING_PRIORS, Glass, reacting_airing_curve
from fizzwright.engines.water.carbonate import co2_from_ph_mg_l, ph_from_co2
from fizzwright.engines.water.colour import srgb_hex
from fizzwright.engines.water.gases import ROOM_AIR, co2_air_equilibrium_mg_l
from fizzwright.engines.water.indicator import CHECKER_PK, dye_base_frac, dye_tristimulus_factor
from fizzwright.engines.water.ionic import ionic_strength_best
from fizzwright.errors import Fault, InputError
from fizzwright.form import check
from fizzwright.stages.bench.water_air import AirQuestion
from fizzwright.stages.bench.water_checker import DYE_MOL_L, CheckerQuestion
from fizzwright.stages.bench.water_co2 import Co2Question, co2
from fizzwright.units import DKH_MEQ_L

__all__ = ["AiringPath", "CheckerStrip", "Co2AgainstPh", "airing_path", "checker_strip", "co2_against_ph"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Co2AgainstPh:
    """CO2 of one water along pH for the KH it may have, and where the tank stands (90 %)."""

    ph: Array
    low_mg_l: Array
    middle_mg_l: Array
    high_mg_l: Array
    tank_ph: float
    tank_mg_l: tuple[float, float, float]
    carbonate_dkh: float


@dataclass(frozen=True)
class CheckerStrip:
    """The colours of a checker along CO2, for the middle and the two ends of its dye's pK."""

    co2_mg_l: Array
    early: tuple[str, ...]
    middle: tuple[str, ...]
    late: tuple[str, ...]
    checker_kh_dkh: float


@dataclass(frozen=True)
class AiringPath:
    """pH of a sample along time for a fast, a usual and a slow surface, and where it settles."""

    elapsed_h: Array
    fast_ph: Array
    middle_ph: Array
    slow_ph: Array
    settled_ph: float
    way: str


def co2_against_ph(question: Co2Question) -> Co2AgainstPh:
    """CO2 against pH about the tank's reading. Raises InputError without a pH."""
    answer = co2(question)
    if question.ph is None or answer.carbonate_kh_dkh is None:
        raise InputError([Fault("--svg", "", "this drawing needs a pH", "Give --ph as well.")])
    kh = answer.carbonate_kh_dkh
    ph = np.linspace(question.ph - 0.6, question.ph + 0.6, 61)

    def level(kh_dkh: float) -> Array:
        alk = kh_dkh * DKH_MEQ_L
        salt = ionic_strength_best(alk, ec_us_cm=question.ec_us_cm, tds_mg_l=question.tds_mg_l)
        return co2_from_ph_mg_l(
            ph, alk, water_c=question.water_c, ionic_strength_mol_l=float(salt.ionic_strength_mol_l)
        )

    found = answer.co2_mg_l
    return Co2AgainstPh(
        ph,
        level(kh.low),
        level(kh.value),
        level(kh.high),
        question.ph,
        (found.low, found.value, found.high),
        kh.value,
    )


def checker_strip(question: CheckerQuestion) -> CheckerStrip:
    """The colours of a checker from 2 to 100 mg/L."""
    check(question)
    levels = np.geomspace(2.0, 100.0, 48)
    alk = question.checker_kh_dkh * DKH_MEQ_L
    ph = ph_from_co2(levels, alk, water_c=question.water_c, ionic_strength_mol_l=1e-3 * alk)
    dye = DYE_MOL_L[question.dye]

    def colours(score: float) -> tuple[str, ...]:
        share = dye_base_frac(ph, CHECKER_PK.middle_log10 + score * CHECKER_PK.deviation_log10)
        return tuple(srgb_hex(colour) for colour in dye_tristimulus_factor(share, dye, path_cm=1.0))

    return CheckerStrip(levels, colours(1.645), colours(0.0), colours(-1.645), question.checker_kh_dkh)


def airing_path(question: AirQuestion) -> AiringPath:
    """pH of a sample along the time it is aired. Raises InputError without a KH."""
    check(question)
    if question.kh_dkh is None:
        raise InputError([Fault("--svg", "", "this drawing needs a KH", 'For example --kh "4 dKH"')])
    room = ROOM_AIR.median_ppm if question.room_co2_ppm is None else question.room_co2_ppm
    air = float(co2_air_equilibrium_mg_l(question.water_c, room, altitude_m=question.altitude_m))
    alk = question.kh_dkh * DKH_MEQ_L
    prior = AIRING_PRIORS[question.aired_way]
    curves = [
        reacting_airing_curve(
            25.0,
            alk,
            glass=Glass(question.depth_cm, velocity, question.water_c, 1.3e-3 * alk + 2e-4, air),
        )
        for velocity in (prior.high_cm_h, prior.median_cm_h, prior.low_cm_h)
    ]
    settled = float(curves[1].settled_ph)
    end = float(np.interp(settled - 0.02, curves[2].ph, curves[2].elapsed_h))
    hours = np.linspace(0.0, end, 81)
    fast, middle, slow = (np.interp(hours, curve.elapsed_h, curve.ph) for curve in curves)
    return AiringPath(hours, fast, middle, slow, settled, prior.said)
