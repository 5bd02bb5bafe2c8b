"""Dissociation constants of what a kit may count beside carbonate, at zero ionic strength.

All are decimal logarithms of the constant, that is minus the pK. Enthalpies carry them from 25 °C.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import kelvin
from fizzwright.sources import equation

__all__ = [
    "ammonium_log10",
    "boric_log10",
    "phosphoric_first_log10",
    "phosphoric_second_log10",
    "phosphoric_third_log10",
    "silicic_log10",
    "triprotic_charge_number",
]

Array = NDArray[np.float64]

GAS_KJ_MOL_K = 8.314462618e-3
KJ_PER_KCAL = 4.184


def _carried(water_c: ArrayLike, at_25: float, heat: float) -> Array:
    """A logarithm at 25 °C carried to another warmth by its heat of reaction in kJ/mol (van 't Hoff)."""
    result: Array = at_25 - heat / (math.log(10.0) * GAS_KJ_MOL_K) * (1.0 / kelvin(water_c) - 1.0 / 298.15)
    return result


@equation("phreeqc-2013", where="phreeqc.dat, H3PO4 less H2PO4-", valid={"water_c": (0.0, 50.0)})
def phosphoric_first_log10(water_c: ArrayLike) -> Array:
    """First step of phosphoric acid, of no weight in a tank but at the end point of a kit.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the first dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(phosphoric_first_log10(25.0)), 3)
    -2.168
    """
    return -_carried(water_c, 2.168, -10.1 + 4.520 * KJ_PER_KCAL)


@equation("phreeqc-2013", where="phreeqc.dat, H2PO4- less HPO4-2", valid={"water_c": (0.0, 50.0)})
def phosphoric_second_log10(water_c: ArrayLike) -> Array:
    """Second step of phosphoric acid, the one that makes phosphate a buffer near pH 7.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the second dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(phosphoric_second_log10(25.0)), 3)
    -7.207
    """
    return -_carried(water_c, 7.207, (3.530 - 4.520) * KJ_PER_KCAL)


@equation("phreeqc-2013", where="phreeqc.dat, HPO4-2", valid={"water_c": (0.0, 50.0)})
def phosphoric_third_log10(water_c: ArrayLike) -> Array:
    """Third step of phosphoric acid, of no weight below pH 10.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the third dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(phosphoric_third_log10(25.0)), 3)
    -12.346
    """
    return -_carried(water_c, 12.346, -3.530 * KJ_PER_KCAL)


@equation("phreeqc-2013", where="phreeqc.dat, H3BO3", valid={"water_c": (0.0, 50.0)})
def boric_log10(water_c: ArrayLike) -> Array:
    """How readily boric acid gives alkalinity; of no weight below pH 8.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(boric_log10(25.0)), 2)
    -9.24
    """
    return -_carried(water_c, 9.24, -3.224 * KJ_PER_KCAL)


@equation("phreeqc-2013", where="phreeqc.dat, H4SiO4 analytic", valid={"water_c": (0.0, 100.0)})
def silicic_log10(water_c: ArrayLike) -> Array:
    """How readily dissolved silica gives alkalinity; of no weight below pH 8.5.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(silicic_log10(25.0)), 2)
    -9.83
    """
    t = kelvin(water_c)
    return -302.3724 - 0.050698 * t + 15669.69 / t + 108.18466 * np.log10(t) - 1119669.0 / t**2


@equation("phreeqc-2013", where="phreeqc.dat, NH4+ analytic", valid={"water_c": (0.0, 50.0)})
def ammonium_log10(water_c: ArrayLike) -> Array:
    """How readily ammonium turns into ammonia.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the dissociation constant [-], shape of `water_c`

    Examples
    --------
    >>> round(float(ammonium_log10(25.0)), 2)
    -9.24
    """
    t = kelvin(water_c)
    result: Array = 0.6322 - 0.001225 * t - 2835.76 / t
    return result


@equation("stumm-morgan-1996", where="mean charge of a triprotic acid")
def triprotic_charge_number(
    ph: ArrayLike, first_log10: ArrayLike, *, second_log10: ArrayLike, third_log10: ArrayLike
) -> Array:
    """How many protons a triprotic acid has given away on average at a pH.

    Parameters
    ----------
    ph : pH [activity scale]
    first_log10 : logarithm of the first constant, corrected for activity [-]
    second_log10 : of the second [-]
    third_log10 : of the third [-]

    Returns
    -------
    Mean charge, 0 to 3 [-], shape of the inputs broadcast

    Examples
    --------
    >>> float(triprotic_charge_number(7.0, -2.0, second_log10=-7.0, third_log10=-12.0))
    1.5
    """
    p = np.asarray(ph, dtype=np.float64)
    one = 10.0 ** (p + np.asarray(first_log10, dtype=np.float64))
    two = one * 10.0 ** (p + np.asarray(second_log10, dtype=np.float64))
    three = two * 10.0 ** (p + np.asarray(third_log10, dtype=np.float64))
    result: Array = (one + 2.0 * two + 3.0 * three) / (1.0 + one + two + three)
    return result
