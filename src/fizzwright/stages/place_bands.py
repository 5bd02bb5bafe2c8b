"""How far a figure of the current may be off: the windows' difference, and what the closures are good for.

No tank was measured to fit the closures to; the widths here are judgement and say so.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Basis, Estimate

__all__ = ["LEAF_FACTOR", "SPEED_FACTOR", "TIME_FACTOR", "factor_band", "share_band", "windows_log_number"]

# One value for each run, of whatever the estimate's unit says.
Runs = NDArray[np.float64]
NINETY = 1.6449

# 90 % factors either way.
SPEED_FACTOR = 1.3
LEAF_FACTOR = 2.0
TIME_FACTOR = 1.5
# The flow as read off a pump's curve, or a bucket and a watch.
FLOW_FACTOR = 1.15
# Under a Reynolds number of 10 000 at the outlet jets decay by rules of their own.
SLOW_JET_FACTOR = 1.25


def windows_log_number(values: Runs) -> float:
    """Doubt left by the water's own wandering: half the difference of two windows, as a logarithm at 90 %."""
    kept = values[np.isfinite(values) & (values > 0.0)]
    if kept.size < 2:
        # One window cannot say how far the next would be off.
        return math.log(1.3)
    return NINETY * float(np.log(kept).std(ddof=1)) / math.sqrt(kept.size)


def factor_band(values: Runs, unit: str, *, factor: float, slow_jet: bool = False) -> Estimate:
    """The middle of some windows with a band a factor wide, the windows' own spread added.

    Parameters
    ----------
    values : array
        One for each window, in the unit.
    unit : str
        Suffix of the estimate.
    factor : float
        90 % factor either way from the closures.
    slow_jet : bool
        Whether the outlet's jet is outside the range its law was fitted in.
    """
    kept = values[np.isfinite(values)]
    middle = float(np.exp(np.log(np.maximum(kept, 1e-12)).mean())) if kept.size else 1e9
    parts = [math.log(factor), math.log(FLOW_FACTOR), windows_log_number(values)]
    if slow_jet:
        parts.append(math.log(SLOW_JET_FACTOR))
    wide = math.exp(math.sqrt(sum(p * p for p in parts)))
    return Estimate(middle, unit, middle / wide, middle * wide, Basis.JUDGEMENT)


def share_band(values: Runs, unit: str = "frac", *, extra_frac: float = 0.0) -> Estimate:
    """A share with the limits its own runs reached, kept between nil and one."""
    middle = float(np.mean(values[: max(1, min(2, values.size))]))
    low = min(float(values.min()) - extra_frac, middle)
    high = max(float(values.max()) + extra_frac, middle)
    return Estimate(middle, unit, max(low, 0.0), min(high, 1.0), Basis.JUDGEMENT)
