"""Properties of water that only bubbles ask for, and constants they share."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.gases import pressure_isa_atm
from fizzwright.sources import equation

__all__ = [
    "ATMOSPHERE_PA",
    "GAS_CONSTANT",
    "GRAVITY",
    "diffusivity_n2_himmelblau_m2_s",
    "surface_pressure_pa",
    "surface_tension_iapws_n_m",
    "viscosity_iapws_pa_s",
]

Array = NDArray[np.float64]
Values = float | Array

ATMOSPHERE_PA = 101325.0
GAS_CONSTANT = 8.314462618
GRAVITY = 9.80665
ZERO_C_K = 273.15
# Dry air by volume; the rest is argon and traces, which a bubble hardly notices.
O2_IN_AIR = 0.20946
N2_IN_AIR = 0.78084


@equation("iapws-2008-viscosity", where="simplified form at 0.1 MPa", valid={"water_c": (0.0, 60.0)})
def viscosity_iapws_pa_s(water_c: Values) -> Array:
    """Viscosity of water, which holds small bubbles back.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    dynamic viscosity [Pa s], shape of the input

    Examples
    --------
    >>> round(1e3 * float(viscosity_iapws_pa_s(25.0)), 4)
    0.89
    """
    t = (np.asarray(water_c, dtype=float) + ZERO_C_K) / 300.0
    result: Array = 1e-6 * (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0)
    return result


@equation("iapws-1994-tension", where="interpolating equation", valid={"water_c": (0.0, 60.0)})
def surface_tension_iapws_n_m(water_c: Values) -> Array:
    """Surface tension of pure water against its vapour, which squeezes very small bubbles.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    surface tension [N/m], shape of the input

    Examples
    --------
    >>> round(1e3 * float(surface_tension_iapws_n_m(25.0)), 2)
    71.97
    """
    tau = 1.0 - (np.asarray(water_c, dtype=float) + ZERO_C_K) / 647.096
    result: Array = 235.8e-3 * tau**1.256 * (1.0 - 0.625 * tau)
    return result


@equation(
    "himmelblau-1964",
    where="2.0e-9 at 25 °C, carried to other temperatures by temperature over viscosity",
    valid={"water_c": (5.0, 40.0)},
)
def diffusivity_n2_himmelblau_m2_s(water_c: Values) -> Array:
    """How fast dissolved nitrogen spreads in still water, by the value handbooks print.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    diffusivity [m²/s], shape of the input

    Examples
    --------
    >>> round(1e9 * float(diffusivity_n2_himmelblau_m2_s(25.0)), 2)
    2.0
    """
    kelvin = np.asarray(water_c, dtype=float) + ZERO_C_K
    thinner = viscosity_iapws_pa_s(25.0) / viscosity_iapws_pa_s(water_c)
    result: Array = 2.0e-9 * (kelvin / 298.15) * thinner
    return result


def surface_pressure_pa(altitude_m: Values) -> Array:
    """Usual air pressure over a tank at an altitude.

    Parameters
    ----------
    altitude_m : height over the sea [m]

    Returns
    -------
    air pressure [Pa], shape of the input

    Examples
    --------
    >>> round(float(surface_pressure_pa(1000.0)))
    89875
    """
    return ATMOSPHERE_PA * pressure_isa_atm(altitude_m)
