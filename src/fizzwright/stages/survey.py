"""The survey: what the tank is, what its surface loses, what lives in it and what that bears.

Nothing is chosen here but the target band where the job names none. The sums are those the plan stage uses
(`derive`), with the doubt of each input drawn and carried into the answers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.gasline.room import displaced_ppm, whole_release_rise_ppm
from fizzwright.engines.living.plants import (
    DEMAND_LOG_SD_NUMBER,
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
    sustainable_biomass_g_m2,
)
from fizzwright.engines.water.carbonate import CONDITIONAL_EQUATIONS, ph_from_co2
from fizzwright.engines.water.conditional import alkalinity_at_co2_meq_l
from fizzwright.engines.water.exchange import O2_OVER_CO2, relaxing_mg_l
from fizzwright.engines.water.ionic import Salt
from fizzwright.job.model import Job
from fizzwright.result import Basis, Estimate, Finding, Level, make_trail
from fizzwright.stages.bench.water_draws import Draws
from fizzwright.stages.bench.water_readings import Notes, SaltReadings, salt_reading
from fizzwright.stages.derive import (
    AirSide,
    AnimalRates,
    BottomRates,
    CeilingFor,
    Geometry,
    LossPrior,
    air_side,
    animal_rates,
    bottom_rates,
    canopies,
    ceiling_for,
    loss_prior,
    tank_geometry,
)
from fizzwright.stages.survey_findings import Seen, survey_findings
from fizzwright.stages.survey_result import SurveyResult
from fizzwright.stages.water_read import WaterRead, read_water
from fizzwright.units import DKH_MEQ_L

__all__ = ["survey"]

Array = NDArray[np.float64]

DRAWS = 1000
# The share of night's breathing that the plants keep on average, from 1 at dusk to 0.4 at dawn.
MID_NIGHT_FRAC = 0.5


@dataclass(frozen=True)
class _Read:
    """What is read off the job once, and even draws of every doubt beside it; arrays of shape (draws,)."""

    job: Job
    tank: Geometry
    loss: LossPrior
    animals: AnimalRates
    bottom: BottomRates
    air: AirSide
    ceiling: CeilingFor
    water: WaterRead
    volume_l: Array
    loss_per_h: Array
    plants_factor: Array
    animals_factor: Array
    bottom_factor: Array
    air_factor: Array

    @property
    def target_mg_l(self) -> float:
        """The middle of the target band. [mg/L]"""
        return 0.5 * (self.ceiling.target_low_mg_l + self.ceiling.target_high_mg_l)


def survey(job: Job, *, today: date | None = None) -> SurveyResult:
    """What the tank is, loses, takes and bears, and what to mind before a plan is made.

    Parameters
    ----------
    job : the tank as surveyed.
    today : the day the bottle's stamp is held against; None leaves its age unjudged.

    Returns
    -------
    Sizes, losses, demand, ceiling and findings.
    """
    draws, notes = Draws(DRAWS), Notes()
    read = _read(job, draws)
    carbonate_dkh, target_ph = _water(read, draws, notes)
    plants_mg_h, plants_night_mg_h = _plants(read, notes)
    night_mg_h = (
        plants_night_mg_h
        + read.animals.co2_mg_h * read.animals_factor
        + read.bottom.co2_mg_h * read.bottom_factor
    )
    dawn_mg_l = _dawn_o2_mg_l(read, plants_night_mg_h, notes)
    release_ppm = _whole_release_ppm(read, notes)
    seen = Seen(
        job=job,
        net_volume_l=read.tank.net_volume_l,
        carbonate_kh_dkh=float(np.median(carbonate_dkh)),
        whole_release_ppm=float(release_ppm),
        dawn_o2_mg_l=float(np.median(dawn_mg_l)),
        thinning_beds=_thinning_beds(read, notes),
        loss_fitted=read.loss.basis == "fitted",
        today=today,
    )
    _note_read(read, notes)
    return SurveyResult(
        name=job.job.name,
        net_volume_l=Estimate.from_draws(read.volume_l, "l"),
        surface_area_m2=_within(read.tank.surface_area_m2, 0.02, "m2"),
        mean_depth_m=Estimate.from_draws(read.volume_l / 1000 / read.tank.surface_area_m2, "m"),
        loss_per_h=Estimate.from_draws(read.loss_per_h, "per_h", _loss_basis(read.loss)),
        half_life_h=Estimate.from_draws(np.log(2.0) / read.loss_per_h, "h", _loss_basis(read.loss)),
        loss_basis=read.loss.basis,
        air_co2_mg_l=Estimate.from_draws(read.air.co2_mg_l * read.air_factor, "mg_l"),
        # Weather moves the air's pressure by 3 % either way.
        o2_saturation_mg_l=_within(read.air.o2_saturation_mg_l, 0.03, "mg_l"),
        carbonate_kh_dkh=read.water.carbonate_kh_dkh,
        co2_now_mg_l=read.water.co2_now_mg_l,
        target_ph=Estimate.from_draws(target_ph, "ph"),
        plant_demand_mg_h=Estimate.from_draws(plants_mg_h, "mg_h", Basis.JUDGEMENT),
        night_breathing_mg_h=Estimate.from_draws(night_mg_h, "mg_h", Basis.JUDGEMENT),
        animal_o2_mg_h=Estimate.from_draws(read.animals.o2_mg_h * read.animals_factor, "mg_h"),
        dawn_o2_mg_l=Estimate.from_draws(dawn_mg_l, "mg_l"),
        whole_release_ppm=_within(float(release_ppm), 0.10, "ppm"),
        ceiling=read.ceiling.ceiling,
        ceiling_why=read.ceiling.why,
        target_low_mg_l=read.ceiling.target_low_mg_l,
        target_high_mg_l=read.ceiling.target_high_mg_l,
        target_chosen_by=read.ceiling.target_chosen_by,
        trail=make_trail(
            notes.equations,
            inputs=job.model_dump(mode="json"),
            assumptions=notes.assumptions,
            findings=_gravest_first(
                (*read.ceiling.findings, *read.water.findings, *survey_findings(seen), *notes.findings)
            ),
        ),
    )


def _read(job: Job, draws: Draws) -> _Read:
    """Medians and draws of everything `derive` reads off the job."""
    tank, loss, air = tank_geometry(job), loss_prior(job), air_side(job)
    animals, bottom = animal_rates(job), bottom_rates(job)

    def factor(log_sd_number: float) -> Array:
        spread: Array = np.exp(draws.normal(0.0, log_sd_number))
        return spread

    return _Read(
        job=job,
        tank=tank,
        loss=loss,
        animals=animals,
        bottom=bottom,
        air=air,
        ceiling=ceiling_for(job),
        water=read_water(job),
        volume_l=tank.net_volume_l * factor(tank.net_volume_log_sd_number),
        loss_per_h=loss.median_per_h * factor(loss.log_sd_number),
        plants_factor=factor(DEMAND_LOG_SD_NUMBER),
        animals_factor=factor(animals.log_sd_number),
        bottom_factor=factor(bottom.log_sd_number),
        air_factor=factor(air.room_co2_log_sd_number),
    )


def _note_read(read: _Read, notes: Notes) -> None:
    """Equations and assumptions of everything read off the job."""
    for part in (read.loss, read.animals, read.bottom, read.air, read.ceiling, read.water):
        notes.ran(*part.equations)
        notes.assumptions.extend(part.assumptions)
    tank = read.job.tank
    if tank.substrate_depth_cm > 0 and "substrate_porosity_frac" not in tank.model_fields_set:
        notes.took("share of the substrate that is water", f"{100 * tank.substrate_porosity_frac:.0f} %")
    if read.ceiling.target_chosen_by == "default":
        band = f"{read.ceiling.target_low_mg_l:.0f} to {read.ceiling.target_high_mg_l:.0f} mg/L"
        notes.took("target band while the lamp is lit, from the strictest group", band, "animal-ceilings")


def _water(read: _Read, draws: Draws, notes: Notes) -> tuple[Array, Array]:
    """Draws of the KH that is carbonate, and of the pH at the middle of the target band."""
    water, kh = read.job.water, read.water.carbonate_kh_dkh
    carbonate_dkh = np.maximum(draws.skewed(kh.low, kh.value, kh.high), 0.01)
    salt = salt_reading(kh.value * DKH_MEQ_L, SaltReadings(water.ec_us_cm, water.tds_mg_l, None), notes=notes)
    notes.ran(*CONDITIONAL_EQUATIONS, alkalinity_at_co2_meq_l)
    ph = ph_from_co2(
        read.target_mg_l,
        carbonate_dkh * DKH_MEQ_L,
        water_c=water.temperature_c,
        ionic_strength_mol_l=draws.skewed(*_limits_mol_l(salt)),
    )
    return carbonate_dkh, ph


def _limits_mol_l(salt: Salt) -> tuple[float, float, float]:
    """Ionic strength: low, middle, high."""
    return float(salt.ionic_low_mol_l), float(salt.ionic_strength_mol_l), float(salt.ionic_high_mol_l)


def _plants(read: _Read, notes: Notes) -> tuple[Array, Array]:
    """Draws of what the beds take net in full light at the target, and of their breathing in the night."""
    net, night = np.zeros(DRAWS), np.zeros(DRAWS)
    if not read.job.plants:
        return net, night
    notes.ran(gross_uptake_mg_m2_h, respiration_mg_m2_h)
    notes.took("capacity, light use and mass of each bed, by class and density", "x/÷ 2", "monsi-saeki-1953")
    notes.took("plants live on dissolved CO2 alone, as in injected tanks", "no bicarbonate use", "van-1976")
    par = read.job.light.par_umol_m2_s
    for bed in canopies(read.job):
        stand = replace(bed.canopy, demand_factor=read.plants_factor)
        taken = gross_uptake_mg_m2_h(read.target_mg_l, par, stand)
        net = net + bed.area_m2 * (taken - respiration_mg_m2_h(stand))
        night = night + bed.area_m2 * respiration_mg_m2_h(stand, MID_NIGHT_FRAC)
    return net, night


def _dawn_o2_mg_l(read: _Read, plants_night_mg_h: Array, notes: Notes) -> Array:
    """Draws of oxygen at lights-on, from saturation at lights-out; a rough figure, the plan has the day."""
    notes.ran(relaxing_mg_l)
    animals = (read.animals.o2_mg_h + read.animals.nitrification_o2_mg_h) * read.animals_factor
    used_mg_h = animals + read.bottom.o2_mg_h * read.bottom_factor
    if read.job.plants:
        notes.ran(oxygen_for_carbon_mg_m2_h)
        used_mg_h = used_mg_h + oxygen_for_carbon_mg_m2_h(plants_night_mg_h, 1.0)
    notes.took("transfer of oxygen over that of CO2", f"{O2_OVER_CO2.median_ratio:g}", O2_OVER_CO2.source)
    rate_per_h = O2_OVER_CO2.median_ratio * read.loss_per_h
    full_mg_l = read.air.o2_saturation_mg_l
    settles_mg_l = full_mg_l - used_mg_h / (rate_per_h * read.volume_l)
    dark_h = 24.0 - read.job.light.hours_h
    dawn = relaxing_mg_l(full_mg_l, settles_mg_l, loss_rate_per_h=rate_per_h, elapsed_h=dark_h)
    # Breathing slows when oxygen runs short; the straight sum would go under nil.
    return np.maximum(dawn, 0.0)


def _whole_release_ppm(read: _Read, notes: Notes) -> float:
    """The room's air if the whole charge got out at once and mixed."""
    notes.ran(whole_release_rise_ppm, displaced_ppm)
    bottle, room = read.job.gasline.bottle, read.job.room
    rise_ppm = whole_release_rise_ppm(bottle.charge_g, room.volume_m3, temperature_c=room.temperature_c)
    return float(displaced_ppm(rise_ppm)) + read.air.room_co2_ppm


def _thinning_beds(read: _Read, notes: Notes) -> tuple[str, ...]:
    """Beds denser than their light can carry for long."""
    job, too_dense = read.job, []
    for spec, bed in zip(job.plants, canopies(job), strict=True):
        notes.ran(sustainable_biomass_g_m2)
        carried_g_m2 = sustainable_biomass_g_m2(
            bed.canopy, job.light.par_umol_m2_s, co2_mg_l=read.target_mg_l, lit_h=job.light.hours_h
        )
        if bed.canopy.biomass_g_m2 > 1.25 * carried_g_m2:
            too_dense.append(f"{spec.grows} ({spec.density})")
    return tuple(dict.fromkeys(too_dense))


def _gravest_first(findings: tuple[Finding, ...]) -> list[Finding]:
    """Findings in order of gravity, otherwise as met."""
    rank = {Level.STOP: 0, Level.CARE: 1, Level.NOTE: 2}
    return sorted(findings, key=lambda finding: rank[finding.level])


def _within(value: float, share_frac: float, unit: str) -> Estimate:
    """A value good to a share either way."""
    return Estimate(value, unit, value * (1 - share_frac), value * (1 + share_frac), Basis.PROPAGATED)


def _loss_basis(loss: LossPrior) -> Basis:
    return Basis.FITTED if loss.basis == "fitted" else Basis.JUDGEMENT
