"""What a survey says: the answer of the stage `survey`, ready to be printed or typeset."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.result import Estimate, Trail
from fizzwright.stages.plan_result import CeilingSet

__all__ = ["SurveyResult"]


@dataclass(frozen=True)
class SurveyResult:
    """The tank as surveyed: sizes, losses, demand, ceiling; bands are 90 %.

    `loss_basis` is "fitted" or the look of the surface. `plant_demand_mg_h` is what the beds take net of
    their own breathing in full light at the middle of the target band. `night_breathing_mg_h` is CO2 from
    plants, animals and bottom, as a mean over the night. `dawn_o2_mg_l` starts the night at saturation.
    `target_ph` is the pH at the middle of the target band. `whole_release_ppm` is the room's air, mixed,
    if all the gas got out at once.
    """

    name: str
    net_volume_l: Estimate
    surface_area_m2: Estimate
    mean_depth_m: Estimate
    loss_per_h: Estimate
    half_life_h: Estimate
    loss_basis: str
    air_co2_mg_l: Estimate
    o2_saturation_mg_l: Estimate
    carbonate_kh_dkh: Estimate
    co2_now_mg_l: Estimate | None
    target_ph: Estimate
    plant_demand_mg_h: Estimate
    night_breathing_mg_h: Estimate
    animal_o2_mg_h: Estimate
    dawn_o2_mg_l: Estimate
    whole_release_ppm: Estimate
    ceiling: CeilingSet
    ceiling_why: str
    target_low_mg_l: float
    target_high_mg_l: float
    target_chosen_by: str
    trail: Trail
