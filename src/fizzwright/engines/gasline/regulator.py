"""The regulator: how its outlet creeps up while the bottle falls, and what that does to the flow."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import Floats
from fizzwright.sources import equation

__all__ = [
    "choked_multiplier_factor",
    "laminar_multiplier_factor",
    "linear_multiplier_factor",
    "outlet_barg",
    "supply_effect_frac",
]


@equation("regulator-force-balance", where="area of seat over area of diaphragm")
def supply_effect_frac(seat_mm: Floats, diaphragm_mm: Floats) -> Floats:
    """The outlet rise of a one-stage regulator for each bar its inlet falls, from its sizes.

    Parameters
    ----------
    seat_mm : float or array
        Diameter of the valve seat. [mm]
    diaphragm_mm : float or array
        Effective diameter of the diaphragm. [mm]

    Returns
    -------
    float or array
        Rise over fall. [share]

    Examples
    --------
    >>> round(supply_effect_frac(2.0, 30.0), 5)
    0.00444
    """
    return (seat_mm / diaphragm_mm) ** 2


@equation("regulator-force-balance", where="outlet against inlet at constant spring force")
def outlet_barg(
    set_barg: Floats, inlet_barg: Floats, *, set_inlet_barg: Floats, supply_effect_frac: Floats
) -> Floats:
    """The outlet pressure now of a regulator that was set while its inlet was higher.

    Parameters
    ----------
    set_barg : float or array
        Outlet when it was set. [bar g]
    inlet_barg : float or array
        Bottle gauge now. [bar g]
    set_inlet_barg : float or array
        Bottle gauge when it was set. [bar g]
    supply_effect_frac : float or array
        Rise for each bar of fall; for two stages the product of both. [share]

    Returns
    -------
    float or array
        Outlet pressure. [bar g]

    Examples
    --------
    >>> round(outlet_barg(2.0, 10.0, set_inlet_barg=58.0, supply_effect_frac=0.01), 2)
    2.48
    """
    return set_barg + supply_effect_frac * (set_inlet_barg - inlet_barg)


@equation("needle-laminar", where="flow ~ p1^2 - p2^2")
def laminar_multiplier_factor(before_bara: Floats, after_bara: Floats, *, back_bara: Floats) -> Floats:
    """How many times more flows through a valve with a fine gap when the pressure before it changes.

    Parameters
    ----------
    before_bara : float or array
        Pressure before the valve when it was set. [bar abs]
    after_bara : float or array
        Pressure before the valve now. [bar abs]
    back_bara : float or array
        Pressure behind the valve. [bar abs]

    Returns
    -------
    float or array
        Flow now over flow then. [factor]
    """
    return np.divide(np.square(after_bara) - back_bara**2, np.square(before_bara) - back_bara**2)


@equation("needle-linear", where="flow ~ p1 - p2")
def linear_multiplier_factor(before_bara: Floats, after_bara: Floats, *, back_bara: Floats) -> Floats:
    """How many times more flows when flow goes with the pressure difference.

    Parameters
    ----------
    before_bara : float or array
        Pressure before the valve when it was set. [bar abs]
    after_bara : float or array
        Pressure before the valve now. [bar abs]
    back_bara : float or array
        Pressure behind the valve. [bar abs]

    Returns
    -------
    float or array
        Flow now over flow then. [factor]
    """
    return np.divide(after_bara - back_bara, before_bara - back_bara)


@equation("needle-choked", where="flow ~ p1")
def choked_multiplier_factor(before_bara: Floats, after_bara: Floats) -> Floats:
    """How many times more flows through a valve at the speed of sound, whatever stands behind it.

    Parameters
    ----------
    before_bara : float or array
        Pressure before the valve when it was set. [bar abs]
    after_bara : float or array
        Pressure before the valve now. [bar abs]

    Returns
    -------
    float or array
        Flow now over flow then. [factor]
    """
    return np.divide(after_bara, before_bara)
