"""The carbonate balance of a water whose main ions are known: sized ions, and pairs between them.

Calcium and magnesium hold part of the bicarbonate, the carbonate and the sulfate, and sulfate takes some
of them back. Which share is held depends on the pH it is asked for, so a few rounds of repetition settle
it. Everything is worked out elementwise, so arrays of waters cost little more than one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.activity import debye_huckel_a_factor, neutral_log10
from fizzwright.engines.water.conditional import ConditionalConstants, Speciation
from fizzwright.engines.water.constants import (
    ca_co3_pair_log10,
    ca_hco3_pair_log10,
    density_smow_kg_m3,
    k1_plummer_log10,
    k2_plummer_log10,
    kw_millero_log10,
)
from fizzwright.engines.water.ionic import Ions
from fizzwright.engines.water.pair_constants import (
    DebyeHuckel,
    ca_so4_pair_log10,
    extended_debye_huckel_log10,
    ion_reach_factor,
    k_so4_pair_log10,
    mg_co3_pair_log10,
    mg_hco3_pair_log10,
    mg_so4_pair_log10,
    na_co3_pair_log10,
    na_hco3_pair_log10,
    na_so4_pair_log10,
)

__all__ = ["KNOWN_IONS_EQUATIONS", "IonicWater", "ionic_water"]

Array = NDArray[np.float64]

# What `ionic_water` runs, for the trail of whoever calls it.
KNOWN_IONS_EQUATIONS: tuple[Callable[..., Any], ...] = (
    k1_plummer_log10,
    k2_plummer_log10,
    kw_millero_log10,
    density_smow_kg_m3,
    debye_huckel_a_factor,
    ion_reach_factor,
    extended_debye_huckel_log10,
    neutral_log10,
    ca_hco3_pair_log10,
    ca_co3_pair_log10,
    ca_so4_pair_log10,
    mg_hco3_pair_log10,
    mg_co3_pair_log10,
    mg_so4_pair_log10,
    na_hco3_pair_log10,
    na_co3_pair_log10,
    na_so4_pair_log10,
    k_so4_pair_log10,
)

# Charge, size in ångström and linear term of each, as phreeqc.dat lists them.
_SIZES = {
    "ca": (2, 5.0, 0.165),
    "mg": (2, 5.5, 0.20),
    "na": (1, 4.0, 0.075),
    "k": (1, 3.5, 0.015),
    "so4": (2, 5.0, -0.04),
    "hco3": (1, 5.4, 0.0),
    "co3": (2, 5.4, 0.0),
    "oh": (1, 3.5, 0.0),
    "h": (1, 9.0, 0.0),
    "cahco3": (1, 6.0, 0.0),
    "mghco3": (1, 4.0, 0.0),
    "pair1": (1, 5.4, 0.0),
}
_ROUNDS = 8


@dataclass(frozen=True)
class IonicWater:
    """A water of known ions: constants that count its pairs, and what is free in it.

    `constants` serves every solver; with it bicarbonate and carbonate include what the ions hold.
    """

    constants: ConditionalConstants
    ionic_strength_mol_l: Array
    free_ca_mmol_l: Array
    free_co3_mmol_l: Array
    ca_activity_mol_kg: Array
    co3_activity_mol_kg: Array


def ionic_water(
    speciate: Callable[[ConditionalConstants], Speciation], ions: Ions, *, water_c: ArrayLike
) -> tuple[IonicWater, Speciation]:
    """A water of known ions, and its carbon shared out from two readings of it.

    Parameters
    ----------
    speciate : a function of `carbon` with its two readings filled in, such as
        `lambda constants: from_ph_and_alk(6.6, 1.43, constants=constants)`
    ions : the main ions beside bicarbonate; fields may be arrays [mmol/L]
    water_c : water temperature [°C]

    Returns
    -------
    `IonicWater` and `Speciation`, fields broadcast alike; settled to about 1e-7 of the CO2
    """
    fixed = _fixed(water_c)
    litre_kg = fixed.litre_kg
    total = {
        name: np.asarray(getattr(ions, f"{name}_mmol_l"), dtype=np.float64) / 1000.0 / litre_kg
        for name in ("ca", "mg", "na", "k", "so4", "cl", "no3")
    }
    free = {name: total[name] for name in ("ca", "mg", "na", "k", "so4")}
    strength = _strength(total, free)
    hco3 = co3 = pairs = np.asarray(0.0)
    shared = None
    for _ in range(_ROUNDS):
        gamma = _gammas(strength + 0.5 * pairs, fixed)
        stability = _stability(fixed, gamma)
        with_hco3, with_co3 = (_with_pairs(stability, free, anion) for anion in ("hco3", "co3"))
        constants = _constants(fixed, gamma, with_hco3=with_hco3, with_co3=with_co3)
        shared = speciate(constants)
        hco3 = shared.hco3_mmol_l / 1000.0 / litre_kg / with_hco3
        co3 = shared.co3_mmol_l / 1000.0 / litre_kg / with_co3
        free = _freed(total, free, stability=stability, anions=(hco3, co3))
        held = _held_single(stability, free, (hco3, co3))
        pairs = hco3 + 4.0 * co3 + held + _protons(shared, litre_kg)
        strength = _strength(total, free)
    assert shared is not None
    water = IonicWater(
        constants=constants,
        ionic_strength_mol_l=(strength + 0.5 * pairs) * litre_kg,
        free_ca_mmol_l=free["ca"] * 1000.0 * litre_kg,
        free_co3_mmol_l=co3 * 1000.0 * litre_kg,
        ca_activity_mol_kg=free["ca"] * gamma["ca"],
        co3_activity_mol_kg=co3 * gamma["co3"],
    )
    return water, shared


@dataclass(frozen=True)
class _Fixed:
    """What depends on temperature alone."""

    litre_kg: Array
    density: Array
    slopes: DebyeHuckel
    k1: Array
    k2: Array
    kw: Array
    pair: dict[str, Array]


def _fixed(water_c: ArrayLike) -> _Fixed:
    density = density_smow_kg_m3(water_c)
    logs = {
        "ca_hco3": ca_hco3_pair_log10,
        "ca_co3": ca_co3_pair_log10,
        "ca_so4": ca_so4_pair_log10,
        "mg_hco3": mg_hco3_pair_log10,
        "mg_co3": mg_co3_pair_log10,
        "mg_so4": mg_so4_pair_log10,
        "na_hco3": na_hco3_pair_log10,
        "na_co3": na_co3_pair_log10,
        "na_so4": na_so4_pair_log10,
        "k_so4": k_so4_pair_log10,
    }
    return _Fixed(
        litre_kg=density / 1000.0,
        density=density,
        slopes=DebyeHuckel(debye_huckel_a_factor(water_c), ion_reach_factor(water_c)),
        k1=10.0 ** k1_plummer_log10(water_c),
        k2=10.0 ** k2_plummer_log10(water_c),
        kw=10.0 ** kw_millero_log10(water_c),
        pair={name: 10.0 ** log(water_c) for name, log in logs.items()},
    )


def _gammas(strength_mol_kg: Array, fixed: _Fixed) -> dict[str, Array]:
    """Activity coefficients of every ion and pair; uncharged ones under `0`."""
    gamma = {
        name: 10.0
        ** extended_debye_huckel_log10(
            strength_mol_kg, charge, size_factor=size, linear_factor=linear, slopes=fixed.slopes
        )
        for name, (charge, size, linear) in _SIZES.items()
    }
    return {**gamma, "0": 10.0 ** neutral_log10(strength_mol_kg)}


def _stability(fixed: _Fixed, gamma: dict[str, Array]) -> dict[str, Array]:
    """Constants of the pairs for concentrations in mol/kg."""
    made = {"ca_hco3": "cahco3", "mg_hco3": "mghco3", "na_co3": "pair1", "na_so4": "pair1", "k_so4": "pair1"}
    stability = {}
    for name, constant in fixed.pair.items():
        cation, anion = name.split("_")
        stability[name] = constant * gamma[cation] * gamma[anion] / gamma[made.get(name, "0")]
    return stability


def _with_pairs(stability: dict[str, Array], free: dict[str, Array], anion: str) -> Array:
    """All of an anion over what is free of it."""
    held = np.asarray(0.0)
    for cation in ("ca", "mg", "na"):
        held = held + stability[f"{cation}_{anion}"] * free[cation]
    return 1.0 + held


def _constants(
    fixed: _Fixed, gamma: dict[str, Array], *, with_hco3: Array, with_co3: Array
) -> ConditionalConstants:
    k1 = fixed.k1 * gamma["0"] / gamma["hco3"] * with_hco3
    k2 = fixed.k2 * gamma["hco3"] / gamma["co3"] * with_co3 / with_hco3
    return ConditionalConstants(
        k1_mol_l=k1,
        k2_mol_l=k2,
        kw_mol_l=fixed.kw / gamma["oh"] * fixed.litre_kg,
        h_mol_l=fixed.litre_kg / gamma["h"],
        gamma0_factor=gamma["0"],
        gamma1_factor=gamma["hco3"],
        gamma2_factor=gamma["co3"],
        density_kg_m3=fixed.density,
    )


def _freed(
    total: dict[str, Array],
    free: dict[str, Array],
    *,
    stability: dict[str, Array],
    anions: tuple[Array, Array],
) -> dict[str, Array]:
    """What is left free of each ion once the others have taken their share."""
    hco3, co3 = anions
    so4 = total["so4"] / (
        1.0 + sum(stability[f"{cation}_so4"] * free[cation] for cation in ("ca", "mg", "na", "k"))
    )
    found = {"so4": so4}
    for cation in ("ca", "mg", "na"):
        held = stability[f"{cation}_so4"] * so4
        held = held + stability[f"{cation}_hco3"] * hco3 + stability[f"{cation}_co3"] * co3
        found[cation] = total[cation] / (1.0 + held)
    found["k"] = total["k"] / (1.0 + stability["k_so4"] * so4)
    return found


def _held_single(stability: dict[str, Array], free: dict[str, Array], anions: tuple[Array, Array]) -> Array:
    """Pairs that carry one charge, which count for the ionic strength."""
    hco3, co3 = anions
    pairs: Array = (stability["ca_hco3"] * free["ca"] + stability["mg_hco3"] * free["mg"]) * hco3
    pairs = pairs + stability["na_co3"] * free["na"] * co3
    return pairs + (stability["na_so4"] * free["na"] + stability["k_so4"] * free["k"]) * free["so4"]


def _strength(total: dict[str, Array], free: dict[str, Array]) -> Array:
    """Ionic strength of the free ions beside carbonate's own."""
    double = free["ca"] + free["mg"] + free["so4"]
    single = free["na"] + free["k"] + total["cl"] + total["no3"]
    result: Array = 0.5 * (4.0 * double + single)
    return result


def _protons(shared: Speciation, litre_kg: Array) -> Array:
    result: Array = (shared.h_mmol_l + shared.oh_mmol_l) / 1000.0 / litre_kg
    return result
