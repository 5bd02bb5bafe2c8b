"""What a drop checker and a pH probe show of a day: late, and off by their offset."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.diffusion import diffusivity_co2_jahne_m2_s
from fizzwright.sources import equation

__all__ = ["checker_co2_mg_l", "checker_lag_h", "probe_ph"]

Array = NDArray[np.float64]

# CO2 in air at room temperature; a centimetre of it slows a checker by seconds only.
AIR_M2_S = 1.6e-5
# CO2 in air over CO2 in water at 25 degC.
AIR_OVER_WATER_RATIO = 1.20


@equation(
    "checker-two-films",
    where="unstirred film, air gap and liquid in series",
    valid={"liquid_mm": (1.0, 12.0), "film_mm": (0.1, 3.0), "air_mm": (1.0, 50.0)},
)
def checker_lag_h(
    liquid_mm: float, film_mm: float = 0.7, *, air_mm: float = 10.0, water_c: float = 25.0
) -> float:
    """How far a drop checker runs behind the tank, as a first-order time constant.

    The unstirred liquid sets it, the tank-side film comes second, the air gap hardly counts. Convection in
    the bulb makes a real one quicker, so this is the slow side.

    Parameters
    ----------
    liquid_mm : float
        Depth of the indicator liquid. [mm]
    film_mm : float
        Unstirred water at the mouth; a flooded neck counts with its whole length. [mm]
    air_mm : float
        Air between the two waters. [mm]
    water_c : float
        Water temperature. [degC]

    Returns
    -------
    float
        Time constant. [h]

    Examples
    --------
    >>> round(checker_lag_h(5.0), 1)
    2.0
    """
    liquid, film, air = liquid_mm * 1e-3, film_mm * 1e-3, air_mm * 1e-3
    water_m2_s = float(diffusivity_co2_jahne_m2_s(water_c))
    resistance_s_m = (
        film / water_m2_s + air / (AIR_M2_S * AIR_OVER_WATER_RATIO) + 4 * liquid / (np.pi**2 * water_m2_s)
    )
    return float(liquid * resistance_s_m / 3600.0)


@equation("first-order-lag", where="exact answer to straight pieces")
def checker_co2_mg_l(nodes_min: Array, co2_mg_l: Array, *, lag_h: float, repeats: bool = False) -> Array:
    """The CO2 in a drop checker's liquid while the tank's runs straight between the nodes.

    Parameters
    ----------
    nodes_min : array, shape (nodes,)
        Times. [min]
    co2_mg_l : array, shape (nodes, ...)
        CO2 in the tank. [mg/L]
    lag_h : float
        Time constant, as `checker_lag_h` gives. [h]
    repeats : bool
        True where the course repeats itself; else the liquid starts level with the tank.

    Returns
    -------
    array
        CO2 in the liquid, shape of `co2_mg_l`. [mg/L]

    Examples
    --------
    >>> checker_co2_mg_l(np.array([0.0, 60.0]), np.array([20.0, 20.0]), lag_h=2.0).tolist()
    [20.0, 20.0]
    """
    return _lagged(nodes_min, co2_mg_l, lag_h=lag_h, repeats=repeats)


@equation("first-order-lag", where="exact answer to straight pieces, and an offset")
def probe_ph(nodes_min: Array, ph: Array, *, offset_ph: float = 0.0, lag_h: float = 1.0 / 60.0) -> Array:
    """The pH a probe shows: what is there, late by its lag and off by its offset.

    Parameters
    ----------
    nodes_min : array, shape (nodes,)
        Times. [min]
    ph : array, shape (nodes, ...)
        The true pH. [pH]
    offset_ph : float
        Reading less truth; 0.1 of it is 26 % of CO2. [pH]
    lag_h : float
        Time constant; a minute when clean, many when fouled. [h]

    Returns
    -------
    array
        The reading, shape of `ph`. [pH]
    """
    return _lagged(nodes_min, ph, lag_h=lag_h, repeats=False) + offset_ph


def _lagged(nodes_min: Array, values: Array, *, lag_h: float, repeats: bool) -> Array:
    """A first-order answer to values that run straight between the nodes."""
    shown = np.empty_like(values, dtype=float)
    shown[0] = values[0]
    for _ in range(2 if repeats else 1):
        for i, width in enumerate(np.diff(nodes_min) / 60.0):
            kept = np.exp(-width / lag_h)
            behind = (values[i + 1] - values[i]) / width * lag_h
            shown[i + 1] = values[i + 1] - behind + (shown[i] - values[i] + behind) * kept
        if repeats:
            # What is left of the start after one course follows from the geometric series.
            whole = np.exp(-(nodes_min[-1] - nodes_min[0]) / 60.0 / lag_h)
            shown[0] = shown[0] + (shown[-1] - shown[0]) / (1.0 - whole)
    return shown
