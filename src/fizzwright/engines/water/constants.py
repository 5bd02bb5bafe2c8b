"""Equilibrium constants of carbonic acid and water at zero ionic strength, and what joins them to litres.

Constants are molal (mol per kg of water) and given as decimal logarithms. Temperatures may be arrays.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = [
    "ca_co3_pair_log10",
    "ca_hco3_pair_log10",
    "density_smow_kg_m3",
    "k1_millero_log10",
    "k1_plummer_log10",
    "k2_millero_log10",
    "k2_plummer_log10",
    "kelvin",
    "kh_plummer_log10",
    "kw_millero_log10",
]

Array = NDArray[np.float64]

LN_10 = math.log(10.0)
CO2_G_MOL = 44.0095
ZERO_C_K = 273.15


def kelvin(water_c: ArrayLike) -> Array:
    """Absolute temperature. [K]"""
    return np.asarray(water_c, dtype=np.float64) + ZERO_C_K


def _five_terms(temperature_k: Array, terms: tuple[float, float, float, float, float]) -> Array:
    """a + b T + c/T + d log10 T + e/T^2, the form in which fits over a wide range are printed."""
    a, b, c, d, e = terms
    result: Array = (
        a + b * temperature_k + c / temperature_k + d * np.log10(temperature_k) + e / temperature_k**2
    )
    return result


@equation("plummer-busenberg-1982", where="abstract, Henry's law for CO2", valid={"water_c": (0.0, 250.0)})
def kh_plummer_log10(water_c: ArrayLike) -> Array:
    """How much CO2 a kilogram of pure water holds under one atmosphere of CO2.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the solubility [log10 of mol/kg/atm], shape of `water_c`

    Examples
    --------
    >>> round(float(kh_plummer_log10(25.0)), 3)
    -1.468
    """
    return _five_terms(kelvin(water_c), (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0))


@equation("plummer-busenberg-1982", where="abstract, K1", valid={"water_c": (0.0, 250.0)})
def k1_plummer_log10(water_c: ArrayLike) -> Array:
    """How readily dissolved CO2 turns into bicarbonate and acid.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aH aHCO3 / aCO2 [log10 of mol/kg], shape of `water_c`

    Examples
    --------
    >>> round(float(k1_plummer_log10(25.0)), 3)
    -6.352
    """
    return _five_terms(kelvin(water_c), (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0))


@equation("plummer-busenberg-1982", where="abstract, K2", valid={"water_c": (0.0, 250.0)})
def k2_plummer_log10(water_c: ArrayLike) -> Array:
    """How readily bicarbonate turns into carbonate and acid.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aH aCO3 / aHCO3 [log10 of mol/kg], shape of `water_c`

    Examples
    --------
    >>> round(float(k2_plummer_log10(25.0)), 3)
    -10.329
    """
    return _five_terms(kelvin(water_c), (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9))


@equation("millero-1979", where="refit of Harned & Davis 1943, zero salinity", valid={"water_c": (0.0, 50.0)})
def k1_millero_log10(water_c: ArrayLike) -> Array:
    """A second reading of how readily CO2 turns into bicarbonate, from other laboratory work.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the first dissociation constant [log10 of mol/kg], shape of `water_c`

    Examples
    --------
    >>> round(float(k1_millero_log10(25.0)), 2)
    -6.35
    """
    temperature_k = kelvin(water_c)
    natural: Array = 290.9097 - 14554.21 / temperature_k - 45.0575 * np.log(temperature_k)
    return natural / LN_10


@equation(
    "millero-1979", where="refit of Harned & Scholes 1941, zero salinity", valid={"water_c": (0.0, 50.0)}
)
def k2_millero_log10(water_c: ArrayLike) -> Array:
    """A second reading of how readily bicarbonate turns into carbonate, from other laboratory work.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the second dissociation constant [log10 of mol/kg], shape of `water_c`

    Examples
    --------
    >>> round(float(k2_millero_log10(25.0)), 3)
    -10.33
    """
    temperature_k = kelvin(water_c)
    natural: Array = 207.6548 - 11843.79 / temperature_k - 33.6485 * np.log(temperature_k)
    return natural / LN_10


@equation("millero-1979", where="refit of Harned & Owen 1958, zero salinity", valid={"water_c": (0.0, 50.0)})
def kw_millero_log10(water_c: ArrayLike) -> Array:
    """How far pure water splits into acid and alkali.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aH aOH [log10 of mol²/kg²], shape of `water_c`

    Examples
    --------
    >>> round(float(kw_millero_log10(25.0)), 3)
    -13.995
    """
    temperature_k = kelvin(water_c)
    natural: Array = 148.9802 - 13847.26 / temperature_k - 23.6521 * np.log(temperature_k)
    return natural / LN_10


@equation("plummer-busenberg-1982", where="abstract, CaHCO3+ pair", valid={"water_c": (0.0, 90.0)})
def ca_hco3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly calcium holds on to bicarbonate, which a kit counts but which frees no CO2.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aCaHCO3 / (aCa aHCO3) [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> round(float(ca_hco3_pair_log10(25.0)), 2)
    1.11
    """
    temperature_k = kelvin(water_c)
    return 1209.120 + 0.31294 * temperature_k - 34765.05 / temperature_k - 478.782 * np.log10(temperature_k)


@equation("plummer-busenberg-1982", where="abstract, CaCO3 pair in solution", valid={"water_c": (0.0, 90.0)})
def ca_co3_pair_log10(water_c: ArrayLike) -> Array:
    """How strongly calcium holds on to carbonate in solution, which matters over pH 8.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aCaCO3 / (aCa aCO3) [log10 of kg/mol], shape of `water_c`

    Examples
    --------
    >>> round(float(ca_co3_pair_log10(25.0)), 2)
    3.22
    """
    temperature_k = kelvin(water_c)
    return -1228.732 - 0.299444 * temperature_k + 35512.75 / temperature_k + 485.818 * np.log10(temperature_k)


@equation("unesco-1983", where="pure water (SMOW) polynomial, eq. 14", valid={"water_c": (0.0, 40.0)})
def density_smow_kg_m3(water_c: ArrayLike) -> Array:
    """What a cubic metre of fresh water weighs.

    Dissolved salts of an aquarium add under 0.1 % and are left out.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Density at one atmosphere [kg/m³], shape of `water_c`

    Examples
    --------
    >>> round(float(density_smow_kg_m3(20.0)), 2)
    998.21
    """
    t = np.asarray(water_c, dtype=np.float64)
    terms = (6.536332e-9, -1.120083e-6, 1.001685e-4, -9.095290e-3, 6.793952e-2, 999.842594)
    return np.asarray(np.polyval(terms, t), dtype=np.float64)[()]
