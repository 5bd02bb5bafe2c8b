"""What bubble counters are filled with, and what that means for the bubble.

Figures are handbook values at 20 °C, from memory; common practice takes them as good to a few per cent
for tension and density and to a tenth or two for viscosity.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.job.words import CounterFluid

__all__ = ["COUNTER_LIQUIDS", "CounterLiquid"]


@dataclass(frozen=True)
class CounterLiquid:
    """One filling: what sets the bubble's size, and how its viscosity falls with warmth.

    `vapour_share_frac` is the water vapour over the liquid as a share of that over pure water.
    """

    fluid: CounterFluid
    tension_n_m: float
    density_kg_m3: float
    viscosity_20c_pa_s: float
    thins_per_k: float
    vapour_share_frac: float
    note: str
    source: str = "counter-liquid-handbook"
    mark: str = "memory"

    def viscosity_pa_s(self, temperature_c: float) -> float:
        """The viscosity at a temperature near 20 °C. [Pa s]"""
        return self.viscosity_20c_pa_s * math.exp(-self.thins_per_k * (temperature_c - 20.0))


COUNTER_LIQUIDS: Mapping[CounterFluid, CounterLiquid] = {
    row.fluid: row
    for row in (
        CounterLiquid(
            CounterFluid.WATER, 0.0728, 998.2, 0.00100, 0.024, 1.0,
            "bubble size hardly changes with rate; dries out, goes to pH 4 and clouds",
        ),
        CounterLiquid(
            CounterFluid.HALF_GLYCEROL, 0.0697, 1126.0, 0.0060, 0.035, 0.85,
            "bubbles grow a little with rate; dries out slowly",
        ),
        CounterLiquid(
            CounterFluid.GLYCEROL, 0.0634, 1261.0, 1.41, 0.080, 0.0,
            "bubbles more than double from slow to fast and shrink with warmth: calibrate at the rate used",
        ),
        CounterLiquid(
            CounterFluid.PARAFFIN, 0.0300, 850.0, 0.050, 0.045, 0.0,
            "small bubbles, about half of those in water from the same tip",
        ),
        CounterLiquid(
            CounterFluid.SILICONE_OIL, 0.0209, 965.0, 0.0965, 0.018, 0.0,
            "the smallest bubbles, a third of those in water; swells silicone tube",
        ),
    )
}  # fmt: skip
