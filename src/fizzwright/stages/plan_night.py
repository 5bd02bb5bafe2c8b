"""A night's readings in terms of one tank: what the fit is told, and what the plan takes from it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.living.plants import DEMAND_LOG_SD_NUMBER, respiration_mg_m2_h
from fizzwright.inference.night import NightPrior, NightWater, fit_night
from fizzwright.stages.derive import canopies
from fizzwright.stages.plan_inputs import DKH_PER_MEQ_L, LossKnown, Surveyed
from fizzwright.stages.plan_result import NightFit

__all__ = ["NightLog", "Told", "fit_of"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class NightLog:
    """pH readings of a night with gas and lamp off, in order; arrays of one shape.

    `set_aside_count` is what the import put aside before (sentinels, double stamps and the like).
    """

    elapsed_h: Array
    ph: Array
    water_c: float | None = None
    set_aside_count: int = 0


@dataclass(frozen=True)
class Told:
    """The fit as it is reported, and what it taught; `learnt` is None where the night was too short."""

    fit: NightFit
    learnt: LossKnown | None


@dataclass(frozen=True)
class _Breathing:
    """All that breathes at dusk for a litre, its doubt, and the share of it lost each hour of the night."""

    rate_mg_l_h: float
    log_sd_number: float
    falls_per_h: float


def _breathing(known: Surveyed) -> _Breathing:
    beds = canopies(known.job)
    plants, by_dawn = (
        sum(bed.area_m2 * float(respiration_mg_m2_h(bed.canopy, share)) for bed in beds)
        for share in (0.0, 1.0)
    )
    parts = (
        (known.animals.co2_mg_h, known.animals.log_sd_number),
        (known.bottom.co2_mg_h, known.bottom.log_sd_number),
        (plants, DEMAND_LOG_SD_NUMBER),
    )
    total = sum(value for value, _ in parts)
    if total <= 0:
        return _Breathing(0.01, 0.5, 0.0)
    deviation = float(np.sqrt(sum((value * sd) ** 2 for value, sd in parts))) / total
    dark_h = 24.0 - known.job.light.hours_h
    return _Breathing(total / known.geometry.net_volume_l, deviation, (plants - by_dawn) / total / dark_h)


def fit_of(known: Surveyed, night: NightLog) -> Told:
    """Fit a night for one tank.

    Parameters
    ----------
    known : Surveyed
        The tank's survey gives the prior: surface, breathing, air, hardness.
    night : NightLog

    Returns
    -------
    Told
    """
    water = known.job.water
    breathing = _breathing(known)
    kh = known.water.carbonate_kh_dkh
    kh_log_sd = float(np.log(max(kh.high, 0.04) / max(kh.low, 0.02))) / (2 * 1.6449)
    posterior = fit_night(
        night.elapsed_h,
        night.ph,
        water=NightWater(
            alk_meq_l=max(kh.value, 0.03) / DKH_PER_MEQ_L,
            water_c=water.temperature_c if night.water_c is None else night.water_c,
            ionic_strength_mol_l=known.ionic_strength_mol_l,
            # The probe's offset adds a tenth to the doubt of the hardness.
            scale_log_sd_number=float(np.hypot(kh_log_sd, 0.1)),
        ),
        prior=NightPrior(
            loss_per_h=known.loss.median_per_h,
            loss_log_sd_number=known.loss.log_sd_number,
            breathing_mg_l_h=breathing.rate_mg_l_h,
            breathing_log_sd_number=breathing.log_sd_number,
            air_co2_mg_l=known.air.co2_mg_l,
            air_log_sd_number=known.air.room_co2_log_sd_number,
            breathing_falls_per_h=breathing.falls_per_h,
        ),
    )
    fit = NightFit(
        usable=posterior.usable,
        verdict=posterior.verdict,
        loss_per_h=posterior.loss_per_h,
        settles_mg_l=posterior.settles_mg_l,
        hours_h=posterior.hours_h,
        readings_count=posterior.readings_count,
        set_aside_count=posterior.set_aside_count + night.set_aside_count,
        prior_low_per_h=known.loss.low_per_h,
        prior_high_per_h=known.loss.high_per_h,
    )
    if not posterior.usable:
        return Told(fit, None)
    level = posterior.settles_mg_l
    level_sd = float(np.log(level.high / max(level.low, 1e-3))) / (2 * 1.6449)
    return Told(
        fit,
        LossKnown(posterior.loss_per_h.value, posterior.loss_log_sd_number, level.value, max(level_sd, 0.02)),
    )
