"""Free CO2, bicarbonate, carbonate and pH of a fresh water: any two readings give the rest.

"Alkalinity" here is carbonate alkalinity, HCO3 + 2 CO3 + OH - H; what a kit counts beside it is taken
off in `kit`. pH is on the activity scale, as a buffer-calibrated probe shows it. Amounts are per litre.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    ConditionalConstants,
    Speciation,
    alkalinity_at_co2_meq_l,
    alkalinity_at_dic_meq_l,
    co2_at_alkalinity_mmol_l,
    conditional_constants,
    speciation,
)
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.errors import NoPhysicalRoot, NotConverged

__all__ = [
    "CONDITIONAL_EQUATIONS",
    "PAIR_EQUATIONS",
    "ConditionalConstants",
    "Speciation",
    "alk_from_ph_co2_meq_l",
    "alkalinity_at_co2_meq_l",
    "alkalinity_at_dic_meq_l",
    "co2_at_alkalinity_mmol_l",
    "co2_from_dic_mg_l",
    "co2_from_ph_mg_l",
    "conditional_constants",
    "dic_from_co2_mmol_l",
    "ph_from_co2",
    "ph_from_co2_given_constants",
    "ph_from_dic",
    "ph_from_dic_given_constants",
    "speciation",
]

Array = NDArray[np.float64]

PH_LOW, PH_HIGH = 1.5, 13.0


def co2_from_ph_mg_l(
    ph: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """Free CO2 from pH and carbonate alkalinity.

    Parameters
    ----------
    ph : pH [activity scale]
    alk_meq_l : carbonate alkalinity [meq/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    Free CO2 [mg/L], shape broadcast; zero where hydroxide alone explains the alkalinity

    Examples
    --------
    >>> round(float(co2_from_ph_mg_l(6.6, 1.4266, water_c=25.0, ionic_strength_mol_l=0.005)), 1)
    32.8
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    return CO2_G_MOL * co2_at_alkalinity_mmol_l(ph, alk_meq_l, constants=constants)


def ph_from_co2(
    co2_mg_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """The pH a probe should show for a given free CO2 and carbonate alkalinity.

    Parameters
    ----------
    co2_mg_l : free CO2 [mg/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    pH, shape broadcast; solved to better than 1e-9

    Raises
    ------
    NoPhysicalRoot : no pH between 1.5 and 13 fits

    Examples
    --------
    >>> round(float(ph_from_co2(30.0, 1.4266, water_c=25.0, ionic_strength_mol_l=0.0014266)), 3)
    6.654
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    co2 = np.asarray(co2_mg_l, dtype=np.float64) / CO2_G_MOL
    return ph_from_co2_given_constants(co2, alk_meq_l, constants=constants)


def ph_from_dic(
    dic_mmol_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """The pH of a water whose total dissolved carbon and carbonate alkalinity are known.

    Parameters
    ----------
    dic_mmol_l : free CO2, bicarbonate and carbonate together [mmol/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    pH, shape broadcast; solved to better than 1e-9

    Raises
    ------
    NoPhysicalRoot : no pH between 1.5 and 13 fits

    Examples
    --------
    >>> round(float(ph_from_dic(2.1083, 1.4266, water_c=25.0, ionic_strength_mol_l=0.0014266)), 3)
    6.654
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    dic = np.asarray(dic_mmol_l, dtype=np.float64)
    return ph_from_dic_given_constants(dic, alk_meq_l, constants=constants)


def co2_from_dic_mg_l(
    dic_mmol_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """Free CO2 of a water whose total dissolved carbon and carbonate alkalinity are known.

    Parameters
    ----------
    dic_mmol_l : free CO2, bicarbonate and carbonate together [mmol/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    Free CO2 [mg/L], shape broadcast

    Raises
    ------
    NoPhysicalRoot : no pH between 1.5 and 13 fits

    Examples
    --------
    >>> round(float(co2_from_dic_mg_l(2.1083, 1.4266, water_c=25.0, ionic_strength_mol_l=0.0014266)), 1)
    30.0
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    dic = np.asarray(dic_mmol_l, dtype=np.float64)
    ph = ph_from_dic_given_constants(dic, alk_meq_l, constants=constants)
    first = constants.k1_mol_l * 10.0**ph
    second = first * constants.k2_mol_l * 10.0**ph
    result: Array = CO2_G_MOL * dic / (1.0 + first + second)
    return result


def dic_from_co2_mmol_l(
    co2_mg_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """Total dissolved carbon of a water whose free CO2 and carbonate alkalinity are known.

    Parameters
    ----------
    co2_mg_l : free CO2 [mg/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    Free CO2, bicarbonate and carbonate together [mmol/L], shape broadcast

    Raises
    ------
    NoPhysicalRoot : no pH between 1.5 and 13 fits

    Examples
    --------
    >>> round(float(dic_from_co2_mmol_l(30.0, 1.4266, water_c=25.0, ionic_strength_mol_l=0.0014266)), 3)
    2.108
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    co2 = np.asarray(co2_mg_l, dtype=np.float64) / CO2_G_MOL
    ph = ph_from_co2_given_constants(co2, alk_meq_l, constants=constants)
    first = constants.k1_mol_l * 10.0**ph
    result: Array = co2 * (1.0 + first * (1.0 + constants.k2_mol_l * 10.0**ph))
    return result


def alk_from_ph_co2_meq_l(
    ph: ArrayLike,
    co2_mg_l: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    hardness_mmol_l: ArrayLike | None = None,
) -> Array:
    """Carbonate alkalinity from pH and a known CO2, as in a sample aired until it holds no more or less.

    Parameters
    ----------
    ph : pH [activity scale]
    co2_mg_l : free CO2, for an aired sample that of `co2_air_equilibrium_mg_l` [mg/L]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    hardness_mmol_l : calcium and magnesium together, or None to leave ion pairs out [mmol/L]

    Returns
    -------
    Carbonate alkalinity [meq/L], shape broadcast

    Examples
    --------
    >>> round(float(alk_from_ph_co2_meq_l(7.7, 0.606, water_c=25.0, ionic_strength_mol_l=0.004)), 2)
    0.33
    """
    constants = conditional_constants(water_c, ionic_strength_mol_l, hardness_mmol_l=hardness_mmol_l)
    co2 = np.asarray(co2_mg_l, dtype=np.float64) / CO2_G_MOL
    return alkalinity_at_co2_meq_l(ph, co2, constants=constants)


def ph_from_co2_given_constants(
    co2_mmol_l: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """The pH at a known free CO2 [mmol/L] and carbonate alkalinity [meq/L], with constants at hand."""
    # The search starts where bicarbonate is all there is.
    co2_mmol_l = np.asarray(co2_mmol_l, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.asarray(alk_meq_l, dtype=np.float64) / (co2_mmol_l * constants.k1_mol_l)
        start = np.log10(np.maximum(ratio, 1e-12))
    return _ph_where(
        lambda ph: alkalinity_at_co2_meq_l(ph, co2_mmol_l, constants=constants), alk_meq_l, start
    )


def ph_from_dic_given_constants(
    dic_mmol_l: ArrayLike, alk_meq_l: ArrayLike, *, constants: ConditionalConstants
) -> Array:
    """The pH at a known total carbon [mmol/L] and carbonate alkalinity [meq/L], with constants at hand."""
    # The search starts where acid and hydroxide do not count.
    dic_mmol_l = np.asarray(dic_mmol_l, dtype=np.float64)
    alk = np.asarray(alk_meq_l, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        half = 0.5 * constants.k1_mol_l * (dic_mmol_l - alk)
        rest = alk * constants.k1_mol_l * constants.k2_mol_l * (2.0 * dic_mmol_l - alk)
        acid = (half + np.sqrt(np.maximum(half**2 + rest, 0.0))) / alk
        start = -np.log10(np.maximum(acid, 1e-30))
    return _ph_where(
        lambda ph: alkalinity_at_dic_meq_l(ph, dic_mmol_l, constants=constants), alk_meq_l, start
    )


def _ph_where(alkalinity: Callable[[Array], Array], alk_meq_l: ArrayLike, start_ph: Array) -> Array:
    """The pH at which a rising alkalinity curve meets the alkalinity given; bracketed, elementwise."""
    wanted = np.asarray(alk_meq_l, dtype=np.float64)
    edges = alkalinity(np.float64(PH_LOW)) - wanted, alkalinity(np.float64(PH_HIGH)) - wanted  # type: ignore[arg-type]
    if not (np.all(edges[0] <= 0.0) and np.all(edges[1] >= 0.0)):
        raise NoPhysicalRoot(
            f"no pH between {PH_LOW} and {PH_HIGH} fits this carbon and alkalinity; check that both belong "
            "to one sample and that alkalinity is not far over twice the carbon"
        )
    shape = np.shape(edges[0])
    low, high = np.full(shape, PH_LOW), np.full(shape, PH_HIGH)
    middle: Array = np.clip(np.broadcast_to(np.nan_to_num(start_ph, nan=7.0), shape), 3.0, 12.0)
    for _ in range(100):
        off = alkalinity(middle) - wanted
        low, high = np.where(off <= 0.0, middle, low), np.where(off > 0.0, middle, high)
        # The slope is taken over a ten-millionth of a pH: the curve is smooth and the bracket guards it.
        slope = (alkalinity(middle + 1e-7) - wanted - off) / 1e-7
        newton = middle - off / np.maximum(slope, 1e-300)
        trial = np.where((newton >= low) & (newton <= high), newton, 0.5 * (low + high))
        if np.all(np.abs(trial - middle) < 1e-9):
            return np.asarray(trial, dtype=np.float64)[()]
        middle = trial
    raise NotConverged("the pH of this water did not settle")
