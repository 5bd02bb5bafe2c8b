"""How warm water lowers the animals' starting ceiling, and how CO2 and oxygen add up to one risk."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = ["O2_WANTED_MG_L", "WARM_FROM_C", "combined_risk_number", "reduction_factor"]

Draws = float | NDArray[np.float64]

WARM_FROM_C = 28.0
O2_WANTED_MG_L = 6.0
REDUCED_FACTOR = 0.8


@equation("animal-ceilings", where="ceilings down by a fifth over 28 degC or under 6 mg/L oxygen")
def reduction_factor(water_c: Draws, o2_mg_l: Draws | None = None) -> Draws:
    """What the starting ceilings are multiplied by in warm or oxygen-poor water.

    Parameters
    ----------
    water_c : water temperature. [degC]
    o2_mg_l : lowest oxygen expected, or None where it is not known. [mg/L]

    Returns
    -------
    1, or 0.8 where the water is over 28 degC or holds under 6 mg/L oxygen. [-]

    Examples
    --------
    >>> float(reduction_factor(29.0)), float(reduction_factor(25.0, 6.5))
    (0.8, 1.0)
    """
    hard_day = np.asarray(water_c) > WARM_FROM_C
    if o2_mg_l is not None:
        hard_day = hard_day | (np.asarray(o2_mg_l) < O2_WANTED_MG_L)
    factor: Draws = np.where(hard_day, REDUCED_FACTOR, 1.0)
    return factor


@equation("animal-ceilings", where="one index for CO2 and oxygen, alarm at 1")
def combined_risk_number(co2_mg_l: Draws, ceiling_mg_l: Draws, o2_mg_l: Draws) -> Draws:
    """One figure for CO2 and oxygen together; at 1 the animals are at their starting ceiling.

    CO2 makes blood carry oxygen less well, so the same CO2 counts for more when oxygen is short.

    Parameters
    ----------
    co2_mg_l : CO2 in the water. [mg/L]
    ceiling_mg_l : soft ceiling of the strictest group. [mg/L]
    o2_mg_l : oxygen in the water. [mg/L]

    Returns
    -------
    Index, 1 at the ceiling with 6 mg/L oxygen or more. [-]

    Examples
    --------
    >>> float(combined_risk_number(20.0, 30.0, 4.0))
    1.0
    """
    shortage = np.maximum(1.0, O2_WANTED_MG_L / np.maximum(o2_mg_l, 0.1))
    risk: Draws = co2_mg_l / np.asarray(ceiling_mg_l) * shortage
    return risk
