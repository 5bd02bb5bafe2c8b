"""The grid on which readings of one water meet: carbonate alkalinity along one side, pH along the other.

Every node has its CO2. Temperature and salts move all nodes alike and are kept as one spread.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.carbon import from_ph_and_alk
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    ConditionalConstants,
    alkalinity_at_co2_meq_l,
    co2_at_alkalinity_mmol_l,
    conditional_constants,
)
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.engines.water.ionic import (
    Salt,
    cations_from_ec_meq_l,
    ionic_strength_best,
    ionic_strength_from_alk_mol_l,
    ionic_strength_from_cations_mol_l,
)
from fizzwright.engines.water.known_ions import KNOWN_IONS_EQUATIONS, ionic_water
from fizzwright.inference.fusion_readings import Readings
from fizzwright.units import DKH_MEQ_L

__all__ = ["Span", "WaterGrid", "grid_equations", "salt_spread_factor", "water_grid"]

Array = NDArray[np.float64]

# Known ions leave an analysis error of a few per cent in each, which moves CO2 by this share.
ANALYSIS_LOG_SD = 0.004
# CO2 at one pH and KH falls by 1.25 % for each kelvin at 25 °C.
PER_KELVIN = 0.0125


@dataclass(frozen=True)
class Span:
    """Which alkalinities and which pH the grid covers, and in how many nodes."""

    low_dkh: float
    high_dkh: float
    low_ph: float
    high_ph: float
    alk_count: int = 110
    ph_count: int = 81


@dataclass(frozen=True)
class WaterGrid:
    """Nodes of the grid: alkalinity (n), pH (m), CO2 (n, m); constants and strength along n."""

    alk_meq_l: Array
    ph: Array
    co2_mg_l: Array
    constants: ConditionalConstants
    ionic_strength_mol_l: Array


def water_grid(readings: Readings, span: Span) -> WaterGrid:
    """The grid of one water."""
    alk = DKH_MEQ_L * np.geomspace(span.low_dkh, span.high_dkh, span.alk_count)
    ph = np.linspace(span.low_ph, span.high_ph, span.ph_count)
    constants, strength = _constants(readings, alk)
    wide = dataclasses.replace(
        constants,
        **{f.name: np.asarray(getattr(constants, f.name))[..., None] for f in dataclasses.fields(constants)},
    )
    co2 = CO2_G_MOL * co2_at_alkalinity_mmol_l(ph[None, :], alk[:, None], constants=wide)
    return WaterGrid(alk, ph, co2, constants, strength)


def _constants(readings: Readings, alk_meq_l: Array) -> tuple[ConditionalConstants, Array]:
    ions = readings.salts.ions
    if ions is not None:
        ph = 7.0 if readings.probe is None else readings.probe.ph
        water, _ = ionic_water(
            lambda constants: from_ph_and_alk(ph, alk_meq_l, constants=constants),
            ions,
            water_c=readings.water_c,
        )
        return water.constants, np.broadcast_to(water.ionic_strength_mol_l, alk_meq_l.shape)
    salt = _salt(readings, alk_meq_l)
    strength = np.broadcast_to(salt.ionic_strength_mol_l, alk_meq_l.shape)
    constants = conditional_constants(
        readings.water_c, strength, hardness_mmol_l=np.broadcast_to(salt.hardness_mmol_l, alk_meq_l.shape)
    )
    return constants, strength


def _salt(readings: Readings, alk_meq_l: Array) -> Salt:
    salts = readings.salts
    return ionic_strength_best(
        alk_meq_l, ec_us_cm=salts.ec_us_cm, tds_mg_l=salts.tds_mg_l, hardness_mmol_l=salts.hardness_mmol_l
    )


def salt_spread_factor(readings: Readings, alk_meq_l: float, ph: float) -> float:
    """How far the doubt of the salts moves CO2, one standard deviation of its logarithm."""
    if readings.salts.ions is not None:
        return ANALYSIS_LOG_SD
    salt = _salt(readings, np.asarray(alk_meq_l))
    moves = []
    for strengths, hardness in (
        ((salt.ionic_low_mol_l, salt.ionic_high_mol_l), (salt.hardness_mmol_l, salt.hardness_mmol_l)),
        (
            (salt.ionic_strength_mol_l, salt.ionic_strength_mol_l),
            (salt.hardness_low_mmol_l, salt.hardness_high_mmol_l),
        ),
    ):
        constants = conditional_constants(
            readings.water_c, np.array(strengths), hardness_mmol_l=np.array(hardness)
        )
        ends = np.log(np.maximum(co2_at_alkalinity_mmol_l(ph, alk_meq_l, constants=constants), 1e-12))
        moves.append(float(ends[1] - ends[0]) / 3.29)
    return math.hypot(*moves)


def grid_equations(readings: Readings) -> tuple[Callable[..., Any], ...]:
    """What the grid and its spread run, for trails."""
    if readings.salts.ions is not None:
        return (*KNOWN_IONS_EQUATIONS, co2_at_alkalinity_mmol_l, alkalinity_at_co2_meq_l)
    base = (*CONDITIONAL_EQUATIONS, *PAIR_EQUATIONS, co2_at_alkalinity_mmol_l)
    if readings.salts.ec_us_cm is None and readings.salts.tds_mg_l is None:
        return (*base, ionic_strength_from_alk_mol_l)
    return (*base, cations_from_ec_meq_l, ionic_strength_from_cations_mol_l)
