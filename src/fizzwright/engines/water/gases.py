"""Air pressure, and what the air leaves dissolved in water: CO2, oxygen and nitrogen.

Air is given by the CO2 share of dry air; water vapour at the surface is taken as saturated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import CO2_G_MOL, density_smow_kg_m3, kelvin
from fizzwright.sources import equation

__all__ = [
    "CO2_AIR_EQUATIONS",
    "N2_EQUATIONS",
    "O2_EQUATIONS",
    "ROOM_AIR",
    "RoomAir",
    "co2_air_equilibrium_mg_l",
    "co2_fugacity_in_air_atm",
    "fugacity_weiss_factor",
    "k0_volumetric_weiss_log10",
    "k0_weiss_log10",
    "n2_hamme_emerson_mol_kg",
    "n2_saturation_mg_l",
    "o2_benson_krause_mg_l",
    "o2_pressure_factor",
    "o2_saturation_mg_l",
    "pressure_isa_atm",
    "vapour_weiss_price_atm",
]

Array = NDArray[np.float64]

LN_10 = math.log(10.0)
N2_G_MOL = 28.0134
BAR_PER_ATM = 1.01325


@dataclass(frozen=True)
class RoomAir:
    """What to expect of the CO2 in a lived-in room where nobody has measured it (90 % limits)."""

    median_ppm: float
    low_ppm: float
    high_ppm: float
    source: str


ROOM_AIR = RoomAir(700.0, 430.0, 1500.0, "indoor-air-surveys")


@equation(
    "standard-atmosphere-1976",
    where="troposphere, pressure against height",
    valid={"altitude_m": (-500.0, 11000.0)},
)
def pressure_isa_atm(altitude_m: ArrayLike) -> Array:
    """Usual air pressure at a height over the sea; weather moves it by about 3 %.

    Parameters
    ----------
    altitude_m : height over sea level [m]

    Returns
    -------
    Air pressure [atm], shape of `altitude_m`

    Examples
    --------
    >>> round(float(pressure_isa_atm(1500.0)), 4)
    0.8345
    """
    return np.asarray((1.0 - 2.25577e-5 * np.asarray(altitude_m, dtype=np.float64)) ** 5.25588)[()]


@equation("weiss-price-1980", where="eq. 10 at zero salinity", valid={"water_c": (0.0, 40.0)})
def vapour_weiss_price_atm(water_c: ArrayLike) -> Array:
    """Pressure of the water vapour right over fresh water.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Saturated vapour pressure [atm], shape of `water_c`

    Examples
    --------
    >>> round(float(vapour_weiss_price_atm(25.0)), 4)
    0.0312
    """
    hundreds = kelvin(water_c) / 100.0
    result: Array = np.exp(24.4543 - 67.4509 / hundreds - 4.8489 * np.log(hundreds))
    return result


@equation("weiss-1974", where="eq. 12 and table 1, molal, zero salinity", valid={"water_c": (0.0, 40.0)})
def k0_weiss_log10(water_c: ArrayLike) -> Array:
    """How much CO2 a kilogram of fresh water takes up for each atmosphere of CO2 fugacity.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the solubility [log10 of mol/kg/atm], shape of `water_c`

    Examples
    --------
    >>> round(float(k0_weiss_log10(25.0)), 3)
    -1.468
    """
    hundreds = kelvin(water_c) / 100.0
    natural: Array = -60.2409 + 93.4517 / hundreds + 23.3585 * np.log(hundreds)
    return natural / LN_10


@equation("weiss-1974", where="eq. 12 and table 1, volumetric, zero salinity", valid={"water_c": (0.0, 40.0)})
def k0_volumetric_weiss_log10(water_c: ArrayLike) -> Array:
    """How much CO2 a litre of fresh water takes up for each atmosphere of CO2 fugacity.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the solubility [log10 of mol/L/atm], shape of `water_c`

    Examples
    --------
    >>> round(float(k0_volumetric_weiss_log10(25.0)), 3)
    -1.469
    """
    hundreds = kelvin(water_c) / 100.0
    natural: Array = -58.0931 + 90.5069 / hundreds + 22.2940 * np.log(hundreds)
    return natural / LN_10


@equation(
    "weiss-1974",
    where="eqs. 6, 9 and 11, CO2 in air",
    valid={"water_c": (0.0, 40.0), "pressure_atm": (0.5, 10.0)},
)
def fugacity_weiss_factor(water_c: ArrayLike, *, pressure_atm: ArrayLike) -> Array:
    """How far the push of CO2 in air falls short of its partial pressure.

    Parameters
    ----------
    water_c : temperature of the gas at the surface [°C]
    pressure_atm : total air pressure [atm]

    Returns
    -------
    Fugacity over partial pressure [-], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(fugacity_weiss_factor(25.0, pressure_atm=1.0)), 4)
    0.9968
    """
    t = kelvin(water_c)
    own = -1636.75 + 12.0408 * t - 0.0327957 * t**2 + 3.16528e-5 * t**3
    cross = 57.7 - 0.118 * t
    pressure_bar = BAR_PER_ATM * np.asarray(pressure_atm, dtype=np.float64)
    result: Array = np.exp((own + 2.0 * cross) * pressure_bar / (83.1446 * t))
    return result


@equation("weiss-1974", where="eq. 8 applied to moist air", valid={"room_co2_ppm": (0.0, 20000.0)})
def co2_fugacity_in_air_atm(
    room_co2_ppm: ArrayLike, *, pressure_atm: ArrayLike, vapour_atm: ArrayLike, fugacity_factor: ArrayLike
) -> Array:
    """The push of a room's CO2 on a water surface, with the air there full of water vapour.

    Parameters
    ----------
    room_co2_ppm : CO2 share of dry air [ppm]
    pressure_atm : total air pressure [atm]
    vapour_atm : saturated vapour pressure [atm]
    fugacity_factor : fugacity over partial pressure [-]

    Returns
    -------
    CO2 fugacity [atm], shape of the inputs broadcast

    Examples
    --------
    >>> air = {"pressure_atm": 1.0, "vapour_atm": 0.0312, "fugacity_factor": 1.0}
    >>> round(float(co2_fugacity_in_air_atm(420.0, **air)), 7)
    0.0004069
    """
    dry = np.asarray(pressure_atm, dtype=np.float64) - np.asarray(vapour_atm, dtype=np.float64)
    result: Array = 1e-6 * np.asarray(room_co2_ppm, dtype=np.float64) * dry * np.asarray(fugacity_factor)
    return result


CO2_AIR_EQUATIONS: tuple[Callable[..., Any], ...] = (
    pressure_isa_atm,
    vapour_weiss_price_atm,
    k0_weiss_log10,
    fugacity_weiss_factor,
    co2_fugacity_in_air_atm,
    density_smow_kg_m3,
)


def co2_air_equilibrium_mg_l(
    water_c: ArrayLike, room_co2_ppm: ArrayLike, *, altitude_m: ArrayLike = 0.0
) -> Array:
    """The CO2 a tank settles at with no gas fed, no plants and no animals: what the room's air leaves in it.

    Parameters
    ----------
    water_c : water temperature [°C]
    room_co2_ppm : CO2 share of dry air [ppm]
    altitude_m : height over sea level [m]

    Returns
    -------
    Free CO2 [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(co2_air_equilibrium_mg_l(25.0, 420.0)), 3)
    0.606
    """
    pressure = pressure_isa_atm(altitude_m)
    fugacity = co2_fugacity_in_air_atm(
        room_co2_ppm,
        pressure_atm=pressure,
        vapour_atm=vapour_weiss_price_atm(water_c),
        fugacity_factor=fugacity_weiss_factor(water_c, pressure_atm=pressure),
    )
    molal = 10.0 ** k0_weiss_log10(water_c) * fugacity
    return CO2_G_MOL * density_smow_kg_m3(water_c) * molal


@equation("benson-krause-1984", where="mg/L form, zero salinity, 1 atm", valid={"water_c": (0.0, 40.0)})
def o2_benson_krause_mg_l(water_c: ArrayLike) -> Array:
    """Oxygen that air leaves in fresh water at sea level.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Dissolved oxygen at saturation under one atmosphere of moist air [mg/L], shape of `water_c`

    Examples
    --------
    >>> round(float(o2_benson_krause_mg_l(25.0)), 2)
    8.26
    """
    t = kelvin(water_c)
    terms = -139.34411 + 1.575701e5 / t - 6.642308e7 / t**2 + 1.243800e10 / t**3 - 8.621949e11 / t**4
    result: Array = np.exp(terms)
    return result


@equation(
    "benson-krause-1984",
    where="pressure correction with vapour pressure and second-order term",
    valid={"water_c": (0.0, 40.0), "pressure_atm": (0.5, 1.1)},
)
def o2_pressure_factor(water_c: ArrayLike, *, pressure_atm: ArrayLike) -> Array:
    """How the oxygen that air leaves in water changes with air pressure.

    Parameters
    ----------
    water_c : water temperature [°C]
    pressure_atm : total air pressure [atm]

    Returns
    -------
    Saturation over that at one atmosphere [-], shape of the inputs broadcast

    Examples
    --------
    >>> float(o2_pressure_factor(25.0, pressure_atm=1.0))
    1.0
    """
    t = kelvin(water_c)
    celsius = np.asarray(water_c, dtype=np.float64)
    pressure = np.asarray(pressure_atm, dtype=np.float64)
    vapour = np.exp(11.8571 - 3840.70 / t - 216961.0 / t**2)
    theta = 9.75e-4 - 1.426e-5 * celsius + 6.436e-8 * celsius**2
    at_pressure = pressure * (1.0 - vapour / pressure) * (1.0 - theta * pressure)
    result: Array = at_pressure / ((1.0 - vapour) * (1.0 - theta))
    return result


O2_EQUATIONS: tuple[Callable[..., Any], ...] = (pressure_isa_atm, o2_benson_krause_mg_l, o2_pressure_factor)


def o2_saturation_mg_l(water_c: ArrayLike, *, altitude_m: ArrayLike = 0.0) -> Array:
    """Oxygen that air leaves in fresh water at the tank's height over the sea.

    Parameters
    ----------
    water_c : water temperature [°C]
    altitude_m : height over sea level [m]

    Returns
    -------
    Dissolved oxygen at saturation [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(o2_saturation_mg_l(25.0, altitude_m=2000.0)), 2)
    6.43
    """
    pressure = pressure_isa_atm(altitude_m)
    return o2_benson_krause_mg_l(water_c) * o2_pressure_factor(water_c, pressure_atm=pressure)


@equation("hamme-emerson-2004", where="table 4 fit at zero salinity", valid={"water_c": (0.0, 30.0)})
def n2_hamme_emerson_mol_kg(water_c: ArrayLike) -> Array:
    """Nitrogen that air leaves in fresh water at sea level.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Dissolved nitrogen at saturation under one atmosphere of moist air [mol/kg], shape of `water_c`

    Examples
    --------
    >>> round(1e6 * float(n2_hamme_emerson_mol_kg(25.0)), 1)
    494.2
    """
    celsius = np.asarray(water_c, dtype=np.float64)
    scaled = np.log((298.15 - celsius) / (273.15 + celsius))
    terms = 6.42931 + 2.92704 * scaled + 4.32531 * scaled**2 + 4.69149 * scaled**3
    result: Array = 1e-6 * np.exp(terms)
    return result


N2_EQUATIONS: tuple[Callable[..., Any], ...] = (
    pressure_isa_atm,
    n2_hamme_emerson_mol_kg,
    vapour_weiss_price_atm,
    density_smow_kg_m3,
)


def n2_saturation_mg_l(water_c: ArrayLike, *, altitude_m: ArrayLike = 0.0) -> Array:
    """Nitrogen that air leaves in fresh water at the tank's height over the sea.

    Parameters
    ----------
    water_c : water temperature [°C]
    altitude_m : height over sea level [m]

    Returns
    -------
    Dissolved nitrogen at saturation [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(n2_saturation_mg_l(25.0)), 1)
    13.8
    """
    vapour = vapour_weiss_price_atm(water_c)
    dry_factor = (pressure_isa_atm(altitude_m) - vapour) / (1.0 - vapour)
    return n2_hamme_emerson_mol_kg(water_c) * dry_factor * density_smow_kg_m3(water_c) * N2_G_MOL
