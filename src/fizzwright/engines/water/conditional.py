"""The constants of one water at its own saltiness, and the carbonate balance written with them.

The day's sums and the solvers in `carbonate` build on these; whoever needs many answers for one water
makes the constants once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.activity import davies_log10, debye_huckel_a_factor, neutral_log10
from fizzwright.engines.water.constants import (
    ca_co3_pair_log10,
    ca_hco3_pair_log10,
    density_smow_kg_m3,
    k1_plummer_log10,
    k2_plummer_log10,
    kw_millero_log10,
)
from fizzwright.sources import equation

__all__ = [
    "CONDITIONAL_EQUATIONS",
    "PAIR_EQUATIONS",
    "ConditionalConstants",
    "Speciation",
    "alkalinity_at_co2_meq_l",
    "alkalinity_at_dic_meq_l",
    "co2_at_alkalinity_mmol_l",
    "conditional_constants",
    "speciation",
]

Array = NDArray[np.float64]

# What `conditional_constants` runs, for the trail of whoever calls it; the pairs only with a hardness.
CONDITIONAL_EQUATIONS: tuple[Callable[..., Any], ...] = (
    k1_plummer_log10,
    k2_plummer_log10,
    kw_millero_log10,
    density_smow_kg_m3,
    debye_huckel_a_factor,
    davies_log10,
    neutral_log10,
)
PAIR_EQUATIONS: tuple[Callable[..., Any], ...] = (ca_hco3_pair_log10, ca_co3_pair_log10)

# Sulfate and bicarbonate hold about a sixth of the calcium and magnesium of usual waters.
FREE_SHARE = 0.85


@dataclass(frozen=True)
class ConditionalConstants:
    """The constants of one water, ready for concentrations in mol/L against pH.

    With a = 10^-pH: a [HCO3] = k1 [CO2]; a [CO3] = k2 [HCO3]; a [OH] = kw; [H] = h a. Bicarbonate and
    carbonate include what calcium and magnesium hold. The factors are activity coefficients.
    """

    k1_mol_l: Array
    k2_mol_l: Array
    kw_mol_l: Array
    h_mol_l: Array
    gamma0_factor: Array
    gamma1_factor: Array
    gamma2_factor: Array
    density_kg_m3: Array


@dataclass(frozen=True)
class Speciation:
    """How the dissolved carbon of a water is shared out; every field broadcast alike."""

    ph: Array
    co2_mmol_l: Array
    hco3_mmol_l: Array
    co3_mmol_l: Array
    oh_mmol_l: Array
    h_mmol_l: Array
    dic_mmol_l: Array
    alk_meq_l: Array


def conditional_constants(
    water_c: ArrayLike, ionic_strength_mol_l: ArrayLike, *, hardness_mmol_l: ArrayLike | None = None
) -> ConditionalConstants:
    """The constants of one water at its temperature, saltiness and (where known) hardness.

    Parameters
    ----------
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, bound alike; None leaves pairs out [mmol/L]

    Returns
    -------
    `ConditionalConstants`, fields of the shape of the inputs broadcast
    """
    density = density_smow_kg_m3(water_c)
    litre_kg = density / 1000.0
    molal = np.asarray(ionic_strength_mol_l, dtype=np.float64) / litre_kg
    slope = debye_huckel_a_factor(water_c)
    gamma1 = 10.0 ** davies_log10(molal, 1, slope_factor=slope)
    gamma2 = 10.0 ** davies_log10(molal, 2, slope_factor=slope)
    gamma0 = 10.0 ** neutral_log10(molal)
    k1 = 10.0 ** k1_plummer_log10(water_c) * gamma0 / gamma1
    k2 = 10.0 ** k2_plummer_log10(water_c) * gamma1 / gamma2
    if hardness_mmol_l is not None:
        free = FREE_SHARE * gamma2 * np.asarray(hardness_mmol_l, dtype=np.float64) / 1000.0 / litre_kg
        with_hco3 = 1.0 + 10.0 ** ca_hco3_pair_log10(water_c) * free
        with_co3 = 1.0 + 10.0 ** ca_co3_pair_log10(water_c) * free * gamma2 / gamma0
        k1, k2 = k1 * with_hco3, k2 * with_co3 / with_hco3
    kw = 10.0 ** kw_millero_log10(water_c) / gamma1 * litre_kg
    proton = litre_kg / gamma1
    return ConditionalConstants(k1, k2, kw, proton, gamma0, gamma1, gamma2, density)


@equation("stumm-morgan-1996", where="carbonate alkalinity, solved for CO2", valid={"ph": (3.0, 11.0)})
def co2_at_alkalinity_mmol_l(
    ph: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """Free CO2 of a water whose pH and carbonate alkalinity are known.

    Parameters
    ----------
    ph : pH [activity scale]
    alk_meq_l : carbonate alkalinity [meq/L]
    constants : constants of this water

    Returns
    -------
    Free CO2 [mmol/L], shape broadcast; zero where hydroxide alone explains the alkalinity
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    alk = np.asarray(alk_meq_l, dtype=np.float64)
    carbonate = alk - 1000.0 * constants.kw_mol_l / acid + 1000.0 * constants.h_mol_l * acid
    co2: Array = carbonate * acid / (constants.k1_mol_l * (1.0 + 2.0 * constants.k2_mol_l / acid))
    return np.maximum(co2, 0.0)


@equation("stumm-morgan-1996", where="carbonate alkalinity at a known CO2", valid={"ph": (3.0, 11.0)})
def alkalinity_at_co2_meq_l(
    ph: ArrayLike, co2_mmol_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """Carbonate alkalinity of a water whose pH and free CO2 are known.

    Parameters
    ----------
    ph : pH [activity scale]
    co2_mmol_l : free CO2 [mmol/L]
    constants : constants of this water

    Returns
    -------
    Carbonate alkalinity [meq/L], shape broadcast
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    hco3 = np.asarray(co2_mmol_l, dtype=np.float64) * constants.k1_mol_l / acid
    co3 = hco3 * constants.k2_mol_l / acid
    ions: Array = 1000.0 * (constants.kw_mol_l / acid - constants.h_mol_l * acid)
    return hco3 + 2.0 * co3 + ions


@equation(
    "stumm-morgan-1996", where="carbonate alkalinity at a known total carbon", valid={"ph": (3.0, 11.0)}
)
def alkalinity_at_dic_meq_l(
    ph: ArrayLike, dic_mmol_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """Carbonate alkalinity of a water whose pH and total dissolved carbon are known.

    Parameters
    ----------
    ph : pH [activity scale]
    dic_mmol_l : free CO2, bicarbonate and carbonate together [mmol/L]
    constants : constants of this water

    Returns
    -------
    Carbonate alkalinity [meq/L], shape broadcast
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    first = constants.k1_mol_l / acid
    second = first * constants.k2_mol_l / acid
    dic = np.asarray(dic_mmol_l, dtype=np.float64)
    ions: Array = 1000.0 * (constants.kw_mol_l / acid - constants.h_mol_l * acid)
    return dic * (first + 2.0 * second) / (1.0 + first + second) + ions


def speciation(ph: ArrayLike, co2_mmol_l: ArrayLike, *, constants: ConditionalConstants) -> Speciation:
    """How the carbon of a water is shared out at a pH and a free CO2.

    Parameters
    ----------
    ph : pH [activity scale]
    co2_mmol_l : free CO2 [mmol/L]
    constants : constants of this water

    Returns
    -------
    `Speciation`, all fields broadcast alike
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)
    co2 = np.asarray(co2_mmol_l, dtype=np.float64)
    hco3 = co2 * constants.k1_mol_l / acid
    co3 = hco3 * constants.k2_mol_l / acid
    oh = 1000.0 * constants.kw_mol_l / acid
    proton = 1000.0 * constants.h_mol_l * acid
    dic = co2 + hco3 + co3
    alk = alkalinity_at_co2_meq_l(ph, co2, constants=constants)
    parts = np.broadcast_arrays(-np.log10(acid), co2, hco3, co3, oh, proton, dic, alk)
    return Speciation(*(part[()] for part in parts))
