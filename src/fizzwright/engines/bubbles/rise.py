"""How fast a bubble slips upwards through the water, by the state of its skin."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.medium import BubbleWater
from fizzwright.engines.bubbles.properties import GRAVITY
from fizzwright.sources import equation

__all__ = [
    "rise_clean_tomiyama_m_s", "rise_contaminated_m_s", "rise_ellipsoid_grace_m_s", "rise_mcginnis_m_s",
    "rise_sphere_clift_m_s", "rise_tap_wueest_m_s",
]  # fmt: skip

Array = NDArray[np.float64]

# Between the two crossings of the sphere and the ellipsoid laws (0.8 and 1.29 mm at 20 degC).
BETWEEN_CROSSINGS_M = 1.0e-3


@equation(
    "clift-1978", where="table 5.3, correlations with the Davies number", valid={"diameter_m": (1e-6, 2e-3)}
)
def rise_sphere_clift_m_s(diameter_m: float | Array, water: BubbleWater) -> Array:
    """Rise speed of a small bubble whose skin is stiff, as in any lived-in tank.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    water : water round the bubble

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter
    """
    d = np.asarray(diameter_m, dtype=float)
    nu = water.kinematic_m2_s
    davies = 4.0 * GRAVITY * d**3 / (3.0 * nu**2)
    log = np.log10(davies)
    creep = davies / 24.0 + davies**2 * (-1.7569e-4 + davies * (6.9252e-7 - davies * 2.3027e-10))
    middle = 10.0 ** (-1.7095 + log * (1.33438 - 0.11591 * log))
    fast = 10.0 ** (-1.81391 + log * (1.34671 + log * (-0.12427 + 0.006344 * log)))
    reynolds = np.where(davies <= 73.0, creep, np.where(davies <= 580.0, middle, fast))
    speed: Array = reynolds * nu / d
    return speed


@equation(
    "clift-1978",
    where="equations 7-4 to 7-7 (Grace and co-workers 1976)",
    valid={"diameter_m": (0.6e-3, 15e-3)},
)
def rise_ellipsoid_grace_m_s(diameter_m: float | Array, water: BubbleWater) -> Array:
    """Rise speed of a larger, flattened bubble with a stiff skin.

    Parameters
    ----------
    diameter_m : bubble diameter [m]; the law has no meaning under 0.5 mm
    water : water round the bubble

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter
    """
    d = np.asarray(diameter_m, dtype=float)
    rho, mu, sigma = water.density_kg_m3, water.viscosity_pa_s, water.tension_n_m
    morton = GRAVITY * mu**4 / (rho * sigma**3)
    eotvos = GRAVITY * rho * d**2 / sigma
    h = 4.0 / 3.0 * eotvos * morton**-0.149 * (mu / 0.9e-3) ** -0.14
    j = np.where(h <= 59.3, 0.94 * h**0.757, 3.42 * h**0.441)
    speed: Array = mu / (rho * d) * morton**-0.149 * (j - 0.857)
    return speed


@equation(
    "clift-1978",
    where="sphere to its upper crossing with the ellipsoid, ellipsoid above",
    valid={"diameter_m": (1e-6, 15e-3)},
)
def rise_contaminated_m_s(diameter_m: float | Array, water: BubbleWater) -> Array:
    """Rise speed of any bubble with a stiff skin, without a jump between small and large.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    water : water round the bubble

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter
    """
    d = np.asarray(diameter_m, dtype=float)
    sphere = rise_sphere_clift_m_s(d, water)
    # The ellipsoid law is also the lower one under 0.8 mm, where it means nothing.
    ellipsoid = rise_ellipsoid_grace_m_s(np.maximum(d, BETWEEN_CROSSINGS_M), water)
    return np.where(d < BETWEEN_CROSSINGS_M, sphere, np.minimum(sphere, ellipsoid))


@equation(
    "wueest-1992", where="rise velocity of air bubbles in lake water", valid={"diameter_m": (1e-4, 3e-2)}
)
def rise_tap_wueest_m_s(diameter_m: float | Array) -> Array:
    """Rise speed of bubbles in ordinary fresh water, skin partly mobile; the law knows no temperature.

    Parameters
    ----------
    diameter_m : bubble diameter [m]

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter

    Examples
    --------
    >>> round(float(rise_tap_wueest_m_s(1e-3)), 4)
    0.1356
    """
    r = np.asarray(diameter_m, dtype=float) / 2.0
    return np.where(r <= 0.75e-3, 1189.0 * r**1.1945, np.where(r <= 4.8e-3, 0.22, 2.995 * r**0.489))


@equation("mcginnis-little-2002", where="table 1, rise velocity", valid={"diameter_m": (1e-4, 3e-2)})
def rise_mcginnis_m_s(diameter_m: float | Array) -> Array:
    """Rise speed of bubbles as used for lake aerators, a second opinion on the tap-water law.

    Parameters
    ----------
    diameter_m : bubble diameter [m]

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter

    Examples
    --------
    >>> round(float(rise_mcginnis_m_s(1e-3)), 4)
    0.1483
    """
    r = np.asarray(diameter_m, dtype=float) / 2.0
    return np.where(r <= 0.7e-3, 4474.0 * r**1.357, np.where(r <= 5.1e-3, 0.23, 4.202 * r**0.547))


@equation("tomiyama-1998", where="drag of bubbles in a purified system", valid={"diameter_m": (1e-6, 2e-2)})
def rise_clean_tomiyama_m_s(diameter_m: float | Array, water: BubbleWater) -> Array:
    """Rise speed of a bubble with a fully mobile skin, as in freshly purified water.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    water : water round the bubble

    Returns
    -------
    rise speed through the water [m/s], shape of the diameter
    """
    d = np.asarray(diameter_m, dtype=float)
    nu = water.kinematic_m2_s
    drive = 4.0 * GRAVITY * d / 3.0
    # The largest of two drags is the smallest of two speeds, so each branch is solved by itself.
    potential = GRAVITY * d**2 / (36.0 * nu)
    eotvos = GRAVITY * water.density_kg_m3 * d**2 / water.tension_n_m
    cap = np.sqrt(drive * 3.0 * (eotvos + 4.0) / (8.0 * eotvos))
    speed = GRAVITY * d**2 / (12.0 * nu)
    for _ in range(40):
        reynolds = speed * d / nu
        speed = 0.5 * (speed + GRAVITY * d**2 / (12.0 * nu * (1.0 + 0.15 * reynolds**0.687)))
    return np.minimum(np.maximum(speed, potential), cap)
