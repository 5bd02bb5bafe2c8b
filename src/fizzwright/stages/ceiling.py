"""The animals' starting ceiling for one job: the lowest over its groups, and the target band it leads to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.catalogue.limits import (
    GROUP_LIMITS,
    PLANTS_ONLY,
    SHELL_KH_DKH,
    TRADE_BAND_HIGH_MG_L,
    TRADE_BAND_LOW_MG_L,
    GroupLimit,
)
from fizzwright.engines.living.ceilings import WARM_FROM_C, reduction_factor
from fizzwright.job.model import AnimalGroup, Job
from fizzwright.result import Assumption, Finding, Level
from fizzwright.stages.plan_result import CeilingSet

__all__ = ["CeilingFor", "ceiling_for"]

Functions = tuple[Callable[..., Any], ...]


@dataclass(frozen=True)
class CeilingFor:
    """The animals' starting ceiling for one job, the target band it leads to, and what to mind."""

    ceiling: CeilingSet
    target_low_mg_l: float
    target_high_mg_l: float
    target_chosen_by: str
    why: str
    findings: tuple[Finding, ...]
    equations: Functions
    assumptions: tuple[Assumption, ...] = ()


@dataclass(frozen=True)
class _Scaled:
    """One group's limits after the reduction for warm or stale water."""

    row: GroupLimit
    applied_factor: float

    @property
    def soft_mg_l(self) -> float:
        return self.row.soft_mg_l * self.applied_factor

    @property
    def hard_mg_l(self) -> float:
        return self.row.hard_mg_l * self.applied_factor


def ceiling_for(job: Job, dawn_o2_mg_l: float | None = None) -> CeilingFor:
    """The lowest starting ceiling over the tank's animals, and the target band to plan for.

    Parameters
    ----------
    job : the surveyed tank.
    dawn_o2_mg_l : lowest oxygen of the day where it is known; under 6 mg/L lowers the ceilings. [mg/L]

    Returns
    -------
    Ceiling, target band, findings, equations run.
    """
    groups = dict.fromkeys(a.group for a in job.animals)
    water_c = job.water.temperature_c
    scaled = [_Scaled(GROUP_LIMITS[g], _reduction(GROUP_LIMITS[g], water_c, dawn_o2_mg_l)) for g in groups]
    scaled = scaled or [_Scaled(PLANTS_ONLY, 1.0)]
    strict = min(scaled, key=lambda s: (s.soft_mg_l, s.hard_mg_l))
    hard = min(scaled, key=lambda s: (s.hard_mg_l, s is not strict))
    row, factor = strict.row, strict.applied_factor
    ceiling = CeilingSet(strict.soft_mg_l, hard.hard_mg_l, row.name, row.confidence)
    low_mg_l = min(row.target_low_mg_l, TRADE_BAND_LOW_MG_L) * factor
    high_mg_l = min(row.target_high_mg_l, TRADE_BAND_HIGH_MG_L) * factor
    if job.target is not None:
        low_mg_l, high_mg_l = job.target.low_mg_l, job.target.high_mg_l
    return CeilingFor(
        ceiling=ceiling,
        target_low_mg_l=low_mg_l,
        target_high_mg_l=high_mg_l,
        target_chosen_by="default" if job.target is None else "user",
        why=row.why,
        findings=tuple(_ceiling_findings(job, strict, hard, high_mg_l)),
        equations=(reduction_factor,) if groups else (),
        assumptions=(
            Assumption(
                f"starting ceiling for {row.name}", f"{ceiling.soft_mg_l:.0f} mg/L", source=row.source
            ),
        ),
    )


def _reduction(row: GroupLimit, water_c: float, o2_mg_l: float | None) -> float:
    """The reduction for one group; warm-water kinds are counted warm already, to 30 degC."""
    counted_c = min(water_c, WARM_FROM_C) if row.warm_kind and water_c <= 30.0 else water_c
    return float(reduction_factor(counted_c, o2_mg_l))


def _ceiling_findings(job: Job, strict: _Scaled, hard: _Scaled, target_high_mg_l: float) -> list[Finding]:
    """What the reader must know about the ceiling."""
    row, about = strict.row, "ceiling"
    found = [
        Finding(
            Level.NOTE,
            f"The starting ceiling of {strict.soft_mg_l:.0f} mg/L comes from {row.name} ({row.why}). "
            f"How sure: {row.confidence}. Watch the animals; they have the last word.",
            about,
            row.source,
        )
    ]
    if hard.row is not row:
        text = f"The hard stop of {hard.hard_mg_l:.0f} mg/L comes from {hard.row.name}."
        found.append(Finding(Level.NOTE, text, about, hard.row.source))
    if strict.applied_factor < 1:
        text = (
            "Ceilings are lowered by a fifth: the water is over 28 °C or its oxygen falls under 6 mg/L, and "
            "both make the same CO2 weigh more. Cool the water or move the surface more at night."
        )
        found.append(Finding(Level.CARE, text, about, "animal-ceilings"))
    if target_high_mg_l > strict.soft_mg_l:
        over = target_high_mg_l > hard.hard_mg_l
        name = "hard stop" if over else "starting ceiling"
        limit_mg_l = hard.hard_mg_l if over else strict.soft_mg_l
        text = (
            f"The target reaches {target_high_mg_l:.0f} mg/L, over the {name} of {limit_mg_l:.0f} mg/L. "
            "Lower the target, or keep other animals."
        )
        found.append(Finding(Level.STOP if over else Level.CARE, text, "target", row.source))
    shells = any(a.group is AnimalGroup.SNAILS for a in job.animals)
    if shells and job.water.kh_dkh < SHELL_KH_DKH:
        text = "Shells dissolve in soft water under CO2. Keep KH at 3 dKH or more for snails and mussels."
        found.append(Finding(Level.CARE, text, "animals", "waller-2017"))
    return found
