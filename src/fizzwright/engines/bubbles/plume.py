"""Water lifted by the bubbles themselves, and the current that tears the column apart."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.properties import GRAVITY
from fizzwright.sources import equation

__all__ = [
    "CORE_RATIO", "FIRST_FROUDE_NUMBER", "MOMENTUM_GAIN_FACTOR", "crossover_height_m", "entrainment_m2_s",
    "plume_speed_m_s", "separation_height_m", "slip_plume_speed_m_s", "start_speed_m_s",
]  # fmt: skip

Array = NDArray[np.float64]
Values = float | Array

# Gain of momentum over the top-hat value, bubble core over plume width, Froude number at the disc.
MOMENTUM_GAIN_FACTOR = 1.1
CORE_RATIO = 0.8
FIRST_FROUDE_NUMBER = 1.6
# Water drawn in over upward speed; 0.083 is the laboratory value, lake aerators are fitted with 0.11.
ENTRAINMENT_RATIO = 0.083
M3_S_PER_ML_MIN = 1e-6 / 60.0


def _buoyancy(flow_ml_min_n: Values) -> Array:
    """Gravity times gas flow, m⁴/s³; reference and actual volume differ too little to matter here."""
    return GRAVITY * M3_S_PER_ML_MIN * np.asarray(flow_ml_min_n, dtype=float)


@equation(
    "fischer-1979-plumes",
    where="single-phase plume, top-hat, entrainment 0.1",
    valid={"height_m": (0.02, 1.0)},
)
def plume_speed_m_s(flow_ml_min_n: Values, height_m: Values) -> Array:
    """Speed of the water lifted by a gas flow if bubbles neither slipped nor dissolved; 20-30 % high.

    Parameters
    ----------
    flow_ml_min_n : gas flow [mL/min at 20 °C, 1 atm]
    height_m : height over the source, with about 0.1 m added for a 25 mm disc [m]

    Returns
    -------
    mean upward water speed over the plume [m/s], common shape of the inputs

    Examples
    --------
    >>> round(float(plume_speed_m_s(20.0, 0.20)), 3)
    0.065
    """
    return 2.55 * np.cbrt(_buoyancy(flow_ml_min_n) / height_m)


@equation("fischer-1979-plumes", where="height where the single-phase plume slows to the rise speed")
def crossover_height_m(flow_ml_min_n: Values, rise_m_s: Values) -> Array:
    """Height over which bubbles outrun the water they lift and the plume becomes a slip plume.

    Parameters
    ----------
    flow_ml_min_n : gas flow [mL/min at 20 °C, 1 atm]
    rise_m_s : rise speed of the bubbles through the water [m/s]

    Returns
    -------
    height over the source [m], common shape of the inputs

    Examples
    --------
    >>> round(float(crossover_height_m(20.0, 0.06)), 2)
    0.25
    """
    return _buoyancy(flow_ml_min_n) * (2.55 / np.asarray(rise_m_s, dtype=float)) ** 3


@equation("mingotti-woods-2023", where="largest water speed 0.30 of the bubble speed, slip plumes")
def slip_plume_speed_m_s(rise_m_s: Values) -> Array:
    """Most that bubbles which outrun their water can lift it: 0.30 of their own speed over the ground.

    Parameters
    ----------
    rise_m_s : rise speed of the bubbles through the water [m/s]

    Returns
    -------
    largest upward water speed [m/s], shape of the input

    Examples
    --------
    >>> round(float(slip_plume_speed_m_s(0.22)), 3)
    0.094
    """
    return 0.30 / 0.70 * np.asarray(rise_m_s, dtype=float)


@equation(
    "socolofsky-adams-2002",
    where="separation height of a bubble plume in a cross-flow",
    valid={"current_m_s": (0.005, 0.5)},
)
def separation_height_m(flow_ml_min_n: Values, rise_m_s: Values, *, current_m_s: Values) -> Array:
    """Height at which a cross-current parts the bubbles from the water they lifted.

    Parameters
    ----------
    flow_ml_min_n : gas flow [mL/min at 20 °C, 1 atm]
    rise_m_s : rise speed of the bubbles through the water [m/s]
    current_m_s : speed of the water across the column [m/s]

    Returns
    -------
    height over the diffuser [m], common shape of the inputs

    Examples
    --------
    >>> round(float(separation_height_m(20.0, 0.06, current_m_s=0.05)), 2)
    0.09
    """
    # u/(B/h)^(1/3) = 6.3 (U/(B/h)^(1/3))^-2.4, solved for h: the exponent is 3/3.4.
    across = np.asarray(current_m_s, dtype=float) * np.asarray(rise_m_s, dtype=float) ** 2.4
    return _buoyancy(flow_ml_min_n) * (6.3 / across) ** (3.0 / 3.4)


@equation("wueest-1992", where="entrainment into a round top-hat plume", valid={"radius_m": (0.005, 5.0)})
def entrainment_m2_s(radius_m: Values, lift_m_s: Values) -> Array:
    """Water that a plume draws in through its side for each metre of height.

    Parameters
    ----------
    radius_m : radius of the plume [m]
    lift_m_s : upward water speed in it [m/s]

    Returns
    -------
    growth of the plume's water flow with height [m²/s], common shape of the inputs

    Examples
    --------
    >>> round(1e4 * float(entrainment_m2_s(0.02, 0.06)), 2)
    6.26
    """
    return 2.0 * np.pi * ENTRAINMENT_RATIO * np.asarray(radius_m, dtype=float) * lift_m_s


@equation("wueest-1992", where="densimetric Froude number 1.6 at the diffuser")
def start_speed_m_s(flow_ml_min_n: Values, disc_mm: Values, *, rise_m_s: Values) -> Array:
    """Upward water speed just over the disc.

    Parameters
    ----------
    flow_ml_min_n : gas flow [mL/min at 20 °C, 1 atm]
    disc_mm : width of the gassing face [mm]
    rise_m_s : rise speed of the bubbles through the water [m/s]

    Returns
    -------
    upward water speed at the disc [m/s], common shape of the inputs
    """
    radius = 0.5e-3 * np.asarray(disc_mm, dtype=float)
    # Fr^2 = w^2 / (2 lambda b g eps) with eps = Qg / (pi (lambda b)^2 (w + U)).
    push = FIRST_FROUDE_NUMBER**2 * 2.0 * _buoyancy(flow_ml_min_n) / (np.pi * CORE_RATIO * radius)
    speed = np.cbrt(push)
    for _ in range(25):
        speed = speed - (speed**3 + rise_m_s * speed**2 - push) / (
            3.0 * speed**2 + 2.0 * rise_m_s * speed + 1e-30
        )
    return speed
