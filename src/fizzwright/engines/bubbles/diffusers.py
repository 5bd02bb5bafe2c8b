"""What sizes of bubble each kind of diffuser gives, new, used and fouled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.properties import GRAVITY
from fizzwright.job.words import Condition, DiffuserKind
from fizzwright.sources import equation

__all__ = [
    "DiffuserSpread", "diffuser_spread", "size_pore_tate_mm", "size_pump_hinze_mm",
    "volume_median_mm",
]  # fmt: skip

Array = NDArray[np.float64]
Values = float | Array

ONE_SIDE_90 = 1.6448536269514722


@dataclass(frozen=True)
class DiffuserSpread:
    """Bubble sizes of one kind of diffuser: middle and 90 % limits of the Sauter mean, and the spread.

    `d32_mm` is volume over surface of all bubbles, times six. `gsd_ratio` is the geometric standard
    deviation of the sizes by number. `held_s` is how long bubbles are kept under way before they are
    let go (ladders), 0 for the rest.
    """

    kind: DiffuserKind
    condition: Condition
    d32_mm: float
    d32_low_mm: float
    d32_high_mm: float
    gsd_ratio: float
    held_s: float = 0.0

    def d32_at_mm(self, d32_z_number: Values) -> Array:
        """The Sauter mean at standard normal scores: median at 0, the 90 % limits at ±1.645. [mm]"""
        z = np.asarray(d32_z_number, dtype=float)
        below = np.log(self.d32_mm / self.d32_low_mm) / ONE_SIDE_90
        above = np.log(self.d32_high_mm / self.d32_mm) / ONE_SIDE_90
        grade: Array = self.d32_mm * np.exp(np.where(z < 0.0, below, above) * z)
        return grade


# Sauter mean in mm (middle, low, high): clean, used, fouled; then the spread of sizes and the held time.
# All common practice: no one publishes them for aquarium parts. Fouling wets worse and closes pores, so
# the gas leaves fewer and wider places.
_SIZES: dict[DiffuserKind, tuple[tuple[tuple[float, float, float], ...], float, float]] = {
    DiffuserKind.FINE_CERAMIC: (((0.30, 0.15, 0.50), (0.40, 0.20, 0.70), (0.70, 0.35, 1.40)), 1.6, 0.0),
    DiffuserKind.COARSE_CERAMIC: (((0.80, 0.50, 1.30), (1.00, 0.60, 1.70), (1.50, 0.80, 2.80)), 1.6, 0.0),
    DiffuserKind.GLASS_FRIT: (((0.50, 0.30, 0.90), (0.60, 0.35, 1.10), (1.00, 0.50, 2.00)), 1.6, 0.0),
    DiffuserKind.WOOD: (((0.50, 0.30, 0.90), (0.70, 0.35, 1.30), (1.20, 0.60, 2.40)), 1.6, 0.0),
    DiffuserKind.AIR_STONE: (((1.80, 1.00, 3.00), (2.00, 1.10, 3.30), (2.50, 1.30, 4.20)), 1.5, 0.0),
    DiffuserKind.LADDER: (((3.80, 3.00, 4.80), (3.90, 3.00, 5.00), (4.00, 3.00, 5.20)), 1.15, 6.0),
    DiffuserKind.OPEN_TUBE: (((3.80, 3.00, 4.80), (3.90, 3.00, 5.00), (4.00, 3.00, 5.20)), 1.2, 0.0),
    DiffuserKind.INLINE: (((0.20, 0.08, 0.45), (0.25, 0.10, 0.55), (0.40, 0.15, 0.90)), 1.6, 0.0),
}
_CONDITIONS = (Condition.CLEAN, Condition.USED, Condition.FOULED)


@equation("diffuser-sizes", where="typical sizes by kind and state")
def diffuser_spread(kind: DiffuserKind, condition: Condition) -> DiffuserSpread:
    """Bubble sizes to expect of a kind of diffuser in a state of wear.

    Parameters
    ----------
    kind : kind of diffuser
    condition : clean, used or fouled

    Returns
    -------
    middle, 90 % limits and spread of the sizes

    Examples
    --------
    >>> diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED).d32_mm
    0.4
    """
    sizes, gsd, held = _SIZES[kind]
    middle, low, high = sizes[_CONDITIONS.index(condition)]
    return DiffuserSpread(kind, condition, middle, low, high, gsd, held)


@equation("hatch-choate-1929", where="lognormal moments: median by volume from the Sauter mean")
def volume_median_mm(d32_mm: Values, gsd_ratio: Values) -> Array:
    """Size below which half of the gas volume lies, for lognormal sizes.

    Parameters
    ----------
    d32_mm : Sauter mean [mm]
    gsd_ratio : geometric standard deviation by number [-]

    Returns
    -------
    median diameter by volume [mm], common shape of the inputs

    Examples
    --------
    >>> round(float(volume_median_mm(0.5, 1.6)), 3)
    0.558
    """
    return np.asarray(d32_mm, dtype=float) * np.exp(0.5 * np.log(gsd_ratio) ** 2)


@equation(
    "tate-1864",
    where="weight of the detached volume against surface tension round the pore",
    valid={"pore_um": (1.0, 2000.0)},
)
def size_pore_tate_mm(pore_um: Values, *, tension_n_m: float = 0.0720, density_kg_m3: float = 997.0) -> Array:
    """Bubble that slowly leaves a well-wetted pore.

    Parameters
    ----------
    pore_um : pore diameter [µm]
    tension_n_m : surface tension [N/m]
    density_kg_m3 : density of the water [kg/m³]

    Returns
    -------
    bubble diameter [mm], shape of the pore

    Examples
    --------
    >>> round(float(size_pore_tate_mm(20.0)), 2)
    0.96
    """
    pore = 1e-6 * np.asarray(pore_um, dtype=float)
    return 1e3 * np.cbrt(6.0 * pore * tension_n_m / (density_kg_m3 * GRAVITY))


@equation("hinze-1955", where="largest stable size, 0.725 (sigma/rho)^0.6 eps^-0.4")
def size_pump_hinze_mm(power_w: Values, water_kg: Values, *, tension_n_m: float = 0.0720) -> Array:
    """Largest bubble that survives where a pump spends its power, such as a needle wheel.

    Parameters
    ----------
    power_w : power spent in the water [W]
    water_kg : water it is spent in; for a wheel the few grams between the needles [kg]
    tension_n_m : surface tension [N/m]

    Returns
    -------
    largest bubble diameter [mm], common shape of the inputs

    Examples
    --------
    >>> round(float(size_pump_hinze_mm(1.0, 0.01)), 2)
    0.38
    """
    share = np.asarray(power_w, dtype=float) / water_kg
    largest: Array = 725.0 * (tension_n_m / 997.0) ** 0.6 * share**-0.4
    return largest
