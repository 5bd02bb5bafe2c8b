"""The dye of a drop checker: its equilibrium in the checker's own KH water, its colour and its lag."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.colour import WAVELENGTHS_UM, hue_deg, tristimulus_factor
from fizzwright.engines.water.constants import kelvin, kh_plummer_log10
from fizzwright.sources import equation

__all__ = [
    "CHECKER_PK",
    "CheckerPk",
    "HueScale",
    "bromothymol_absorbance_log10",
    "bromothymol_pk_log10",
    "checker_lag_h",
    "dye_base_frac",
    "dye_tristimulus_factor",
    "hue_scale",
]

Array = NDArray[np.float64]

GAS_L_ATM = 0.082057
DIFFUSIVITY_AIR_CM2_S = 0.16


@dataclass(frozen=True)
class CheckerPk:
    """The working pK of bromothymol blue in a 4 dKH checker, and its doubt (one standard deviation)."""

    middle_log10: float
    deviation_log10: float
    zero_salt_log10: float
    source: str


CHECKER_PK = CheckerPk(7.245, 0.08, 7.30, "bromothymol-pk")


@equation("yao-byrne-2001", where="salt effect of a sulfonephthalein dye, activity scale of pH")
def bromothymol_pk_log10(
    ionic_strength_mol_kg: ArrayLike, zero_salt_log10: ArrayLike, *, slope_factor: ArrayLike
) -> Array:
    """The pH at which half the dye is blue, in a checker's own KH water.

    Parameters
    ----------
    ionic_strength_mol_kg : ionic strength of the checker's water [mol/kg]
    zero_salt_log10 : pK of the dye in pure water [-]
    slope_factor : Debye-Hückel slope A [kg^0.5 mol^-0.5]

    Returns
    -------
    pK on the scale a pH probe reads [-], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(bromothymol_pk_log10(0.0014, 7.30, slope_factor=0.5092)), 2)
    7.25
    """
    strength = np.asarray(ionic_strength_mol_kg, dtype=np.float64)
    root = np.sqrt(strength)
    shift = 3.0 * np.asarray(slope_factor) * (root / (1.0 + root) - 0.3 * strength)
    result: Array = np.asarray(zero_salt_log10, dtype=np.float64) - shift
    return result


@equation("stumm-morgan-1996", where="share of a weak acid in its base form")
def dye_base_frac(ph: ArrayLike, pk_log10: ArrayLike) -> Array:
    """How much of the dye is in its blue form.

    Parameters
    ----------
    ph : pH of the checker's water [activity scale]
    pk_log10 : working pK of the dye [-]

    Returns
    -------
    Share that is blue [-], shape of the inputs broadcast

    Examples
    --------
    >>> float(dye_base_frac(7.25, 7.25))
    0.5
    """
    gap = np.asarray(pk_log10, dtype=np.float64) - np.asarray(ph, dtype=np.float64)
    result: Array = 1.0 / (1.0 + 10.0**gap)
    return result


def _hump(height: float, centre: float, left: float, right: float) -> Array:
    """An absorption band of unequal flanks, widths given at half height; in nm."""
    nm = 1000.0 * WAVELENGTHS_UM
    width = np.where(nm < centre, left, right)
    result: Array = height * np.exp(-4.0 * math.log(2.0) * ((nm - centre) / width) ** 2)
    return result


@equation("bromothymol-spectrum", where="two forms as skewed bands")
def bromothymol_absorbance_log10(base_frac: ArrayLike, dye_mol_l: ArrayLike, *, path_cm: ArrayLike) -> Array:
    """How much light the dye takes out at each wavelength.

    Parameters
    ----------
    base_frac : share of the dye in its blue form [-]
    dye_mol_l : dye in the checker's water [mol/L]
    path_cm : depth looked through [cm]

    Returns
    -------
    Decimal absorbance at each of `WAVELENGTHS_UM` [-], shape of the inputs broadcast, with the
    wavelengths on a last axis

    Examples
    --------
    >>> bool(bromothymol_absorbance_log10(1.0, 1e-4, path_cm=1.0).max() > 3.0)
    True
    """
    acid = _hump(1.7e4, 433.0, 95.0, 100.0)
    base = _hump(3.66e4, 616.0, 110.0, 62.0) + _hump(0.55e4, 395.0, 70.0, 70.0)
    share = np.asarray(base_frac, dtype=np.float64)[..., None]
    through = np.asarray(np.asarray(dye_mol_l) * np.asarray(path_cm), dtype=np.float64)[..., None]
    result: Array = through * (share * base + (1.0 - share) * acid)
    return result


def dye_tristimulus_factor(base_frac: ArrayLike, dye_mol_l: ArrayLike, *, path_cm: ArrayLike) -> Array:
    """The colour of the checker in daylight against white.

    Parameters
    ----------
    base_frac : share of the dye in its blue form [-]
    dye_mol_l : dye in the checker's water [mol/L]
    path_cm : depth looked through [cm]

    Returns
    -------
    CIE X, Y, Z [-], shape (..., 3)
    """
    absorbed = bromothymol_absorbance_log10(base_frac, dye_mol_l, path_cm=path_cm)
    return tristimulus_factor(10.0**-absorbed)


@dataclass(frozen=True)
class HueScale:
    """Hue against how far the checker's pH stands over the pK of its dye; both fields rise together."""

    over_pk_ph: Array
    hue_deg: Array

    def hue_at_deg(self, over_pk_ph: ArrayLike) -> Array:
        """The hue at a pH over the pK. [°]"""
        return np.interp(np.asarray(over_pk_ph, dtype=np.float64), self.over_pk_ph, self.hue_deg)

    def over_pk_at_ph(self, seen_hue_deg: ArrayLike) -> Array:
        """The pH over the pK at which the dye has a hue. [pH]"""
        return np.interp(np.asarray(seen_hue_deg, dtype=np.float64), self.hue_deg, self.over_pk_ph)


def hue_scale(dye_mol_l: float, *, path_cm: float) -> HueScale:
    """The hues of a checker of this dye strength and depth, from clear yellow to blue.

    Parameters
    ----------
    dye_mol_l : dye in the checker's water [mol/L]
    path_cm : depth looked through [cm]

    Returns
    -------
    `HueScale`
    """
    over = np.linspace(-2.0, 2.0, 161)
    hue = hue_deg(dye_tristimulus_factor(dye_base_frac(over, 0.0), dye_mol_l, path_cm=path_cm))
    return HueScale(over, np.maximum.accumulate(hue))


@equation("checker-lag", where="films in series and a still layer of indicator")
def checker_lag_h(
    indicator_cm: ArrayLike, film_cm: ArrayLike, *, air_gap_cm: ArrayLike, water_c: ArrayLike
) -> Array:
    """How far a drop checker runs behind the tank: the time in which it covers two thirds of a step.

    Parameters
    ----------
    indicator_cm : depth of the indicator liquid [cm]
    film_cm : unstirred tank water at the checker's mouth, a flooded neck included [cm]
    air_gap_cm : air between mouth and liquid [cm]
    water_c : water temperature [°C]

    Returns
    -------
    Time constant [h], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(checker_lag_h(0.5, 0.075, air_gap_cm=1.0, water_c=25.0)), 1)
    2.0
    """
    t = kelvin(water_c)
    spread_cm2_s = 1.0e4 * 5.019e-6 * np.exp(-19.51 / (8.314462618e-3 * t))
    air_water = 1.0 / (10.0 ** kh_plummer_log10(water_c) * 0.997 * GAS_L_ATM * t)
    deep = np.asarray(indicator_cm, dtype=np.float64)
    slow = np.asarray(film_cm) / spread_cm2_s + np.asarray(air_gap_cm) / (DIFFUSIVITY_AIR_CM2_S * air_water)
    result: Array = deep * (slow + 4.0 * deep / (math.pi**2 * spread_cm2_s)) / 3600.0
    return result
