"""Estimates from draws, as every water sum makes them."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Basis, Estimate
from fizzwright.stages.bench.water_draws import limits

__all__ = ["estimate_of"]


def estimate_of(value: Any, drawn_number: NDArray[np.float64], unit: str) -> Estimate:
    """The answer at the middle of every input, with the 90 % limits of its draws."""
    middle = float(value)
    low, high = limits(drawn_number)
    return Estimate(middle, unit, min(low, middle), max(high, middle), Basis.PROPAGATED)
