"""What moves KH over days and weeks: bacteria, plants, and limestone in acid water.

Plants and stone are known to an order of magnitude only; each function says so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.constants import kelvin
from fizzwright.sources import equation

__all__ = [
    "PLANT_SHARE",
    "PlantShare",
    "StoneRates",
    "aragonite_log10",
    "calcite_log10",
    "calcite_saturation_log10",
    "nitrogen_alk_meq_l",
    "stone_first_log10",
    "stone_meq_l_h",
    "stone_rates",
    "stone_second_log10",
    "stone_third_log10",
]

Array = NDArray[np.float64]

NITROGEN_G_MOL = 14.0067
# Plummer, Wigley & Parkhurst rates are in mmol/cm2/s; a litre-hour of equivalents from a square metre.
_TO_MEQ_M2_H = 2.0 * 1.0e4 * 3600.0


@dataclass(frozen=True)
class PlantShare:
    """Alkalinity plants give back for nitrate they take, in equivalents for a mole (90 % limits)."""

    middle_ratio: float
    low_ratio: float
    high_ratio: float
    source: str


PLANT_SHARE = PlantShare(0.4, 0.0, 0.8, "plant-cation-bookkeeping")


@equation("stumm-morgan-1996", where="alkalinity of nitrogen changes, equivalents for a mole")
def nitrogen_alk_meq_l(nitrogen_mg_l: ArrayLike, alk_ratio: ArrayLike) -> Array:
    """How far a change of nitrogen moves the alkalinity.

    Ammonium to nitrate takes 2 for a mole, protein to nitrate 1, nitrate to nitrogen gas gives 1, plants
    give up to 1 for nitrate and take 1 for ammonium.

    Parameters
    ----------
    nitrogen_mg_l : nitrogen changed, as N [mg/L]
    alk_ratio : equivalents gained for a mole, negative where lost [-]

    Returns
    -------
    Change of alkalinity [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(nitrogen_alk_meq_l(1.0, -2.0)) / 0.356650, 3)
    -0.4
    """
    result: Array = (
        np.asarray(nitrogen_mg_l, dtype=np.float64) / NITROGEN_G_MOL * np.asarray(alk_ratio, dtype=np.float64)
    )
    return result


@equation("plummer-busenberg-1982", where="abstract, calcite", valid={"water_c": (0.0, 90.0)})
def calcite_log10(water_c: ArrayLike) -> Array:
    """How much limestone a water can hold at most, as the product of calcium and carbonate.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aCa aCO3 at saturation [log10 of mol²/kg²], shape of `water_c`

    Examples
    --------
    >>> round(float(calcite_log10(25.0)), 2)
    -8.48
    """
    t = kelvin(water_c)
    result: Array = -171.9065 - 0.077993 * t + 2839.319 / t + 71.595 * np.log10(t)
    return result


@equation("plummer-busenberg-1982", where="abstract, aragonite", valid={"water_c": (0.0, 90.0)})
def aragonite_log10(water_c: ArrayLike) -> Array:
    """How much of the softer form of limestone, as in shells and coral sand, a water can hold at most.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of aCa aCO3 at saturation [log10 of mol²/kg²], shape of `water_c`

    Examples
    --------
    >>> round(float(aragonite_log10(25.0)), 2)
    -8.34
    """
    t = kelvin(water_c)
    result: Array = -171.9773 - 0.077993 * t + 2903.293 / t + 71.595 * np.log10(t)
    return result


@equation("stumm-morgan-1996", where="saturation index")
def calcite_saturation_log10(
    ca_activity_mol_kg: ArrayLike, co3_activity_mol_kg: ArrayLike, *, water_c: ArrayLike
) -> Array:
    """Whether limestone dissolves (below nil) or scale forms (above) in a water.

    Parameters
    ----------
    ca_activity_mol_kg : activity of calcium [mol/kg]
    co3_activity_mol_kg : activity of carbonate [mol/kg]
    water_c : water temperature [°C]

    Returns
    -------
    Saturation index of calcite [-], shape of the inputs broadcast
    """
    product = np.asarray(ca_activity_mol_kg, dtype=np.float64) * np.asarray(co3_activity_mol_kg)
    result: Array = np.log10(np.maximum(product, 1e-30)) - calcite_log10(water_c)
    return result


@equation("plummer-1978", where="k1, attack by acid", valid={"water_c": (5.0, 60.0)})
def stone_first_log10(water_c: ArrayLike) -> Array:
    """How fast acid itself eats limestone.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of k1 [log10 of cm/s], shape of `water_c`

    Examples
    --------
    >>> round(float(10 ** stone_first_log10(25.0)), 4)
    0.0511
    """
    return 0.198 - 444.0 / kelvin(water_c)


@equation("plummer-1978", where="k2, attack by CO2", valid={"water_c": (5.0, 60.0)})
def stone_second_log10(water_c: ArrayLike) -> Array:
    """How fast dissolved CO2 eats limestone.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of k2 [log10 of cm/s], shape of `water_c`

    Examples
    --------
    >>> round(float(1e5 * 10 ** stone_second_log10(25.0)), 2)
    3.45
    """
    return 2.84 - 2177.0 / kelvin(water_c)


@equation("plummer-1978", where="k3, attack by water", valid={"water_c": (5.0, 48.0)})
def stone_third_log10(water_c: ArrayLike) -> Array:
    """How fast water by itself eats limestone, the largest part in a tank.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of k3 [log10 of mmol/cm²/s], shape of `water_c`

    Examples
    --------
    >>> round(float(1e7 * 10 ** stone_third_log10(25.0)), 2)
    1.19
    """
    t = np.asarray(water_c, dtype=np.float64)
    return np.where(t <= 25.0, -5.86 - 317.0 / kelvin(t), -1.10 - 1737.0 / kelvin(t))[()]


@dataclass(frozen=True)
class StoneRates:
    """The three rate constants of limestone at one temperature."""

    first_log10: Array
    second_log10: Array
    third_log10: Array


def stone_rates(water_c: ArrayLike) -> StoneRates:
    """The three rate constants of limestone at one temperature."""
    return StoneRates(stone_first_log10(water_c), stone_second_log10(water_c), stone_third_log10(water_c))


@equation("plummer-1978", where="forward rate times 1 - 10^(2/3 SI), as PHREEQC codes it")
def stone_meq_l_h(
    ph: ArrayLike,
    co2_mmol_l: ArrayLike,
    *,
    saturation_log10: ArrayLike,
    rates: StoneRates,
    stone_m2_l_ratio: ArrayLike,
) -> Array:
    """How fast bare limestone raises the alkalinity of a tank; an order of magnitude only.

    Parameters
    ----------
    ph : pH [activity scale]
    co2_mmol_l : free CO2 [mmol/L]
    saturation_log10 : saturation index of calcite [-]
    rates : rate constants at the water's temperature
    stone_m2_l_ratio : bare stone surface for each litre of water [m²/L]

    Returns
    -------
    Rise of alkalinity, negative where scale would form [meq/L/h], shape of the inputs broadcast
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    forward = (
        10.0**rates.first_log10 * acid
        + 10.0**rates.second_log10 * np.asarray(co2_mmol_l, dtype=np.float64) / 1000.0
        + 10.0**rates.third_log10
    )
    held_back = 1.0 - 10.0 ** (2.0 / 3.0 * np.asarray(saturation_log10, dtype=np.float64))
    result: Array = _TO_MEQ_M2_H * forward * held_back * np.asarray(stone_m2_l_ratio)
    return result
