"""A sample aired until it settles: its pH tells the carbonate alkalinity, and a drop below it the CO2.

Phosphate, tannins and a coarse kit do not enter. What does is the CO2 of the air used, one for one.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.carbonate import alk_from_ph_co2_meq_l, co2_from_ph_mg_l, ph_from_co2
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    co2_at_alkalinity_mmol_l,
)
from fizzwright.engines.water.gases import CO2_AIR_EQUATIONS, co2_air_equilibrium_mg_l

__all__ = [
    "AIRED_EQUATIONS",
    "DROP_EQUATIONS",
    "aired_alk_meq_l",
    "aired_ph",
    "co2_after_drop_mg_l",
]

Array = NDArray[np.float64]

# What `aired_ph` and `aired_alk_meq_l` run, and what `co2_after_drop_mg_l` runs.
AIRED_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *CO2_AIR_EQUATIONS,
    *CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
)
DROP_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    co2_at_alkalinity_mmol_l,
)


def aired_ph(
    alk_meq_l: ArrayLike,
    room_co2_ppm: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    altitude_m: ArrayLike = 0.0,
) -> Array:
    """The pH a sample comes to when room air is bubbled through it long enough.

    Parameters
    ----------
    alk_meq_l : carbonate alkalinity [meq/L]
    room_co2_ppm : CO2 share of dry air [ppm]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    altitude_m : height over sea level [m]

    Returns
    -------
    pH, shape of the inputs broadcast

    Examples
    --------
    >>> round(float(aired_ph(1.4266, 420.0, water_c=25.0, ionic_strength_mol_l=0.002)), 2)
    8.33
    """
    level = co2_air_equilibrium_mg_l(water_c, room_co2_ppm, altitude_m=altitude_m)
    return ph_from_co2(level, alk_meq_l, water_c=water_c, ionic_strength_mol_l=ionic_strength_mol_l)


def aired_alk_meq_l(
    settled_ph: ArrayLike,
    room_co2_ppm: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    altitude_m: ArrayLike = 0.0,
) -> Array:
    """Carbonate alkalinity from the pH of an aired sample; better than a kit below 2 dKH.

    Parameters
    ----------
    settled_ph : pH of the sample once it no longer moves [activity scale]
    room_co2_ppm : CO2 share of dry air [ppm]
    water_c : temperature of the sample [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    altitude_m : height over sea level [m]

    Returns
    -------
    Carbonate alkalinity [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(aired_alk_meq_l(7.4, 420.0, water_c=25.0, ionic_strength_mol_l=0.004)), 3)
    0.166
    """
    level = co2_air_equilibrium_mg_l(water_c, room_co2_ppm, altitude_m=altitude_m)
    return alk_from_ph_co2_meq_l(
        settled_ph, level, water_c=water_c, ionic_strength_mol_l=ionic_strength_mol_l
    )


def co2_after_drop_mg_l(
    settled_ph: ArrayLike,
    ph: ArrayLike,
    *,
    baseline_co2_mg_l: ArrayLike,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
) -> Array:
    """CO2 of a tank from how far its pH stands below that of the same water with a known CO2.

    Alkalinity, and the probe's own offset, fall out of the difference.

    Parameters
    ----------
    settled_ph : pH of the water when it held the baseline CO2 [activity scale]
    ph : pH of the tank now [activity scale]
    baseline_co2_mg_l : CO2 at the first reading, for an aired sample what the air leaves [mg/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]

    Returns
    -------
    Free CO2 now [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> water = {"water_c": 25.0, "ionic_strength_mol_l": 0.002}
    >>> round(float(co2_after_drop_mg_l(8.33, 7.33, baseline_co2_mg_l=0.606, **water)), 1)
    6.2
    """
    water: dict[str, ArrayLike] = {"water_c": water_c, "ionic_strength_mol_l": ionic_strength_mol_l}
    alk = alk_from_ph_co2_meq_l(settled_ph, baseline_co2_mg_l, **water)
    return co2_from_ph_mg_l(ph, alk, **water)
