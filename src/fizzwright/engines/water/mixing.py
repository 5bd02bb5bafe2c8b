"""Two waters poured together: alkalinity, carbon and ions add up by volume; pH and CO2 do not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.carbonate import ph_from_co2_given_constants, ph_from_dic_given_constants
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    alkalinity_at_dic_meq_l,
    conditional_constants,
)
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.sources import equation

__all__ = [
    "MIXING_EQUATIONS",
    "BulkWater",
    "CarbonState",
    "blended_mmol_l",
    "bulk_from_co2",
    "carbon_state",
    "poured_together",
]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class BulkWater:
    """What adds up by volume; fields may be arrays of draws."""

    alk_meq_l: Array
    dic_mmol_l: Array
    ionic_strength_mol_l: Array
    water_c: Array


@dataclass(frozen=True)
class CarbonState:
    """What follows once the carbon has shared itself out anew."""

    ph: Array
    co2_mg_l: Array


@equation("conservation-on-mixing", where="amounts add up by volume")
def blended_mmol_l(first_mmol_l: ArrayLike, second_mmol_l: ArrayLike, *, second_frac: ArrayLike) -> Array:
    """What two waters hold together of anything that neither reacts away nor leaves.

    Parameters
    ----------
    first_mmol_l : in the first water [mmol/L]
    second_mmol_l : in the second water [mmol/L]
    second_frac : share of the second water in the whole [-]

    Returns
    -------
    In the mixture [mmol/L], shape of the inputs broadcast

    Examples
    --------
    >>> float(blended_mmol_l(2.0, 1.0, second_frac=0.25))
    1.75
    """
    share = np.asarray(second_frac, dtype=np.float64)
    result: Array = (1.0 - share) * np.asarray(first_mmol_l) + share * np.asarray(second_mmol_l)
    return result


# What `bulk_from_co2`, `poured_together` and `carbon_state` run together.
MIXING_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *CONDITIONAL_EQUATIONS,
    blended_mmol_l,
    alkalinity_at_co2_meq_l,
    alkalinity_at_dic_meq_l,
)


def bulk_from_co2(
    co2_mg_l: ArrayLike, alk_meq_l: ArrayLike, *, water_c: ArrayLike, ionic_strength_mol_l: ArrayLike
) -> BulkWater:
    """What a water of known free CO2 and carbonate alkalinity brings to a mixture."""
    constants = conditional_constants(water_c, ionic_strength_mol_l)
    co2 = np.asarray(co2_mg_l, dtype=np.float64) / CO2_G_MOL
    ph = ph_from_co2_given_constants(co2, alk_meq_l, constants=constants)
    first = constants.k1_mol_l * 10.0**ph
    dic = co2 * (1.0 + first * (1.0 + constants.k2_mol_l * 10.0**ph))
    parts = (alk_meq_l, dic, ionic_strength_mol_l, water_c)
    return BulkWater(*(np.asarray(part, dtype=np.float64) for part in parts))


def poured_together(first: BulkWater, second: BulkWater, *, second_frac: ArrayLike) -> BulkWater:
    """The mixture of two waters, before anything leaves through the surface.

    Parameters
    ----------
    first, second : the waters
    second_frac : share of the second in the whole [-]

    Returns
    -------
    `BulkWater`; warmth adds up like any amount
    """
    return BulkWater(
        alk_meq_l=blended_mmol_l(first.alk_meq_l, second.alk_meq_l, second_frac=second_frac),
        dic_mmol_l=blended_mmol_l(first.dic_mmol_l, second.dic_mmol_l, second_frac=second_frac),
        ionic_strength_mol_l=blended_mmol_l(
            first.ionic_strength_mol_l, second.ionic_strength_mol_l, second_frac=second_frac
        ),
        water_c=blended_mmol_l(first.water_c, second.water_c, second_frac=second_frac),
    )


def carbon_state(water: BulkWater) -> CarbonState:
    """The pH and the free CO2 of a water given by what adds up in it."""
    constants = conditional_constants(water.water_c, water.ionic_strength_mol_l)
    ph = ph_from_dic_given_constants(water.dic_mmol_l, water.alk_meq_l, constants=constants)
    first = constants.k1_mol_l * 10.0**ph
    co2 = water.dic_mmol_l / (1.0 + first * (1.0 + constants.k2_mol_l * 10.0**ph))
    return CarbonState(ph, CO2_G_MOL * co2)
