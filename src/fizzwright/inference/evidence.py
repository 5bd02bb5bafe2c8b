"""What readings say about the water: each kind with its own error, ready to be set against a model.

The one place that knows how a pH probe, a drop kit, a drop checker and a scale err; whoever has a better
measurement model swaps the functions here.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.water.indicator import HueScale

__all__ = [
    "CheckerReadings", "Evidence", "KitReadings", "MassReadings", "PhReadings", "ReadingErrors", "binned",
    "lagged_mg_l",
]  # fmt: skip

Array = NDArray[np.float64]

MOST_BINS = 160


@dataclass(frozen=True)
class PhReadings:
    """pH readings averaged over short stretches, with how many each; arrays of one shape (n,)."""

    hours_h: Array
    ph: Array
    weight_count: Array


@dataclass(frozen=True)
class KitReadings:
    """Drop kit readings of alkalinity: the truth lies up to a step below each."""

    hours_h: Array
    kh_dkh: Array


@dataclass(frozen=True)
class CheckerReadings:
    """Hues of a drop checker, with the scale of its dye and its water's hardness."""

    hours_h: Array
    hue_deg: Array
    scale: HueScale
    checker_kh_dkh: float = 4.0


@dataclass(frozen=True)
class MassReadings:
    """The bottle on its scale; `bottle` numbers the bottle, so that a swap starts anew."""

    hours_h: Array
    gross_g: Array
    bottle: NDArray[np.int64]


@dataclass(frozen=True)
class ReadingErrors:
    """How readings err, one standard deviation each.

    Attributes
    ----------
    noise_ph : single readings. [pH]
    wander_ph : slow departures of tank and probe from the model, over `wander_h`. [pH]
    offset_ph, drift_ph : of the probe, and its drift in a day. [pH]
    checker_pk_ph : of the dye's constant and the checker's own water together. [pH]
    hue_deg : of a hue as read. [deg]
    scale_g : of the bottle's scale. [g]
    """

    noise_ph: float = 0.02
    wander_ph: float = 0.025
    wander_h: float = 4.0
    offset_ph: float = 0.05
    drift_ph: float = 0.01
    checker_pk_ph: float = 0.09
    hue_deg: float = 8.0
    scale_g: float = 3.0
    checker_lag_h: float = 2.0
    checker_lag_log_sd_number: float = 0.4


@dataclass(frozen=True)
class Evidence:
    """Every reading of a stretch of time; what was not read is None. Hours since the start."""

    ph: PhReadings | None = None
    kit: KitReadings | None = None
    checker: CheckerReadings | None = None
    mass: MassReadings | None = None
    kit_step_dkh: float = 1.0
    errors: ReadingErrors = field(default_factory=ReadingErrors)


def binned(hours_h: Array, ph: Array, *, width_h: float = 0.5) -> PhReadings:
    """pH readings gathered into stretches, by their median; so many at most that sums stay quick.

    Parameters
    ----------
    hours_h, ph : array, shape (n,)
        Times and readings; nan is no reading. [h, pH]
    width_h : float
        Length of a stretch; longer where the log is long. [h]
    """
    use = np.isfinite(ph) & np.isfinite(hours_h)
    hours, values = hours_h[use], ph[use]
    if not hours.size:
        return PhReadings(hours, values, hours)
    width = max(width_h, float(hours[-1] - hours[0]) / MOST_BINS)
    which = np.floor((hours - hours[0]) / width).astype(int)
    starts = np.flatnonzero(np.concatenate(([True], np.diff(which) != 0)))
    groups = np.split(np.arange(hours.size), starts[1:])
    return PhReadings(
        np.array([hours[g].mean() for g in groups]),
        np.array([np.median(values[g]) for g in groups]),
        np.array([float(len(g)) for g in groups]),
    )


def lagged_mg_l(hours_h: Array, co2_mg_l: Array, *, lag_h: Array) -> Array:
    """CO2 as a drop checker feels it: behind the water by a first-order lag; time runs along the first axis.

    Parameters
    ----------
    hours_h : array, shape (times,)
        Rising. [h]
    co2_mg_l : array, shape (times, draws)
        In the water. [mg/L]
    lag_h : array, shape (draws,)
        Time constant of the checker. [h]

    Returns
    -------
    array, shape (times, draws)
        [mg/L]; starts at the water's own level.
    """
    felt = np.empty_like(co2_mg_l)
    felt[0] = co2_mg_l[0]
    for i, width in enumerate(np.diff(hours_h), start=1):
        keep = np.exp(-width / lag_h)
        # Exact for a level that runs straight between the times.
        slope = (co2_mg_l[i] - co2_mg_l[i - 1]) / max(float(width), 1e-9)
        felt[i] = co2_mg_l[i] - slope * lag_h * (1.0 - keep) + (felt[i - 1] - co2_mg_l[i - 1]) * keep
    return felt
