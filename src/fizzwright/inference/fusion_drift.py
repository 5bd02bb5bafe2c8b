"""How fast KH drifts, from a log of kit readings: an acid soil's appetite has no default worth stating.

Every straight line through the log is weighed by how well its drops round to what was read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.errors import Fault, InputError
from fizzwright.result import Basis, Estimate

__all__ = ["KhDrift", "fitted_kh_drift"]

Array = NDArray[np.float64]

SCATTER_DKH = 0.08


@dataclass(frozen=True)
class KhDrift:
    """The drift of KH, and the KH the line starts from."""

    drift_dkh_day: Estimate
    start_dkh: Estimate


def fitted_kh_drift(
    elapsed_days: ArrayLike, kh_dkh: ArrayLike, *, step_dkh: float, whole_drops: bool = True
) -> KhDrift:
    """The drift of KH between water changes, from readings of a kit.

    Parameters
    ----------
    elapsed_days : when each was read [days]
    kh_dkh : what the kit read [dKH]
    step_dkh : what one drop or mark stands for [dKH]
    whole_drops : whether the kit counts whole drops to the colour change

    Returns
    -------
    `KhDrift`, bands 90 %

    Raises
    ------
    InputError : fewer than three readings, or all on one day
    """
    days = np.asarray(elapsed_days, dtype=np.float64)
    read = np.asarray(kh_dkh, dtype=np.float64)
    if days.size < 3 or float(np.ptp(days)) < 0.5:
        raise InputError([Fault("--kh-log", str(days.size), "needs three readings or more, days apart")])
    high = read if whole_drops else read + 0.5 * step_dkh
    low = high - step_dkh
    span = float(np.ptp(days))
    middle = 0.5 * (low + high)
    guess = float(np.polyfit(days - days[0], middle, 1)[0])
    reach = max(abs(guess), 2.5 * step_dkh / span)
    slopes = np.linspace(guess - 2.5 * reach, guess + 2.5 * reach, 241)
    first = float(np.mean(middle - guess * (days - days[0])))
    starts = np.linspace(first - 1.5 * step_dkh - 1.0, first + 1.5 * step_dkh + 1.0, 161)
    truth = starts[:, None, None] + slopes[None, :, None] * (days - days[0])
    inside = _below((high - truth) / SCATTER_DKH) - _below((low - truth) / SCATTER_DKH)
    weight = np.exp(np.log(np.maximum(inside, 1e-9)).sum(axis=2))
    return KhDrift(_limits(slopes, weight.sum(axis=0), "dkh_day"), _limits(starts, weight.sum(axis=1), "dkh"))


def _below(score: Array) -> Array:
    """Share of a logistic curve of the width of a standard bell curve."""
    result: Array = 1.0 / (1.0 + np.exp(-1.702 * np.clip(score, -40.0, 40.0)))
    return result


def _limits(axis: Array, share: Array, unit: str) -> Estimate:
    below = np.cumsum(share) - 0.5 * share
    low, middle, high = (float(x) for x in np.interp([0.05, 0.5, 0.95], below / share.sum(), axis))
    return Estimate(middle, unit, low, high, Basis.FITTED)
