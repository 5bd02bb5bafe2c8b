"""Bubbles counted by tapping along: the rate, how sure it is, and taps that cannot be right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fizzwright.errors import Fault, InputError
from fizzwright.result import Basis, Estimate
from fizzwright.sources import equation

__all__ = ["TapCount", "tap_count", "tap_rate_sd_per_s"]

FEWEST_TAPS = 3
# A hand follows a rhythm to about this well, however even the taps look.
HAND_S = 0.03
DOUBLE_RATIO = 0.4
MISSED_RATIO = 1.6
STUDENT_90 = (6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812)


@dataclass(frozen=True)
class TapCount:
    """The rate with its band, how many bubbles were counted, and what was wrong with the taps.

    `wanted_count` is about how many taps would bring the band under 3 per cent either way.
    """

    bubbles_per_s: Estimate
    bubbles_count: int
    missed_count: int
    double_count: int
    unevenness_frac: float
    wanted_count: int


@equation("straight-line-fit", where="variance of a slope over evenly numbered points")
def tap_rate_sd_per_s(rate_per_s: float, scatter_s: float, *, taps_count: int) -> float:
    """How uncertain a bubble rate is that was counted by so many taps.

    Parameters
    ----------
    rate_per_s : float
        Bubbles a second. [1/s]
    scatter_s : float
        One standard deviation of a single tap about an even rhythm. [s]
    taps_count : int
        Taps in the count. [-]

    Returns
    -------
    float
        One standard deviation of the rate. [1/s]

    Examples
    --------
    >>> round(tap_rate_sd_per_s(2.0, 0.05, taps_count=20), 4)
    0.0078
    """
    n = float(taps_count)
    return rate_per_s**2 * scatter_s * float(np.sqrt(12.0 / (n * (n * n - 1.0))))


def tap_count(times_s: Sequence[float]) -> TapCount:
    """The bubble rate from the moments somebody tapped along with the bubbles.

    Parameters
    ----------
    times_s : sequence of float
        Moments of the taps, in any order, from any start. [s]

    Returns
    -------
    TapCount

    Raises
    ------
    InputError
        Where there are too few taps, or they are no rhythm.
    """
    taps = np.sort(np.asarray(times_s, dtype=float))
    if taps.size < FEWEST_TAPS or not np.isfinite(taps).all() or taps[-1] <= taps[0]:
        raise InputError(
            [
                Fault(
                    "taps",
                    f"{taps.size}",
                    f"at least {FEWEST_TAPS} moments",
                    "Tap for half a minute or 20 bubbles",
                )
            ]
        )
    gaps = np.diff(taps)
    usual = float(np.median(gaps))
    keep = np.concatenate(([True], gaps > DOUBLE_RATIO * usual))
    doubles = int((~keep).sum())
    taps = taps[keep]
    gaps = np.diff(taps)
    usual = float(np.median(gaps)) if gaps.size else 0.0
    if usual <= 0 or taps.size < FEWEST_TAPS:
        raise InputError([Fault("taps", f"{taps.size}", "an even rhythm", "Tap once for every bubble")])
    passed = np.where(gaps > MISSED_RATIO * usual, np.maximum(np.round(gaps / usual), 1.0), 1.0)
    number = np.concatenate(([0.0], np.cumsum(passed)))
    slope, first = np.polyfit(number, taps, 1)
    off = taps - (first + slope * number)
    scatter_s = max(float(np.sqrt((off**2).sum() / max(taps.size - 2, 1))), HAND_S)
    rate = 1.0 / float(slope)
    sd = tap_rate_sd_per_s(rate, scatter_s, taps_count=int(taps.size))
    reach = STUDENT_90[min(taps.size - 3, len(STUDENT_90) - 1)] * sd
    low, high = max(rate - reach, 0.0), rate + reach
    wanted = (12.0 * (1.645 * rate * scatter_s / 0.03) ** 2) ** (1.0 / 3.0)
    return TapCount(
        bubbles_per_s=Estimate(rate, "per_s", low, high, Basis.MEASURED),
        bubbles_count=int(number[-1]) + 1,
        missed_count=int((passed - 1).sum()),
        double_count=doubles,
        unevenness_frac=scatter_s / usual,
        wanted_count=int(np.ceil(max(wanted, FEWEST_TAPS))),
    )
