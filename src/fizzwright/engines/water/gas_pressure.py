"""The pressure of all gases dissolved in a water together: what makes bubbles grow on leaves and in fish."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.sources import equation

__all__ = [
    "co2_pressure_atm",
    "depth_pressure_atm",
    "headspace_rise_ppm",
    "o2_to_bubble_frac",
    "total_gas_atm",
]

Array = NDArray[np.float64]

O2_IN_AIR = 0.20946
REST_IN_AIR = 1.0 - O2_IN_AIR


@equation("weiss-1974", where="solubility, solved for the pressure")
def co2_pressure_atm(co2_mg_l: ArrayLike, solubility_mol_l_atm: ArrayLike) -> Array:
    """The pressure dissolved CO2 adds to that of the other gases.

    Parameters
    ----------
    co2_mg_l : dissolved CO2 [mg/L]
    solubility_mol_l_atm : solubility of CO2 [mol/L/atm]

    Returns
    -------
    Partial pressure [atm], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(co2_pressure_atm(30.0, 0.0339)), 3)
    0.02
    """
    result: Array = np.asarray(co2_mg_l, dtype=np.float64) / (
        1000.0 * CO2_G_MOL * np.asarray(solubility_mol_l_atm)
    )
    return result


@equation("dalton-1802", where="partial pressures add up; nitrogen stands for argon too")
def total_gas_atm(
    o2_share_frac: ArrayLike,
    n2_share_frac: ArrayLike,
    *,
    dry_air_atm: ArrayLike,
    vapour_atm: ArrayLike,
    co2_atm: ArrayLike,
) -> Array:
    """The pressure of all gases in the water together.

    Parameters
    ----------
    o2_share_frac : oxygen over its saturation with air [-]
    n2_share_frac : nitrogen over its saturation with air [-]
    dry_air_atm : air pressure less water vapour [atm]
    vapour_atm : pressure of the water vapour [atm]
    co2_atm : pressure of the dissolved CO2 [atm]

    Returns
    -------
    Total gas pressure [atm], shape of the inputs broadcast

    Examples
    --------
    >>> float(total_gas_atm(1.0, 1.0, dry_air_atm=0.97, vapour_atm=0.03, co2_atm=0.0))
    1.0
    """
    air = O2_IN_AIR * np.asarray(o2_share_frac) + REST_IN_AIR * np.asarray(n2_share_frac)
    result: Array = air * np.asarray(dry_air_atm) + np.asarray(vapour_atm) + np.asarray(co2_atm)
    return result


@equation("hydrostatics", where="weight of the water above", valid={"depth_m": (0.0, 3.0)})
def depth_pressure_atm(air_atm: ArrayLike, depth_m: ArrayLike) -> Array:
    """The pressure a bubble must beat to grow at a depth.

    Parameters
    ----------
    air_atm : air pressure [atm]
    depth_m : depth below the surface [m]

    Returns
    -------
    Pressure [atm], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(depth_pressure_atm(1.0, 0.4)), 3)
    1.039
    """
    result: Array = np.asarray(air_atm) + 997.0 * 9.80665 / 101325.0 * np.asarray(depth_m)
    return result


@equation("dalton-1802", where="solved for the oxygen at which bubbles grow")
def o2_to_bubble_frac(
    n2_share_frac: ArrayLike,
    pressure_atm: ArrayLike,
    *,
    dry_air_atm: ArrayLike,
    vapour_atm: ArrayLike,
    co2_atm: ArrayLike,
) -> Array:
    """How full of oxygen the water at a leaf must be before a bubble can grow on it.

    Parameters
    ----------
    n2_share_frac : nitrogen over its saturation with air [-]
    pressure_atm : pressure at the leaf [atm]
    dry_air_atm : air pressure less water vapour [atm]
    vapour_atm : pressure of the water vapour [atm]
    co2_atm : pressure of the dissolved CO2 [atm]

    Returns
    -------
    Oxygen over its saturation with air [-], shape of the inputs broadcast

    Examples
    --------
    >>> terms = {"dry_air_atm": 0.97, "vapour_atm": 0.03, "co2_atm": 0.02}
    >>> round(float(o2_to_bubble_frac(1.0, 1.039, **terms)), 2)
    1.09
    """
    dry = np.asarray(dry_air_atm, dtype=np.float64)
    rest = np.asarray(vapour_atm) + np.asarray(co2_atm) + REST_IN_AIR * np.asarray(n2_share_frac) * dry
    result: Array = (np.asarray(pressure_atm) - rest) / (O2_IN_AIR * dry)
    return result


@equation("headspace-balance", where="what the water gives off over what the gap lets out")
def headspace_rise_ppm(
    emitted_mg_h: ArrayLike, headspace_l: ArrayLike, *, changes_per_h: ArrayLike, air_c: ArrayLike
) -> Array:
    """How much richer in CO2 the air under a lid gets than the room's.

    Parameters
    ----------
    emitted_mg_h : CO2 that leaves the water [mg/h]
    headspace_l : air under the lid [L]
    changes_per_h : how often that air is changed for the room's [/h]
    air_c : its temperature [°C]

    Returns
    -------
    Rise over the room [ppm], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(headspace_rise_ppm(100.0, 10.0, changes_per_h=10.0, air_c=25.0)))
    556
    """
    litres = np.asarray(emitted_mg_h) / (1000.0 * CO2_G_MOL) * 0.082057 * (np.asarray(air_c) + 273.15)
    result: Array = 1.0e6 * litres / (np.asarray(headspace_l) * np.asarray(changes_per_h))
    return result
