"""What the survey and the plan's draws make likely of a tank, before its readings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.living.plants import DEMAND_LOG_SD_NUMBER
from fizzwright.inference.tank_prior import TankPrior
from fizzwright.stages.derive import canopies
from fizzwright.stages.plan_choice import Decided
from fizzwright.stages.plan_inputs import DKH_PER_MEQ_L, O2_TRANSFER_RATIO

__all__ = ["prior_of"]

Array = NDArray[np.float64]
NINETY = 1.6449
LEAST_LOG_SD_NUMBER = 0.01


def _median_and_log_sd(draws: Array | float) -> tuple[float, float]:
    """The middle of positive draws, and their spread as a deviation of the logarithm."""
    values = np.maximum(np.atleast_1d(np.asarray(draws, dtype=float)), 1e-9)
    low, middle, high = np.quantile(values, [0.05, 0.5, 0.95])
    return float(middle), max(float(np.log(high / low)) / (2 * NINETY), LEAST_LOG_SD_NUMBER)


def prior_of(decided: Decided) -> TankPrior:
    """The plan's draws as medians with their doubt.

    Parameters
    ----------
    decided : Decided
        The tank with its plan; its draws carry the survey's doubt.
    """
    scene, known, job = decided.chosen.scene, decided.known, decided.known.job
    tank = scene.tank
    volume, volume_sd = _median_and_log_sd(tank.volume_l)
    loss, loss_sd = _median_and_log_sd(tank.loss_per_h)
    air, air_sd = _median_and_log_sd(tank.air_co2_mg_l)
    breathing, breathing_sd = _median_and_log_sd(tank.breathing_mg_h)
    _, flow_sd = _median_and_log_sd(scene.flow_factor)
    bubble = float(np.ravel(decided.middle.walk.mg_per_bubble_mg)[0])
    share = np.clip(np.atleast_1d(np.asarray(tank.dissolved_frac, dtype=float)), 1e-3, 1.0 - 1e-4)
    logit = np.quantile(np.log(share / (1.0 - share)), [0.05, 0.5, 0.95])
    return TankPrior(
        volume_l=volume,
        volume_log_sd_number=volume_sd,
        loss_per_h=loss,
        loss_log_sd_number=loss_sd,
        air_co2_mg_l=air,
        air_log_sd_number=air_sd,
        kh_dkh=job.water.kh_dkh,
        kh_step_dkh=job.water.kh_step_dkh,
        breathing_mg_h=breathing,
        breathing_o2_mg_h=_median_and_log_sd(tank.breathing_o2_mg_h)[0],
        breathing_log_sd_number=breathing_sd,
        demand_log_sd_number=DEMAND_LOG_SD_NUMBER,
        dissolved_frac=float(1.0 / (1.0 + np.exp(-logit[1]))),
        dissolved_logit_sd_number=max(float(logit[2] - logit[0]) / (2 * NINETY), 0.1),
        bubble_mg=bubble,
        bubble_log_sd_number=flow_sd,
        wall_loss_mg_h=float(np.median(scene.wall_loss_mg_h)),
        beds=canopies(job),
        par_umol_m2_s=job.light.par_umol_m2_s,
        o2_saturation_mg_l=known.air.o2_saturation_mg_l,
        o2_transfer_ratio=O2_TRANSFER_RATIO,
        alk_drift_meq_l_h=0.0,
        carbonate_ratio=float(known.constants.k1_mol_l / known.constants.k2_mol_l),
        k1_mol_l=float(known.constants.k1_mol_l),
        meq_l_per_dkh_ratio=1.0 / DKH_PER_MEQ_L,
    )
