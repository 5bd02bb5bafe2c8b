"""The bottle: liquid and vapour side by side, until the liquid is gone and the gauge starts to fall.

While any liquid is left the gauge shows the saturation pressure of the bottle's temperature and nothing
else. The point where the last liquid goes is called the knee.
"""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import ATM_BARA, KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "CRITICAL_BARA",
    "CRITICAL_C",
    "knee_barg",
    "knee_g",
    "liquid_density_kg_m3",
    "liquid_full_c",
    "saturation_bara",
    "vapour_density_kg_m3",
    "vapour_only_density_kg_m3",
    "vapour_only_g",
    "virial_pressure_bara",
]

CRITICAL_K = 304.1282
CRITICAL_C = CRITICAL_K - KELVIN
CRITICAL_BARA = 73.773
CRITICAL_KG_M3 = 467.6
GAS_J_KG_K = 188.9241
_RANGE_C = {"temperature_c": (-56.558, 30.978)}


def _below_critical(temperature_c: Floats) -> tuple[Floats, Floats]:
    """Kelvin and the distance under the critical temperature, which is nil at and over it."""
    kelvin = np.asarray(temperature_c, dtype=float) + KELVIN
    gap: Floats = np.maximum(1.0 - kelvin / CRITICAL_K, 0.0)
    return kelvin, gap


@equation("span-wagner-1996", where="eq. 3.13, p. 1524", valid=_RANGE_C)
def saturation_bara(temperature_c: Floats) -> Floats:
    """The pressure in a bottle that still holds liquid.

    Over the critical temperature there is no liquid; the critical pressure stands there.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the bottle. [°C]

    Returns
    -------
    float or array
        Saturation pressure. [bar abs]

    Examples
    --------
    >>> round(float(saturation_bara(20.0)), 2)
    57.29
    """
    kelvin, t = _below_critical(temperature_c)
    series = -7.0602087 * t + 1.9391218 * t**1.5 - 1.6463597 * t**2 - 3.2995634 * t**4
    pressure: Floats = CRITICAL_BARA * np.exp(CRITICAL_K / kelvin * series)
    return pressure


@equation("span-wagner-1996", where="eq. 3.14, p. 1525", valid=_RANGE_C)
def liquid_density_kg_m3(temperature_c: Floats) -> Floats:
    """The density of the liquid in a bottle at rest.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the bottle. [°C]

    Returns
    -------
    float or array
        Density of saturated liquid; the critical density at and over the critical temperature. [kg/m³]

    Examples
    --------
    >>> round(float(liquid_density_kg_m3(20.0)), 1)
    773.4
    """
    _, t = _below_critical(temperature_c)
    series = 1.9245108 * t**0.34 - 0.62385555 * t**0.5 - 0.32731127 * t ** (10 / 6)
    density: Floats = CRITICAL_KG_M3 * np.exp(series + 0.39245142 * t ** (11 / 6))
    return density


@equation("span-wagner-1996", where="eq. 3.15, p. 1525", valid=_RANGE_C)
def vapour_density_kg_m3(temperature_c: Floats) -> Floats:
    """The density of the vapour over the liquid in a bottle at rest.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the bottle. [°C]

    Returns
    -------
    float or array
        Density of saturated vapour; the critical density at and over the critical temperature. [kg/m³]

    Examples
    --------
    >>> round(float(vapour_density_kg_m3(20.0)), 1)
    194.2
    """
    _, t = _below_critical(temperature_c)
    series = -1.7074879 * t**0.34 - 0.8227467 * t**0.5 - 4.6008549 * t
    density: Floats = CRITICAL_KG_M3 * np.exp(series - 10.111178 * t ** (7 / 3) - 29.742252 * t ** (14 / 3))
    return density


# Virial coefficients of CO2 by mass, from the Span & Wagner equation of state at 0, 10, 20, 30, 40 degC.
_VIRIAL_C = np.array([0.0, 10.0, 20.0, 30.0, 40.0])
_SECOND_M3_KG = np.array([-3.4152e-03, -3.1461e-03, -2.9058e-03, -2.6901e-03, -2.4954e-03])
_THIRD_M6_KG2 = np.array([2.6858e-06, 2.5933e-06, 2.4984e-06, 2.4041e-06, 2.3126e-06])


def _virial(temperature_c: Floats) -> tuple[Floats, Floats]:
    """Second and third virial coefficients by mass, between the tabled temperatures."""
    second: Floats = np.interp(temperature_c, _VIRIAL_C, _SECOND_M3_KG)
    third: Floats = np.interp(temperature_c, _VIRIAL_C, _THIRD_M6_KG2)
    return second, third


@equation("gasline-virial", where="two coefficients", valid={"temperature_c": (0.0, 40.0)})
def virial_pressure_bara(density_kg_m3: Floats, temperature_c: Floats) -> Floats:
    """The pressure of CO2 vapour of a density, with no liquid about.

    Parameters
    ----------
    density_kg_m3 : float or array
        Mass over volume. [kg/m³]
    temperature_c : float or array
        Temperature. [°C]

    Returns
    -------
    float or array
        Pressure: within 0.1 % to 30 bar, 0.5 % to 50 bar, 2 % near the knee. [bar abs]

    Examples
    --------
    >>> round(float(virial_pressure_bara(69.0, 20.0)), 1)
    31.0
    """
    second, third = _virial(temperature_c)
    kelvin = np.asarray(temperature_c, dtype=float) + KELVIN
    series = 1.0 + second * density_kg_m3 + third * np.square(density_kg_m3)
    pressure: Floats = density_kg_m3 * GAS_J_KG_K * kelvin * series * 1e-5
    return pressure


@equation(
    "gasline-virial", where="two coefficients, solved for density", valid={"temperature_c": (0.0, 40.0)}
)
def vapour_only_density_kg_m3(pressure_bara: Floats, temperature_c: Floats) -> Floats:
    """The gas left in each litre of a bottle whose liquid is gone, from its pressure.

    Parameters
    ----------
    pressure_bara : float or array
        Pressure, at most the saturation pressure. [bar abs]
    temperature_c : float or array
        Temperature of the bottle. [°C]

    Returns
    -------
    float or array
        Density, never over that of saturated vapour. [kg/m³, which is g/L]

    Examples
    --------
    >>> round(float(vapour_only_density_kg_m3(31.01325, 20.0)), 1)
    69.0
    """
    pressure, warm = np.broadcast_arrays(
        np.asarray(pressure_bara, dtype=float), np.asarray(temperature_c, dtype=float)
    )
    low = np.zeros_like(pressure)
    high = np.asarray(vapour_density_kg_m3(warm), dtype=float) * np.ones_like(pressure)
    for _ in range(48):
        middle = 0.5 * (low + high)
        over = np.asarray(virial_pressure_bara(middle, warm)) > pressure
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    density: Floats = (0.5 * (low + high))[()]
    return density


def vapour_only_g(
    pressure_barg: Floats, temperature_c: Floats, *, water_capacity_l: Floats, ambient_bara: Floats = ATM_BARA
) -> Floats:
    """The gas left in a bottle whose gauge has started to fall. [g]

    Parameters
    ----------
    pressure_barg : float or array
        Gauge reading. [bar g]
    temperature_c : float or array
        Temperature of the bottle. [°C]
    water_capacity_l : float or array
        Inner volume of the bottle. [L]
    ambient_bara : float or array
        Air pressure. [bar abs]
    """
    return vapour_only_density_kg_m3(pressure_barg + ambient_bara, temperature_c) * water_capacity_l


def knee_g(temperature_c: Floats, *, water_capacity_l: Floats) -> Floats:
    """The gas left in a bottle when the last liquid goes and the gauge starts to fall. [g]

    Examples
    --------
    >>> round(float(knee_g(20.0, water_capacity_l=1.0)))
    194
    """
    return vapour_density_kg_m3(temperature_c) * water_capacity_l


def knee_barg(temperature_c: Floats, ambient_bara: Floats = ATM_BARA) -> Floats:
    """The gauge reading that stands while liquid is left, and below which it is gone. [bar g]"""
    return saturation_bara(temperature_c) - ambient_bara


def liquid_full_c(fill_kg_l: Floats) -> Floats:
    """The temperature at which the liquid of a fresh bottle fills it and pressure starts to climb fast. [°C]

    Parameters
    ----------
    fill_kg_l : float or array
        Charge over water capacity, 0.47 to 1.1. [kg/L]

    Examples
    --------
    >>> round(float(liquid_full_c(0.75)), 1)
    22.1
    """
    fill = np.asarray(fill_kg_l, dtype=float) * 1000.0
    low, high = np.full_like(fill, -50.0), np.full_like(fill, CRITICAL_C)
    for _ in range(48):
        middle = 0.5 * (low + high)
        fits = np.asarray(liquid_density_kg_m3(middle)) > fill
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    full: Floats = (0.5 * (low + high))[()]
    return full
