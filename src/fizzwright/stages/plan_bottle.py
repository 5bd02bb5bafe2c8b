"""How long the bottle lasts at a plan's use, and when to swap it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.bottles import ASSUMED_FILL_LASTING_KG_L
from fizzwright.engines.gasline.bottle import knee_g
from fizzwright.job.model import Job
from fizzwright.result import Estimate

__all__ = ["BottleForecast", "bottle_forecast"]

Array = NDArray[np.float64]
# A little gas is left in: air and damp stay out, and the regulator keeps its range (common practice).
KEPT_BACK_FRAC = 0.03


@dataclass(frozen=True)
class BottleForecast:
    """The bottle at this use: days to empty, days to the first fall of the gauge, and what it started from.

    `swap_days` is nil where the gauge is falling already. `total_g_day` counts every tank on the bottle.
    """

    empty_days: Estimate
    swap_days: Estimate
    start_g: float
    weighed: bool
    knee_frac: float
    total_g_day: Estimate
    tanks_count: int


def bottle_forecast(job: Job, own_g_day: Array, others_g_day: Sequence[Estimate]) -> BottleForecast:
    """How many days the gas lasts and when its liquid is gone.

    Parameters
    ----------
    job : Job
    own_g_day : array, shape (draws,)
        What this tank draws. [g/day]
    others_g_day : sequence of Estimate
        What other tanks on the bottle draw; their doubt is taken as independent. [g/day]

    Returns
    -------
    BottleForecast
        Days count from the mass the job gives, or from the full charge where it gives none.
    """
    bottle = job.gasline.bottle
    start_g = bottle.charge_g if bottle.remaining_g is None else bottle.remaining_g
    rng = np.random.default_rng(len(own_g_day))
    total = own_g_day.astype(float)
    for other in others_g_day:
        sd = np.log(max(other.high, 1e-9) / max(other.low, 1e-9)) / (2 * 1.6449)
        total = total + other.value * np.exp(sd * rng.standard_normal(len(own_g_day)))
    capacity_l = bottle.water_capacity_l or bottle.charge_g / 1000.0 / ASSUMED_FILL_LASTING_KG_L
    warm_c = job.room.temperature_c if bottle.temperature_c is None else bottle.temperature_c
    # The critical point ends the liquid; a hotter room has no knee to wait for.
    knee = min(float(knee_g(min(warm_c, 30.5), water_capacity_l=capacity_l)), bottle.charge_g)
    usable_g = max(start_g - KEPT_BACK_FRAC * bottle.charge_g, 0.0)
    return BottleForecast(
        empty_days=Estimate.from_draws(usable_g / total, "days"),
        swap_days=Estimate.from_draws(np.maximum(start_g - knee, 0.0) / total, "days"),
        start_g=start_g,
        weighed=bottle.remaining_g is not None,
        knee_frac=knee / bottle.charge_g,
        total_g_day=Estimate.from_draws(total, "g_day"),
        tanks_count=1 + len(others_g_day),
    )
