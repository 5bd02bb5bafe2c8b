"""How much CO2 dissolves while a hose, a ladder or a down-flow chamber keeps bubbles under water."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import held, transfer
from fizzwright.engines.bubbles.closures import (
    PITCH,
    SMALLEST_M,
    Closure,
    contaminated_closure,
    stack,
    tap_closure,
)
from fizzwright.engines.bubbles.film import Skins, bubble_amount_mol
from fizzwright.engines.bubbles.medium import CO2, BubbleWater, bubble_water

__all__ = [
    "held_dissolved_frac",
    "hose_dissolved_frac",
    "largest_held_mm",
    "stirred_skins",
]

Array = NDArray[np.float64]
Columns = NDArray[np.intp]
Values = float | Array


def stirred_skins(water: BubbleWater, water_l_h: float, *, bore_mm: float) -> tuple[Closure, Columns]:
    """Both skins (contaminated, tap) in the turbulence of a hose, as one table.

    Parameters
    ----------
    water : the water in the hose
    water_l_h : flow through the hose [L/h]
    bore_mm : inside width [mm]

    Returns
    -------
    table of both skins and the column where each starts
    """
    nu, gases = water.kinematic_m2_s, water.diffusivity_m2_s
    eddy = held.hose_eddy_m_s(held.hose_speed_m_s(water_l_h, bore_mm), bore_mm, kinematic_m2_s=nu)
    rigid = transfer.transfer_turbulent_rigid_m_s(eddy, diffusivity_m2_s=gases, kinematic_m2_s=nu)
    mobile = transfer.transfer_turbulent_mobile_m_s(eddy, diffusivity_m2_s=gases, kinematic_m2_s=nu)
    return stack(
        [
            held.in_turbulence(contaminated_closure(water), rigid),
            held.in_turbulence(tap_closure(water), mobile),
        ]
    )


def _kept(water: BubbleWater, diameter_mm: Values, *, skins: Skins, held_s: float, depth_m: float) -> Array:
    """Share of the CO2 that leaves bubbles kept at a depth, one row for each skin."""
    d = 1e-3 * np.atleast_1d(np.asarray(diameter_mm, dtype=float))
    gas = np.zeros((3, 2, d.size))
    gas[CO2] = bubble_amount_mol(d, depth_m, water=water)
    left = held.held_gas_mol(water, gas, skins=skins, held_s=held_s, depth_m=depth_m)
    share: Array = 1.0 - left[CO2] / gas[CO2]
    return share.reshape((2, *np.shape(diameter_mm)))


def hose_dissolved_frac(
    diameter_mm: Values,
    hose_length_m: float,
    *,
    bore_mm: float = 12.7,
    water_l_h: float = 600.0,
    water_c: float = 25.0,
) -> Array:
    """Share of the CO2 that dissolves in the hose after an in-hose atomiser; the rate is in doubt twofold.

    Parameters
    ----------
    diameter_mm : bubble size at the atomiser [mm]
    hose_length_m : hose from there to the outlet [m]
    bore_mm : inside width of the hose [mm]
    water_l_h : flow of the filter [L/h]
    water_c : water temperature [°C]

    Returns
    -------
    dissolved share [-], shape (2, ...): stiff skin, then mobile skin
    """
    water = bubble_water(water_c)
    closure, columns = stirred_skins(water, water_l_h, bore_mm=bore_mm)
    held_s = hose_length_m / float(held.hose_speed_m_s(water_l_h, bore_mm))
    return _kept(water, diameter_mm, skins=Skins(closure, columns[:, None]), held_s=held_s, depth_m=0.1)


def held_dissolved_frac(
    diameter_mm: Values, held_s: float, *, depth_m: float = 0.2, water_c: float = 25.0, co2_mg_l: float = 15.0
) -> Array:
    """Share of the CO2 that dissolves while bubbles are kept at a depth, as on a ladder or in a chamber.

    Parameters
    ----------
    diameter_mm : bubble size at the start [mm]
    held_s : time they are kept [s]
    depth_m : depth they are kept at [m]
    water_c : water temperature [°C]
    co2_mg_l : free CO2 in the water [mg/L]

    Returns
    -------
    dissolved share [-], shape (2, ...): stiff skin, then the skin of tap water
    """
    water = bubble_water(water_c, co2_mg_l=co2_mg_l)
    closure, columns = stack([contaminated_closure(water), tap_closure(water)])
    return _kept(water, diameter_mm, skins=Skins(closure, columns[:, None]), held_s=held_s, depth_m=depth_m)


def largest_held_mm(down_m_s: Values, *, water_c: float = 25.0) -> Array:
    """Largest bubble with a stiff skin that a down-flow keeps from rising.

    Parameters
    ----------
    down_m_s : downward water speed, at most 0.2 m/s for the answer to be one size [m/s]
    water_c : water temperature [°C]

    Returns
    -------
    bubble diameter [mm], shape of the input
    """
    rise = contaminated_closure(bubble_water(water_c)).table_m_s[0]
    top = int(np.argmax(rise))
    place = np.interp(np.asarray(down_m_s, dtype=float), rise[: top + 1], np.arange(top + 1))
    size: Array = 1e3 * SMALLEST_M * np.exp(PITCH * place)
    return size
