"""A down-flow chamber: what it keeps back until it is small, and what its gas cushion can swallow."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import held
from fizzwright.engines.bubbles.medium import CO2, BubbleWater
from fizzwright.engines.bubbles.stays import hose_dissolved_frac, largest_held_mm
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.sources import equation

__all__ = [
    "AIR_SHARE_FRAC",
    "cushion_absorption_mg_h",
    "pure_saturation_mg_l",
    "swept_out_frac",
    "swept_share_frac",
]

Array = NDArray[np.float64]
Values = float | Array

# Nitrogen and oxygen a bubble takes out of aired water while its CO2 leaves, as a share of its first volume.
AIR_SHARE_FRAC = 0.022


@equation("bubble-chamber", where="bubbles leave a down-flow once they rise no faster than it")
def swept_out_frac(largest_held_mm: Values, diameter_mm: Values) -> Array:
    """Share of the gas that a down-flow chamber still lets out of its foot as small bubbles.

    Parameters
    ----------
    largest_held_mm : size that rises just as fast as the water comes down [mm]
    diameter_mm : size of the bubbles as they come in [mm]

    Returns
    -------
    share of the gas [-], common shape of the inputs

    Examples
    --------
    >>> round(float(swept_out_frac(0.4, 2.0)), 3)
    0.008
    """
    share: Array = np.minimum(np.asarray(largest_held_mm, dtype=float) / diameter_mm, 1.0) ** 3
    return share


@equation("lewis-whitman-1924", where="k A (C* - C) over the face of the cushion")
def cushion_absorption_mg_h(
    chamber_mm: Values, film_m_s: Values, *, saturation_mg_l: Values, bulk_mg_l: Values
) -> Array:
    """CO2 that the gas cushion at the top of a chamber passes into the water, at most.

    Parameters
    ----------
    chamber_mm : inside width of the chamber [mm]
    film_m_s : film coefficient of the splashed face [m/s]
    saturation_mg_l : what water in balance with the cushion would hold [mg/L]
    bulk_mg_l : free CO2 in the water [mg/L]

    Returns
    -------
    rate [mg/h], common shape of the inputs

    Examples
    --------
    >>> round(float(cushion_absorption_mg_h(75.0, 1e-4, saturation_mg_l=1400.0, bulk_mg_l=20.0)))
    2195
    """
    area_m2 = np.pi / 4.0 * (1e-3 * np.asarray(chamber_mm, dtype=float)) ** 2
    # mg/L is g/m3: times 1000 for mg/m3, times 3600 for an hour.
    drive = np.maximum(np.asarray(saturation_mg_l, dtype=float) - bulk_mg_l, 0.0)
    rate: Array = 3.6e6 * area_m2 * film_m_s * drive
    return rate


def pure_saturation_mg_l(water: BubbleWater) -> float:
    """CO2 that water would hold under pure moist CO2 at the surface's pressure. [mg/L]"""
    dry = water.surface_pa - water.vapour_pa
    return float(water.solubility_mol_m3_pa[CO2]) * dry * CO2_G_MOL


def swept_share_frac(
    water_l_h: Array, chamber_mm: Array, *, diameter_mm: Array, hose_length_m: float, water_c: float
) -> Array:
    """Share of the gas that dissolves in a chamber and the hose after it, nothing rising after the outlet.

    Parameters
    ----------
    water_l_h : water flow, shape (draws,) [L/h]
    chamber_mm : inside width, shape (draws,) [mm]
    diameter_mm : size of the bubbles as they come in, shape (draws,) [mm]
    hose_length_m : hose from the chamber to the tank [m]
    water_c : water temperature [°C]

    Returns
    -------
    dissolved share [-], shape (2, draws): stiff skin, then the skin of tap water
    """
    speed = np.minimum(held.chamber_speed_m_s(water_l_h, chamber_mm), 0.2)
    kept = largest_held_mm(speed, water_c=water_c)
    out = swept_out_frac(kept, diameter_mm)
    small = np.clip(np.minimum(kept, diameter_mm), 0.05, 3.0)
    # The hose's part by a table over size: the flow's own doubt is in the size that is swept out.
    nodes = np.geomspace(0.05, 3.0, 16)
    table = hose_dissolved_frac(nodes, hose_length_m, water_l_h=float(np.median(water_l_h)), water_c=water_c)
    late = np.stack([np.interp(small, nodes, row) for row in table])
    share: Array = 1.0 - out * (1.0 - late)
    return share
