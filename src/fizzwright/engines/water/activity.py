"""Activity coefficients: how much less than its concentration an ion counts in salty water."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = ["davies_log10", "debye_huckel_a_factor", "neutral_log10"]

Array = NDArray[np.float64]


@equation("yao-byrne-2001", where="abstract, slope A over 283-303 K", valid={"water_c": (10.0, 30.0)})
def debye_huckel_a_factor(water_c: ArrayLike) -> Array:
    """How strongly ions feel each other in water of a given temperature.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Debye-Hückel slope A for decimal logarithms [kg^0.5 mol^-0.5], shape of `water_c`

    Examples
    --------
    >>> float(debye_huckel_a_factor(25.0))
    0.5092
    """
    return 0.5092 + 8.5e-4 * (np.asarray(water_c, dtype=np.float64) - 25.0)


@equation("davies-1962", where="eq. with 0.3", valid={"ionic_strength_mol_kg": (0.0, 0.1)})
def davies_log10(ionic_strength_mol_kg: ArrayLike, charge_number: int, *, slope_factor: ArrayLike) -> Array:
    """How far the salts of a water weaken an ion of a given charge.

    Parameters
    ----------
    ionic_strength_mol_kg : ionic strength [mol/kg]
    charge_number : charge of the ion, either sign [-]
    slope_factor : Debye-Hückel slope A, from `debye_huckel_a_factor` [kg^0.5 mol^-0.5]

    Returns
    -------
    Decimal logarithm of the activity coefficient [-], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(10 ** davies_log10(0.005, 1, slope_factor=0.5092)), 3)
    0.927
    """
    strength = np.asarray(ionic_strength_mol_kg, dtype=np.float64)
    root = np.sqrt(strength)
    result: Array = -np.asarray(slope_factor) * charge_number**2 * (root / (1.0 + root) - 0.3 * strength)
    return result


@equation("phreeqc-2013", where="default for uncharged species", valid={"ionic_strength_mol_kg": (0.0, 0.5)})
def neutral_log10(ionic_strength_mol_kg: ArrayLike) -> Array:
    """How far the salts of a water strengthen a dissolved gas or other uncharged substance.

    Parameters
    ----------
    ionic_strength_mol_kg : ionic strength [mol/kg]

    Returns
    -------
    Decimal logarithm of the activity coefficient [-], shape of `ionic_strength_mol_kg`

    Examples
    --------
    >>> float(neutral_log10(0.01))
    0.001
    """
    return 0.1 * np.asarray(ionic_strength_mol_kg, dtype=np.float64)
