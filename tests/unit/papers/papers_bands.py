"""A number with limits, short enough to write many."""

from __future__ import annotations

from fizzwright.result import Basis, Estimate


def band(value: float, unit: str, low: float, high: float, basis: Basis = Basis.PROPAGATED) -> Estimate:
    return Estimate(value, unit, low, high, basis)
