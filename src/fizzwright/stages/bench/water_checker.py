"""The sum `checker`: what colour a drop checker shows at a CO2, or what CO2 a colour stands for."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from fizzwright.engines.water.activity import debye_huckel_a_factor
from fizzwright.engines.water.carbonate import CONDITIONAL_EQUATIONS, alkalinity_at_co2_meq_l, ph_from_co2
from fizzwright.engines.water.colour import (
    colour_matching_factor,
    daylight_factor,
    hue_deg,
    linear_srgb_factor,
    srgb_hex,
    srgb_hue_deg,
    tristimulus_factor,
)
from fizzwright.engines.water.constants import kh_plummer_log10
from fizzwright.engines.water.indicator import (
    CHECKER_PK,
    HueScale,
    bromothymol_absorbance_log10,
    bromothymol_pk_log10,
    checker_lag_h,
    dye_base_frac,
    dye_tristimulus_factor,
    hue_scale,
)
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.inference.fusion import CheckerReading, Readings, estimated
from fizzwright.inference.fusion_likelihood import likelihood_equations
from fizzwright.inference.fusion_water import grid_equations
from fizzwright.result import Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_bands import estimate_of
from fizzwright.stages.bench.water_co2_question import COLOUR_ERROR_DEG, COLOUR_HUES_DEG, CheckerColour
from fizzwright.stages.bench.water_draws import Array, Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import DKH_MEQ_L, show

__all__ = ["CheckerAnswer", "CheckerQuestion", "DyeStrength", "checker"]

# What people call green, as hues.
GREEN_FROM_DEG, GREEN_TO_DEG = 165.0, 120.0


class DyeStrength(StrEnum):
    """How deep the colour of the checker is."""

    PALE = "pale"
    USUAL = "usual"
    STRONG = "strong"


DYE_MOL_L = {DyeStrength.PALE: 3.0e-5, DyeStrength.USUAL: 6.0e-5, DyeStrength.STRONG: 1.0e-4}


@dataclass(frozen=True)
class CheckerQuestion:
    """A checker with a CO2 to show, or with a colour to read."""

    water_c: float = asked(
        "--temp", "water temperature", low=0.5, high=40.0, why="the constants hold for 0 to 40 °C"
    )
    checker_kh_dkh: float = asked(
        "--checker-kh", "KH of the water in the checker", low=0.5, high=15.0, default=4.0
    )
    co2_mg_l: float | None = asked("--co2", "dissolved CO2 of the tank", low=0.2, high=300.0, default=None)
    seen_hue_deg: float | None = asked(
        "--hue", "CIELAB hue seen: 90 yellow, 140 green, 200 blue-green", low=60.0, high=300.0, default=None
    )
    colour: CheckerColour | None = asked("--colour", "colour seen, in a word", default=None)
    photo: str = asked("--photo", "colour picked from a photograph on white, such as #7da23c", default="")
    second_kh_dkh: float | None = asked(
        "--second-kh", "KH of the water in a second checker", low=0.5, high=15.0, default=None
    )
    second_hue_deg: float | None = asked(
        "--second-hue", "hue of the second checker", low=60.0, high=300.0, default=None
    )
    dye: DyeStrength = asked("--dye", "how deep the colour is", default=DyeStrength.USUAL)
    indicator_cm: float = asked("--indicator-depth", "depth of the liquid", low=0.1, high=3.0, default=0.5)
    air_gap_cm: float = asked("--air-gap", "air between mouth and liquid", low=0.1, high=10.0, default=1.0)
    film_cm: float = asked(
        "--film", "still water at its mouth, flooded neck too", low=0.0, high=3.0, default=0.075
    )


@dataclass(frozen=True)
class CheckerAnswer:
    """What the checker shows. `co2_mg_l` is read back from a colour, `ph` belongs to the checker's water."""

    co2_mg_l: Estimate | None
    ph: Estimate
    hue_deg: Estimate
    srgb: str
    green_from_mg_l: Estimate
    green_to_mg_l: Estimate
    lag_h: Estimate
    trail: Trail


def checker(question: CheckerQuestion) -> CheckerAnswer:
    """What colour a drop checker shows at a CO2, or what CO2 its colour stands for, and how late.

    The tank's own KH, phosphate and tannins do not enter; the KH of the water in the checker does, one
    for one. Raises InputError for inputs out of range, or without a CO2 or a colour.
    """
    check(question)
    seen, error_deg = _seen(question)
    notes = Notes()
    draws = Draws()
    dye = DYE_MOL_L[question.dye]
    scale = hue_scale(dye, path_cm=1.0)
    pk, pks = _pk(question, draws)
    khs = question.checker_kh_dkh * draws.normal(1.0, 0.05)
    read_back = None
    level, levels = question.co2_mg_l or 0.0, np.full_like(pks, question.co2_mg_l or 0.0)
    if seen is not None:
        read_back, levels = _read_back(question, seen, error_deg, draws, notes)
        level = read_back.value
    ph = float(_ph(level, question.checker_kh_dkh, question.water_c))
    phs = _ph(levels, khs, question.water_c)
    share = dye_base_frac(ph, pk)
    shown_hue = seen if seen is not None else float(scale.hue_at_deg(ph - pk))
    hues = draws.normal(seen, error_deg) if seen is not None else scale.hue_at_deg(phs - pks)
    lag = checker_lag_h(
        question.indicator_cm, question.film_cm, air_gap_cm=question.air_gap_cm, water_c=question.water_c
    )
    _note_run(question, notes)
    answer = CheckerAnswer(
        co2_mg_l=read_back,
        ph=estimate_of(ph, phs, "ph"),
        hue_deg=estimate_of(shown_hue, hues, "deg"),
        srgb=srgb_hex(dye_tristimulus_factor(share, dye, path_cm=1.0)),
        green_from_mg_l=_green(GREEN_FROM_DEG, scale, question, (pk, pks, khs)),
        green_to_mg_l=_green(GREEN_TO_DEG, scale, question, (pk, pks, khs)),
        lag_h=estimate_of(lag, float(lag) * draws.split(0.3, 0.8, 1.3), "h"),
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


def _seen(question: CheckerQuestion) -> tuple[float | None, float]:
    """The hue seen, however it was given, and its standard deviation."""
    given = [question.co2_mg_l, question.seen_hue_deg, question.colour, question.photo or None]
    if sum(g is not None for g in given) != 1:
        raise InputError(
            [
                Fault(
                    "--co2",
                    "",
                    "give one of --co2, --hue, --colour and --photo",
                    'For example --co2 "20 mg/L"',
                )
            ]
        )
    if question.photo:
        try:
            return srgb_hue_deg(question.photo), 12.0
        except ValueError as wrong:
            raise InputError([Fault("--photo", question.photo, "six hex digits such as #7da23c")]) from wrong
    if question.colour is not None:
        return COLOUR_HUES_DEG[question.colour], COLOUR_ERROR_DEG
    return question.seen_hue_deg, 10.0


def _pk(question: CheckerQuestion, draws: Draws) -> tuple[float, Array]:
    """The working pK in this checker's water, and what it may be."""
    strength = 1e-3 * question.checker_kh_dkh * DKH_MEQ_L
    slope = debye_huckel_a_factor(question.water_c)
    pk = float(bromothymol_pk_log10(strength, CHECKER_PK.zero_salt_log10, slope_factor=slope))
    return pk, draws.normal(pk, CHECKER_PK.deviation_log10)


def _ph(co2_mg_l: Array | float, kh_dkh: Array | float, water_c: float) -> Array:
    alk = np.asarray(kh_dkh) * DKH_MEQ_L
    return ph_from_co2(co2_mg_l, alk, water_c=water_c, ionic_strength_mol_l=1e-3 * alk)


def _read_back(
    question: CheckerQuestion, seen_deg: float, error_deg: float, draws: Draws, notes: Notes
) -> tuple[Estimate, Array]:
    """CO2 from one colour or two."""
    checkers = [CheckerReading(seen_deg, error_deg, question.checker_kh_dkh)]
    if question.second_hue_deg is not None:
        checkers.append(CheckerReading(question.second_hue_deg, error_deg, question.second_kh_dkh or 6.0))
    readings = Readings(water_c=question.water_c, checkers=tuple(checkers))
    level, _ = estimated(readings)
    notes.ran(*grid_equations(readings), *likelihood_equations(readings))
    return level, draws.skewed(level.low, level.value, level.high)


def _green(
    at_deg: float, scale: HueScale, question: CheckerQuestion, pk_pks_khs: tuple[float, Array, Array]
) -> Estimate:
    """The CO2 at which the colour crosses a hue; at these pH all alkalinity is bicarbonate."""
    pk, pks, khs = pk_pks_khs
    over = float(scale.over_pk_at_ph(at_deg))
    at_ten = float(_ph(10.0, question.checker_kh_dkh, question.water_c))
    level = 10.0 * 10.0 ** (at_ten - (pk + over))
    levels = level * 10.0 ** (pk - pks) * khs / question.checker_kh_dkh
    return estimate_of(level, levels, "mg_l")


def _note_run(question: CheckerQuestion, notes: Notes) -> None:
    notes.ran(*CONDITIONAL_EQUATIONS, alkalinity_at_co2_meq_l, bromothymol_pk_log10, dye_base_frac)
    notes.ran(bromothymol_absorbance_log10, colour_matching_factor, daylight_factor, tristimulus_factor)
    notes.ran(hue_deg, linear_srgb_factor, checker_lag_h, kh_plummer_log10)
    notes.took("Bromothymol blue, half blue at", "pH 7.25 ± 0.13 (90 %)", CHECKER_PK.source)
    notes.took("The bands of the dye", "two forms", "bromothymol-spectrum")
    notes.took("KH of the water in the checker, one standard deviation", "5 %")
    notes.took(
        "Convection in the liquid makes it 0.3 to 1.3 of the lag of a still one", "judged", "checker-lag"
    )
    if question.checker_kh_dkh == 4.0:
        notes.took("KH of the water in the checker", "4 dKH")


def _findings(question: CheckerQuestion, answer: CheckerAnswer, notes: Notes) -> None:
    low, high = answer.green_from_mg_l, answer.green_to_mg_l
    notes.found(
        Level.NOTE,
        f"Green runs from about {show(low.value, 'mg_l')} to {show(high.value, 'mg_l')} with this water, and "
        f"either end may be {100 * (high.high / high.value - 1):.0f} % off. The dye turns at a pH that is "
        "known to a tenth. Half the KH in the checker makes green half the CO2.",
        "checker",
        CHECKER_PK.source,
    )
    notes.found(
        Level.NOTE,
        f"It runs {show(answer.lag_h.value, 'h')} behind the tank or so: the still liquid in it is what "
        "takes time, not the air gap. Read it as the level of the last hours, never as an alarm.",
        "lag",
        "checker-lag",
    )
    notes.found(
        Level.NOTE,
        "To test it: hold it open in room air and swing it for two minutes, and it must turn blue; breathe "
        "into it, and it must turn yellow. Refill it monthly with fresh KH water and dye, and whenever tank "
        "water has got in.",
        "reset",
    )
    if question.second_hue_deg is None and answer.co2_mg_l is not None:
        notes.found(
            Level.NOTE,
            "Two checkers with 3 and 6 dKH water bracket the level: the 3 dKH one turns green at half the "
            "CO2 of the other. Give the second with --second-kh and --second-hue.",
            "second",
        )
    hue = answer.hue_deg.value
    if answer.co2_mg_l is not None and hue > 205.0:
        notes.found(
            Level.NOTE,
            "Blue says only that there is little CO2: below about 5 mg/L the colour hardly changes.",
            "checker",
        )
    if answer.co2_mg_l is not None and hue < 112.0:
        notes.found(
            Level.CARE,
            "Yellow has no upper end: it may be 60 mg/L or 200. Watch the animals, turn the gas down and "
            "move the surface now, then read pH.",
            "checker",
        )
