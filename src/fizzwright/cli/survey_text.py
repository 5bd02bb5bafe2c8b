"""A survey as text: the water, what leaves it, what lives in it, and the ceiling they set."""

from __future__ import annotations

from fizzwright.cli.output import (
    Row,
    estimate_row,
    findings_lines,
    heading,
    rows_lines,
    sure_lines,
    value_text,
    working_lines,
)
from fizzwright.stages.survey_result import SurveyResult
from fizzwright.units import System

__all__ = ["survey_lines"]


def survey_lines(found: SurveyResult, system: System, *, working: bool = False) -> list[str]:
    """The whole survey, section by section."""
    sections = {
        f"{found.name}: survey": _tank(found, system),
        "What leaves and comes": _exchange(found, system),
        "What lives in it": _life(found, system),
        "Ceiling and target": _ceiling(found, system),
        "If the bottle lets go in the room": [
            estimate_row("Air of the room, mixed", found.whole_release_ppm, system)
        ],
    }
    lines = [line for title, rows in sections.items() for line in (*heading(title), *rows_lines(rows))]
    return [
        *lines[1:],
        *findings_lines(found.trail.findings),
        *(working_lines(found.trail) if working else sure_lines(found.trail)),
    ]


def _tank(found: SurveyResult, system: System) -> list[Row]:
    return [
        estimate_row("Water in the tank", found.net_volume_l, system),
        estimate_row("Surface", found.surface_area_m2, system),
        estimate_row("Mean depth", found.mean_depth_m, system),
        estimate_row("KH that is carbonate", found.carbonate_kh_dkh, system),
    ]


def _exchange(found: SurveyResult, system: System) -> list[Row]:
    judged = "fitted" if found.loss_basis == "fitted" else f"judged by the surface: {found.loss_basis}"
    return [
        estimate_row("Surface loss", found.loss_per_h, system, judged),
        estimate_row("Half is gone in", found.half_life_h, system),
        estimate_row("CO₂ the air alone gives", found.air_co2_mg_l, system),
        estimate_row("O₂ at saturation", found.o2_saturation_mg_l, system),
    ]


def _life(found: SurveyResult, system: System) -> list[Row]:
    return [
        estimate_row("Plants take, full light", found.plant_demand_mg_h, system, "of CO₂"),
        estimate_row("All breathe out, at night", found.night_breathing_mg_h, system, "of CO₂"),
        estimate_row("Animals use", found.animal_o2_mg_h, system, "of O₂"),
        estimate_row("O₂ left at dawn", found.dawn_o2_mg_l, system),
    ]


def _ceiling(found: SurveyResult, system: System) -> list[Row]:
    ceiling = found.ceiling
    low, high = (value_text(x, "mg_l", system) for x in (found.target_low_mg_l, found.target_high_mg_l))
    chosen = "as the job wishes" if found.target_chosen_by == "user" else "chosen here, the job names none"
    soft, hard = (value_text(x, "mg_l", system) for x in (ceiling.soft_mg_l, ceiling.hard_mg_l))
    return [
        Row("Starting ceiling", "", remark=f"{soft}, set by {ceiling.set_by}: {found.ceiling_why}"),
        Row("Hard stop", "", remark=f"{hard}; how sure: {ceiling.confidence}"),
        Row("Target", "", remark=f"{low} to {high}, {chosen}"),
        estimate_row("pH in its middle", found.target_ph, system),
    ]
