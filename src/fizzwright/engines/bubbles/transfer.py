"""How fast gas passes the water film round a bubble (liquid-side coefficient k)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = [
    "transfer_clean_takemura_m_s", "transfer_mobile_higbie_m_s", "transfer_mobile_leifer_m_s",
    "transfer_rigid_clift_m_s", "transfer_rigid_froessling_m_s", "transfer_tap_wueest_m_s",
    "transfer_turbulent_mobile_m_s", "transfer_turbulent_rigid_m_s",
]  # fmt: skip

Array = NDArray[np.float64]
Values = float | Array


@equation("froessling-1938", where="Sh = 2 + 0.6 Re^1/2 Sc^1/3", valid={"diameter_m": (1e-6, 5e-3)})
def transfer_rigid_froessling_m_s(
    diameter_m: Values, rise_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient of a bubble with a stiff skin.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    rise_m_s : speed through the water, not over the ground [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    reynolds = rise_m_s * d / kinematic_m2_s
    schmidt = kinematic_m2_s / np.asarray(diffusivity_m2_s, dtype=float)
    return diffusivity_m2_s / d * (2.0 + 0.6 * np.sqrt(reynolds) * np.cbrt(schmidt))


@equation(
    "clift-1978", where="equations for rigid spheres by Reynolds number", valid={"diameter_m": (1e-6, 5e-3)}
)
def transfer_rigid_clift_m_s(
    diameter_m: Values, rise_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient of a bubble with a stiff skin, a second opinion with small steps at its switches.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    rise_m_s : speed through the water [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    re = rise_m_s * d / kinematic_m2_s
    sc = kinematic_m2_s / np.asarray(diffusivity_m2_s, dtype=float)
    pe, root = re * sc, np.cbrt(sc)
    branches = [
        1.0 + np.cbrt(1.0 + pe),
        1.0 + np.cbrt(1.0 + 1.0 / pe) * re**0.41 * root,
        1.0 + 0.724 * re**0.48 * root,
    ]
    sherwood = np.select([re < 1.0, re < 100.0, re < 2000.0], branches, 1.0 + 0.425 * re**0.55 * root)
    film: Array = diffusivity_m2_s / d * sherwood
    return film


@equation(
    "wueest-1992",
    where="0.6 r up to 4e-4 m/s; scaled by the root of diffusivity",
    valid={"diameter_m": (3e-4, 3e-2)},
)
def transfer_tap_wueest_m_s(
    diameter_m: Values, *, diffusivity_m2_s: Values, diffusivity_o2_m2_s: Values
) -> Array:
    """Film coefficient of bubbles in ordinary fresh water; much too low under 0.3 mm without a floor.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    diffusivity_m2_s : of the gas in water [m²/s]
    diffusivity_o2_m2_s : of oxygen, the gas the law was measured with [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs

    Examples
    --------
    >>> round(1e4 * float(transfer_tap_wueest_m_s(5e-4, diffusivity_m2_s=2e-9, diffusivity_o2_m2_s=2e-9)), 3)
    1.5
    """
    r = np.asarray(diameter_m, dtype=float) / 2.0
    return np.minimum(0.6 * r, 4.0e-4) * np.sqrt(diffusivity_m2_s / diffusivity_o2_m2_s)


@equation("takemura-yabe-1998", where="Sherwood number of a clean bubble", valid={"diameter_m": (1e-6, 5e-3)})
def transfer_clean_takemura_m_s(
    diameter_m: Values, rise_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient of a bubble with a fully mobile skin, at any size.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    rise_m_s : speed through the water [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    re = rise_m_s * d / kinematic_m2_s
    pe = rise_m_s * d / np.asarray(diffusivity_m2_s, dtype=float)
    share = 1.0 - 2.0 / 3.0 * (1.0 + 0.09 * re ** (2.0 / 3.0)) ** -0.75
    film: Array = diffusivity_m2_s / d * (2.0 / np.sqrt(np.pi)) * np.sqrt(share) * (2.5 + np.sqrt(pe))
    return film


@equation(
    "higbie-1935", where="contact time one diameter over rise speed", valid={"diameter_m": (1e-3, 1e-2)}
)
def transfer_mobile_higbie_m_s(diameter_m: Values, rise_m_s: Values, *, diffusivity_m2_s: Values) -> Array:
    """Film coefficient of a larger bubble whose skin renews itself over each diameter of rise.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    rise_m_s : speed through the water [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    film: Array = 2.0 / np.sqrt(np.pi) * np.sqrt(diffusivity_m2_s * rise_m_s / d)
    return film


@equation("leifer-patro-2002", where="clean bubble coefficient", valid={"diameter_m": (2e-4, 5e-3)})
def transfer_mobile_leifer_m_s(
    diameter_m: Values, rise_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient of a clean bubble as used for seeps; zero where the law has no meaning.

    Parameters
    ----------
    diameter_m : bubble diameter [m]
    rise_m_s : speed through the water [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    d = np.asarray(diameter_m, dtype=float)
    root = np.sqrt(rise_m_s * d / kinematic_m2_s)
    share = np.maximum(1.0 - 2.89 / root, 0.0)
    return np.sqrt(2.0 / np.pi * share * diffusivity_m2_s * rise_m_s / (d / 2.0))


@equation("linek-2004", where="0.523 (eps nu)^1/4 Sc^-1/2", valid={"eddy_m_s": (0.005, 0.2)})
def transfer_turbulent_mobile_m_s(
    eddy_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient that turbulence alone gives a bubble with a mobile skin.

    Parameters
    ----------
    eddy_m_s : speed of the smallest eddies, (dissipation x kinematic viscosity)^1/4 [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    schmidt = kinematic_m2_s / np.asarray(diffusivity_m2_s, dtype=float)
    return 0.523 * eddy_m_s * schmidt**-0.5


@equation("calderbank-1961", where="0.13 (eps nu)^1/4 Sc^-2/3", valid={"eddy_m_s": (0.005, 0.2)})
def transfer_turbulent_rigid_m_s(
    eddy_m_s: Values, *, diffusivity_m2_s: Values, kinematic_m2_s: Values
) -> Array:
    """Film coefficient that turbulence alone gives a bubble with a stiff skin.

    Parameters
    ----------
    eddy_m_s : speed of the smallest eddies, (dissipation x kinematic viscosity)^1/4 [m/s]
    diffusivity_m2_s : of the gas in water [m²/s]
    kinematic_m2_s : viscosity of the water over its density [m²/s]

    Returns
    -------
    film coefficient [m/s], common shape of the inputs
    """
    schmidt = kinematic_m2_s / np.asarray(diffusivity_m2_s, dtype=float)
    return 0.13 * eddy_m_s * schmidt ** (-2.0 / 3.0)
