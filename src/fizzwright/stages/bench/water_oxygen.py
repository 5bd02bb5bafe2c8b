"""The sum `oxygen`: what the air leaves of oxygen and nitrogen in the water, and where a reading stands."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.gas_pressure import (
    co2_pressure_atm,
    depth_pressure_atm,
    o2_to_bubble_frac,
    total_gas_atm,
)
from fizzwright.engines.water.gases import (
    N2_EQUATIONS,
    O2_EQUATIONS,
    k0_volumetric_weiss_log10,
    n2_saturation_mg_l,
    o2_saturation_mg_l,
    pressure_isa_atm,
    vapour_weiss_price_atm,
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
    n2_share_frac: float = asked(
        "--n2-saturation", "nitrogen over its saturation with air", low=0.5, high=2.0, default=1.0
    )
    co2_mg_l: float = asked("--co2", "dissolved CO2, for the gas pressure", low=0.0, high=200.0, default=0.0)
    depth_m: float = asked("--depth", "depth of the leaf that pearls", low=0.0, high=3.0, default=0.3)
    read_error_mg_l: float = asked(
        "--o2-error", "one standard deviation of the oxygen reading", low=0.0, high=5.0, default=0.2
    )


@dataclass(frozen=True)
class OxygenAnswer:
    """Saturation with air, and what bubbles need; the shares are None where no reading was given.

    `total_gas_frac` is the pressure of all dissolved gases over that of the air.
    """

    o2_mg_l: Estimate
    n2_mg_l: Estimate
    saturation_frac: Estimate | None
    total_gas_frac: Estimate | None
    pearls_from_mg_l: Estimate
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
    gas, gases, pearls = _gas_side(question, share, full, draws=draws, notes=notes)
    _findings(question, full, share, notes=notes)
    _pearling(question, gas, pearls, notes=notes)
    return OxygenAnswer(
        o2_mg_l=_estimate(full, fulls, "mg_l"),
        n2_mg_l=_estimate(nitrogen, nitrogens, "mg_l"),
        saturation_frac=share,
        total_gas_frac=None if gases is None else _estimate(gas, gases, "frac"),
        pearls_from_mg_l=_estimate(pearls, pearls * weather, "mg_l"),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _gas_side(
    question: OxygenQuestion, share: Estimate | None, full_mg_l: float, *, draws: Draws, notes: Notes
) -> tuple[float, Array | None, float]:
    """Pressure of all gases over the air's, with draws, and the oxygen at which bubbles grow at the leaf."""
    air = float(pressure_isa_atm(question.altitude_m))
    vapour = float(vapour_weiss_price_atm(question.water_c))
    solubility = 10.0 ** float(k0_volumetric_weiss_log10(question.water_c))
    carbon = float(co2_pressure_atm(question.co2_mg_l, solubility))
    terms = {"dry_air_atm": air - vapour, "vapour_atm": vapour, "co2_atm": carbon}
    leaf = depth_pressure_atm(air, question.depth_m)
    pearls = full_mg_l * float(o2_to_bubble_frac(question.n2_share_frac, leaf, **terms))
    notes.ran(k0_volumetric_weiss_log10, co2_pressure_atm, depth_pressure_atm, o2_to_bubble_frac)
    notes.ran(pressure_isa_atm, vapour_weiss_price_atm)
    if question.n2_share_frac == 1.0:
        notes.took("Nitrogen stands at saturation", "100 %")
    if share is None:
        return 1.0, None, pearls
    notes.ran(total_gas_atm)
    middle = float(total_gas_atm(share.value, question.n2_share_frac, **terms)) / air
    spread = (share.high - share.low) / 3.29
    shares = np.maximum(draws.normal(share.value, spread), 0.0)
    return middle, total_gas_atm(shares, question.n2_share_frac, **terms) / air, pearls


def _pearling(question: OxygenQuestion, gas_frac: float, pearls_mg_l: float, *, notes: Notes) -> None:
    if gas_frac > 1.1:
        notes.found(
            Level.CARE,
            f"All gases together stand at {100 * gas_frac:.0f} % of the air's pressure. Over 110 % fish may "
            "get gas bubbles in fins and eyes; where no light explains it, look for a pump that sucks in air "
            "or for cold tap water that was warmed.",
            "gas",
        )
    if question.read_mg_l is not None and question.read_mg_l > 0.9 * pearls_mg_l:
        notes.found(
            Level.NOTE,
            f"Pearling: bubbles grow on a leaf {show(question.depth_m, 'm')} deep once the water at it holds "
            f"{show(pearls_mg_l, 'mg_l')} of oxygen. It proves plenty of oxygen at the leaf, not how much "
            "CO2 there is; after a water change all surfaces pearl for a while without any plant at work.",
            "pearling",
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
