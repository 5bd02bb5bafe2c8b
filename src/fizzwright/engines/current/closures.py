"""The laws the current rests on: how an outlet drives it, how eddies stir it, how leaves hold it back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = [
    "LEAF_DRAG_NUMBER", "jet_viscosity_m2_s", "leaf_drag_per_s", "line_jet_viscosity_m2_s",
    "outlet_reynolds_number", "outlet_speed_m_s", "room_viscosity_m2_s",
]  # fmt: skip

Array = NDArray[np.float64]
Values = float | Array

LEAF_DRAG_NUMBER = 1.0


@equation("continuity", where="flow over open area")
def outlet_speed_m_s(flow_l_h: Values, bore_mm: Values, *, openings_count: int = 1) -> Array:
    """How fast the water leaves an outlet.

    Parameters
    ----------
    flow_l_h : float or array
        Water flow. [L/h]
    bore_mm : float or array
        Inner diameter of each opening. [mm]
    openings_count : int
        How many openings share the flow.

    Returns
    -------
    array
        Mean speed in the opening. [m/s]

    Examples
    --------
    >>> round(float(outlet_speed_m_s(600.0, 13.0)), 3)
    1.256
    """
    area = openings_count * np.pi / 4.0 * (1e-3 * np.asarray(bore_mm, dtype=float)) ** 2
    speed: Array = flow_l_h / 3.6e6 / area
    return speed


@equation("continuity", where="speed times diameter over viscosity")
def outlet_reynolds_number(speed_m_s: Values, bore_mm: Values, *, kinematic_m2_s: float = 0.893e-6) -> Array:
    """Whether a jet is fully turbulent (over 10 000) or decays by rules of its own.

    Parameters
    ----------
    speed_m_s : float or array
        Mean speed in the opening. [m/s]
    bore_mm : float or array
        Inner diameter. [mm]
    kinematic_m2_s : float
        Viscosity of the water over its density. [m²/s]

    Returns
    -------
    array
        Reynolds number.

    Examples
    --------
    >>> round(float(outlet_reynolds_number(1.256, 13.0)), -2)
    18300.0
    """
    number: Array = np.asarray(speed_m_s, dtype=float) * 1e-3 * bore_mm / kinematic_m2_s
    return number


@equation("pope-2000", where="round jet: eddy viscosity 0.028 of centre speed times half width")
def jet_viscosity_m2_s(speed_m_s: Values, bore_mm: Values) -> Array:
    """Eddy viscosity of a round jet, the same all along it; no eddy in the tank stirs more.

    Parameters
    ----------
    speed_m_s : float or array
        Mean speed in the opening. [m/s]
    bore_mm : float or array
        Inner diameter of the opening. [mm]

    Returns
    -------
    array
        Eddy viscosity. [m²/s]

    Examples
    --------
    >>> round(1e4 * float(jet_viscosity_m2_s(1.256, 13.0)), 2)
    2.5
    """
    viscosity: Array = 0.0153 * np.asarray(speed_m_s, dtype=float) * 1e-3 * bore_mm
    return viscosity


@equation("pope-2000", where="plane jet: Reynolds number 31, centre speed 2.4 (K/x)^1/2, half width 0.1 x")
def line_jet_viscosity_m2_s(
    flow_l_h: Values, speed_m_s: Values, *, length_m: Values, reach_m: Values
) -> Array:
    """Eddy viscosity of the sheet that the jets of a spray bar merge into, half way across the tank.

    Parameters
    ----------
    flow_l_h : float or array
        Water flow of the whole bar. [L/h]
    speed_m_s : float or array
        Speed in the holes. [m/s]
    length_m : float or array
        Length of the row of holes. [m]
    reach_m : float or array
        How far the sheet runs. [m]

    Returns
    -------
    array
        Eddy viscosity. [m²/s]
    """
    push = np.asarray(flow_l_h, dtype=float) / 3.6e6 * speed_m_s / length_m
    viscosity: Array = 2.4 * 0.1 / 31.0 * np.sqrt(push * 0.5 * reach_m)
    return viscosity


@equation("chen-xu-1998", where="zero-equation model, constant 0.03874", valid={"length_m": (0.0, 0.10)})
def room_viscosity_m2_s(speed_m_s: Values, length_m: Values) -> Array:
    """Eddy viscosity of water that turns round a box, from its speed and the way to the nearest wall.

    Parameters
    ----------
    speed_m_s : float or array
        Speed there. [m/s]
    length_m : float or array
        Distance to the nearest wall, or what eddies are held to. [m]

    Returns
    -------
    array
        Eddy viscosity. [m²/s]

    Examples
    --------
    >>> round(1e5 * float(room_viscosity_m2_s(0.03, 0.05)), 2)
    5.81
    """
    viscosity: Array = 0.03874 * np.asarray(speed_m_s, dtype=float) * length_m
    return viscosity


@equation("nepf-1999", where="drag of a stand of stems, half Cd a U squared")
def leaf_drag_per_s(speed_m_s: Values, front_m2: Values, *, drag_number: float = LEAF_DRAG_NUMBER) -> Array:
    """How quickly leaves slow the water that passes through them.

    Parameters
    ----------
    speed_m_s : float or array
        Speed between the leaves. [m/s]
    front_m2 : float or array
        Frontal area of leaves in a cubic metre. [m²]
    drag_number : float
        Drag coefficient.

    Returns
    -------
    array
        Share of its momentum the water loses in a second. [1/s]

    Examples
    --------
    >>> round(float(leaf_drag_per_s(0.02, 10.0)), 3)
    0.1
    """
    rate: Array = 0.5 * drag_number * np.asarray(front_m2, dtype=float) * speed_m_s
    return rate
