"""`bench leak`: a leak from the fall of pressure in a shut line."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.engines.gasline.bottle import (
    saturation_bara,
    vapour_density_kg_m3,
    vapour_only_density_kg_m3,
    virial_pressure_bara,
)
from fizzwright.engines.gasline.gas import ambient_bara, flow_ml_min_n
from fizzwright.engines.gasline.leak import (
    PASS_LIMIT_ML_MIN_N,
    corrected_end_bara,
    decay_leak_ml_min_n,
    high_side_leak_ml_min_n,
    high_side_still_bara,
    leak_cost_g_day,
    watch_time_min,
)
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Estimate, Trail, make_trail
from fizzwright.stages.bench.gas_leak_words import (
    LeakVerdict,
    Side,
    assumptions_of,
    findings_of,
    verdict_of,
)
from fizzwright.units import show

__all__ = ["LeakAnswer", "LeakQuestion", "LeakVerdict", "Side", "leak"]

_LOW_SIDE_BARG = 12.0
_PLATEAU_BARG = 1.0


@dataclass(frozen=True, kw_only=True)
class LeakQuestion:
    """A shut line watched for a while, on the low side or between bottle valve and regulator."""

    volume_ml: float = asked("--volume", "gas space under test", low=0.5, high=20000.0)
    drop_barg: float = asked("--drop", "fall of the gauge", low=-5.0, high=60.0)
    time_min: float = asked("--minutes", "time between the readings", low=0.5, high=20000.0)
    gauge_barg: float = asked("--gauge", "gauge at the start", low=0.05, high=70.0)
    side: Side = asked(
        "--side", "low side, or high: bottle valve shut, up to the regulator", default=Side.LOW
    )
    start_c: float = asked("--temp-start", "temperature at the start", low=0.0, high=40.0, default=20.0)
    end_c: float | None = asked("--temp-end", "temperature at the end", low=0.0, high=40.0, default=None)
    tube_loss_mg_h: float = asked(
        "--tube-loss", "loss through the tube wall", low=0.0, high=5000.0, default=0.0
    )
    limit_ml_min_n: float = asked("--limit", "leak allowed", low=0.001, high=5.0, default=PASS_LIMIT_ML_MIN_N)
    drop_error_barg: float = asked(
        "--drop-error", "90 % error of the fall", low=0.0005, high=10.0, default=0.03
    )
    temperature_error_c: float = asked(
        "--temp-error", "90 % error of the change in temperature", low=0.0, high=5.0, default=0.5
    )
    volume_error_frac: float = asked(
        "--volume-error", "90 % error of the volume", low=0.0, high=0.5, default=0.1
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=4500.0, default=100.0)


@dataclass(frozen=True)
class LeakAnswer:
    """The leak at 20 °C and 1 atm, whether the test passes, and how long a test has to be.

    `pass_` is true only where the whole band lies at or under the limit; `verdict` also says when the test
    was too short to tell.
    """

    leak_ml_min_n: Estimate
    pass_: bool
    verdict: LeakVerdict
    limit_ml_min_n: float
    watch_min: float
    cost_g_day: Estimate
    cost_year_g: Estimate
    trail: Trail


@dataclass(frozen=True)
class _Measured:
    """The leak before the wall's share is taken off, its doubt, and what it took to find it."""

    raw_ml_min_n: float
    error_ml_min_n: float
    watch_min: float
    per_kelvin_barg: float
    ran: tuple[Callable[..., Any], ...]


def leak(question: LeakQuestion) -> LeakAnswer:
    """The leak of a shut line from its fall in pressure, put right for temperature and tube wall.

    Parameters
    ----------
    question : LeakQuestion
        Volume, fall, time, gauge, temperatures, side.

    Returns
    -------
    LeakAnswer
        Leak with 90 % limits, pass or fail or wait longer, time a test needs, gas lost in a day and a year.
    """
    check(question)
    _refuse(question)
    start_bara = question.gauge_barg + float(ambient_bara(question.altitude_m))
    found = _high(question, start_bara) if question.side is Side.HIGH else _low(question, start_bara)
    wall = float(flow_ml_min_n(question.tube_loss_mg_h))
    error = math.hypot(found.error_ml_min_n, 0.7 * wall)
    middle = found.raw_ml_min_n - wall
    told = Estimate(middle, "ml_min_n", middle - error, middle + error)
    day = [max(float(leak_cost_g_day(x)), 0.0) for x in (told.low, told.value, told.high)]
    verdict = verdict_of(told, question.limit_ml_min_n)
    return LeakAnswer(
        leak_ml_min_n=told,
        pass_=verdict is LeakVerdict.PASSES,
        verdict=verdict,
        limit_ml_min_n=question.limit_ml_min_n,
        watch_min=found.watch_min,
        cost_g_day=Estimate(day[1], "g_day", day[0], day[2]),
        cost_year_g=Estimate(365 * day[1], "g", 365 * day[0], 365 * day[2]),
        trail=make_trail(
            found.ran,
            inputs=dataclasses.asdict(question),
            assumptions=assumptions_of(question),
            findings=findings_of(
                question, told, watch_min=found.watch_min, per_kelvin_barg=found.per_kelvin_barg
            ),
        ),
    )


def _refuse(question: LeakQuestion) -> None:
    """Refuse readings that cannot be of the side they are said to be; every fault at once."""
    faults = []
    if question.drop_barg > question.gauge_barg:
        allowed = f"at most the gauge at the start, {show(question.gauge_barg, 'barg')}"
        faults.append(Fault("--drop", show(question.drop_barg, "barg"), allowed))
    if question.side is Side.LOW and question.gauge_barg > _LOW_SIDE_BARG:
        step = "For the bottle side say --side high"
        faults.append(
            Fault(
                "--gauge",
                show(question.gauge_barg, "barg"),
                f"the low side ends at {_LOW_SIDE_BARG:g} bar",
                step,
            )
        )
    if question.side is Side.HIGH:
        full = float(saturation_bara(min(question.start_c, 30.9))) - 1.0
        if question.gauge_barg > full + _PLATEAU_BARG:
            allowed = f"at most {show(full, 'barg')} at this temperature: over it the space would hold liquid"
            faults.append(Fault("--gauge", show(question.gauge_barg, "barg"), allowed))
        if question.tube_loss_mg_h > 0.0:
            faults.append(Fault("--tube-loss", "", "there is no tube on the bottle side"))
    if faults:
        raise InputError(faults)


def _end_c(question: LeakQuestion) -> float:
    return question.start_c if question.end_c is None else question.end_c


def _low(question: LeakQuestion, start_bara: float) -> _Measured:
    """The low side, where CO2 is near enough an ideal gas."""

    def leak_ml_min_n(end_bara: float) -> float:
        return float(
            decay_leak_ml_min_n(
                question.volume_ml,
                question.time_min,
                start_bara=start_bara,
                end_bara=end_bara,
                temperature_c=question.start_c,
            )
        )

    end_bara = float(
        corrected_end_bara(start_bara - question.drop_barg, start_c=question.start_c, end_c=_end_c(question))
    )
    raw = leak_ml_min_n(end_bara)
    per_kelvin = start_bara / (question.start_c + 273.15)
    doubt = math.hypot(question.drop_error_barg, per_kelvin * question.temperature_error_c)
    error = math.hypot(leak_ml_min_n(start_bara - doubt), question.volume_error_frac * raw)
    watch = float(watch_time_min(question.volume_ml, question.limit_ml_min_n, resolution_barg=doubt))
    ran = (ambient_bara, corrected_end_bara, decay_leak_ml_min_n, watch_time_min)
    return _Measured(raw, error, watch, per_kelvin, ran)


def _high(question: LeakQuestion, start_bara: float) -> _Measured:
    """The bottle side, where the gauge falls several times slower than an ideal gas would."""
    still = float(high_side_still_bara(start_bara, start_c=question.start_c, end_c=_end_c(question)))
    fell = still - (start_bara - question.drop_barg)
    warmer = float(high_side_still_bara(start_bara, start_c=question.start_c, end_c=question.start_c + 1.0))
    per_kelvin = warmer - start_bara

    def leak_ml_min_n(fall_barg: float) -> float:
        return float(
            high_side_leak_ml_min_n(
                question.volume_ml,
                fall_barg * 60.0 / question.time_min,
                pressure_bara=start_bara,
                temperature_c=question.start_c,
            )
        )

    raw = leak_ml_min_n(fell)
    doubt = math.hypot(question.drop_error_barg, per_kelvin * question.temperature_error_c)
    # The two-coefficient gas is good to a tenth below 50 bar and a fifth near saturation.
    error = math.hypot(leak_ml_min_n(doubt), math.hypot(question.volume_error_frac, 0.2) * raw)
    watch = 2.0 * question.time_min * leak_ml_min_n(doubt) / question.limit_ml_min_n
    ran = (
        ambient_bara,
        saturation_bara,
        vapour_density_kg_m3,
        virial_pressure_bara,
        vapour_only_density_kg_m3,
        high_side_still_bara,
        high_side_leak_ml_min_n,
    )
    return _Measured(raw, error, watch, per_kelvin, ran)
