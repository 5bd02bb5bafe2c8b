"""What a bed feels of the current: speed at its leaves, and the share of the tank that hardly moves."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.flow import Flow

__all__ = ["dead_frac", "leaf_speeds_m_s"]

Array = NDArray[np.float64]
Cells = NDArray[np.bool_]

# Water older than this many times the filter's turnover counts as left behind.
OLD_RATIO = 1.5


def leaf_speeds_m_s(flow: Flow, cells: Cells) -> tuple[float, float]:
    """The median speed among a bed's leaves, and what nine tenths of it exceed. [m/s]"""
    speed = flow.speed_m_s()[cells]
    slow, middle = np.quantile(speed, [0.1, 0.5])
    return float(middle), float(slow)


def dead_frac(age_s: Array, water: Cells, turnover_s: float) -> float:
    """The share of the water that is over 1.5 times as old as one turnover of the filter.

    Parameters
    ----------
    age_s : array
        Time since the water last came out of the filter. [s]
    water : array of bool
        Where there is water.
    turnover_s : float
        Water volume over the filter's flow. [s]
    """
    return float((age_s[water] > OLD_RATIO * turnover_s).mean())
