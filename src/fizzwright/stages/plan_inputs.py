"""From a surveyed job to draws of everything a plan needs: the water side, the line, the bubbles.

Every unknown has one row of standard normal scores; the middle day is the same function with all scores
nil. Nothing here chooses anything.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.counters import COUNTER_LIQUIDS
from fizzwright.catalogue.diffuser_pressures import opening_pressure
from fizzwright.catalogue.tubes import TUBES
from fizzwright.engines.bubbles.population import (
    DissolvedShare,
    RisePath,
    diffuser_spread,
    dissolved_share,
    share_equations,
)
from fizzwright.engines.bubbles.properties import surface_pressure_pa
from fizzwright.engines.day.balance import Bed, TankDay
from fizzwright.engines.gasline.bottle import knee_barg
from fizzwright.engines.gasline.counter import NOMINAL_TIP_MM, UNKNOWN_TIP, known_tip_band, volume_factor
from fizzwright.engines.gasline.gas import Floats, flow_ml_min_n
from fizzwright.engines.gasline.line import LineSetup, LineWalk, walk_line
from fizzwright.engines.gasline.line import equations_of as line_equations
from fizzwright.engines.living.plants import DEMAND_LOG_SD_NUMBER, respiration_mg_m2_h
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    ConditionalConstants,
    conditional_constants,
)
from fizzwright.engines.water.ionic import (
    cations_from_ec_meq_l,
    ionic_strength_best,
    ionic_strength_from_alk_mol_l,
    ionic_strength_from_cations_mol_l,
)
from fizzwright.inference.draws import Scores
from fizzwright.job.model import Job
from fizzwright.stages.ceiling import CeilingFor, ceiling_for
from fizzwright.stages.derive import (
    AirSide,
    AnimalRates,
    BottomRates,
    Geometry,
    LossPrior,
    air_side,
    animal_rates,
    bottom_rates,
    canopies,
    loss_prior,
    tank_geometry,
)
from fizzwright.stages.plan_scene import Scene
from fizzwright.stages.skin import skin_draws_frac
from fizzwright.stages.water_read import WaterRead, read_water

__all__ = [
    "DKH_PER_MEQ_L", "UNKNOWNS", "LossKnown", "Surveyed", "WaterSide", "bubble_side", "equations_of",
    "first_feed_mg_h", "line_setup", "rise_path", "scene_of", "surveyed", "water_side",
]  # fmt: skip

Array = NDArray[np.float64]
UNKNOWNS = (
    "surface loss", "bubble counter", "opening pressure", "tube wall", "bubble size", "bubble surface",
    "plants", "animals", "ground", "water volume", "room air", "carbonate hardness", "afternoon sag",
)  # fmt: skip
NINETY = 1.6449
# The O2 transfer velocity over that of CO2: the fits of Schmidt numbers say 1.08 to 1.11, diffusivities 1.03.
O2_TRANSFER_RATIO = 1.06
DKH_PER_MEQ_L = 2.80387
# Late in a long light day uptake sags by nothing to three tenths (judgement on Kragh et al. 2017).
LARGEST_SAG_FRAC = 0.3
# Outlet rise of one stage for each bar the inlet falls, where the maker says nothing (0.3 to 3 %).
SUPPLY_EFFECT_FRAC = 0.01
# A gauge this far under saturation has lost its liquid, whatever its class and the room's warmth.
GAUGE_DOUBT_BAR = 4.0


@dataclass(frozen=True)
class LossKnown:
    """A loss rate learnt from a night, and the level that night settles to. [/h, mg/L]

    `settles_log_sd_number` is the doubt of the level as a standard deviation of its logarithm.
    """

    median_per_h: float
    log_sd_number: float
    settles_mg_l: float | None
    settles_log_sd_number: float


@dataclass(frozen=True)
class Surveyed:
    """Everything read off the job once."""

    job: Job
    geometry: Geometry
    loss: LossPrior
    animals: AnimalRates
    bottom: BottomRates
    air: AirSide
    ceiling: CeilingFor
    water: WaterRead
    ionic_strength_mol_l: float
    constants: ConditionalConstants


@dataclass(frozen=True)
class WaterSide:
    """Draws of the water side: arrays of shape (draws,)."""

    volume_l: Array
    loss_per_h: Array
    air_co2_mg_l: Array
    alk_meq_l: Array
    breathing_mg_h: Array
    breathing_o2_mg_h: Array
    beds: tuple[Bed, ...]


def surveyed(job: Job) -> Surveyed:
    """What the plan reads off a job, each from the function the survey uses too."""
    alk = job.water.kh_dkh / DKH_PER_MEQ_L
    salt = ionic_strength_best(alk, ec_us_cm=job.water.ec_us_cm, tds_mg_l=job.water.tds_mg_l)
    strength = float(salt.ionic_strength_mol_l)
    return Surveyed(
        job=job,
        geometry=tank_geometry(job),
        loss=loss_prior(job),
        animals=animal_rates(job),
        bottom=bottom_rates(job),
        air=air_side(job),
        ceiling=ceiling_for(job),
        water=read_water(job),
        ionic_strength_mol_l=strength,
        constants=conditional_constants(job.water.temperature_c, strength),
    )


def _spread(log_sd_number: float, score: Array) -> Array:
    factor: Array = np.exp(log_sd_number * score)
    return factor


def _lopsided(low: float, mid: float, high: float, score: Array) -> Array:
    """Draws with the middle and 90 % limits given, log-normal on each side."""
    up, down = np.log(high / mid) / NINETY, np.log(mid / low) / NINETY
    value: Array = mid * np.exp(np.where(score > 0, up, down) * score)
    return value


def water_side(known: Surveyed, scores: Scores, night: LossKnown | None) -> WaterSide:
    """Draws of volume, loss, air, hardness and breathing; a fitted night replaces the surface's prior."""
    job = known.job
    volume = known.geometry.net_volume_l * _spread(
        known.geometry.net_volume_log_sd_number, scores.of("water volume")
    )
    median, sd = (known.loss.median_per_h, known.loss.log_sd_number)
    if night is not None:
        median, sd = night.median_per_h, night.log_sd_number
    loss = median * _spread(sd, scores.of("surface loss"))
    air = known.air.co2_mg_l * _spread(known.air.room_co2_log_sd_number, scores.of("room air"))
    kh = known.water.carbonate_kh_dkh
    alk = _lopsided(
        max(kh.low, 0.02), max(kh.value, 0.03), max(kh.high, 0.04), scores.of("carbonate hardness")
    )
    alk = alk / DKH_PER_MEQ_L
    animals = _spread(known.animals.log_sd_number, scores.of("animals"))
    ground = _spread(known.bottom.log_sd_number, scores.of("ground"))
    plants = _spread(DEMAND_LOG_SD_NUMBER, scores.of("plants"))
    beds = tuple(
        Bed(bed.area_m2, replace(bed.canopy, demand_factor=bed.canopy.demand_factor * plants))
        for bed in canopies(job)
    )
    co2 = known.animals.co2_mg_h * animals + known.bottom.co2_mg_h * ground
    o2 = (
        known.animals.o2_mg_h + known.animals.nitrification_o2_mg_h
    ) * animals + known.bottom.o2_mg_h * ground
    side = WaterSide(volume, loss, air, alk, co2, o2, beds)
    return side if night is None or night.settles_mg_l is None else _settled(side, night)


def _settled(side: WaterSide, night: LossKnown) -> WaterSide:
    """Breathing scaled towards what the night's level says, by the weight each doubt deserves."""
    plants = sum(bed.area_m2 * np.asarray(respiration_mg_m2_h(bed.canopy, 0.5)) for bed in side.beds)
    total = np.maximum(side.breathing_mg_h + plants, 1e-6)
    assert night.settles_mg_l is not None
    told = side.loss_per_h * np.maximum(night.settles_mg_l - side.air_co2_mg_l, 0.02) * side.volume_l
    prior_variance = float(np.var(np.log(total))) if len(total) > 1 else 0.25
    weight = prior_variance / (prior_variance + night.settles_log_sd_number**2 + 1e-9)
    factor: Array = (told / total) ** weight
    beds = tuple(
        Bed(bed.area_m2, replace(bed.canopy, respiration25_mg_g_h=bed.canopy.respiration25_mg_g_h * factor))
        for bed in side.beds
    )
    return replace(
        side,
        breathing_mg_h=side.breathing_mg_h * factor,
        breathing_o2_mg_h=side.breathing_o2_mg_h * factor,
        beds=beds,
    )


def line_setup(job: Job, scores: Scores, feed_mg_h: float | Array) -> LineSetup:
    """The gas line as numbers, with the doubt of opening pressure, tube wall and bubble in its draws."""
    line, room = job.gasline, job.room
    opening = opening_pressure(line.diffuser.kind, line.diffuser.condition)
    pressure = _lopsided(opening.low_barg, opening.mid_barg, opening.high_barg, scores.of("opening pressure"))
    if line.diffuser.opening_barg is not None:
        pressure = line.diffuser.opening_barg * _spread(0.06, scores.of("opening pressure"))
    wall, liquid = TUBES[line.tube.material], COUNTER_LIQUIDS[line.counter.fluid]
    score = scores.of("bubble counter")
    if line.counter.mg_per_bubble_mg is not None:
        bubble: Floats = _spread(line.counter.calibration_spread_frac, score)
    else:
        bubble = volume_factor(UNKNOWN_TIP if line.counter.tip_mm is None else known_tip_band(1.0), score)
    bottle = line.bottle
    return LineSetup(
        feed_mg_h=feed_mg_h,
        bottle_c=room.temperature_c if bottle.temperature_c is None else bottle.temperature_c,
        room_c=room.temperature_c,
        set_barg=line.regulator.set_pressure_barg,
        opening_barg=pressure,
        depth_m=line.diffuser.depth_cm / 100,
        tube_length_m=line.tube.length_m,
        bore_mm=line.tube.bore_mm,
        outer_mm=line.tube.outer_mm,
        permeability_25c_barrer=_lopsided(
            wall.co2_low_barrer, wall.co2_barrer, wall.co2_high_barrer, scores.of("tube wall")
        ),
        activation_j_mol=wall.activation_j_mol,
        tip_mm=NOMINAL_TIP_MM if line.counter.tip_mm is None else line.counter.tip_mm,
        tension_n_m=liquid.tension_n_m,
        liquid_density_kg_m3=liquid.density_kg_m3,
        viscosity_pa_s=liquid.viscosity_pa_s(room.temperature_c),
        vapour_share_frac=liquid.vapour_share_frac,
        bubble_volume_factor=bubble,
        calibrated_mg=line.counter.mg_per_bubble_mg,
        bottle_barg=_falling_barg(job),
        supply_effect_frac=SUPPLY_EFFECT_FRAC
        if line.regulator.supply_effect_frac is None
        else line.regulator.supply_effect_frac,
        stages_count=line.regulator.stages,
        altitude_m=room.altitude_m,
    )


def _falling_barg(job: Job) -> float | None:
    """The high gauge where it says the liquid is gone; None while the bottle stands at saturation."""
    bottle = job.gasline.bottle
    warm_c = job.room.temperature_c if bottle.temperature_c is None else bottle.temperature_c
    if bottle.gauge_barg is None or bottle.gauge_barg > float(knee_barg(warm_c)) - GAUGE_DOUBT_BAR:
        return None
    return bottle.gauge_barg


def rise_path(job: Job, feed_mg_h: float) -> RisePath:
    """The way the bubbles of a feed have to go, as the job tells it. The feed is in mg/h."""
    diffuser = job.gasline.diffuser
    target = 15.0 if job.target is None else 0.5 * (job.target.low_mg_l + job.target.high_mg_l)
    path = RisePath(
        depth_m=diffuser.depth_cm / 100,
        water_c=job.water.temperature_c,
        surface_pa=float(surface_pressure_pa(job.room.altitude_m)),
        bulk_co2_mg_l=target,
        flow_ml_min_n=float(flow_ml_min_n(feed_mg_h)),
        disc_mm=diffuser.disc_mm,
    )
    if diffuser.hose_length_m is not None:
        path = replace(path, hose_length_m=diffuser.hose_length_m)
    if diffuser.hose_bore_mm is not None:
        path = replace(path, hose_bore_mm=diffuser.hose_bore_mm)
    return path


def bubble_side(job: Job, feed_mg_h: float) -> DissolvedShare:
    """The share of the gas that dissolves on its way up, over bubble size and skin, at about this feed."""
    diffuser = job.gasline.diffuser
    return dissolved_share(rise_path(job, feed_mg_h), diffuser_spread(diffuser.kind, diffuser.condition))


def equations_of(known: Surveyed, scores: Scores, feed_mg_h: float) -> tuple[Callable[..., Any], ...]:
    """The equations everything here runs at a feed, for the trail."""
    job, diffuser = known.job, known.job.gasline.diffuser
    salt = (
        (ionic_strength_from_alk_mol_l,)
        if job.water.ec_us_cm is None and job.water.tds_mg_l is None
        else (cations_from_ec_meq_l, ionic_strength_from_cations_mol_l)
    )
    parts = (known.loss, known.animals, known.bottom, known.air, known.ceiling, known.water)
    return (
        *(function for part in parts for function in part.equations),
        *salt,
        *CONDITIONAL_EQUATIONS,
        *line_equations(line_setup(job, scores, feed_mg_h)),
        *share_equations(rise_path(job, feed_mg_h), diffuser_spread(diffuser.kind, diffuser.condition)),
    )


def first_feed_mg_h(known: Surveyed, night: LossKnown | None) -> float:
    """About the feed that holds the middle of the target; only sets where the search looks first. [mg/h]"""
    aim = 0.5 * (known.ceiling.target_low_mg_l + known.ceiling.target_high_mg_l)
    loss = known.loss.median_per_h if night is None else night.median_per_h
    return max(loss * known.geometry.net_volume_l * max(aim - known.air.co2_mg_l, 1.0) / 0.85, 1.0)


def scene_of(
    known: Surveyed, scores: Scores, *, feed_mg_h: float, share: DissolvedShare, night: LossKnown | None
) -> tuple[Scene, LineWalk]:
    """One tank's draws with the clock left open, around a feed that line and bubbles are worked out at.

    Parameters
    ----------
    known : Surveyed
    scores : Scores
        Rows named as `UNKNOWNS`; one draw of zeros gives the middle.
    feed_mg_h : float
        Set feed; pressures and wall loss follow it. [mg/h]
    share : DissolvedShare
        What `bubble_side` says at about that feed.
    night : LossKnown or None
        What a gas-off night told.

    Returns
    -------
    Scene, LineWalk
        The walk is made at the set feed with every draw's own pressures.
    """
    job = known.job
    water = water_side(known, scores, night)
    setup = line_setup(job, scores, feed_mg_h)
    walk = walk_line(setup)
    draws = water.volume_l.shape
    per_bubble = np.broadcast_to(walk.mg_per_bubble_mg, draws)
    middle = walk_line(line_setup(job, Scores(scores.names, np.zeros((len(scores.names), 1))), feed_mg_h))
    exchange = job.water_change.share_frac / (24.0 * job.water_change.every_days)
    tank = TankDay(
        volume_l=water.volume_l,
        loss_per_h=water.loss_per_h,
        air_co2_mg_l=water.air_co2_mg_l,
        o2_loss_per_h=O2_TRANSFER_RATIO * water.loss_per_h,
        o2_saturation_mg_l=known.air.o2_saturation_mg_l,
        feed_mg_h=feed_mg_h,
        dissolved_frac=np.clip(
            share.at(scores.of("bubble size"), skin_draws_frac(job.gasline.diffuser, scores)), 1e-3, 1.0
        ),
        beds=water.beds,
        par_umol_m2_s=job.light.par_umol_m2_s,
        breathing_mg_h=water.breathing_mg_h,
        breathing_o2_mg_h=water.breathing_o2_mg_h,
        exchange_per_h=exchange,
        tap_co2_mg_l=water.air_co2_mg_l,
        alk_drift_meq_l_h=known.animals.nitrification_dkh_day / DKH_PER_MEQ_L / 24.0,
        carbonate_ratio=float(known.constants.k1_mol_l / known.constants.k2_mol_l),
        depression_frac=LARGEST_SAG_FRAC * scores.uniform("afternoon sag"),
    )
    scene = Scene(
        tank=tank,
        alk_meq_l=water.alk_meq_l,
        flow_factor=per_bubble / float(np.ravel(middle.mg_per_bubble_mg)[0]),
        wall_loss_mg_h=np.broadcast_to(walk.tube_loss_mg_h, draws),
        line_gas_mg=float(np.ravel(middle.run_on_mg)[0]),
        light_on_min=job.light.on_min,
        light_off_min=job.light.off_min,
        ramp_min=job.light.ramp_min,
        target_low_mg_l=known.ceiling.target_low_mg_l,
        target_high_mg_l=known.ceiling.target_high_mg_l,
    )
    return scene, walk
