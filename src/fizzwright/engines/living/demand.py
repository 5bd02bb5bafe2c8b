"""Oxygen used by what nobody looks at: the bottom, and the bacteria that turn food into nitrate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = [
    "BARE_BOTTOM_O2_MG_M2_H",
    "BOTTOM_LOG_SD_NUMBER",
    "BOTTOM_O2_MG_M2_H",
    "BOTTOM_QUOTIENT_RATIO",
    "FOOD_SHARE_PER_DAY_FRAC",
    "ammonia_n_mg_h",
    "bottom_o2_mg_h",
    "nitrification_drift_dkh_day",
    "nitrification_o2_mg_h",
]

Draws = float | NDArray[np.float64]

# River cores gave 0.19-1.41 g O2/m2/d, mean 0.62: a lognormal with this median and spread has that
# range at 90 % and that mean.
BOTTOM_O2_MG_M2_H = 22.0
BOTTOM_LOG_SD_NUMBER = 0.6
BARE_BOTTOM_O2_MG_M2_H = 8.0
BOTTOM_QUOTIENT_RATIO = 1.0
FOOD_SHARE_PER_DAY_FRAC = 0.015
NITRIFIED_FRAC = 0.6
PROTEIN_N_FRAC = 0.16
N_MG_MEQ = 14.007
DKH_MEQ_L = 20.0 / 56.0774


@equation("rong-2016", where="sediment oxygen demand of river cores, 0.19-1.41 g/m2/d")
def bottom_o2_mg_h(bottom_area_m2: Draws, demand_mg_m2_h: Draws = BOTTOM_O2_MG_M2_H) -> Draws:
    """The oxygen the substrate uses in an hour.

    Parameters
    ----------
    bottom_area_m2 : area of the bottom. [m2]
    demand_mg_m2_h : demand of a square metre; 8 bare, 22 settled, about 50 fresh organic soil. [mg/m2/h]

    Returns
    -------
    Oxygen used by the bottom. [mg O2/h]

    Examples
    --------
    >>> bottom_o2_mg_h(0.25, 26.0)
    6.5
    """
    return bottom_area_m2 * demand_mg_m2_h


@equation("feed-nitrogen", where="16 % of protein is nitrogen; 60 % of it reaches the bacteria")
def ammonia_n_mg_h(food_g_day: Draws, protein_frac: Draws = 0.45) -> Draws:
    """The nitrogen that food sends through the nitrifying bacteria, as a mean over the day.

    Parameters
    ----------
    food_g_day : dry food given. [g/day]
    protein_frac : share of protein in the food. [-]

    Returns
    -------
    Nitrogen nitrified. [mg N/h]

    Examples
    --------
    >>> round(ammonia_n_mg_h(1.0), 2)
    1.8
    """
    return 1000.0 * food_g_day * protein_frac * PROTEIN_N_FRAC * NITRIFIED_FRAC / 24.0


@equation("nitrification", where="2 mol O2 for each mol N: 4.57 mg/mg")
def nitrification_o2_mg_h(nitrogen_mg_h: Draws) -> Draws:
    """The oxygen the bacteria use to turn ammonia into nitrate.

    Parameters
    ----------
    nitrogen_mg_h : ammonia nitrogen nitrified. [mg N/h]

    Returns
    -------
    Oxygen used. [mg O2/h]

    Examples
    --------
    >>> round(nitrification_o2_mg_h(1.8), 1)
    8.2
    """
    return 4.57 * nitrogen_mg_h


@equation("nitrification", where="food nitrogen to nitrate takes 1 eq for each mol N, ammonium 2")
def nitrification_drift_dkh_day(
    nitrogen_mg_h: Draws, volume_l: Draws, *, eq_per_mol_ratio: Draws = 1.0
) -> Draws:
    """How fast nitrification alone eats carbonate hardness, before any credit for plant uptake.

    Parameters
    ----------
    nitrogen_mg_h : nitrogen nitrified. [mg N/h]
    volume_l : net water volume. [L]
    eq_per_mol_ratio : 1 for nitrogen fed as protein, 2 for nitrogen added as ammonium. [eq/mol]

    Returns
    -------
    Change of carbonate hardness, negative. [dKH/day]

    Examples
    --------
    >>> round(nitrification_drift_dkh_day(1.8, 100.0), 3)
    -0.086
    """
    return -24.0 * eq_per_mol_ratio * nitrogen_mg_h / N_MG_MEQ / volume_l / DKH_MEQ_L
