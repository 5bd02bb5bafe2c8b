"""What the water sums share: salts, kit steps and electrode doubt, with the assumptions they make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from fizzwright.engines.water.ionic import (
    Salt,
    SaltBasis,
    cations_from_ec_meq_l,
    ionic_strength_best,
    ionic_strength_from_alk_mol_l,
    ionic_strength_from_cations_mol_l,
)
from fizzwright.engines.water.kit import drop_kit_low_dkh
from fizzwright.result import Assumption, Finding, Level
from fizzwright.stages.bench.water_draws import Array
from fizzwright.stages.bench.water_draws import Draws as Sampler
from fizzwright.units import number_text, show

__all__ = [
    "KitReading",
    "Notes",
    "SaltReadings",
    "kit_reading",
    "probe_error_ph",
    "salt_limits",
    "salt_reading",
]

DGH_MMOL_L = 1.0 / 5.60774
LOW_EC_US_CM = 70.0
SOFT_EC_US_CM = 150.0


@dataclass
class Notes:
    """What a sum gathers on its way for its trail."""

    equations: list[Callable[..., Any]] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def ran(self, *functions: Callable[..., Any]) -> None:
        """Keep equations that were run."""
        self.equations.extend(functions)

    def took(self, text: str, value: str, source: str = "common practice, no source") -> None:
        """Keep a value nobody gave."""
        self.assumptions.append(Assumption(text, value, "default", source))

    def found(self, level: Level, text: str, about: str, source: str = "") -> None:
        """Keep something the reader must hear."""
        self.findings.append(Finding(level, text, about, source))


@dataclass(frozen=True)
class SaltReadings:
    """What was measured of a water's salts; None where it was not."""

    ec_us_cm: float | None
    tds_mg_l: float | None
    gh_dgh: float | None


@dataclass(frozen=True)
class KitReading:
    """What a KH reading allows: hard limits and the middle between."""

    low_dkh: float
    middle_dkh: float
    high_dkh: float
    step_dkh: float

    def drawn_dkh(self, sampler: Sampler) -> Array:
        """Anywhere the reading allows, half of it below the middle. [dKH], shape (draws,)"""
        return sampler.split(self.low_dkh, self.middle_dkh, self.high_dkh)


def salt_reading(alk_meq_l: float, readings: SaltReadings, *, notes: Notes) -> Salt:
    """The ionic strength and hardness of a water, with what had to be assumed about them."""
    hardness = None if readings.gh_dgh is None else readings.gh_dgh * DGH_MMOL_L
    salt = ionic_strength_best(
        alk_meq_l, ec_us_cm=readings.ec_us_cm, tds_mg_l=readings.tds_mg_l, hardness_mmol_l=hardness
    )
    if salt.basis is SaltBasis.ALKALINITY:
        notes.ran(ionic_strength_from_alk_mol_l)
        notes.took(
            "Conductivity is not given; the salts are guessed from KH",
            f"{number_text(1000 * float(salt.ionic_strength_mol_l))} mmol/L ionic strength",
            "conductivity-balance",
        )
    else:
        notes.ran(cations_from_ec_meq_l, ionic_strength_from_cations_mol_l)
    if salt.basis is SaltBasis.TDS:
        notes.took("A TDS pen shows 0.5 to 0.7 of the conductivity", "0.6")
    if readings.ec_us_cm is not None and readings.tds_mg_l is not None:
        notes.found(
            Level.NOTE,
            "Conductivity and TDS are both given. Conductivity is used: a TDS pen measures the same and "
            "multiplies it by a factor it does not show.",
            "tds",
        )
    if hardness is None and salt.basis is not SaltBasis.ALKALINITY:
        notes.took(
            "GH is not given; calcium and magnesium are taken from the conductivity",
            show(float(salt.hardness_mmol_l) / DGH_MMOL_L, "dgh"),
            "conductivity-balance",
        )
    return salt


def salt_limits(salt: Salt) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Low, middle and high of the ionic strength [mol/L], and of the hardness [mmol/L], for drawing."""
    strength = (salt.ionic_low_mol_l, salt.ionic_strength_mol_l, salt.ionic_high_mol_l)
    hardness = (salt.hardness_low_mmol_l, salt.hardness_mmol_l, salt.hardness_high_mmol_l)
    least, middle, most = (max(float(limit), 1e-6) for limit in strength)
    few, some, many = (float(limit) for limit in hardness)
    return (least, middle, most), (few, some, many)


def kit_reading(kh_dkh: float, step_dkh: float | None, *, drops: bool, notes: Notes) -> KitReading:
    """What a KH reading allows, by its step and by whether the kit counts whole drops."""
    step = _step(kh_dkh, notes) if step_dkh is None else step_dkh
    if drops:
        notes.ran(drop_kit_low_dkh)
        low, high = float(drop_kit_low_dkh(kh_dkh, step)), kh_dkh
        return KitReading(low, 0.5 * (low + high), high, step)
    return KitReading(max(kh_dkh - 0.5 * step, 0.0), kh_dkh, kh_dkh + 0.5 * step, step)


def _step(kh_dkh: float, notes: Notes) -> float:
    """The coarsest usual step a reading fits; a reading converted from other units fits none."""
    for step, slack in ((1.0, 0.02), (0.5, 0.01), (0.1, 0.002)):
        if abs(kh_dkh / step - round(kh_dkh / step)) * step <= slack and round(kh_dkh / step) >= 1:
            notes.took("The kit's step is not given; the coarsest that fits the reading", show(step, "dkh"))
            return step
    notes.took("The kit's step is not given; the reading fits no usual one", show(0.5, "dkh"))
    return 0.5


def probe_error_ph(given_ph: float | None, readings: SaltReadings, *, notes: Notes) -> float:
    """One standard deviation of a pH reading, doubled in water too pure for an ordinary electrode."""
    ec = readings.ec_us_cm
    if ec is None and readings.tds_mg_l is not None:
        ec = readings.tds_mg_l / 0.6
    if ec is not None and ec < SOFT_EC_US_CM:
        level = Level.CARE if ec < LOW_EC_US_CM else Level.NOTE
        notes.found(
            level,
            f"At {show(ec, 'us_cm')} the water carries so little current that many pH electrodes drift and "
            "read wrongly. Wait until the reading stands still, stir gently, and check with an electrode "
            "made for low ionic strength or by the colour of a drop checker.",
            "ph",
            "usgs-memo-81-08",
        )
    if given_ph is not None:
        return given_ph
    error = 0.1 if ec is not None and ec < SOFT_EC_US_CM else 0.05
    notes.took("Doubt of the pH reading, one standard deviation", number_text(error, 1))
    return error
