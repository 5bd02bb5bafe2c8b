"""The sum `strip`: how fast the bubbles of an air stone carry CO2 out of the water."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import (
    CONTAMINATED_EQUATIONS,
    TAP_EQUATIONS,
    contaminated_closure,
    tap_closure,
)
from fizzwright.engines.bubbles.medium import CO2, WATER_EQUATIONS, bubble_water
from fizzwright.engines.bubbles.plume import slip_plume_speed_m_s
from fizzwright.engines.bubbles.strip import (
    bubble_exchange_number,
    strip_ceiling_per_h,
    strip_over_oxygen_ratio,
    strip_rate_per_h,
)
from fizzwright.form import asked, check
from fizzwright.result import Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_draws import Draws, limits
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import number_text, show

__all__ = ["StripAnswer", "StripQuestion", "strip"]

Array = NDArray[np.float64]
DRAWS_COUNT = 1000
NINETY = 1.6448536


@dataclass(frozen=True, kw_only=True)
class StripQuestion:
    """An air stone in a tank."""

    air_flow_l_h: float = asked("--air-flow", "air through the stone", low=0.5, high=5000.0)
    volume_l: float = asked("--volume", "water in the tank", low=2.0, high=20000.0)
    depth_cm: float = asked("--depth", "from the surface down to the stone", low=2.0, high=200.0)
    diameter_mm: float = asked("--diameter", "size of the bubbles", low=0.3, high=8.0)
    water_c: float = asked("--temp", "water temperature", low=5.0, high=35.0, default=25.0)
    flow_error_frac: float = asked(
        "--air-flow-error", "90 % error of the air flow", low=0.0, high=0.8, default=0.2
    )
    diameter_error_frac: float = asked(
        "--diameter-error", "90 % error of the size", low=0.0, high=0.8, default=0.3
    )


@dataclass(frozen=True)
class StripAnswer:
    """What the bubbles strip; the surface they turn over is not in it.

    `ceiling_per_h` is the rate with every bubble full of CO2 when it leaves. `over_oxygen_ratio` is the
    CO2 rate over that for oxygen in the same bubbles. `halving_h` is the time to halve the CO2 by this
    path alone.
    """

    kla_per_h: Estimate
    ceiling_per_h: Estimate
    over_oxygen_ratio: Estimate
    halving_h: Estimate
    trail: Trail


def strip(question: StripQuestion) -> StripAnswer:
    """How fast an air stone's bubbles strip CO2, without the surface they stir.

    The band covers air flow, bubble size, the skin from contaminated to tap, and the water the bubbles
    lift with them. Raises InputError for inputs out of range.
    """
    check(question)
    draws = Draws(DRAWS_COUNT)
    flow = question.air_flow_l_h * np.exp(draws.normal(0.0, np.log1p(question.flow_error_frac) / NINETY))
    size = question.diameter_mm * np.exp(draws.normal(0.0, np.log1p(question.diameter_error_frac) / NINETY))
    skin, lift = draws.even(0.0, 1.0), draws.even(0.0, 1.0)
    flow = np.concatenate([[question.air_flow_l_h], flow])
    size = np.concatenate([[question.diameter_mm], size])
    skin, lift = np.concatenate([[0.5], skin]), np.concatenate([[0.5], lift])
    number, capacity = _fillings(question, size, skin=skin, lift=lift)
    rate = strip_rate_per_h(flow, question.volume_l, capacity_ratio=capacity, exchange_number=number)
    ceiling = strip_ceiling_per_h(flow, question.volume_l, capacity_ratio=capacity)
    ratio = strip_over_oxygen_ratio(number)
    notes = Notes()
    notes.ran(*WATER_EQUATIONS, *CONTAMINATED_EQUATIONS, *TAP_EQUATIONS, slip_plume_speed_m_s)
    notes.ran(bubble_exchange_number, strip_rate_per_h, strip_ceiling_per_h, strip_over_oxygen_ratio)
    _say(question, (float(rate[0]), float(ceiling[0]), float(ratio[0])), notes)
    return StripAnswer(
        kla_per_h=_estimate(rate, "per_h"),
        ceiling_per_h=_estimate(ceiling, "per_h"),
        over_oxygen_ratio=_estimate(ratio, "ratio"),
        halving_h=_estimate(math.log(2.0) / rate, "h"),
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _fillings(question: StripQuestion, size_mm: Array, *, skin: Array, lift: Array) -> tuple[Array, float]:
    """How often each bubble could fill itself with CO2, and the water's capacity for it."""
    water = bubble_water(question.water_c)
    capacity = float(water.solubility_mol_m3_pa[CO2]) * water.thermal_j_mol
    d = 1e-3 * np.clip(size_mm, 0.1, 15.0)
    numbers = []
    for closure in (contaminated_closure(water), tap_closure(water)):
        rise, film = closure.speeds_m_s(d)[:2]
        stay = question.depth_cm / 100 / (rise + lift * slip_plume_speed_m_s(rise))
        numbers.append(bubble_exchange_number(d, stay, transfer_m_s=film, capacity_ratio=capacity))
    return numbers[0] + skin * (numbers[1] - numbers[0]), capacity


def _estimate(values: Array, unit: str) -> Estimate:
    middle, (low, high) = float(values[0]), limits(values[1:])
    return Estimate(middle, unit, min(low, middle), max(high, middle))


def _say(question: StripQuestion, found: tuple[float, float, float], notes: Notes) -> None:
    """Assumptions and findings."""
    rate, ceiling, ratio = found
    notes.took("State of the bubbles' skin", "contaminated to tap alike", "skin-by-size")
    notes.took("Water lifted by the bubbles", "nil to 0.43 of their own rise speed", "mingotti-woods-2023")
    if question.water_c == 25.0:
        notes.took("Water temperature", show(25.0, "c"))
    if question.flow_error_frac == 0.2:
        notes.took("90 % error of the air flow", "20 %")
    if question.diameter_error_frac == 0.3:
        notes.took("90 % error of the bubble size", "30 %")
    text = (
        "This is the bubbles' own share. The surface they turn over strips too, often more than the bubbles; "
        "judge the whole by a gas-off night with the air on."
    )
    notes.found(Level.NOTE, text, "kla", "bubble-stripping")
    text = (
        f"For the same film the bubbles move oxygen about {number_text(1.0 / ratio, 2)} times as fast, "
        "because they fill with CO2 on the way. Oxygen ratings of air stones do not carry over to CO2."
    )
    notes.found(Level.NOTE, text, "oxygen", "bubble-stripping")
    if rate > 0.85 * ceiling:
        text = (
            "The bubbles leave nearly full of CO2. Finer bubbles or a deeper stone strip no more; only more "
            "air does."
        )
        notes.found(Level.NOTE, text, "air flow", "bubble-stripping")
    if rate > 0.3:
        text = (
            f"By this path alone half of the CO2 is gone in {number_text(math.log(2.0) / rate, 2)} h. With "
            "the gas on, an air stone this strong works against the feed; at night it keeps CO2 down and "
            "oxygen up."
        )
        notes.found(Level.CARE, text, "kla", "bubble-stripping")
