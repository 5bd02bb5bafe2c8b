"""Salts, carbonates and acids by the gram: what each brings to alkalinity, carbon and hardness."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = ["POWDERS", "Powder", "PowderKind", "added_mmol_l", "grams_for_g"]

Array = NDArray[np.float64]


class Powder(StrEnum):
    """What a keeper weighs in."""

    POTASSIUM_BICARBONATE = "potassium bicarbonate"
    SODIUM_BICARBONATE = "sodium bicarbonate"
    POTASSIUM_CARBONATE = "potassium carbonate"
    SODIUM_CARBONATE = "sodium carbonate"
    CALCIUM_CARBONATE = "calcium carbonate"
    CALCIUM_SULFATE = "calcium sulfate dihydrate"
    CALCIUM_CHLORIDE = "calcium chloride dihydrate"
    MAGNESIUM_SULFATE = "magnesium sulfate heptahydrate"
    SODIUM_BISULFATE = "sodium bisulfate"
    HYDROGEN_CHLORIDE = "hydrogen chloride"


@dataclass(frozen=True)
class PowderKind:
    """One mole of a powder once dissolved: its mass, and what it adds.

    Alkalinity is in equivalents, the rest in moles of each for one of the powder.
    """

    molar_g: float
    alk_ratio: float = 0.0
    carbon_ratio: float = 0.0
    ca_ratio: float = 0.0
    mg_ratio: float = 0.0
    na_ratio: float = 0.0
    k_ratio: float = 0.0
    so4_ratio: float = 0.0
    cl_ratio: float = 0.0


POWDERS: Mapping[Powder, PowderKind] = MappingProxyType(
    {
        Powder.POTASSIUM_BICARBONATE: PowderKind(100.1151, alk_ratio=1, carbon_ratio=1, k_ratio=1),
        Powder.SODIUM_BICARBONATE: PowderKind(84.0066, alk_ratio=1, carbon_ratio=1, na_ratio=1),
        Powder.POTASSIUM_CARBONATE: PowderKind(138.2055, alk_ratio=2, carbon_ratio=1, k_ratio=2),
        Powder.SODIUM_CARBONATE: PowderKind(105.9884, alk_ratio=2, carbon_ratio=1, na_ratio=2),
        Powder.CALCIUM_CARBONATE: PowderKind(100.0869, alk_ratio=2, carbon_ratio=1, ca_ratio=1),
        Powder.CALCIUM_SULFATE: PowderKind(172.1720, ca_ratio=1, so4_ratio=1),
        Powder.CALCIUM_CHLORIDE: PowderKind(147.0146, ca_ratio=1, cl_ratio=2),
        Powder.MAGNESIUM_SULFATE: PowderKind(246.4746, mg_ratio=1, so4_ratio=1),
        Powder.SODIUM_BISULFATE: PowderKind(120.0603, alk_ratio=-1, na_ratio=1, so4_ratio=1),
        Powder.HYDROGEN_CHLORIDE: PowderKind(36.4609, alk_ratio=-1, cl_ratio=1),
    }
)


@equation("iupac-atomic-weights", where="stoichiometry of a dissolved salt")
def grams_for_g(
    wanted_mmol_l: ArrayLike, volume_l: ArrayLike, *, molar_g: ArrayLike, given_ratio: ArrayLike
) -> Array:
    """The grams that raise a tank by a wanted amount, weighed pure and dry.

    Parameters
    ----------
    wanted_mmol_l : rise of the ion, or of alkalinity in meq/L [mmol/L]
    volume_l : water volume [L]
    molar_g : mass of a mole of the powder [g]
    given_ratio : ions, or equivalents, that one of the powder gives [-]

    Returns
    -------
    Mass of powder [g], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(grams_for_g(0.356650, 100.0, molar_g=100.1151, given_ratio=1.0)), 3)
    3.571
    """
    result: Array = (
        np.asarray(wanted_mmol_l, dtype=np.float64)
        * np.asarray(volume_l)
        * np.asarray(molar_g)
        / (1000.0 * np.asarray(given_ratio))
    )
    return result


@equation("iupac-atomic-weights", where="stoichiometry of a dissolved salt, solved for the rise")
def added_mmol_l(
    mass_g: ArrayLike, volume_l: ArrayLike, *, molar_g: ArrayLike, given_ratio: ArrayLike
) -> Array:
    """What a weighed powder adds to a tank once it is dissolved.

    Parameters
    ----------
    mass_g : mass of powder [g]
    volume_l : water volume [L]
    molar_g : mass of a mole of the powder [g]
    given_ratio : ions, or equivalents, that one of the powder gives [-]

    Returns
    -------
    Rise of the ion, or of alkalinity in meq/L [mmol/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(added_mmol_l(3.5706, 100.0, molar_g=100.1151, given_ratio=1.0)), 4)
    0.3566
    """
    moles = np.asarray(mass_g, dtype=np.float64) / np.asarray(molar_g)
    result: Array = 1000.0 * moles * np.asarray(given_ratio) / np.asarray(volume_l)
    return result
