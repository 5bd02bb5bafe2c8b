"""What a bubble's size is and how its gases pass its skin, the two laws every integration shares.

With the dry gas pressure written as N R T over the volume, the loss of one gas is its amount times a
rate that depends on the diameter alone: lambda = 6 k H R T / d. The gain from the water is
k C pi d^2. Every integration steps this form, which cannot make an amount negative.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import SMALLEST_M, Closure
from fizzwright.engines.bubbles.medium import BubbleWater
from fizzwright.sources import equation

__all__ = [
    "FILM_EQUATIONS", "Rates", "Skins", "bubble_amount_mol", "bubble_diameter_m", "film_rates",
    "skin_pressure_pa",
]  # fmt: skip

Array = NDArray[np.float64]
# Amount for each second; the table of units has no word for it.
Flux = NDArray[np.float64]

# Less gas than the smallest bubble of the tables can hold; only keeps the cubic from 0 over 0.
LEAST_MOL = 1e-18


@dataclass(frozen=True, eq=False)
class Rates:
    """What bubbles do at one moment; loss [1/s] and gain [mol/s] have shape (3, ...)."""

    diameter_m: Array
    rise_m_s: Array
    loss_per_s: Array
    gain: Flux


@dataclass(frozen=True, eq=False)
class Skins:
    """The laws bubbles follow: a table and where in it each bubble's own skin starts."""

    closure: Closure
    column: Any = 0


@equation("laplace-1805", where="4 sigma / d over the water's pressure", valid={"diameter_m": (1e-7, 1e-2)})
def skin_pressure_pa(diameter_m: float | Array, *, tension_n_m: float = 0.0720) -> Array:
    """Extra pressure inside a bubble from the pull of its skin.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    tension_n_m : surface tension [N/m]

    Returns
    -------
    pressure over that of the water beside it [Pa], shape of the diameter

    Examples
    --------
    >>> round(float(skin_pressure_pa(1e-3)))
    288
    """
    extra: Array = 4.0 * tension_n_m / np.asarray(diameter_m, dtype=float)
    return extra


@equation("laplace-1805", where="total pressure = air + head + 4 sigma/d, less vapour")
def bubble_amount_mol(diameter_m: float | Array, depth_m: float | Array, *, water: BubbleWater) -> Array:
    """Dry gas held by a bubble of this size at this depth.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    depth_m : depth under the surface [m]
    water : water round the bubble

    Returns
    -------
    amount of dry gas [mol], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    pressure = water.surface_pa + water.head_pa_m * depth_m + 4.0 * water.tension_n_m / d - water.vapour_pa
    amount: Array = pressure * np.pi / 6.0 * d**3 / water.thermal_j_mol
    return amount


@equation("laplace-1805", where="the same law solved for the diameter (a cubic, by Newton)")
def bubble_diameter_m(
    dry_mol: float | Array, depth_m: float | Array, *, water: BubbleWater, near_m: Array | None = None
) -> Array:
    """Diameter of a bubble that holds this much dry gas at this depth.

    Parameters
    ----------
    dry_mol : amount of dry gas [mol]
    depth_m : depth under the surface [m]
    water : water round the bubble
    near_m : a guess within a factor of two or so [m]

    Returns
    -------
    diameter [m], common shape of the inputs
    """
    stiff = water.head_pa_m * np.asarray(depth_m, dtype=float) + (water.surface_pa - water.vapour_pa)
    gas = (6.0 * water.thermal_j_mol / np.pi) * np.maximum(dry_mol, LEAST_MOL)
    skin = 4.0 * water.tension_n_m
    # Newton on a convex cubic: from above it closes in without overshoot, from below it jumps above.
    d: Array = np.cbrt(gas / stiff) if near_m is None else near_m
    for _ in range(6 if near_m is None else 4):
        push = stiff * d
        d = (d * d * (2.0 * push + skin) + gas) / (d * (3.0 * push + 2.0 * skin))
    return d


@equation("lewis-whitman-1924", where="liquid film: dn/dt = -k pi d^2 (H p - C), as loss x amount - gain")
def film_rates(
    dry_mol: Array, depth_m: float | Array, *, water: BubbleWater, skins: Skins, near_m: Array | None = None
) -> Rates:
    """How fast each gas leaves and enters these bubbles, and how fast they rise.

    Parameters
    ----------
    dry_mol : gases in each bubble, shape (3, ...) [mol]
    depth_m : depth of each [m]
    water : water round them
    skins : table of rise and film laws
    near_m : a guess of the diameters [m]

    Returns
    -------
    diameter, rise speed, loss rate of each gas and its gain from the water
    """
    d = bubble_diameter_m(dry_mol[0] + dry_mol[1] + dry_mol[2], depth_m, water=water, near_m=near_m)
    d = np.maximum(d, SMALLEST_M)
    speeds = skins.closure.speeds_m_s(d, skins.column)
    rows = (3,) + (1,) * d.ndim
    carry = (6.0 * water.thermal_j_mol * water.solubility_mol_m3_pa).reshape(rows)
    bulk = (np.pi * water.bulk_mol_m3).reshape(rows)
    films = speeds[1:]
    return Rates(d, speeds[0], films * (carry / d), films * (bulk * (d * d)))


FILM_EQUATIONS = (bubble_amount_mol, bubble_diameter_m, film_rates)
