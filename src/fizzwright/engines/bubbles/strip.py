"""How air bubbles carry CO2 out of the water."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import (
    CONTAMINATED_EQUATIONS,
    TAP_EQUATIONS,
    contaminated_closure,
    tap_closure,
)
from fizzwright.engines.bubbles.medium import CO2, WATER_EQUATIONS, bubble_water
from fizzwright.sources import equation

__all__ = [
    "AIR_STONE_EQUATIONS",
    "air_stone_per_h",
    "bubble_exchange_number",
    "packed_column_removed_mg_l",
    "strip_ceiling_per_h",
    "strip_over_oxygen_ratio",
    "strip_rate_per_h",
]

Array = NDArray[np.float64]
Values = float | Array


@equation("bubble-stripping", where="6 k H R T t / d", valid={"diameter_m": (2e-4, 8e-3)})
def bubble_exchange_number(
    diameter_m: Values, stay_s: Values, *, transfer_m_s: Values, capacity_ratio: Values
) -> Array:
    """How often a bubble could have filled itself with a gas on its way; over 3 it leaves full.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    stay_s : time from the stone to the surface [s]
    transfer_m_s : film coefficient of the gas [m/s]
    capacity_ratio : gas held by a litre of water over that in a litre of gas at equal pressure [-]

    Returns
    -------
    number of fillings [-], common shape of the inputs

    Examples
    --------
    >>> round(float(bubble_exchange_number(2e-3, 2.0, transfer_m_s=1e-4, capacity_ratio=0.83)), 2)
    0.5
    """
    d = np.asarray(diameter_m, dtype=float)
    return np.asarray(6.0 * transfer_m_s * capacity_ratio * stay_s / d)[()]


@equation("bubble-stripping", where="air leaves full of CO2", valid={"capacity_ratio": (0.01, 2.0)})
def strip_ceiling_per_h(air_l_h: Values, volume_l: Values, *, capacity_ratio: Values) -> Array:
    """Most that bubbling can strip, with every bubble full of the gas when it leaves.

    Parameters
    ----------
    air_l_h : air flow at tank temperature and pressure [L/h]
    volume_l : water volume [L]
    capacity_ratio : gas held by a litre of water over that in a litre of gas at equal pressure [-]

    Returns
    -------
    share of the dissolved gas lost in an hour [1/h], common shape of the inputs

    Examples
    --------
    >>> round(float(strip_ceiling_per_h(60.0, 100.0, capacity_ratio=0.83)), 2)
    0.72
    """
    return np.asarray(air_l_h / (np.asarray(volume_l, dtype=float) * capacity_ratio))[()]


@equation("bubble-stripping", where="(Q/V) (1 - exp(-X)) / (HRT)", valid={"exchange_number": (0.0, 50.0)})
def strip_rate_per_h(
    air_l_h: Values, volume_l: Values, *, capacity_ratio: Values, exchange_number: Values
) -> Array:
    """How fast air bubbles alone strip a gas; the surface they stir adds its own share.

    Parameters
    ----------
    air_l_h : air flow at tank temperature and pressure [L/h]
    volume_l : water volume [L]
    capacity_ratio : gas held by a litre of water over that in a litre of gas at equal pressure [-]
    exchange_number : fillings of a bubble on its way [-]

    Returns
    -------
    share of the dissolved gas lost in an hour [1/h], common shape of the inputs

    Examples
    --------
    >>> round(float(strip_rate_per_h(60.0, 100.0, capacity_ratio=0.83, exchange_number=1.0)), 3)
    0.457
    """
    full = strip_ceiling_per_h(air_l_h, volume_l, capacity_ratio=capacity_ratio)
    rate: Array = full * -np.expm1(-np.asarray(exchange_number, dtype=float))
    return rate


@equation("bubble-stripping", where="(1 - exp(-X)) / X", valid={"exchange_number": (1e-6, 50.0)})
def strip_over_oxygen_ratio(exchange_number: Values) -> Array:
    """How far CO2 lags behind oxygen in the same bubbles, for oxygen far from filling or emptying them.

    Parameters
    ----------
    exchange_number : fillings of a bubble with CO2 on its way [-]

    Returns
    -------
    rate for CO2 over rate for oxygen [-], shape of the input

    Examples
    --------
    >>> round(float(strip_over_oxygen_ratio(1.0)), 2)
    0.63
    """
    x = np.maximum(np.asarray(exchange_number, dtype=float), 1e-12)
    ratio: Array = -np.expm1(-x) / x
    return ratio


@equation("hu-2011", where="7.0 mg/L at the inlet", valid={"gas_liquid_ratio": (1.0, 10.0)})
def packed_column_removed_mg_l(gas_liquid_ratio: Values) -> Array:
    """CO2 that a packed degassing column takes from water that comes in with 7.0 mg/L.

    Parameters
    ----------
    gas_liquid_ratio : air flow over water flow, by volume [-]

    Returns
    -------
    CO2 removed [mg/L], shape of the input

    Examples
    --------
    >>> round(float(packed_column_removed_mg_l(5.0)), 2)
    5.78
    """
    removed: Array = 6.44 - 5.82 * 0.648 ** np.asarray(gas_liquid_ratio, dtype=float)
    return removed


AIR_STONE_EQUATIONS = (
    *WATER_EQUATIONS,
    *CONTAMINATED_EQUATIONS,
    *TAP_EQUATIONS,
    bubble_exchange_number,
    strip_ceiling_per_h,
    strip_rate_per_h,
)


def air_stone_per_h(
    air_l_h: Values, volume_l: Values, *, diameter_mm: Values, depth_m: Values, water_c: float = 25.0
) -> Array:
    """How fast an air stone's bubbles strip CO2 in still water, for a stiff skin and for that of tap water.

    Parameters
    ----------
    air_l_h : air flow at tank temperature and pressure [L/h]
    volume_l : water volume [L]
    diameter_mm : bubble size [mm]
    depth_m : depth of the stone [m]
    water_c : water temperature [°C]

    Returns
    -------
    share of the dissolved CO2 lost in an hour [1/h], shape (2, ...): stiff skin, then tap water

    Examples
    --------
    >>> air_stone_per_h(60.0, 100.0, diameter_mm=2.0, depth_m=0.4).round(2).tolist()
    [0.27, 0.6]
    """
    water = bubble_water(water_c)
    d = 1e-3 * np.asarray(diameter_mm, dtype=float)
    capacity = float(water.solubility_mol_m3_pa[CO2]) * water.thermal_j_mol
    rates = []
    for closure in (contaminated_closure(water), tap_closure(water)):
        rise, film = closure.speeds_m_s(d)[:2]
        number = bubble_exchange_number(d, depth_m / rise, transfer_m_s=film, capacity_ratio=capacity)
        rates.append(strip_rate_per_h(air_l_h, volume_l, capacity_ratio=capacity, exchange_number=number))
    return np.stack(np.broadcast_arrays(*rates))
