"""Ionic strength: how salty a water is for its ions, from whatever the keeper can measure.

Known ions beat conductivity, conductivity beats a TDS pen, and alkalinity alone is the last resort.
Each answer carries its doubt, and the hardness that goes with it, because calcium and magnesium bind a
little of the bicarbonate.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = [
    "Ions",
    "Salt",
    "SaltBasis",
    "cations_from_ec_meq_l",
    "ionic_strength_best",
    "ionic_strength_from_alk_mol_l",
    "ionic_strength_from_cations_mol_l",
    "ionic_strength_from_ec_mol_l",
    "ionic_strength_from_ions_mol_l",
    "ionic_strength_from_tds_mol_l",
]

Array = NDArray[np.float64]

# A TDS pen multiplies conductivity by 0.5 to 0.7 (common practice); the middle of that.
TDS_PER_EC = 0.6


@dataclass(frozen=True)
class Ions:
    """The main ions of a water beside bicarbonate, as an analysis sheet gives them."""

    ca_mmol_l: float = 0.0
    mg_mmol_l: float = 0.0
    na_mmol_l: float = 0.0
    k_mmol_l: float = 0.0
    cl_mmol_l: float = 0.0
    so4_mmol_l: float = 0.0
    no3_mmol_l: float = 0.0


class SaltBasis(StrEnum):
    """What an ionic strength was worked out from."""

    EC = "conductivity"
    TDS = "dissolved solids"
    ALKALINITY = "alkalinity alone"


@dataclass(frozen=True)
class Salt:
    """Ionic strength and hardness of a water, with their doubt.

    Ionic strength, and calcium and magnesium together, lie between their low and high (90 %). Arrays
    follow the alkalinity given.
    """

    ionic_strength_mol_l: Array
    ionic_low_mol_l: Array
    ionic_high_mol_l: Array
    hardness_mmol_l: Array
    hardness_low_mmol_l: Array
    hardness_high_mmol_l: Array
    basis: SaltBasis


@equation("lewis-randall-1921", where="definition of ionic strength")
def ionic_strength_from_ions_mol_l(ions: Ions, alk_meq_l: ArrayLike) -> Array:
    """How salty a water is for its ions, from a full analysis.

    Parameters
    ----------
    ions : the main ions beside bicarbonate
    alk_meq_l : alkalinity, counted as bicarbonate [meq/L]

    Returns
    -------
    Half the sum of concentration times charge squared [mol/L], shape of `alk_meq_l`

    Examples
    --------
    >>> round(float(ionic_strength_from_ions_mol_l(Ions(ca_mmol_l=1.0), 2.0)), 4)
    0.003
    """
    double = np.asarray(ions.ca_mmol_l) + ions.mg_mmol_l + ions.so4_mmol_l
    single = np.asarray(ions.na_mmol_l) + ions.k_mmol_l + ions.cl_mmol_l + ions.no3_mmol_l
    result: Array = 0.5e-3 * (4.0 * double + single + np.asarray(alk_meq_l, dtype=np.float64))
    return result


@equation("griffin-jurinak-1973", where="rounded as used for waters", valid={"ec_us_cm": (20.0, 5000.0)})
def ionic_strength_from_ec_mol_l(ec_us_cm: ArrayLike) -> Array:
    """A rule-of-thumb ionic strength from conductivity alone, which over-reads soft bicarbonate water.

    Parameters
    ----------
    ec_us_cm : conductivity at 25 °C [µS/cm]

    Returns
    -------
    Ionic strength [mol/L], shape of `ec_us_cm`

    Examples
    --------
    >>> float(ionic_strength_from_ec_mol_l(500.0))
    0.008
    """
    return 1.6e-5 * np.asarray(ec_us_cm, dtype=np.float64)


@equation("langelier-1936", where="ionic strength from dissolved solids", valid={"tds_mg_l": (20.0, 1000.0)})
def ionic_strength_from_tds_mol_l(tds_mg_l: ArrayLike) -> Array:
    """A rule-of-thumb ionic strength from dissolved solids by weight.

    Parameters
    ----------
    tds_mg_l : dissolved solids [mg/L]

    Returns
    -------
    Ionic strength [mol/L], shape of `tds_mg_l`

    Examples
    --------
    >>> float(ionic_strength_from_tds_mol_l(200.0))
    0.005
    """
    return 2.5e-5 * np.asarray(tds_mg_l, dtype=np.float64)


@equation("conductivity-balance", where="charge balance with limiting ionic conductivities")
def cations_from_ec_meq_l(ec_us_cm: ArrayLike, alk_meq_l: ArrayLike) -> Array:
    """How much charge the cations of a water carry, from its conductivity and its alkalinity.

    Cations conduct about 58 S cm²/eq, bicarbonate 44.5, the other anions about 77; cations balance
    anions; crowding takes 0.85 sqrt(I) of the conductivity, with I about 1.35 times the charge.

    Parameters
    ----------
    ec_us_cm : conductivity at 25 °C [µS/cm]
    alk_meq_l : alkalinity [meq/L]

    Returns
    -------
    Sum of the cation charges, never under the alkalinity [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(cations_from_ec_meq_l(350.0, 1.43)), 2)
    3.09
    """
    alk = np.asarray(alk_meq_l, dtype=np.float64)
    ec = np.asarray(ec_us_cm, dtype=np.float64)
    charge: Array = np.maximum(alk, (ec + 32.5 * alk) / 135.0)
    for _ in range(4):
        crowding = 1.0 - 0.85 * np.sqrt(1.35e-3 * np.maximum(charge, 0.0))
        charge = np.maximum(alk, (ec / crowding + 32.5 * alk) / 135.0)
    return charge


@equation("conductivity-balance", where="ionic strength of a charge-balanced water")
def ionic_strength_from_cations_mol_l(
    cations_meq_l: ArrayLike, alk_meq_l: ArrayLike, *, hardness_mmol_l: ArrayLike
) -> Array:
    """How salty a charge-balanced water is for its ions, when its hardness is known or guessed.

    Each doubly charged ion adds half its charge once more; sulfate is taken as 45 % of the anions other
    than bicarbonate.

    Parameters
    ----------
    cations_meq_l : sum of the cation charges [meq/L]
    alk_meq_l : alkalinity [meq/L]
    hardness_mmol_l : calcium and magnesium together [mmol/L]

    Returns
    -------
    Ionic strength [mol/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(ionic_strength_from_cations_mol_l(2.0, 2.0, hardness_mmol_l=1.0)), 4)
    0.003
    """
    cations = np.asarray(cations_meq_l, dtype=np.float64)
    others = np.maximum(cations - np.asarray(alk_meq_l, dtype=np.float64), 0.0)
    result: Array = 1e-3 * (cations + np.asarray(hardness_mmol_l, dtype=np.float64) + 0.225 * others)
    return result


@equation("conductivity-balance", where="last resort, between potassium and calcium bicarbonate")
def ionic_strength_from_alk_mol_l(alk_meq_l: ArrayLike) -> Array:
    """The ionic strength to expect of a water of which only the alkalinity is known.

    Parameters
    ----------
    alk_meq_l : alkalinity [meq/L]

    Returns
    -------
    Ionic strength [mol/L], shape of `alk_meq_l`

    Examples
    --------
    >>> round(float(ionic_strength_from_alk_mol_l(1.4266)), 5)
    0.00205
    """
    return 1.3e-3 * np.maximum(np.asarray(alk_meq_l, dtype=np.float64), 0.0) + 2.0e-4


def ionic_strength_best(
    alk_meq_l: ArrayLike,
    *,
    ec_us_cm: float | None = None,
    tds_mg_l: float | None = None,
    hardness_mmol_l: float | None = None,
) -> Salt:
    """The best ionic strength that what was measured allows, with its doubt and the hardness with it.

    Parameters
    ----------
    alk_meq_l : alkalinity, scalar or array of draws [meq/L]
    ec_us_cm : conductivity at 25 °C, or None [µS/cm]
    tds_mg_l : reading of a TDS pen, used only without a conductivity [mg/L]
    hardness_mmol_l : calcium and magnesium together, or None where unknown [mmol/L]

    Returns
    -------
    `Salt`; its `basis` says which reading was used
    """
    alk = np.maximum(np.asarray(alk_meq_l, dtype=np.float64), 0.0)[()]
    if ec_us_cm is None and tds_mg_l is None:
        return _from_alkalinity(alk, hardness_mmol_l)
    conductivity = ec_us_cm if ec_us_cm is not None else (tds_mg_l or 0.0) / TDS_PER_EC
    basis = SaltBasis.EC if ec_us_cm is not None else SaltBasis.TDS
    cations = cations_from_ec_meq_l(conductivity, alk)
    low, middle, high = _hardness(cations, alk, hardness_mmol_l)
    strength = ionic_strength_from_cations_mol_l(cations, alk, hardness_mmol_l=middle)
    # Against full speciation the conductivity route is within 15 % with known hardness; without, it may
    # be 30 % low, or 45 % high in potassium bicarbonate water. A TDS pen's own factor adds 15 %.
    down, up = (1.15, 1.15) if hardness_mmol_l is not None else (1.45, 1.30)
    pen = 1.0 if basis is SaltBasis.EC else 1.15
    # Bicarbonate and its own cations set the least there can be.
    least = np.minimum(np.maximum(strength / (down * pen), 1e-3 * alk), strength)
    return Salt(strength, least, strength * up * pen, middle, low, high, basis)


def _from_alkalinity(alk_meq_l: Array, hardness_mmol_l: float | None) -> Salt:
    strength = ionic_strength_from_alk_mol_l(alk_meq_l)
    least, most = 1e-3 * alk_meq_l, strength + 0.006
    if hardness_mmol_l is None:
        # Hard water's bicarbonate is mostly calcium's: up to half a millimole of calcium for each.
        none = 0.0 * alk_meq_l
        return Salt(strength, least, most, none, none, 0.5 * alk_meq_l, SaltBasis.ALKALINITY)
    known = hardness_mmol_l + 0.0 * alk_meq_l
    # A divalent ion with its own anions brings at least three times its amount in ionic strength.
    strength = np.maximum(strength, 3e-3 * known)
    return Salt(strength, least, np.maximum(most, 1.4 * strength), known, known, known, SaltBasis.ALKALINITY)


def _hardness(
    cations_meq_l: Array, alk_meq_l: Array, given_mmol_l: float | None
) -> tuple[Array, Array, Array]:
    """Low, middle and high of calcium and magnesium together; the share of the charge is judged.

    Typical waters carry half of it on calcium and magnesium; where there is little beside bicarbonate
    the water is as likely made up with potassium or sodium bicarbonate, so the middle falls.
    """
    if given_mmol_l is not None:
        known = np.minimum(given_mmol_l, 0.5 * cations_meq_l)
        return known, known, known
    bicarbonate_frac = alk_meq_l / np.maximum(cations_meq_l, 1e-9)
    share = 0.5 - 0.25 * np.clip((bicarbonate_frac - 0.8) / 0.15, 0.0, 1.0)
    return 0.0 * cations_meq_l, 0.5 * share * cations_meq_l, 0.425 * cations_meq_l
