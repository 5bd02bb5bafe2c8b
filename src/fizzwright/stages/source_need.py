"""What a tank needs of any source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fizzwright.result import Basis, Estimate

__all__ = ["Need", "scaled"]


@dataclass(frozen=True)
class Need:
    """Gas a day out of a bottle, and what of it dissolves, over these hours and in this much water."""

    gas_g_day: Estimate
    dissolved_frac: Estimate
    hours_h: float
    volume_l: Estimate
    room_c: float


def scaled(
    of: Estimate, change: Callable[[float], float], unit: str, basis: Basis = Basis.PROPAGATED
) -> Estimate:
    """An estimate put through a sum that goes one way, its limits put in order."""
    ends = sorted((change(of.low), change(of.high)))
    middle = change(of.value)
    return Estimate(middle, unit, min(ends[0], middle), max(ends[1], middle), basis)
