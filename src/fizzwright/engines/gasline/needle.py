"""The needle valve: how small an opening a feed needs, and how its flow follows the pressures.

A valve for 5 mL/min is a hole of 17 µm: one grain of dust or a film of oil changes the rate. No curve of
any maker stands here; a valve is known by points measured on it.
"""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.bottle import GAS_J_KG_K
from fizzwright.engines.gasline.gas import KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "CV_KV_RATIO",
    "equivalent_hole_um",
    "flow_sensitivity_exponent",
    "required_kv_l_h",
    "valve_flow_mg_h",
]

CV_KV_RATIO = 1.156
# Heat capacity ratio of CO2, 1.30, over that of air.
HEAT_RATIO_FACTOR = 1.30 / 1.40
_N6 = 31.6


def _expansion(before_bara: Floats, after_bara: Floats, xt_ratio: Floats) -> Floats:
    """Expansion factor times the root of the pressure ratio, held at its choked value."""
    choked = HEAT_RATIO_FACTOR * xt_ratio
    x = np.minimum(1.0 - np.divide(after_bara, before_bara), choked)
    both: Floats = (1.0 - x / (3.0 * choked)) * np.sqrt(np.maximum(x, 0.0))
    return both


@equation("iec-60534-2-1", where="mass form with N6, turbulent", valid={"xt_ratio": (0.2, 0.9)})
def required_kv_l_h(
    flow_mg_h: Floats,
    before_bara: Floats,
    *,
    after_bara: Floats,
    temperature_c: Floats,
    xt_ratio: Floats = 0.7,
) -> Floats:
    """The flow coefficient Kv a valve must have, set, to pass a feed between two pressures.

    Parameters
    ----------
    flow_mg_h : float or array
        Feed. [mg/h]
    before_bara : float or array
        Pressure before the valve. [bar abs]
    after_bara : float or array
        Pressure after it. [bar abs]
    temperature_c : float or array
        Temperature of the gas. [°C]
    xt_ratio : float or array
        Pressure drop ratio at which the valve chokes, about 0.7 for a needle. [ratio]

    Returns
    -------
    float or array
        Kv as litres of water an hour at 1 bar; true small valves lie within about 30 %. [L/h]

    Examples
    --------
    >>> round(float(required_kv_l_h(551.8, 3.0, after_bara=1.5, temperature_c=20.0)), 5)
    0.00824
    """
    density = before_bara * 1e5 / (GAS_J_KG_K * (temperature_c + KELVIN))
    root: Floats = np.sqrt(before_bara * density)
    return flow_mg_h * 1e-6 / (_N6 * _expansion(before_bara, after_bara, xt_ratio) * root) * 1e3


@equation("iec-60534-2-1", where="mass form with N6, turbulent", valid={"xt_ratio": (0.2, 0.9)})
def valve_flow_mg_h(
    kv_l_h: Floats, before_bara: Floats, *, after_bara: Floats, temperature_c: Floats, xt_ratio: Floats = 0.7
) -> Floats:
    """The flow a valve of known Kv passes between two pressures.

    Parameters
    ----------
    kv_l_h : float or array
        Kv as litres of water an hour at 1 bar. [L/h]
    before_bara : float or array
        Pressure before the valve. [bar abs]
    after_bara : float or array
        Pressure after it. [bar abs]
    temperature_c : float or array
        Temperature of the gas. [°C]
    xt_ratio : float or array
        Pressure drop ratio at which the valve chokes. [ratio]

    Returns
    -------
    float or array
        Flow. [mg/h]
    """
    density = before_bara * 1e5 / (GAS_J_KG_K * (temperature_c + KELVIN))
    root: Floats = np.sqrt(before_bara * density)
    return kv_l_h * 1e-3 * _N6 * _expansion(before_bara, after_bara, xt_ratio) * root * 1e6


@equation("iec-60534-2-1", where="definition of Kv with a discharge coefficient")
def equivalent_hole_um(kv_l_h: Floats, discharge_factor: Floats = 0.7) -> Floats:
    """The round hole that passes what the valve passes.

    Parameters
    ----------
    kv_l_h : float or array
        Kv as litres of water an hour at 1 bar. [L/h]
    discharge_factor : float or array
        Discharge coefficient of the hole. [factor]

    Returns
    -------
    float or array
        Diameter. [µm]

    Examples
    --------
    >>> round(float(equivalent_hole_um(0.0082384)), 1)
    17.2
    """
    area_m2 = kv_l_h * 1e-3 / (3600.0 * np.sqrt(200.0) * discharge_factor)
    hole: Floats = np.sqrt(4.0 / np.pi * area_m2) * 1e6
    return hole


@equation("needle-laminar", where="d ln W / d ln p1 of flow ~ p1^2 - p2^2")
def flow_sensitivity_exponent(before_bara: Floats, after_bara: Floats) -> Floats:
    """By how many per cent a fine gap's flow follows each per cent of the pressure before it.

    A choked valve follows one for one; a fine gap with little pressure to spare follows much more.

    Parameters
    ----------
    before_bara : float or array
        Pressure before the valve. [bar abs]
    after_bara : float or array
        Pressure after it. [bar abs]

    Returns
    -------
    float or array
        Per cent of flow for each per cent of pressure. [exponent]

    Examples
    --------
    >>> round(float(flow_sensitivity_exponent(3.0, 2.3)), 1)
    4.9
    """
    squared = np.square(before_bara)
    steep: Floats = 2.0 * squared / (squared - np.square(after_bara))
    return steep
