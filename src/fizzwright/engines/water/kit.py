"""What a KH kit counts, and the carbonate alkalinity left when the rest is taken off.

A kit titrates to a colour change near pH 4.5. Everything that takes up acid between the tank's pH and
that end point is counted: bicarbonate, but also phosphate, tannins and, in theory, silicate, borate and
ammonia. A drop kit adds whole drops, so that a reading of N says "over N-1, at most N".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.activity import davies_log10, debye_huckel_a_factor, neutral_log10
from fizzwright.engines.water.conditional import ConditionalConstants, alkalinity_at_dic_meq_l
from fizzwright.engines.water.constants import CO2_G_MOL, density_smow_kg_m3
from fizzwright.engines.water.weak_acids import (
    ammonium_log10,
    boric_log10,
    phosphoric_first_log10,
    phosphoric_second_log10,
    phosphoric_third_log10,
    silicic_log10,
    triprotic_charge_number,
)
from fizzwright.sources import equation

__all__ = [
    "END_PH",
    "ORGANIC_EQUATIONS",
    "PHOSPHATE_EQUATIONS",
    "MinorAlkalinity",
    "drop_kit_low_dkh",
    "end_point_bias_meq_l",
    "minor_alkalinity",
    "organic_alk_fakhraei_meq_l",
    "organic_alk_hruska_meq_l",
    "phosphate_alk_meq_l",
]

Array = NDArray[np.float64]

END_PH = 4.5
PO4_G_MOL = 94.9714
SIO2_G_MOL = 60.0843
BORON_G_MOL = 10.81
NITROGEN_G_MOL = 14.0067
CARBON_G_MOL = 12.011

# What the functions below run, for the trail of whoever calls them.
PHOSPHATE_EQUATIONS: tuple[Callable[..., Any], ...] = (
    phosphoric_first_log10,
    phosphoric_second_log10,
    phosphoric_third_log10,
    triprotic_charge_number,
    davies_log10,
    debye_huckel_a_factor,
    neutral_log10,
    density_smow_kg_m3,
)


@dataclass(frozen=True)
class MinorAlkalinity:
    """Alkalinity that seldom matters below pH 8: silicate, borate, ammonia."""

    silicate_meq_l: Array
    borate_meq_l: Array
    ammonia_meq_l: Array


@dataclass(frozen=True)
class _Activity:
    """Decimal logarithms of the activity coefficients of charge 0, 1, 2 and 3."""

    neutral_log10: Array
    one_log10: Array
    two_log10: Array
    three_log10: Array


def _activity(water_c: ArrayLike, ionic_strength_mol_l: ArrayLike) -> _Activity:
    molal = np.asarray(ionic_strength_mol_l, dtype=np.float64) * 1000.0 / density_smow_kg_m3(water_c)
    slope = debye_huckel_a_factor(water_c)
    one, two, three = (davies_log10(molal, charge, slope_factor=slope) for charge in (1, 2, 3))
    return _Activity(neutral_log10(molal), one, two, three)


def phosphate_alk_meq_l(
    phosphate_mg_l: ArrayLike,
    ph: ArrayLike,
    *,
    water_c: ArrayLike,
    ionic_strength_mol_l: ArrayLike,
    end_ph: float = END_PH,
) -> Array:
    """What dissolved phosphate adds to a kit's reading.

    Parameters
    ----------
    phosphate_mg_l : phosphate as PO4 [mg/L]
    ph : pH of the tank [activity scale]
    water_c : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L]
    end_ph : where the kit's colour turns [pH]

    Returns
    -------
    Alkalinity counted beside carbonate [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(phosphate_alk_meq_l(100.0, 7.0, water_c=25.0, ionic_strength_mol_l=0.004)), 3)
    0.457
    """
    g = _activity(water_c, ionic_strength_mol_l)
    first = phosphoric_first_log10(water_c) + g.neutral_log10 - g.one_log10
    steps = {
        "second_log10": phosphoric_second_log10(water_c) + g.one_log10 - g.two_log10,
        "third_log10": phosphoric_third_log10(water_c) + g.two_log10 - g.three_log10,
    }
    taken = triprotic_charge_number(ph, first, **steps) - triprotic_charge_number(end_ph, first, **steps)
    result: Array = np.asarray(phosphate_mg_l, dtype=np.float64) / PO4_G_MOL * taken
    return result


def organic_alk_hruska_meq_l(doc_mg_l: ArrayLike, ph: ArrayLike, *, end_ph: float = END_PH) -> Array:
    """What tannins and other humic matter add to a kit's reading, by their site density.

    Parameters
    ----------
    doc_mg_l : dissolved organic carbon, about 5 for a light tint and 20 for blackwater [mg/L]
    ph : pH of the tank [activity scale]
    end_ph : where the kit's colour turns [pH]

    Returns
    -------
    Alkalinity counted beside carbonate [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(organic_alk_hruska_meq_l(20.0, 6.5)), 3)
    0.058
    """
    sites = 10.2e-3 * np.asarray(doc_mg_l, dtype=np.float64) / 3.0
    steps = {"second_log10": -4.42, "third_log10": -6.70}
    result: Array = sites * (
        triprotic_charge_number(ph, -3.04, **steps) - triprotic_charge_number(end_ph, -3.04, **steps)
    )
    return result


def organic_alk_fakhraei_meq_l(doc_mg_l: ArrayLike, ph: ArrayLike, *, end_ph: float = END_PH) -> Array:
    """What tannins add to a kit's reading by a second set of constants, to judge the doubt by.

    Parameters
    ----------
    doc_mg_l : dissolved organic carbon [mg/L]
    ph : pH of the tank [activity scale]
    end_ph : where the kit's colour turns [pH]

    Returns
    -------
    Alkalinity counted beside carbonate [meq/L], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(organic_alk_fakhraei_meq_l(20.0, 6.5)), 3)
    0.062
    """
    acid = 0.05 * np.asarray(doc_mg_l, dtype=np.float64) / CARBON_G_MOL
    steps = {"second_log10": -6.19, "third_log10": -7.52}
    result: Array = acid * (
        triprotic_charge_number(ph, -2.54, **steps) - triprotic_charge_number(end_ph, -2.54, **steps)
    )
    return result


ORGANIC_EQUATIONS: tuple[Callable[..., Any], ...] = (triprotic_charge_number,)


def minor_alkalinity(
    ph: ArrayLike,
    *,
    water_c: ArrayLike,
    silica_mg_l: ArrayLike = 0.0,
    boron_mg_l: ArrayLike = 0.0,
    ammonium_n_mg_l: ArrayLike = 0.0,
) -> MinorAlkalinity:
    """What silicate, borate and ammonia add to a kit's reading, to show that it is next to nothing.

    Parameters
    ----------
    ph : pH of the tank [activity scale]
    water_c : water temperature [°C]
    silica_mg_l : silica as SiO2 [mg/L]
    boron_mg_l : boron [mg/L]
    ammonium_n_mg_l : ammonium and ammonia together as nitrogen [mg/L]

    Returns
    -------
    `MinorAlkalinity`, activity coefficients taken as one
    """
    acid = 10.0 ** -np.asarray(ph, dtype=np.float64)

    def share(constant_log10: Array) -> Array:
        constant = 10.0**constant_log10
        result: Array = constant / (constant + acid)
        return result

    return MinorAlkalinity(
        silicate_meq_l=np.asarray(silica_mg_l) / SIO2_G_MOL * share(silicic_log10(water_c)),
        borate_meq_l=np.asarray(boron_mg_l) / BORON_G_MOL * share(boric_log10(water_c)),
        ammonia_meq_l=np.asarray(ammonium_n_mg_l) / NITROGEN_G_MOL * share(ammonium_log10(water_c)),
    )


def end_point_bias_meq_l(
    co2_mg_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    end_ph: ArrayLike,
    kept_frac: ArrayLike,
    constants: ConditionalConstants,
) -> Array:
    """How far a titration reads over or under the truth for stopping where its colour turns.

    The CO2 set free stays in a still vial and holds the pH down, so that an early colour under-reads;
    shaken out, only the acid needed to reach the colour itself is over-counted.

    Parameters
    ----------
    co2_mg_l : free CO2 of the sample [mg/L]
    alk_meq_l : its true alkalinity [meq/L]
    end_ph : where the colour turns [pH]
    kept_frac : share of all its carbon still in the vial at the end, 1 for a still vial, 0 shaken out [-]
    constants : constants of this water

    Returns
    -------
    Reading minus truth [meq/L], shape of the inputs broadcast
    """
    carbon = np.asarray(co2_mg_l, dtype=np.float64) / CO2_G_MOL + np.asarray(alk_meq_l, dtype=np.float64)
    kept = carbon * np.asarray(kept_frac, dtype=np.float64)
    return -alkalinity_at_dic_meq_l(end_ph, kept, constants=constants)


@equation("drop-kit-rounding", where="whole drops to the colour change")
def drop_kit_low_dkh(reading_dkh: ArrayLike, step_dkh: ArrayLike) -> Array:
    """The least KH a drop kit's reading allows; the reading itself is the most.

    Parameters
    ----------
    reading_dkh : drops to the colour change times the step [dKH]
    step_dkh : what one drop stands for [dKH]

    Returns
    -------
    Lower limit, not reached [dKH], shape of the inputs broadcast

    Examples
    --------
    >>> float(drop_kit_low_dkh(4.0, 1.0))
    3.0
    """
    reading = np.asarray(reading_dkh, dtype=np.float64)
    return np.maximum(reading - np.asarray(step_dkh, dtype=np.float64), 0.0)
