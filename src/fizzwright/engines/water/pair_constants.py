"""How strongly the ions of a water hold on to each other, and how large each counts in salty water.

Decimal logarithms of the association constants at zero ionic strength; the two calcium pairs that were
measured for this purpose stand in `constants`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import kelvin
from fizzwright.sources import equation

__all__ = [
    "DebyeHuckel",
    "ca_so4_pair_log10",
    "extended_debye_huckel_log10",
    "ion_reach_factor",
    "k_so4_pair_log10",
    "mg_co3_pair_log10",
    "mg_hco3_pair_log10",
    "mg_so4_pair_log10",
    "na_co3_pair_log10",
    "na_hco3_pair_log10",
    "na_so4_pair_log10",
]

Array = NDArray[np.float64]

GAS_KCAL_MOL_K = 8.314462618e-3 / 4.184


def _carried(water_c: ArrayLike, at_25: float, heat_kcal: float) -> Array:
    """A logarithm at 25 °C carried to another warmth by its heat of reaction (van 't Hoff)."""
    slope = heat_kcal / (math.log(10.0) * GAS_KCAL_MOL_K)
    result: Array = at_25 - slope * (1.0 / kelvin(water_c) - 1.0 / 298.15)
    return result


@dataclass(frozen=True)
class DebyeHuckel:
    """The two constants of a water, from `debye_huckel_a_factor` and `ion_reach_factor`."""

    slope_factor: ArrayLike
    reach_factor: ArrayLike


@equation("malmberg-maryott-1956", where="dielectric constant, with the Debye-Hückel length")
def ion_reach_factor(water_c: ArrayLike) -> Array:
    """How far an ion's charge reaches in water of a given temperature, for ions of a known size.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Debye-Hückel constant B [kg^0.5 mol^-0.5 per ångström], shape of `water_c`

    Examples
    --------
    >>> round(float(ion_reach_factor(25.0)), 3)
    0.329
    """
    t = np.asarray(water_c, dtype=np.float64)
    dielectric = 87.740 - 0.40008 * t + 9.398e-4 * t**2 - 1.41e-6 * t**3
    result: Array = 50.2916 / np.sqrt(dielectric * kelvin(t))
    return result


@equation("phreeqc-2013", where="-gamma a b: extended Debye-Hückel with a linear term")
def extended_debye_huckel_log10(
    ionic_strength_mol_kg: ArrayLike,
    charge_number: int,
    *,
    size_factor: float,
    linear_factor: float,
    slopes: DebyeHuckel,
) -> Array:
    """How far the salts of a water weaken an ion whose size is known.

    Parameters
    ----------
    ionic_strength_mol_kg : ionic strength [mol/kg]
    charge_number : charge of the ion, either sign [-]
    size_factor : size of the ion, a [ångström]
    linear_factor : coefficient b of the linear term [kg/mol]
    slopes : the two Debye-Hückel constants of the water

    Returns
    -------
    Decimal logarithm of the activity coefficient [-], shape of the inputs broadcast

    Examples
    --------
    >>> terms = {"size_factor": 5.4, "linear_factor": 0.0, "slopes": DebyeHuckel(0.5092, 0.3287)}
    >>> round(float(10 ** extended_debye_huckel_log10(0.005, 1, **terms)), 3)
    0.929
    """
    strength = np.asarray(ionic_strength_mol_kg, dtype=np.float64)
    root = np.sqrt(strength)
    slope, reach = np.asarray(slopes.slope_factor), np.asarray(slopes.reach_factor)
    result: Array = (
        -slope * charge_number**2 * root / (1.0 + reach * size_factor * root) + linear_factor * strength
    )
    return result


@equation("phreeqc-2013", where="phreeqc.dat, MgHCO3+ less HCO3-", valid={"water_c": (0.0, 90.0)})
def mg_hco3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly magnesium holds on to bicarbonate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> round(float(mg_hco3_pair_log10(25.0)), 2)
    1.07
    """
    t = kelvin(water_c)
    result: Array = -59.2150 + 2537.455 / t + 20.92298 * np.log10(t)
    return result


@equation("phreeqc-2013", where="phreeqc.dat, MgCO3", valid={"water_c": (0.0, 90.0)})
def mg_co3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly magnesium holds on to carbonate in solution.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> round(float(mg_co3_pair_log10(25.0)), 2)
    2.98
    """
    return 0.9910 + 0.00667 * kelvin(water_c)


@equation("phreeqc-2013", where="phreeqc.dat, CaSO4", valid={"water_c": (0.0, 50.0)})
def ca_so4_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly calcium holds on to sulfate, which leaves less of it for bicarbonate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> float(ca_so4_pair_log10(25.0))
    2.25
    """
    return _carried(water_c, 2.25, 1.325)


@equation("phreeqc-2013", where="phreeqc.dat, MgSO4", valid={"water_c": (0.0, 50.0)})
def mg_so4_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly magnesium holds on to sulfate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> float(mg_so4_pair_log10(25.0))
    2.37
    """
    return _carried(water_c, 2.37, 4.550)


@equation("phreeqc-2013", where="phreeqc.dat, NaHCO3", valid={"water_c": (0.0, 50.0)})
def na_hco3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly sodium holds on to bicarbonate: hardly.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> float(na_hco3_pair_log10(25.0))
    -0.25
    """
    return _carried(water_c, -0.25, -1.0)


@equation("phreeqc-2013", where="phreeqc.dat, NaCO3-", valid={"water_c": (0.0, 50.0)})
def na_co3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly sodium holds on to carbonate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> float(na_co3_pair_log10(25.0))
    1.27
    """
    return _carried(water_c, 1.27, 8.91)


@equation("phreeqc-2013", where="phreeqc.dat, NaSO4-", valid={"water_c": (0.0, 50.0)})
def na_so4_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly sodium holds on to sulfate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> float(na_so4_pair_log10(25.0))
    0.7
    """
    return _carried(water_c, 0.7, 1.120)


@equation("phreeqc-2013", where="phreeqc.dat, KSO4-", valid={"water_c": (0.0, 50.0)})
def k_so4_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly potassium holds on to sulfate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the pair's constant [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> round(float(k_so4_pair_log10(25.0)), 2)
    0.85
    """
    result: Array = 3.106 - 673.6 / kelvin(water_c)
    return result
