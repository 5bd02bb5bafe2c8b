"""The states of a bubble's skin side by side, and a plume of bubbles that are all of one size."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import clean_closure, contaminated_closure, tap_closure
from fizzwright.engines.bubbles.cloud import Cloud, Column, rise_together
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.medium import CO2, bubble_water
from fizzwright.engines.bubbles.transfer import transfer_rigid_clift_m_s

__all__ = ["OneSizePlume", "SkinSpeeds", "one_size_plume", "skin_speeds"]

Array = NDArray[np.float64]
Values = float | Array


@dataclass(frozen=True, eq=False)
class SkinSpeeds:
    """Rise and CO2 film speeds of one bubble by the state of its skin.

    `film_clift_m_s` is a second opinion on the stiff film, at the contaminated rise speed.
    """

    rise_contaminated_m_s: Array
    rise_tap_m_s: Array
    rise_clean_m_s: Array
    film_contaminated_m_s: Array
    film_tap_m_s: Array
    film_clean_m_s: Array
    film_clift_m_s: Array


def skin_speeds(diameter_mm: Values, *, water_c: float = 25.0) -> SkinSpeeds:
    """Compare how fast bubbles rise and pass CO2, by the state of their skin.

    Parameters
    ----------
    diameter_mm : bubble size [mm]
    water_c : water temperature [°C]

    Returns
    -------
    speeds for each skin, shape of the size

    Examples
    --------
    >>> round(float(skin_speeds(1.0, water_c=20.0).rise_contaminated_m_s), 3)
    0.116
    """
    water = bubble_water(water_c)
    d = 1e-3 * np.asarray(diameter_mm, dtype=float)
    stiff = contaminated_closure(water).speeds_m_s(d)
    tap = tap_closure(water).speeds_m_s(d)
    clean = clean_closure(water).speeds_m_s(d)
    clift = transfer_rigid_clift_m_s(
        d,
        stiff[0],
        diffusivity_m2_s=float(water.diffusivity_m2_s[CO2]),
        kinematic_m2_s=water.kinematic_m2_s,
    )
    return SkinSpeeds(stiff[0], tap[0], clean[0], stiff[1], tap[1], clean[1], clift)


@dataclass(frozen=True, eq=False)
class OneSizePlume:
    """A plume of equal bubbles: share dissolved, and the water's upward speed on the way."""

    dissolved_frac: float
    mean_lift_m_s: float
    lift_5cm_m_s: float
    height_m: Array
    lift_m_s: Array


def one_size_plume(
    diameter_mm: float,
    depth_m: float,
    *,
    flow_ml_min_n: float,
    disc_mm: float = 25.0,
    current_m_s: float = 0.0,
) -> OneSizePlume:
    """What a disc of equal stiff-skinned bubbles at 25 °C and 15 mg/L dissolves in the column it lifts.

    Parameters
    ----------
    diameter_mm : bubble size at release [mm]
    depth_m : depth of the disc [m]
    flow_ml_min_n : gas flow [mL/min at 20 °C, 1 atm]
    disc_mm : width of the disc [mm]
    current_m_s : speed of the water across the column [m/s]

    Returns
    -------
    dissolved share and the course of the lifted water, with its speed 5 cm over the disc

    Examples
    --------
    >>> round(one_size_plume(1.0, 0.2, flow_ml_min_n=20.0).dissolved_frac, 2)
    0.54
    """
    water = bubble_water(25.0)
    closure = contaminated_closure(water)
    d = np.array([[1e-3 * diameter_mm]])
    gas = np.zeros((3, 1, 1))
    gas[CO2] = bubble_amount_mol(d, depth_m, water=water)
    rise = closure.speeds_m_s(d[:, 0])[0]
    column = np.zeros((1, 1), dtype=np.intp)
    cloud = Cloud.fed(gas, flow_ml_min_n, weight_frac=1.0, column=column, lift_rise_m_s=rise)
    place = Column(depth_m, flow_ml_min_n, disc_mm, current_m_s)
    end = rise_together(water, cloud, closure=closure, column=place)
    return OneSizePlume(
        dissolved_frac=float(1.0 - end.gas_mol[CO2, 0, 0] / gas[CO2, 0, 0]),
        mean_lift_m_s=float(end.mean_lift_m_s[0]),
        lift_5cm_m_s=float(np.interp(0.05, end.height_m, end.lift_m_s[0])),
        height_m=end.height_m,
        lift_m_s=end.lift_m_s[0],
    )
