"""The three states of a bubble's skin: a rise law and a film law that belong together.

Mixing pairs (a fast rise with a stiff film) lies up to 18 points outside all three, so a pair is only
ever handed on as one table over diameter.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.medium import O2, BubbleWater
from fizzwright.engines.bubbles.rise import (
    rise_clean_tomiyama_m_s,
    rise_contaminated_m_s,
    rise_ellipsoid_grace_m_s,
    rise_sphere_clift_m_s,
    rise_tap_wueest_m_s,
)
from fizzwright.engines.bubbles.transfer import (
    transfer_clean_takemura_m_s,
    transfer_rigid_froessling_m_s,
    transfer_tap_wueest_m_s,
)

__all__ = [
    "CLEAN_EQUATIONS",
    "CONTAMINATED_EQUATIONS",
    "TAP_EQUATIONS",
    "Closure",
    "between",
    "clean_closure",
    "contaminated_closure",
    "film_scaled",
    "stack",
    "tap_closure",
]

Array = NDArray[np.float64]
Equations = tuple[Callable[..., Any], ...]

SMALLEST_M = 0.5e-6
LARGEST_M = 20.0e-3
NODES = 1600
LN_SMALLEST = float(np.log(SMALLEST_M))
PITCH = (float(np.log(LARGEST_M)) - LN_SMALLEST) / (NODES - 1)

CONTAMINATED_EQUATIONS: Equations = (
    rise_contaminated_m_s, rise_sphere_clift_m_s, rise_ellipsoid_grace_m_s, transfer_rigid_froessling_m_s,
)  # fmt: skip
TAP_EQUATIONS: Equations = (rise_tap_wueest_m_s, transfer_tap_wueest_m_s, transfer_rigid_froessling_m_s)
CLEAN_EQUATIONS: Equations = (rise_clean_tomiyama_m_s, transfer_clean_takemura_m_s)


@dataclass(frozen=True, eq=False)
class Closure:
    """Rise speed and film coefficients over a fixed grid of ln diameter.

    `table_m_s` has shape (4, nodes): rise, then k of CO2, N2 and O2. Several skins may stand one after
    the other (`stack`); `speeds_m_s` takes the column where each bubble's own skin starts.
    """

    table_m_s: Array

    def speeds_m_s(self, diameter_m: Array, column: Any = 0) -> Array:
        """Rise speed and the three film coefficients at these diameters, shape (4, ...). [m/s]"""
        place = (np.log(diameter_m) - LN_SMALLEST) / PITCH
        node = np.minimum(np.maximum(place, 0.0), NODES - 1.000001).astype(np.intp)
        part = place - node
        node = node + column
        here = self.table_m_s.take(node, axis=1)
        found: Array = here + part * (self.table_m_s.take(node + 1, axis=1) - here)
        return found


def _diameters_m() -> Array:
    diameters: Array = np.exp(LN_SMALLEST + PITCH * np.arange(NODES))
    return diameters


def contaminated_closure(water: BubbleWater) -> Closure:
    """The stiff skin of lived-in water: sphere or ellipsoid rise with the rigid film."""
    d = _diameters_m()
    rise = rise_contaminated_m_s(d, water)
    nu = water.kinematic_m2_s
    films = [
        transfer_rigid_froessling_m_s(d, rise, diffusivity_m2_s=value, kinematic_m2_s=nu)
        for value in water.diffusivity_m2_s
    ]
    return Closure(np.stack([rise, *films]))


def tap_closure(water: BubbleWater) -> Closure:
    """The half-mobile skin of ordinary fresh water, never slower at passing gas than a stiff one."""
    d = _diameters_m()
    rise = rise_tap_wueest_m_s(d)
    nu, oxygen = water.kinematic_m2_s, float(water.diffusivity_m2_s[O2])
    films = [
        np.maximum(
            transfer_tap_wueest_m_s(d, diffusivity_m2_s=value, diffusivity_o2_m2_s=oxygen),
            transfer_rigid_froessling_m_s(d, rise, diffusivity_m2_s=value, kinematic_m2_s=nu),
        )
        for value in water.diffusivity_m2_s
    ]
    return Closure(np.stack([rise, *films]))


def clean_closure(water: BubbleWater) -> Closure:
    """The fully mobile skin of purified water: the quick end of what can happen under 3 mm."""
    d = _diameters_m()
    rise = rise_clean_tomiyama_m_s(d, water)
    nu = water.kinematic_m2_s
    films = [
        transfer_clean_takemura_m_s(d, rise, diffusivity_m2_s=value, kinematic_m2_s=nu)
        for value in water.diffusivity_m2_s
    ]
    return Closure(np.stack([rise, *films]))


def between(stiff: Closure, mobile: Closure, *, part_frac: float) -> Closure:
    """A skin between two others: rise and films move together, so the pair stays one that can exist.

    Parameters
    ----------
    stiff, mobile : the two skins
    part_frac : how far from the first to the second [-]

    Returns
    -------
    the skin between
    """
    return Closure(stiff.table_m_s + part_frac * (mobile.table_m_s - stiff.table_m_s))


def film_scaled(closure: Closure, film_factor: float) -> Closure:
    """The same skin with every film coefficient larger or smaller by a factor, rise unchanged.

    Parameters
    ----------
    closure : the skin
    film_factor : what the film coefficients are multiplied by [-]

    Returns
    -------
    the changed table
    """
    return Closure(np.concatenate([closure.table_m_s[:1], film_factor * closure.table_m_s[1:]]))


def stack(closures: Sequence[Closure]) -> tuple[Closure, NDArray[np.intp]]:
    """Put several skins in one table; also the first column of each, for `Closure.speeds_m_s`."""
    table = np.concatenate([closure.table_m_s for closure in closures], axis=1)
    return Closure(table), np.arange(len(closures), dtype=np.intp) * NODES
