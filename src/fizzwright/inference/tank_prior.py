"""What is believed of a tank before its readings, and how standard normal scores become its numbers."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import Bed, TankDay
from fizzwright.inference.evidence import ReadingErrors

__all__ = ["TANK_UNKNOWNS", "TankDraws", "TankPrior", "draws_of"]

Array = NDArray[np.float64]

TANK_UNKNOWNS = (
    "surface loss", "bubble mass", "dissolved share", "plants", "plants' breathing", "breathing", "room air",
    "water volume", "carbonate hardness", "kit", "probe offset", "probe drift", "start", "checker dye",
    "checker lag",
)  # fmt: skip
# Before the first reading the water may hold anything between a well aired tank and a gassed one.
START_MG_L = 7.0
START_LOG_SD_NUMBER = 1.0
PLANTS_BREATHING_LOG_SD_NUMBER = 0.30
KIT_LOG_SD_NUMBER = 0.04


@dataclass(frozen=True)
class TankPrior:
    """Medians of a tank's unknowns with their doubt, and what of it is taken as known.

    `..._log_sd_number` are standard deviations of the logarithm, `dissolved_logit_sd_number` one of the
    logit. `bubble_mg` is the gas of one counted bubble. `beds` have demand factors of one.
    """

    volume_l: float
    volume_log_sd_number: float
    loss_per_h: float
    loss_log_sd_number: float
    air_co2_mg_l: float
    air_log_sd_number: float
    kh_dkh: float
    kh_step_dkh: float
    breathing_mg_h: float
    breathing_o2_mg_h: float
    breathing_log_sd_number: float
    demand_log_sd_number: float
    dissolved_frac: float
    dissolved_logit_sd_number: float
    bubble_mg: float
    bubble_log_sd_number: float
    wall_loss_mg_h: float
    beds: tuple[Bed, ...]
    par_umol_m2_s: float
    o2_saturation_mg_l: float
    o2_transfer_ratio: float
    alk_drift_meq_l_h: float
    carbonate_ratio: float
    k1_mol_l: float
    meq_l_per_dkh_ratio: float


@dataclass(frozen=True)
class TankDraws:
    """A tank's unknowns as numbers, arrays of shape (draws,), with the scores they came from.

    `flow_factor` is true feed over set feed; `tank.feed_mg_h` stands for 1 mg/h of set feed.
    """

    scores_number: Array
    tank: TankDay
    flow_factor: Array
    alk_meq_l: Array
    offset_ph: Array
    drift_ph: Array
    start_mg_l: Array
    dye_ph: Array
    lag_h: Array

    @property
    def draws_count(self) -> int:
        """How many draws."""
        return int(self.scores_number.shape[1])

    def score_number(self, name: str) -> Array:
        """The scores of one unknown, shape (draws,)."""
        row: Array = self.scores_number[TANK_UNKNOWNS.index(name)]
        return row


def draws_of(scores_number: Array, prior: TankPrior, errors: ReadingErrors) -> TankDraws:
    """Scores, shape (unknowns, draws), turned into tanks.

    `errors` gives what probe and checker may be off by.
    """
    from scipy.special import ndtr

    z = dict(zip(TANK_UNKNOWNS, scores_number, strict=True))

    def spread(name: str, log_sd_number: float) -> Array:
        factor: Array = np.exp(log_sd_number * z[name])
        return factor

    volume = prior.volume_l * spread("water volume", prior.volume_log_sd_number)
    loss = prior.loss_per_h * spread("surface loss", prior.loss_log_sd_number)
    air = prior.air_co2_mg_l * spread("room air", prior.air_log_sd_number)
    breathing = spread("breathing", prior.breathing_log_sd_number)
    plants = spread("plants", prior.demand_log_sd_number)
    dark = spread("plants' breathing", PLANTS_BREATHING_LOG_SD_NUMBER)
    below = prior.kh_step_dkh * ndtr(z["carbonate hardness"])
    alk = np.maximum(prior.kh_dkh - below, 0.02) * spread("kit", KIT_LOG_SD_NUMBER)
    flow = spread("bubble mass", prior.bubble_log_sd_number)
    logit = np.log(prior.dissolved_frac / (1.0 - prior.dissolved_frac))
    share = 1.0 / (1.0 + np.exp(-(logit + prior.dissolved_logit_sd_number * z["dissolved share"])))
    beds = tuple(
        Bed(
            bed.area_m2,
            replace(
                bed.canopy,
                demand_factor=bed.canopy.demand_factor * plants,
                respiration25_mg_g_h=bed.canopy.respiration25_mg_g_h * dark,
            ),
        )
        for bed in prior.beds
    )
    tank = TankDay(
        volume_l=volume,
        loss_per_h=loss,
        air_co2_mg_l=air,
        o2_loss_per_h=prior.o2_transfer_ratio * loss,
        o2_saturation_mg_l=prior.o2_saturation_mg_l,
        feed_mg_h=flow,
        dissolved_frac=share,
        beds=beds,
        par_umol_m2_s=prior.par_umol_m2_s,
        breathing_mg_h=prior.breathing_mg_h * breathing,
        breathing_o2_mg_h=prior.breathing_o2_mg_h * breathing,
        exchange_per_h=0.0,
        tap_co2_mg_l=air,
        alk_drift_meq_l_h=prior.alk_drift_meq_l_h,
        carbonate_ratio=prior.carbonate_ratio,
    )
    return TankDraws(
        scores_number=scores_number,
        tank=tank,
        flow_factor=flow,
        alk_meq_l=alk * prior.meq_l_per_dkh_ratio,
        offset_ph=errors.offset_ph * z["probe offset"],
        drift_ph=errors.drift_ph * z["probe drift"],
        start_mg_l=START_MG_L * spread("start", START_LOG_SD_NUMBER),
        dye_ph=errors.checker_pk_ph * z["checker dye"],
        lag_h=errors.checker_lag_h * np.exp(errors.checker_lag_log_sd_number * z["checker lag"]),
    )
