"""Single sums of the water: CO2 from any readings, pH, the air's share, checkers, mixing, powders, drift."""

from __future__ import annotations

from fizzwright.stages.bench.water_air import AirAnswer, AirQuestion, air
from fizzwright.stages.bench.water_checker import CheckerAnswer, CheckerQuestion, checker
from fizzwright.stages.bench.water_co2 import Co2Answer, Co2Question, co2
from fizzwright.stages.bench.water_dose import DoseAnswer, DoseQuestion, dose
from fizzwright.stages.bench.water_drift import DriftAnswer, DriftQuestion, drift
from fizzwright.stages.bench.water_drop import DropAnswer, DropQuestion, drop
from fizzwright.stages.bench.water_mix import MixAnswer, MixQuestion, mix
from fizzwright.stages.bench.water_oxygen import OxygenAnswer, OxygenQuestion, oxygen
from fizzwright.stages.bench.water_ph import PhAnswer, PhQuestion, ph
from fizzwright.stages.bench.water_salts import SaltsAnswer, SaltsQuestion, salts

__all__ = [
    "AirAnswer",
    "AirQuestion",
    "CheckerAnswer",
    "CheckerQuestion",
    "Co2Answer",
    "Co2Question",
    "DoseAnswer",
    "DoseQuestion",
    "DriftAnswer",
    "DriftQuestion",
    "DropAnswer",
    "DropQuestion",
    "MixAnswer",
    "MixQuestion",
    "OxygenAnswer",
    "OxygenQuestion",
    "PhAnswer",
    "PhQuestion",
    "SaltsAnswer",
    "SaltsQuestion",
    "air",
    "checker",
    "co2",
    "dose",
    "drift",
    "drop",
    "mix",
    "oxygen",
    "ph",
    "salts",
]
