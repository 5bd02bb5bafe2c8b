"""How well each node of the grid explains each reading.

pH readings share the error of the probe's calibration, so they are kept apart for each value of that
error and joined last.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.airing import (
    AIRING_PRIORS,
    Glass,
    airing_curve,
    airing_elapsed_h,
)
from fizzwright.engines.water.carbonate import ph_from_co2_given_constants
from fizzwright.engines.water.colour import (
    colour_matching_factor,
    daylight_factor,
    hue_deg,
    tristimulus_factor,
)
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    alkalinity_at_dic_meq_l,
    conditional_constants,
)
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.engines.water.gases import CO2_AIR_EQUATIONS, ROOM_AIR, co2_air_equilibrium_mg_l
from fizzwright.engines.water.indicator import (
    CHECKER_PK,
    HueScale,
    bromothymol_absorbance_log10,
    dye_base_frac,
    hue_scale,
)
from fizzwright.engines.water.kit import (
    ORGANIC_EQUATIONS,
    PHOSPHATE_EQUATIONS,
    end_point_bias_meq_l,
    minor_alkalinity,
    organic_alk_fakhraei_meq_l,
    organic_alk_hruska_meq_l,
    phosphate_alk_meq_l,
)
from fizzwright.engines.water.weak_acids import ammonium_log10, boric_log10, silicic_log10
from fizzwright.inference.fusion_readings import (
    AiredReading,
    BesideCarbonate,
    CheckerReading,
    KitKh,
    NightReading,
    Readings,
)
from fizzwright.inference.fusion_water import WaterGrid
from fizzwright.units import DKH_MEQ_L

__all__ = [
    "Beside",
    "aired_factor",
    "aired_spread_ph",
    "bell_factor",
    "beside_carbonate",
    "blunder_frac",
    "checker_factor",
    "checker_log_co2_number",
    "end_point",
    "kit_factor",
    "likelihood_equations",
    "night_factor",
    "room_co2",
]

Array = NDArray[np.float64]

PHOSPHATE_ERROR_FRAC, TINT_ERROR_FRAC, MINOR_ERROR_FRAC = 0.2, 0.4, 0.3
# Where a kit's colour turns and how much carbon is left in the vial by then, all taken alike.
END_PHS, KEPT_FRACS = (4.4, 4.7, 5.0), (0.0, 0.15, 0.4)
TITRATION_ERROR_FRAC = 0.01
METER_PPM, METER_FRAC = 50.0, 0.03
START_CO2_MG_L = 25.0
LAG_H = (1.5, 2.5, 4.0)
LEVEL_BEFORE_MG_L = 1.0
DYE_MOL_L, PATH_CM = 1.0e-4, 1.0
BLUNDER_FRAC = 0.03
# What a reading that is plain wrong may be anywhere in.
KH_RANGE_DKH, PH_RANGE, HUE_RANGE_DEG = 20.0, 3.0, 160.0
ROOT_TWO_PI = math.sqrt(2.0 * math.pi)
# What a sample whose pH has stopped moving may still be short of, four answers taken alike.
STOOD_STILL_PH = (0.0, 0.01, 0.02, 0.05)


def bell_factor(off_number: Array, deviation_number: Array | float) -> Array:
    """The height of a bell curve, never quite nil so that one impossible reading cannot stop a sum. [-]"""
    return np.exp(-0.5 * np.minimum((off_number / deviation_number) ** 2, 400.0)) / deviation_number


def _below(score: Array) -> Array:
    """Share of a standard bell curve below a score (Abramowitz & Stegun 7.1.26, to 1.5e-7)."""
    x = np.abs(score) / math.sqrt(2.0)
    t = 1.0 / (1.0 + 0.3275911 * x)
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    half = 0.5 * poly * np.exp(-x * x)
    return np.where(score > 0.0, 1.0 - half, half)


@dataclass(frozen=True)
class Beside:
    """What a kit counts beside carbonate along the pH of the grid, in all and by its doubtful parts."""

    total_meq_l: Array
    phosphate_meq_l: Array
    tint_meq_l: Array
    minor_meq_l: Array
    deviation_meq_l: Array


def beside_carbonate(beside: BesideCarbonate, ph: Array, *, water_c: float, strength_mol_l: float) -> Beside:
    """Phosphate, tannins, silicate, borate and ammonia as a kit counts them, with their doubt."""
    phosphate = tint = minor = np.zeros_like(ph)
    if beside.phosphate_mg_l > 0.0:
        phosphate = phosphate_alk_meq_l(
            beside.phosphate_mg_l, ph, water_c=water_c, ionic_strength_mol_l=strength_mol_l
        )
    if beside.tint_doc_mg_l > 0.0:
        first = organic_alk_hruska_meq_l(beside.tint_doc_mg_l, ph)
        tint = 0.5 * (first + organic_alk_fakhraei_meq_l(beside.tint_doc_mg_l, ph))
    if beside.silica_mg_l > 0.0 or beside.boron_mg_l > 0.0 or beside.ammonium_n_mg_l > 0.0:
        parts = minor_alkalinity(
            ph,
            water_c=water_c,
            silica_mg_l=beside.silica_mg_l,
            boron_mg_l=beside.boron_mg_l,
            ammonium_n_mg_l=beside.ammonium_n_mg_l,
        )
        minor = parts.silicate_meq_l + parts.borate_meq_l + parts.ammonia_meq_l
    doubt = np.sqrt(
        (PHOSPHATE_ERROR_FRAC * phosphate) ** 2
        + (TINT_ERROR_FRAC * tint) ** 2
        + (MINOR_ERROR_FRAC * minor) ** 2
    )
    return Beside(phosphate + tint + minor, phosphate, tint, minor, doubt)


def end_point(grid: WaterGrid) -> tuple[Array, Array]:
    """What a kit's colour turning early or late adds: mean and deviation along alkalinity. [meq/L]"""
    parts = [
        end_point_bias_meq_l(
            START_CO2_MG_L, grid.alk_meq_l, end_ph=end_ph, kept_frac=kept, constants=grid.constants
        )
        for end_ph in END_PHS
        for kept in KEPT_FRACS
    ]
    table = np.stack(parts)
    return table.mean(axis=0), table.std(axis=0)


def blunder_frac(readings: Readings) -> float:
    """How likely any one reading is plain wrong; nil where no other reading could tell. [-]"""
    routes = len(readings.kits) + len(readings.checkers)
    routes += (readings.aired is not None) + (readings.night is not None)
    return BLUNDER_FRAC if routes > 1 else 0.0


def kit_factor(kit: KitKh, grid: WaterGrid, *, beside: Beside, wrong_frac: float) -> Array:
    """How well the nodes explain a KH reading that gives limits only. [-], shape (n, m)"""
    mean, spread = end_point(grid)
    counted = (grid.alk_meq_l + mean)[:, None] + beside.total_meq_l[None, :]
    doubt = np.sqrt(
        spread[:, None] ** 2
        + beside.deviation_meq_l[None, :] ** 2
        + (TITRATION_ERROR_FRAC * grid.alk_meq_l[:, None]) ** 2
    )
    inside = _below((kit.high_dkh * DKH_MEQ_L - counted) / doubt) - _below(
        (kit.low_dkh * DKH_MEQ_L - counted) / doubt
    )
    width = max(kit.high_dkh - kit.low_dkh, 0.05)
    return np.maximum((1.0 - wrong_frac) * inside + wrong_frac * width / KH_RANGE_DKH, 1e-12)


def room_co2(readings: Readings) -> tuple[float, float]:
    """The CO2 of the air used [ppm], and one standard deviation of its logarithm."""
    given = readings.room.room_co2_ppm
    if given is None:
        return ROOM_AIR.median_ppm, math.log(ROOM_AIR.high_ppm / ROOM_AIR.low_ppm) / 3.29
    return given, math.hypot(METER_PPM / given, METER_FRAC)


def aired_spread_ph(aired: AiredReading, readings: Readings) -> float:
    """What an aired pH may be off by for its noise and for the room's CO2, one standard deviation. [pH]"""
    _, room_log_sd = room_co2(readings)
    return math.hypot(aired.noise_ph, room_log_sd / math.log(10.0))


def aired_factor(aired: AiredReading, readings: Readings, *, grid: WaterGrid, offsets_ph: Array) -> Array:
    """How well an aired sample's pH is explained, for each error of the probe. [-], shape (n, offsets)"""
    ppm, _ = room_co2(readings)
    level = float(co2_air_equilibrium_mg_l(readings.water_c, ppm, altitude_m=readings.room.altitude_m))
    settled = ph_from_co2_given_constants(level / CO2_G_MOL, grid.alk_meq_l, constants=grid.constants)
    spread = aired_spread_ph(aired, readings)
    found = np.zeros((len(grid.alk_meq_l), len(offsets_ph)))
    for short in _short_ph(aired, grid, level=level, water_c=readings.water_c):
        off = aired.ph - (settled - short)[:, None] - offsets_ph[None, :]
        found += 0.25 * bell_factor(off, spread)
    wrong = blunder_frac(readings)
    return (1.0 - wrong) * found / ROOT_TWO_PI + wrong / PH_RANGE


def _short_ph(aired: AiredReading, grid: WaterGrid, *, level: float, water_c: float) -> list[Array]:
    """How far below its end a sample may still be, along alkalinity; four answers taken alike.

    A sample said to have stood still is taken to be nearly there. Otherwise its time is, worked out at a
    few alkalinities and read between; it goes with one over the transfer velocity, so one curve serves.
    """
    if aired.aired_h is None:
        return [np.full_like(grid.alk_meq_l, short) for short in STOOD_STILL_PH]
    few = np.unique(np.linspace(0, len(grid.alk_meq_l) - 1, 7).astype(int))
    glass = Glass(
        depth_cm=aired.depth_cm,
        velocity_cm_h=1.0,
        water_c=water_c,
        ionic_strength_mol_l=float(np.quantile(grid.ionic_strength_mol_l, 0.5)),
        air_co2_mg_l=level,
    )
    curve = airing_curve(START_CO2_MG_L, grid.alk_meq_l[few], glass=glass)
    prior = AIRING_PRIORS[aired.way]
    reach = math.log(prior.high_cm_h / prior.low_cm_h) / 3.29
    shorts = []
    for score in (-1.4, -0.5, 0.3, 1.3):
        passed = aired.aired_h * prior.median_cm_h * math.exp(score * reach)
        now = np.array([np.interp(passed, curve.elapsed_h[:, i], curve.ph[:, i]) for i in range(len(few))])
        short = np.maximum(curve.settled_ph - now, 0.0)
        shorts.append(np.interp(np.log(grid.alk_meq_l), np.log(grid.alk_meq_l[few]), short))
    return shorts


def night_factor(night: NightReading, grid: WaterGrid, *, offsets_ph: Array) -> Array:
    """How well a settled pH at a level known otherwise is explained. [-], shape (n, offsets)"""
    settled = ph_from_co2_given_constants(
        night.co2_mg_l / CO2_G_MOL, grid.alk_meq_l, constants=grid.constants
    )
    spread = math.hypot(night.noise_ph, math.log10(night.level_error_factor))
    return bell_factor(night.ph - settled[:, None] - offsets_ph[None, :], spread)


def checker_factor(
    checkers: tuple[CheckerReading, ...], co2_mg_l: Array, *, water_c: float, wrong_frac: float = 0.0
) -> Array:
    """How well CO2 levels explain the hues of one or more checkers filled with the same dye. [-]"""
    levels = np.geomspace(0.05, 500.0, 220)
    scale = hue_scale(DYE_MOL_L, path_cm=PATH_CM)
    liquids = [_checker_ph(checker, levels, water_c=water_c) for checker in checkers]
    found = np.zeros_like(levels)
    for score in (-1.8, -0.9, 0.0, 0.9, 1.8):
        pk = CHECKER_PK.middle_log10 + score * CHECKER_PK.deviation_log10
        joint = np.full_like(levels, math.exp(-0.5 * score**2))
        for checker, liquid in zip(checkers, liquids, strict=True):
            told = _hue_explained(checker, liquid - pk, scale) / ROOT_TWO_PI
            joint = joint * ((1.0 - wrong_frac) * told + wrong_frac / HUE_RANGE_DEG)
        found += joint
    result: Array = np.interp(np.log(np.maximum(co2_mg_l, 0.05)), np.log(levels), found / found.max())
    return result


def _checker_ph(checker: CheckerReading, levels: Array, *, water_c: float) -> Array:
    """pH of the checker's liquid for each CO2 of the tank, for lags that may apply; shape (lags, levels)."""
    alk = checker.kh_dkh * DKH_MEQ_L
    constants = conditional_constants(water_c, 1e-3 * alk)
    left = [0.0] if checker.steady_h is None else [math.exp(-checker.steady_h / lag) for lag in LAG_H]
    seen = np.stack([levels * (1.0 - behind) + behind * LEVEL_BEFORE_MG_L for behind in left])
    return ph_from_co2_given_constants(seen / CO2_G_MOL, alk, constants=constants)


def _hue_explained(checker: CheckerReading, over_pk_ph: Array, scale: HueScale) -> Array:
    """How well pH over the dye's pK explains a hue, with the doubt of the checker's own KH."""
    hue = scale.hue_at_deg(over_pk_ph)
    slope = (scale.hue_at_deg(over_pk_ph + 0.02) - hue) / 0.02
    doubt = np.hypot(checker.error_deg, slope * checker.kh_error_frac / math.log(10.0))
    result: Array = bell_factor(checker.hue_deg - hue, doubt).mean(axis=0)
    return result


def checker_log_co2_number(checker: CheckerReading, *, water_c: float) -> tuple[float, float]:
    """What one checker says alone: mean and standard deviation of the logarithm of CO2. [-]"""
    levels = np.geomspace(0.2, 300.0, 200)
    weight = checker_factor((checker,), levels, water_c=water_c)
    logs = np.log(levels)
    mean = float(np.sum(weight * logs) / np.sum(weight))
    return mean, float(np.sqrt(np.sum(weight * (logs - mean) ** 2) / np.sum(weight)))


def likelihood_equations(readings: Readings) -> list[Callable[..., Any]]:
    """What the factors of these readings run, for trails."""
    ran: list[Callable[..., Any]] = []
    beside = readings.beside
    if readings.kits:
        ran += [alkalinity_at_dic_meq_l]
    if beside.phosphate_mg_l > 0.0:
        ran += PHOSPHATE_EQUATIONS
    if beside.tint_doc_mg_l > 0.0:
        ran += ORGANIC_EQUATIONS
    if beside.silica_mg_l > 0.0 or beside.boron_mg_l > 0.0 or beside.ammonium_n_mg_l > 0.0:
        ran += [silicic_log10, boric_log10, ammonium_log10]
    if readings.aired is not None:
        ran += [*CO2_AIR_EQUATIONS, alkalinity_at_co2_meq_l]
        if readings.aired.aired_h is not None:
            ran += [airing_elapsed_h, *CONDITIONAL_EQUATIONS]
    if readings.night is not None:
        ran += [alkalinity_at_co2_meq_l]
    if readings.checkers:
        ran += [*CONDITIONAL_EQUATIONS, alkalinity_at_co2_meq_l, dye_base_frac, bromothymol_absorbance_log10]
        ran += [colour_matching_factor, daylight_factor, tristimulus_factor, hue_deg]
    return ran
