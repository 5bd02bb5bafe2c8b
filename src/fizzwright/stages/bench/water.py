"""Single sums of the water: CO2 from pH, pH from CO2, what the air leaves, oxygen at saturation."""

from __future__ import annotations

from fizzwright.stages.bench.water_air import AirAnswer, AirQuestion, air
from fizzwright.stages.bench.water_co2 import Co2Answer, Co2Question, co2
from fizzwright.stages.bench.water_oxygen import OxygenAnswer, OxygenQuestion, oxygen
from fizzwright.stages.bench.water_ph import PhAnswer, PhQuestion, ph

__all__ = [
    "AirAnswer",
    "AirQuestion",
    "Co2Answer",
    "Co2Question",
    "OxygenAnswer",
    "OxygenQuestion",
    "PhAnswer",
    "PhQuestion",
    "air",
    "co2",
    "oxygen",
    "ph",
]
