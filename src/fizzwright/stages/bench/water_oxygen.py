"""The sum `oxygen`: what the air leaves of oxygen and nitrogen in the water, and where a reading stands."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.gases import (
    N2_EQUATIONS,
    O2_EQUATIONS,
    n2_saturation_mg_l,
    o2_saturation_mg_l,
)
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_draws import Array, Draws, limits
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import show

__all__ = ["OxygenAnswer", "OxygenQuestion", "oxygen"]

WEATHER_SD_FRAC = 0.018
# The fit itself, one standard deviation as a share.
FIT_SD_FRAC = 0.001


@dataclass(frozen=True)
class OxygenQuestion:
    """Water and height; a reading too, where there is one."""

    water_c: float = asked(
        "--temp", "water temperature", low=0.0, high=40.0, why="the solubility holds for 0 to 40 °C"
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=5000.0, default=0.0)
    read_mg_l: float | None = asked("--o2", "oxygen as read in the tank", low=0.0, high=40.0, default=None)
    error_c: float = asked(
        "--temp-error", "one standard deviation of the temperature, in °C", low=0.0, high=5.0, default=0.5
    )
    read_error_mg_l: float = asked(
        "--o2-error", "one standard deviation of the oxygen reading", low=0.0, high=5.0, default=0.2
    )


@dataclass(frozen=True)
class OxygenAnswer:
    """Saturation with air; `saturation_frac` is None where no reading was given."""

    o2_mg_l: Estimate
    n2_mg_l: Estimate
    saturation_frac: Estimate | None
    trail: Trail


def oxygen(question: OxygenQuestion) -> OxygenAnswer:
    """Oxygen that air leaves in fresh water, and how full of it a tank is.

    The band covers the weather, the temperature and, for a reading, the meter. Raises InputError for
    inputs out of range.
    """
    check(question)
    notes = Notes()
    draws = Draws()
    warmth = np.clip(draws.normal(question.water_c, question.error_c), 0.0, 40.0)
    weather = draws.normal(1.0, WEATHER_SD_FRAC) * draws.normal(1.0, FIT_SD_FRAC)
    height = question.altitude_m
    full = float(o2_saturation_mg_l(question.water_c, altitude_m=height))
    fulls = weather * o2_saturation_mg_l(warmth, altitude_m=height)
    nitrogen = float(n2_saturation_mg_l(question.water_c, altitude_m=height))
    nitrogens = weather * n2_saturation_mg_l(warmth, altitude_m=height)
    notes.ran(*O2_EQUATIONS, *N2_EQUATIONS)
    notes.took("Weather moves the air pressure by 3 % (90 %)", "1.8 % standard deviation")
    if height == 0.0:
        notes.took("Height over the sea is not given", "0 m")
    if question.error_c == 0.5:
        notes.took("Doubt of the temperature, one standard deviation", "0.5 °C")
    if question.read_mg_l is not None and question.read_error_mg_l == 0.2:
        notes.took("Doubt of the oxygen reading, one standard deviation", "0.2 mg/L")
    share = None
    if question.read_mg_l is not None:
        read = np.maximum(draws.normal(question.read_mg_l, question.read_error_mg_l), 0.0)
        share = _estimate(question.read_mg_l / full, read / fulls, "frac")
    _findings(question, full, share, notes=notes)
    return OxygenAnswer(
        o2_mg_l=_estimate(full, fulls, "mg_l"),
        n2_mg_l=_estimate(nitrogen, nitrogens, "mg_l"),
        saturation_frac=share,
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _estimate(value: float, draws: Array, unit: str) -> Estimate:
    low, high = limits(draws)
    return Estimate(value, unit, min(low, value), max(high, value), Basis.PROPAGATED)


def _findings(question: OxygenQuestion, full_mg_l: float, share: Estimate | None, *, notes: Notes) -> None:
    notes.found(
        Level.NOTE,
        "Some older tables print about 1 % more, such as 8.38 mg/L at 25 °C; meters and water laboratories "
        "now use the figures given here.",
        "oxygen",
        "benson-krause-1984",
    )
    if question.water_c > 30.0:
        notes.found(
            Level.NOTE,
            f"At {show(question.water_c, 'c')} the nitrogen fit is carried past the 30 °C it was made for, "
            "and animals breathe harder while the water holds less.",
            "temp",
            "hamme-emerson-2004",
        )
    if question.altitude_m >= 500.0:
        sea_level = full_mg_l / float(o2_saturation_mg_l(question.water_c))
        notes.found(
            Level.NOTE,
            f"At {show(question.altitude_m, 'm')} water holds {100 * sea_level:.0f} % of what it does at the "
            "sea. A meter must be calibrated at this height.",
            "altitude",
            "standard-atmosphere-1976",
        )
    if share is None or question.read_mg_l is None:
        return
    if question.read_mg_l < 5.0:
        notes.found(
            Level.CARE,
            f"{show(question.read_mg_l, 'mg_l')} is little for most tank animals, less still beside raised "
            "CO2. Move the surface or run an air stone now, turn the gas off, and look for what uses the "
            "oxygen.",
            "oxygen",
        )
    if share.value > 1.15:
        notes.found(
            Level.NOTE,
            f"The water is at {100 * share.value:.0f} % of saturation. Plants in strong light do that; "
            "without them, check the meter, or a pump that draws in air.",
            "oxygen",
        )
