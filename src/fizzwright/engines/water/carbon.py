"""The whole carbon balance of a water from any two of pH, CO2, total carbon and carbonate alkalinity.

Each function takes the constants of one water, made by `conditional_constants` where only its saltiness
is known, or settled by `ionic_water` where its ions are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.carbonate import ph_from_co2_given_constants, ph_from_dic_given_constants
from fizzwright.engines.water.conditional import (
    ConditionalConstants,
    Speciation,
    alkalinity_at_co2_meq_l,
    alkalinity_at_dic_meq_l,
    co2_at_alkalinity_mmol_l,
    speciation,
)
from fizzwright.errors import NoPhysicalRoot
from fizzwright.sources import equation

__all__ = [
    "co2_at_dic_mmol_l",
    "from_co2_and_alk",
    "from_co2_and_dic",
    "from_dic_and_alk",
    "from_ph_and_alk",
    "from_ph_and_co2",
    "from_ph_and_dic",
    "ph_from_co2_and_dic",
]

Array = NDArray[np.float64]


@equation("stumm-morgan-1996", where="share of dissolved carbon that is CO2", valid={"ph": (3.0, 11.0)})
def co2_at_dic_mmol_l(ph: ArrayLike, dic_mmol_l: ArrayLike, *, constants: ConditionalConstants) -> Array:
    """Free CO2 of a water whose pH and total dissolved carbon are known.

    Parameters
    ----------
    ph : pH [activity scale]
    dic_mmol_l : free CO2, bicarbonate and carbonate together [mmol/L]
    constants : constants of this water

    Returns
    -------
    Free CO2 [mmol/L], shape broadcast
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    first = constants.k1_mol_l / acid
    result: Array = np.asarray(dic_mmol_l, dtype=np.float64) / (
        1.0 + first * (1.0 + constants.k2_mol_l / acid)
    )
    return result


@equation("stumm-morgan-1996", where="share of dissolved carbon that is CO2, solved for pH")
def ph_from_co2_and_dic(
    co2_mmol_l: ArrayLike, dic_mmol_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """The pH of a water whose free CO2 and total dissolved carbon are known.

    Parameters
    ----------
    co2_mmol_l : free CO2 [mmol/L]
    dic_mmol_l : free CO2, bicarbonate and carbonate together [mmol/L]
    constants : constants of this water

    Returns
    -------
    pH [activity scale], shape broadcast

    Raises
    ------
    NoPhysicalRoot : total carbon is not more than the free CO2
    """
    co2 = np.asarray(co2_mmol_l, dtype=np.float64)
    excess = np.asarray(dic_mmol_l, dtype=np.float64) / co2 - 1.0
    if not np.all(excess > 0.0):
        raise NoPhysicalRoot(
            "total carbon must be more than the free CO2 in it; check that both belong together"
        )
    # excess a^2 - k1 a - k1 k2 = 0, the root above zero
    k1, k2 = constants.k1_mol_l, constants.k2_mol_l
    acid = (k1 + np.sqrt(k1**2 + 4.0 * excess * k1 * k2)) / (2.0 * excess)
    result: Array = -np.log10(acid)
    return result


def from_ph_and_alk(ph: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants) -> Speciation:
    """The carbon balance from pH and carbonate alkalinity [meq/L]."""
    return speciation(ph, co2_at_alkalinity_mmol_l(ph, alk_meq_l, constants=constants), constants=constants)


def from_ph_and_co2(ph: ArrayLike, co2_mmol_l: ArrayLike, *, constants: ConditionalConstants) -> Speciation:
    """The carbon balance from pH and free CO2 [mmol/L]."""
    return speciation(ph, co2_mmol_l, constants=constants)


def from_ph_and_dic(ph: ArrayLike, dic_mmol_l: ArrayLike, *, constants: ConditionalConstants) -> Speciation:
    """The carbon balance from pH and total dissolved carbon [mmol/L]."""
    return speciation(ph, co2_at_dic_mmol_l(ph, dic_mmol_l, constants=constants), constants=constants)


def from_co2_and_alk(
    co2_mmol_l: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants
) -> Speciation:
    """The carbon balance from free CO2 [mmol/L] and carbonate alkalinity [meq/L]."""
    return speciation(
        ph_from_co2_given_constants(co2_mmol_l, alk_meq_l, constants=constants),
        co2_mmol_l,
        constants=constants,
    )


def from_dic_and_alk(
    dic_mmol_l: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants
) -> Speciation:
    """The carbon balance from total dissolved carbon [mmol/L] and carbonate alkalinity [meq/L]."""
    ph = ph_from_dic_given_constants(dic_mmol_l, alk_meq_l, constants=constants)
    return from_ph_and_dic(ph, dic_mmol_l, constants=constants)


def from_co2_and_dic(
    co2_mmol_l: ArrayLike, dic_mmol_l: ArrayLike, *, constants: ConditionalConstants
) -> Speciation:
    """The carbon balance from free CO2 and total dissolved carbon [both mmol/L]."""
    ph = ph_from_co2_and_dic(co2_mmol_l, dic_mmol_l, constants=constants)
    return speciation(ph, co2_mmol_l, constants=constants)


# What the solvers of a pH run beside the constants, for trails.
SOLVING_CO2_AND_ALK = (alkalinity_at_co2_meq_l,)
SOLVING_DIC_AND_ALK = (alkalinity_at_dic_meq_l, co2_at_dic_mmol_l, alkalinity_at_co2_meq_l)
