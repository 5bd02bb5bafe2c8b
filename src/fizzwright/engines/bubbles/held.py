"""Bubbles kept under water for a while: along a filter hose, up a ladder, in a down-flow chamber."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import Closure
from fizzwright.engines.bubbles.decay import heun_end, relax
from fizzwright.engines.bubbles.film import Skins, film_rates
from fizzwright.engines.bubbles.medium import BubbleWater
from fizzwright.sources import equation

__all__ = [
    "chamber_speed_m_s", "held_gas_mol", "hose_eddy_m_s", "hose_speed_m_s", "hose_wall_speed_m_s",
    "in_turbulence",
]  # fmt: skip

Array = NDArray[np.float64]
Values = float | Array

HOLD_STEPS = 24


@equation("continuity", where="flow over the bore's area")
def hose_speed_m_s(water_l_h: Values, bore_mm: Values) -> Array:
    """Mean speed of the water in a hose.

    Parameters
    ----------
    water_l_h : water flow [L/h]
    bore_mm : inside width [mm]

    Returns
    -------
    mean speed [m/s], common shape of the inputs

    Examples
    --------
    >>> round(float(hose_speed_m_s(600.0, 12.7)), 2)
    1.32
    """
    area_m2 = np.pi / 4.0 * (1e-3 * np.asarray(bore_mm, dtype=float)) ** 2
    return np.asarray(water_l_h, dtype=float) / 3.6e6 / area_m2


def _friction(speed: Array, bore_m: Array, kinematic: float) -> Array:
    """Darcy friction of a smooth hose: Blasius, or the laminar law where that is larger."""
    reynolds = np.maximum(speed * bore_m / kinematic, 1e-6)
    return np.where(reynolds > 2300.0, 0.316 / reynolds**0.25, 64.0 / reynolds)


@equation(
    "blasius-1913",
    where="friction of smooth pipes; all head loss is spent in the water",
    valid={"water_m_s": (0.2, 5.0)},
)
def hose_eddy_m_s(water_m_s: Values, bore_mm: Values, *, kinematic_m2_s: float) -> Array:
    """Speed of the smallest eddies in a hose, which set how fast films are renewed.

    Parameters
    ----------
    water_m_s : mean speed of the water [m/s]
    bore_mm : inside width [mm]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    (dissipation x kinematic viscosity)^1/4 [m/s], common shape of the inputs

    Examples
    --------
    >>> round(float(hose_eddy_m_s(1.32, 12.7, kinematic_m2_s=0.893e-6)), 4)
    0.0384
    """
    speed, bore = np.asarray(water_m_s, dtype=float), 1e-3 * np.asarray(bore_mm, dtype=float)
    spent = _friction(speed, bore, kinematic_m2_s) * speed**3 / (2.0 * bore)
    eddy: Array = (spent * kinematic_m2_s) ** 0.25
    return eddy


@equation("blasius-1913", where="friction speed v (f/8)^1/2", valid={"water_m_s": (0.2, 5.0)})
def hose_wall_speed_m_s(water_m_s: Values, bore_mm: Values, *, kinematic_m2_s: float) -> Array:
    """Speed of the turbulent swings across a hose; bubbles that rise faster ride along its top.

    Parameters
    ----------
    water_m_s : mean speed of the water [m/s]
    bore_mm : inside width [mm]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    friction speed [m/s], common shape of the inputs

    Examples
    --------
    >>> round(float(hose_wall_speed_m_s(1.3, 12.7, kinematic_m2_s=0.893e-6)), 3)
    0.076
    """
    speed, bore = np.asarray(water_m_s, dtype=float), 1e-3 * np.asarray(bore_mm, dtype=float)
    return speed * np.sqrt(_friction(speed, bore, kinematic_m2_s) / 8.0)


@equation("continuity", where="flow over the chamber's area")
def chamber_speed_m_s(water_l_h: Values, chamber_mm: Values) -> Array:
    """Downward water speed in a reactor chamber; it holds every bubble that rises slower.

    Parameters
    ----------
    water_l_h : water flow [L/h]
    chamber_mm : inside width of the chamber [mm]

    Returns
    -------
    downward speed [m/s], common shape of the inputs

    Examples
    --------
    >>> round(float(chamber_speed_m_s(600.0, 60.0)), 3)
    0.059
    """
    area_m2 = np.pi / 4.0 * (1e-3 * np.asarray(chamber_mm, dtype=float)) ** 2
    return np.asarray(water_l_h, dtype=float) / 3.6e6 / area_m2


def in_turbulence(closure: Closure, film_m_s: Array) -> Closure:
    """The same skin in turbulent water: slip and turbulence add as squares.

    Parameters
    ----------
    closure : the skin in still water
    film_m_s : what turbulence alone gives the three gases, shape (3,) [m/s]

    Returns
    -------
    table with the larger film coefficients
    """
    films = np.sqrt(closure.table_m_s[1:] ** 2 + np.asarray(film_m_s, dtype=float)[:, None] ** 2)
    return Closure(np.concatenate([closure.table_m_s[:1], films]))


@equation("bubble-balance", where="three gases of a bubble held at one depth, stepped in time")
def held_gas_mol(water: BubbleWater, gas_mol: Array, *, skins: Skins, held_s: float, depth_m: float) -> Array:
    """What bubbles still hold after staying under water for a while.

    Parameters
    ----------
    water : water round them
    gas_mol : gases in each bubble, shape (3, ...) [mol]
    skins : laws the bubbles follow
    held_s : time they stay [s]
    depth_m : depth they stay at [m]

    Returns
    -------
    gases left in each bubble [mol], shape (3, ...)
    """
    # Short steps first: the finest bubbles are done in a fraction of a second.
    times = held_s * np.linspace(0.0, 1.0, HOLD_STEPS + 1) ** 2
    gas = gas_mol
    for step in np.diff(times):
        at0 = film_rates(gas, depth_m, water=water, skins=skins)
        third = relax(gas, at0.loss_per_s, gain=at0.gain, step=step / 3.0)
        at1 = film_rates(third, depth_m, water=water, skins=skins, near_m=at0.diameter_m)
        two = relax(gas, at1.loss_per_s, gain=at1.gain, step=step / 1.5)
        at2 = film_rates(two, depth_m, water=water, skins=skins, near_m=at1.diameter_m)
        gas, _ = heun_end(gas, (at0.loss_per_s, at0.gain), late=(at2.loss_per_s, at2.gain), step=step)
    return gas
