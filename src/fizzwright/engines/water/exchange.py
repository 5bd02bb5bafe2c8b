"""What the surface lets through: transfer velocity, loss rate, and what to expect of a surface by its look.

The flux is k (C - Ceq); in a mixed tank dC/dt = -(k A / V)(C - Ceq). k is given as k600, that of a gas
with Schmidt number 600 (CO2 at 20 °C), and carried to the gas and temperature at hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.job.words import SurfaceClass
from fizzwright.sources import equation

__all__ = [
    "O2_OVER_CO2",
    "SURFACE_PRIORS",
    "RatioPrior",
    "SurfacePrior",
    "k600_from_velocity_cm_h",
    "loss_per_h",
    "relaxing_mg_l",
    "schmidt_share_ratio",
    "transfer_velocity_cm_h",
    "velocity_from_loss_cm_h",
]

Array = NDArray[np.float64]

SMOOTH_EXPONENT = 2.0 / 3.0
RIPPLED_EXPONENT = 0.5


@dataclass(frozen=True)
class SurfacePrior:
    """What to expect of a surface by its look, until a gas-off night tells (90 % limits, of k600).

    `source` is a key of the list of sources.
    """

    median_cm_h: float
    low_cm_h: float
    high_cm_h: float
    schmidt_exponent: float
    source: str


@dataclass(frozen=True)
class RatioPrior:
    """A ratio taken from sources that disagree a little (90 % limits)."""

    median_ratio: float
    low_ratio: float
    high_ratio: float
    source: str


# Lakes set the lower edge, two loss tests on one planted tank the middle, judgement the spread.
SURFACE_PRIORS: Mapping[SurfaceClass, SurfacePrior] = MappingProxyType(
    {
        SurfaceClass.FILMED: SurfacePrior(1.5, 0.7, 3.0, SMOOTH_EXPONENT, "tank-surface-priors"),
        SurfaceClass.BARELY: SurfacePrior(4.0, 2.0, 8.0, SMOOTH_EXPONENT, "tank-surface-priors"),
        SurfaceClass.SMOOTH: SurfacePrior(7.0, 4.0, 12.0, SMOOTH_EXPONENT, "tank-surface-priors"),
        SurfaceClass.RIPPLED: SurfacePrior(12.0, 7.0, 20.0, RIPPLED_EXPONENT, "tank-surface-priors"),
        SurfaceClass.STRONG: SurfacePrior(20.0, 12.0, 35.0, RIPPLED_EXPONENT, "tank-surface-priors"),
    }
)

# Schmidt numbers say 1.08 to 1.11, measured diffusivities of oxygen 1.02 to 1.03.
O2_OVER_CO2 = RatioPrior(1.06, 1.02, 1.10, "oxygen-over-co2-transfer")


@equation("jahne-1987-exchange", where="k ~ Sc^-n, n 2/3 smooth and 1/2 rippled")
def transfer_velocity_cm_h(
    k600_cm_h: ArrayLike, schmidt_number: ArrayLike, *, schmidt_exponent: ArrayLike
) -> Array:
    """How fast a gas crosses this surface at this temperature.

    Parameters
    ----------
    k600_cm_h : transfer velocity at Schmidt number 600 [cm/h]
    schmidt_number : Schmidt number of the gas at the water temperature [-]
    schmidt_exponent : 2/3 for a smooth surface, 1/2 for a rippled one [-]

    Returns
    -------
    Transfer velocity of the gas [cm/h], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(transfer_velocity_cm_h(10.0, 469.0, schmidt_exponent=0.5)), 2)
    11.31
    """
    ratio = np.asarray(schmidt_number, dtype=np.float64) / 600.0
    result: Array = np.asarray(k600_cm_h, dtype=np.float64) * ratio ** -np.asarray(schmidt_exponent)
    return result


@equation("jahne-1987-exchange", where="k ~ Sc^-n, solved for k600")
def k600_from_velocity_cm_h(
    velocity_cm_h: ArrayLike, schmidt_number: ArrayLike, *, schmidt_exponent: ArrayLike
) -> Array:
    """The transfer velocity a fitted loss would have at Schmidt number 600, to carry it to other warmth.

    Parameters
    ----------
    velocity_cm_h : transfer velocity of the gas at hand [cm/h]
    schmidt_number : its Schmidt number at the water temperature [-]
    schmidt_exponent : 2/3 for a smooth surface, 1/2 for a rippled one [-]

    Returns
    -------
    k600 [cm/h], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(k600_from_velocity_cm_h(11.31, 469.0, schmidt_exponent=0.5)), 2)
    10.0
    """
    ratio = np.asarray(schmidt_number, dtype=np.float64) / 600.0
    result: Array = np.asarray(velocity_cm_h, dtype=np.float64) * ratio ** np.asarray(schmidt_exponent)
    return result


@equation("jahne-1987-exchange", where="two gases at one surface")
def schmidt_share_ratio(
    schmidt_number: ArrayLike, other_schmidt_number: ArrayLike, *, schmidt_exponent: ArrayLike
) -> Array:
    """How much faster one gas crosses a surface than another.

    Parameters
    ----------
    schmidt_number : Schmidt number of the gas asked for [-]
    other_schmidt_number : Schmidt number of the gas compared with [-]
    schmidt_exponent : 2/3 for a smooth surface, 1/2 for a rippled one [-]

    Returns
    -------
    Ratio of the transfer velocities [-], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(schmidt_share_ratio(399.0, 469.0, schmidt_exponent=0.5)), 3)
    1.084
    """
    ratio = np.asarray(schmidt_number, dtype=np.float64) / np.asarray(other_schmidt_number, dtype=np.float64)
    result: Array = ratio ** -np.asarray(schmidt_exponent, dtype=np.float64)
    return result


@equation("lewis-whitman-1924", where="two-film theory, mixed water")
def loss_per_h(transfer_velocity_cm_h: ArrayLike, area_m2: ArrayLike, *, volume_l: ArrayLike) -> Array:
    """Share of the CO2 over air's own level that a mixed tank loses in an hour.

    Parameters
    ----------
    transfer_velocity_cm_h : transfer velocity of CO2 [cm/h]
    area_m2 : water surface [m²]
    volume_l : water volume [L]

    Returns
    -------
    Loss rate k A / V [/h], shape of the inputs broadcast

    Examples
    --------
    >>> float(loss_per_h(4.0, 0.25, volume_l=100.0))
    0.1
    """
    swept_l = 10.0 * np.asarray(transfer_velocity_cm_h, dtype=np.float64) * np.asarray(area_m2)
    result: Array = swept_l / np.asarray(volume_l, dtype=np.float64)
    return result


@equation("lewis-whitman-1924", where="two-film theory, mixed water, solved for k")
def velocity_from_loss_cm_h(loss_rate_per_h: ArrayLike, area_m2: ArrayLike, *, volume_l: ArrayLike) -> Array:
    """The transfer velocity behind a loss rate that was measured.

    Parameters
    ----------
    loss_rate_per_h : loss rate [/h]
    area_m2 : water surface [m²]
    volume_l : water volume [L]

    Returns
    -------
    Transfer velocity [cm/h], shape of the inputs broadcast

    Examples
    --------
    >>> float(velocity_from_loss_cm_h(0.1, 0.25, volume_l=100.0))
    4.0
    """
    lost_l = np.asarray(loss_rate_per_h, dtype=np.float64) * np.asarray(volume_l)
    result: Array = lost_l / (10.0 * np.asarray(area_m2, dtype=np.float64))
    return result


@equation("lewis-whitman-1924", where="two-film theory, mixed water, integrated")
def relaxing_mg_l(
    start_mg_l: ArrayLike, settles_mg_l: ArrayLike, *, loss_rate_per_h: ArrayLike, elapsed_h: ArrayLike
) -> Array:
    """The CO2 left a while after the gas went off, with nothing but the surface at work.

    Parameters
    ----------
    start_mg_l : CO2 when the gas went off [mg/L]
    settles_mg_l : CO2 the water would settle at [mg/L]
    loss_rate_per_h : loss rate [/h]
    elapsed_h : time since then [h]

    Returns
    -------
    CO2 [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(relaxing_mg_l(30.0, 0.6, loss_rate_per_h=0.1, elapsed_h=8.0)), 1)
    13.8
    """
    left = np.exp(-np.asarray(loss_rate_per_h, dtype=np.float64) * np.asarray(elapsed_h, dtype=np.float64))
    settles = np.asarray(settles_mg_l, dtype=np.float64)
    result: Array = settles + (np.asarray(start_mg_l, dtype=np.float64) - settles) * left
    return result
