"""Which equations a placement runs, for its trail."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from fizzwright.engines.bubbles.closures import CONTAMINATED_EQUATIONS, TAP_EQUATIONS
from fizzwright.engines.bubbles.diffusers import diffuser_spread, volume_median_mm
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.medium import WATER_EQUATIONS
from fizzwright.engines.bubbles.population import skin_mix_frac
from fizzwright.engines.current.closures import (
    jet_viscosity_m2_s,
    leaf_drag_per_s,
    line_jet_viscosity_m2_s,
    outlet_reynolds_number,
    outlet_speed_m_s,
    room_viscosity_m2_s,
)
from fizzwright.engines.current.flow import settle_flow
from fizzwright.engines.current.mist import follow_mist
from fizzwright.engines.current.scalar import age_of_water_s, transport_for
from fizzwright.engines.living.plants import gross_uptake_mg_m2_h, respiration_mg_m2_h
from fizzwright.job.layout import OutletKind, OutletPlace
from fizzwright.job.model import Job
from fizzwright.stages.ceiling import ceiling_for
from fizzwright.stages.derive import air_side, animal_rates, bottom_rates, loss_prior

__all__ = ["equations_of"]


def equations_of(job: Job, outlets: Sequence[OutletPlace]) -> tuple[Callable[..., Any], ...]:
    """Every equation a placement of this job with these outlets runs."""
    bars = {outlet.kind is OutletKind.SPRAY_BAR for outlet in outlets}
    caps: list[Callable[..., Any]] = [line_jet_viscosity_m2_s] * (True in bars) + [jet_viscosity_m2_s] * (
        False in bars
    )
    beds: list[Callable[..., Any]] = (
        [gross_uptake_mg_m2_h, respiration_mg_m2_h] if job.layout and job.layout.beds else []
    )
    parts = (loss_prior(job), air_side(job), animal_rates(job), bottom_rates(job), ceiling_for(job))
    return (
        outlet_speed_m_s, outlet_reynolds_number, room_viscosity_m2_s, leaf_drag_per_s, settle_flow,
        transport_for, age_of_water_s, follow_mist, diffuser_spread, volume_median_mm, skin_mix_frac,
        bubble_amount_mol, *WATER_EQUATIONS, *CONTAMINATED_EQUATIONS, *TAP_EQUATIONS, *caps, *beds,
        *(function for part in parts for function in part.equations),
    )  # fmt: skip
