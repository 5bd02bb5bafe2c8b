"""Water that warms and cools: how fast it follows, and what that does to every rate of the day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import Forcing, Warmth
from fizzwright.engines.living.plants import uptake_warmth_factor
from fizzwright.engines.water.diffusion import schmidt_co2_number
from fizzwright.engines.water.gases import (
    CO2_AIR_EQUATIONS,
    O2_EQUATIONS,
    co2_air_equilibrium_mg_l,
    o2_saturation_mg_l,
)
from fizzwright.sources import equation

__all__ = ["WARMTH_EQUATIONS", "warming_h", "warmth_of", "water_course_c"]

Array = NDArray[np.float64]

# Animals 1.8 to 2.4, plants 2.0 for ten kelvin: one figure for all that breathes.
BREATH_Q10_FACTOR = 2.0
# Still room air on glass and open water, evaporation counted, within a factor of 1.5 (judgement).
HEAT_W_M2_K = 10.0
WATER_J_L_K = 4180.0


@equation("lumped-cooling", where="time constant m c / (h A)")
def warming_h(volume_l: float, outside_m2: float) -> float:
    """How long water takes to come two thirds of the way to a new room temperature.

    Parameters
    ----------
    volume_l : float
        Water. [L]
    outside_m2 : float
        Glass and surface that face the room. [m2]

    Returns
    -------
    float
        Time constant. [h]

    Examples
    --------
    >>> round(warming_h(100.0, 1.2), 1)
    9.7
    """
    return volume_l * WATER_J_L_K / (HEAT_W_M2_K * outside_m2) / 3600.0


@equation("lumped-cooling", where="first-order answer to steps of the surroundings")
def water_course_c(
    at_min: Array, start_c: float, *, settles_c: Sequence[tuple[float, float]], warming_h: float
) -> Array:
    """The water's temperature while its surroundings change in steps.

    Parameters
    ----------
    at_min : array
        Minutes asked for, from the first step on. [min]
    start_c : float
        Water at the first step. [degC]
    settles_c : sequence of (minute, temperature)
        From each minute on, the temperature the water heads for, in order. [min, degC]
    warming_h : float
        Time constant. [h]

    Returns
    -------
    array
        Temperature, shape of `at_min`. [degC]

    Examples
    --------
    >>> float(water_course_c(np.array([600.0]), 25.0, settles_c=[(0.0, 30.0)], warming_h=10.0)[0].round(2))
    28.16
    """
    answer = np.full(np.shape(at_min), float(start_c))
    began_c = float(start_c)
    ends = [minute for minute, _ in settles_c[1:]] + [np.inf]
    for (since, aim_c), until in zip(settles_c, ends, strict=True):
        gone_h = np.maximum(np.minimum(at_min, until) - since, 0.0) / 60.0
        here = aim_c + (began_c - aim_c) * np.exp(-gone_h / warming_h)
        answer = np.where(np.asarray(at_min) >= since, here, answer)
        if np.isfinite(until):
            began_c = aim_c + (began_c - aim_c) * float(np.exp(-(until - since) / 60.0 / warming_h))
    return answer


WARMTH_EQUATIONS: tuple[Callable[..., Any], ...] = (
    warming_h, water_course_c, schmidt_co2_number, *CO2_AIR_EQUATIONS, *O2_EQUATIONS,
)  # fmt: skip


def warmth_of(course: Forcing, water_c: Callable[[Array], Array], *, usual_c: float) -> Warmth:
    """What a course of temperatures does to each rate, against the rates at the usual temperature.

    Parameters
    ----------
    course : Forcing
        The time grid.
    water_c : function of minutes
        Temperature of the water at each minute asked for.
    usual_c : float
        The temperature the tank's rates were worked out at. [degC]

    Notes
    -----
    The loss rate goes with the Schmidt number to the power of minus one half, air equilibria with their
    solubilities, breathing doubles in ten kelvin; uptake as a whole goes with the leaf's capacity, which
    makes it a little too warm-loving in dim light. The carbonate constants are left at the usual
    temperature: five kelvin move free CO2 by under 0.5 % below pH 7.5.
    """
    now_c = water_c(course.inside_min())
    return Warmth(
        loss_factor=(schmidt_co2_number(usual_c) / schmidt_co2_number(now_c)) ** 0.5,
        air_co2_factor=co2_air_equilibrium_mg_l(now_c, 420.0) / co2_air_equilibrium_mg_l(usual_c, 420.0),
        o2_saturation_factor=o2_saturation_mg_l(now_c) / o2_saturation_mg_l(usual_c),
        breath_factor=BREATH_Q10_FACTOR ** ((now_c - usual_c) / 10.0),
        uptake_factor=np.asarray(uptake_warmth_factor(now_c) / uptake_warmth_factor(usual_c)),
    )
