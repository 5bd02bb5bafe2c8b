"""How long a sample takes to come level with the air, and how far off it still is until then.

CO2 leaves through the surface; in hard water bicarbonate makes more of it while pH rises, so the last
tenths of a pH take longest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.carbonate import ph_from_co2_given_constants
from fizzwright.engines.water.conditional import conditional_constants
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.engines.water.enhancement import enhancement_factor
from fizzwright.sources import equation

__all__ = [
    "AIRING_PRIORS",
    "AiringCurve",
    "AiringPrior",
    "AiringWay",
    "Glass",
    "airing_curve",
    "airing_elapsed_h",
    "hours_to_within_h",
    "reacting_airing_curve",
    "short_of_settled_ph",
]

Array = NDArray[np.float64]

POINTS = 240


class AiringWay(StrEnum):
    """How a sample was brought level with the room's air."""

    BUBBLED = "bubbled"
    STIRRED = "stirred"
    STOOD = "stood"


@dataclass(frozen=True)
class AiringPrior:
    """What to call a way of airing, and the transfer velocity to expect of it (90 % limits)."""

    median_cm_h: float
    low_cm_h: float
    high_cm_h: float
    said: str
    source: str


AIRING_PRIORS: Mapping[AiringWay, AiringPrior] = MappingProxyType(
    {
        AiringWay.BUBBLED: AiringPrior(20.0, 10.0, 40.0, "bubbled with air", "airing-velocities"),
        AiringWay.STIRRED: AiringPrior(6.0, 3.0, 12.0, "stirred", "airing-velocities"),
        AiringWay.STOOD: AiringPrior(1.5, 0.7, 3.0, "left to stand", "airing-velocities"),
    }
)


@dataclass(frozen=True)
class Glass:
    """A sample and the air it settles with."""

    depth_cm: float
    velocity_cm_h: float
    water_c: float
    ionic_strength_mol_l: float
    air_co2_mg_l: float


@dataclass(frozen=True)
class AiringCurve:
    """A sample on its way: points along the first axis, then the shape of the alkalinity given."""

    elapsed_h: Array
    ph: Array
    co2_mg_l: Array
    settled_ph: Array


@equation("airing-with-buffering", where="time for the carbon to cross the surface")
def airing_elapsed_h(
    co2_mg_l: ArrayLike, dic_mmol_l: ArrayLike, *, air_co2_mg_l: ArrayLike, film_h: ArrayLike
) -> Array:
    """The time a sample takes from its first CO2 level down to each of the others.

    Parameters
    ----------
    co2_mg_l : falling CO2 levels along the first axis [mg/L]
    dic_mmol_l : total carbon at each of them [mmol/L]
    air_co2_mg_l : CO2 the air leaves in the water [mg/L]
    film_h : depth of the sample over transfer velocity [h]

    Returns
    -------
    Time since the first level [h], shape of the levels
    """
    level = np.asarray(co2_mg_l, dtype=np.float64)
    carbon = CO2_G_MOL * np.asarray(dic_mmol_l, dtype=np.float64)
    push = np.log(level - np.asarray(air_co2_mg_l, dtype=np.float64))
    # Carbon lost for each mg/L of CO2, over the logarithm of what is still over the air's level.
    step = np.diff(carbon, axis=0) / np.diff(level, axis=0) * -np.diff(push, axis=0)
    film = np.broadcast_to(np.asarray(film_h, dtype=np.float64), level.shape)
    middle = 0.5 * (film[1:] + film[:-1])
    result: Array = np.concatenate([np.zeros_like(level[:1]), np.cumsum(step * middle, axis=0)])
    return result


def airing_curve(start_co2_mg_l: float, alk_meq_l: ArrayLike, *, glass: Glass) -> AiringCurve:
    """How pH and CO2 of a sample move while it is aired.

    Parameters
    ----------
    start_co2_mg_l : CO2 of the sample at first, over the air's level [mg/L]
    alk_meq_l : carbonate alkalinity, scalar or array [meq/L]
    glass : the sample and its air

    Returns
    -------
    `AiringCurve`; without the help that reacting CO2 gives a still surface, so an upper bound there
    """
    level, ph, carbon = _path(start_co2_mg_l, alk_meq_l, glass)
    film = glass.depth_cm / glass.velocity_cm_h
    elapsed = airing_elapsed_h(level, carbon, air_co2_mg_l=glass.air_co2_mg_l, film_h=film)
    return AiringCurve(elapsed, ph, level, ph[-1])


def reacting_airing_curve(start_co2_mg_l: float, alk_meq_l: float, *, glass: Glass) -> AiringCurve:
    """How pH and CO2 of a still sample move, with CO2 reacting inside the film at its surface.

    Parameters
    ----------
    start_co2_mg_l : CO2 of the sample at first, over the air's level [mg/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    glass : the sample and its air

    Returns
    -------
    `AiringCurve`
    """
    level, ph, carbon = _path(start_co2_mg_l, alk_meq_l, glass)
    # The help changes slowly along the way, so it is worked out at a few points and read between.
    few = np.linspace(0, POINTS - 1, 25).astype(int)
    helped = enhancement_factor(
        level[few],
        np.full(len(few), alk_meq_l),
        air_co2_mg_l=glass.air_co2_mg_l,
        velocity_cm_h=glass.velocity_cm_h,
        water_c=glass.water_c,
    )
    helped = np.interp(np.arange(POINTS), few, helped)
    film = glass.depth_cm / (glass.velocity_cm_h * helped)
    elapsed = airing_elapsed_h(level, carbon, air_co2_mg_l=glass.air_co2_mg_l, film_h=film)
    return AiringCurve(elapsed, ph, level, ph[-1])


def _path(start_co2_mg_l: float, alk_meq_l: ArrayLike, glass: Glass) -> tuple[Array, Array, Array]:
    """CO2 levels from the start to a ten-thousandth over the air's, with pH and total carbon."""
    alk = np.asarray(alk_meq_l, dtype=np.float64)
    air = glass.air_co2_mg_l
    over = np.geomspace(max(start_co2_mg_l - air, 1e-3 * air), 1e-4 * air, POINTS)
    level = np.broadcast_to((air + over).reshape(-1, *([1] * alk.ndim)), (POINTS, *alk.shape)).copy()
    constants = conditional_constants(glass.water_c, glass.ionic_strength_mol_l)
    ph = ph_from_co2_given_constants(level / CO2_G_MOL, alk, constants=constants)
    first = constants.k1_mol_l * 10.0**ph
    carbon = level / CO2_G_MOL * (1.0 + first * (1.0 + constants.k2_mol_l * 10.0**ph))
    return level, ph, carbon


def hours_to_within_h(curve: AiringCurve, short_ph: float) -> float:
    """When a sample of one alkalinity comes within `short_ph` of where it settles. [h]"""
    return float(np.interp(curve.settled_ph - short_ph, curve.ph, curve.elapsed_h))


def short_of_settled_ph(curve: AiringCurve, elapsed_h: float) -> float:
    """How far below its settled pH a sample of one alkalinity still is after a time. [pH]"""
    now = float(np.interp(elapsed_h, curve.elapsed_h, curve.ph))
    return max(float(curve.settled_ph) - now, 0.0)
