"""How fast dissolved gases spread in still water: Schmidt numbers and diffusivities."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import kelvin
from fizzwright.sources import equation

__all__ = [
    "diffusivity_co2_jahne_m2_s",
    "diffusivity_co2_zeebe_m2_s",
    "diffusivity_n2_ferrell_m2_s",
    "diffusivity_o2_ferrell_m2_s",
    "diffusivity_o2_han_m2_s",
    "schmidt_co2_number",
    "schmidt_o2_number",
]

Array = NDArray[np.float64]

GAS_KJ_MOL_K = 8.314462618e-3


def _activated(water_c: ArrayLike, front: float, barrier: float) -> Array:
    """A diffusivity that grows with temperature over a barrier in kJ/mol; `front` in m²/s."""
    result: Array = front * np.exp(-barrier / (GAS_KJ_MOL_K * kelvin(water_c)))
    return result


@equation("wanninkhof-2014", where="table 1, fresh water, CO2", valid={"water_c": (-2.0, 40.0)})
def schmidt_co2_number(water_c: ArrayLike) -> Array:
    """How sluggishly CO2 spreads in fresh water beside the water's own motion.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Schmidt number, viscosity over diffusivity [-], shape of `water_c`

    Examples
    --------
    >>> round(float(schmidt_co2_number(20.0)))
    600
    """
    t = np.asarray(water_c, dtype=np.float64)
    return 1923.6 - 125.06 * t + 4.3773 * t**2 - 0.085681 * t**3 + 0.00070284 * t**4


@equation("wanninkhof-2014", where="table 1, fresh water, oxygen", valid={"water_c": (-2.0, 40.0)})
def schmidt_o2_number(water_c: ArrayLike) -> Array:
    """How sluggishly oxygen spreads in fresh water beside the water's own motion.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Schmidt number, viscosity over diffusivity [-], shape of `water_c`

    Examples
    --------
    >>> round(float(schmidt_o2_number(20.0)))
    510
    """
    t = np.asarray(water_c, dtype=np.float64)
    return 1745.1 - 124.34 * t + 4.8055 * t**2 - 0.10115 * t**3 + 0.00086842 * t**4


@equation("jahne-1987-diffusion", where="fit for CO2 in water", valid={"water_c": (5.0, 35.0)})
def diffusivity_co2_jahne_m2_s(water_c: ArrayLike) -> Array:
    """How fast CO2 spreads through still water, by membrane measurements.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Diffusivity [m²/s], shape of `water_c`

    Examples
    --------
    >>> round(1e9 * float(diffusivity_co2_jahne_m2_s(25.0)), 2)
    1.92
    """
    return _activated(water_c, 5.019e-6, 19.51)


@equation("zeebe-2011", where="power-law fit for CO2", valid={"water_c": (0.0, 100.0)})
def diffusivity_co2_zeebe_m2_s(water_c: ArrayLike) -> Array:
    """How fast CO2 spreads through still water, by molecular simulation; 6 % over the measurements.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Diffusivity [m²/s], shape of `water_c`

    Examples
    --------
    >>> round(1e9 * float(diffusivity_co2_zeebe_m2_s(25.0)), 2)
    2.05
    """
    result: Array = 14.6836e-9 * (kelvin(water_c) / 217.2056 - 1.0) ** 1.9970
    return result


@equation("ferrell-himmelblau-1967", where="fit for oxygen", valid={"water_c": (10.0, 55.0)})
def diffusivity_o2_ferrell_m2_s(water_c: ArrayLike) -> Array:
    """How fast oxygen spreads through still water, by an older laminar-flow method.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Diffusivity [m²/s], shape of `water_c`

    Examples
    --------
    >>> round(1e9 * float(diffusivity_o2_ferrell_m2_s(25.0)), 2)
    2.27
    """
    return _activated(water_c, 4.286e-6, 18.70)


@equation("ferrell-himmelblau-1967", where="fit for nitrogen", valid={"water_c": (10.0, 55.0)})
def diffusivity_n2_ferrell_m2_s(water_c: ArrayLike) -> Array:
    """How fast nitrogen spreads through still water.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Diffusivity [m²/s], shape of `water_c`

    Examples
    --------
    >>> round(1e9 * float(diffusivity_n2_ferrell_m2_s(25.0)), 2)
    1.96
    """
    return _activated(water_c, 3.412e-6, 18.50)


@equation("han-bartels-1996", where="abstract, fit for oxygen", valid={"water_c": (0.0, 95.0)})
def diffusivity_o2_han_m2_s(water_c: ArrayLike) -> Array:
    """How fast oxygen spreads through still water, by the better-founded newer measurements.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Diffusivity [m²/s], shape of `water_c`

    Examples
    --------
    >>> round(1e9 * float(diffusivity_o2_han_m2_s(25.0)), 2)
    2.0
    """
    t = kelvin(water_c)
    in_cm2: Array = 10.0 ** (-4.410 + 773.8 / t - (506.4 / t) ** 2)
    return 1e-4 * in_cm2
