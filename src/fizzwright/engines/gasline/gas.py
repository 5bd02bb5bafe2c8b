"""Carbon dioxide at line pressure: what a space holds, and the air outside it.

Up to about 3 bar abs the ideal gas law is 1.5 % low for CO2, far inside the doubt of any tube or tip, so
the low-pressure side of the line uses it; the bottle does not.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation
from fizzwright.units import CO2_MG_PER_ML_20C

__all__ = [
    "ATM_BARA",
    "CO2_G_MOL",
    "GAS_CONSTANT_J_MOL_K",
    "GRAVITY_M_S2",
    "KELVIN",
    "Floats",
    "ambient_bara",
    "flow_mg_h",
    "flow_ml_min_n",
    "head_barg",
    "held_mg",
]

Floats = float | NDArray[np.float64]

CO2_G_MOL = 44.0095
GAS_CONSTANT_J_MOL_K = 8.314462618
GRAVITY_M_S2 = 9.80665
KELVIN = 273.15
ATM_BARA = 1.01325


@equation("iso-2533-1975", where="troposphere relation", valid={"altitude_m": (-400.0, 4500.0)})
def ambient_bara(altitude_m: Floats) -> Floats:
    """The air pressure to expect at an altitude, on a day of average weather.

    Parameters
    ----------
    altitude_m : float or array
        Height over the sea. [m]

    Returns
    -------
    float or array
        Absolute air pressure. [bar abs]

    Examples
    --------
    >>> round(float(ambient_bara(500.0)), 4)
    0.9546
    """
    ratio: Floats = (1.0 - 2.25577e-5 * np.asarray(altitude_m, dtype=float)) ** 5.25588
    return ATM_BARA * ratio


@equation("gasline-ideal-gas", where="m = p V M / (R T)", valid={"pressure_bara": (0.0, 4.0)})
def held_mg(volume_ml: Floats, pressure_bara: Floats, *, temperature_c: Floats) -> Floats:
    """The CO2 a space of the line holds at a pressure.

    Parameters
    ----------
    volume_ml : float or array
        Inner volume. [mL]
    pressure_bara : float or array
        Absolute pressure of the CO2. [bar abs]
    temperature_c : float or array
        Temperature of the gas. [°C]

    Returns
    -------
    float or array
        Mass held. [mg]

    Examples
    --------
    >>> round(float(held_mg(1.0, 1.01325, temperature_c=20.0)), 3)
    1.83
    """
    moles = pressure_bara * 1e5 * volume_ml * 1e-6 / (GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN))
    return moles * CO2_G_MOL * 1e3


@equation("gasline-hydrostatics", where="p = rho g h")
def head_barg(depth_m: Floats, density_kg_m3: Floats = 998.2) -> Floats:
    """The pressure the gas must push against at a depth of water.

    Parameters
    ----------
    depth_m : float or array
        Depth under the surface. [m]
    density_kg_m3 : float or array
        Density of the water. [kg/m³]

    Returns
    -------
    float or array
        Pressure over the air. [bar g]

    Examples
    --------
    >>> round(head_barg(1.0), 4)
    0.0979
    """
    return density_kg_m3 * GRAVITY_M_S2 * depth_m * 1e-5


def flow_ml_min_n(flow_mg_h: Floats) -> Floats:
    """The same flow as a volume of CO2 at 20 °C and 1 atm. [mL/min at 20 °C, 1 atm]

    Examples
    --------
    >>> round(flow_ml_min_n(551.79), 3)
    5.0
    """
    return flow_mg_h / (60.0 * CO2_MG_PER_ML_20C)


def flow_mg_h(flow_ml_min_n: Floats) -> Floats:
    """The same flow as mass, from a volume of CO2 at 20 °C and 1 atm. [mg/h]"""
    return flow_ml_min_n * 60.0 * CO2_MG_PER_ML_20C
