"""`bench leak`: a leak from the fall of pressure in a shut line."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from fizzwright.engines.gasline.gas import ambient_bara, flow_ml_min_n
from fizzwright.engines.gasline.leak import (
    PASS_LIMIT_ML_MIN_N,
    corrected_end_bara,
    decay_leak_ml_min_n,
    leak_cost_g_day,
    watch_time_min,
)
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.result import Assumption, Estimate, Finding, Level, Trail, make_trail
from fizzwright.stages.bench.gas_bands import assumed
from fizzwright.units import number_text, show

__all__ = ["LeakAnswer", "LeakQuestion", "leak"]

_LOW_SIDE_BARG = 12.0


@dataclass(frozen=True, kw_only=True)
class LeakQuestion:
    """A shut low-pressure line watched for a while."""

    volume_ml: float = asked("--volume", "gas space under test", low=0.5, high=20000.0)
    drop_barg: float = asked("--drop", "fall of the gauge", low=-1.0, high=12.0)
    time_min: float = asked("--minutes", "time between the readings", low=0.5, high=20000.0)
    gauge_barg: float = asked(
        "--gauge",
        "gauge at the start",
        low=0.05,
        high=_LOW_SIDE_BARG,
        why="the bottle side is no ideal gas: watch it overnight, or use test liquid and a scale",
    )
    start_c: float = asked("--temp-start", "temperature at the start", low=-5.0, high=45.0, default=20.0)
    end_c: float | None = asked("--temp-end", "temperature at the end", low=-5.0, high=45.0, default=None)
    tube_loss_mg_h: float = asked(
        "--tube-loss", "loss through the tube wall", low=0.0, high=5000.0, default=0.0
    )
    limit_ml_min_n: float = asked("--limit", "leak allowed", low=0.001, high=5.0, default=PASS_LIMIT_ML_MIN_N)
    drop_error_barg: float = asked(
        "--drop-error", "90 % error of the fall", low=0.0005, high=1.0, default=0.03
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

    `pass_` is true only where the whole band lies at or under the limit.
    """

    leak_ml_min_n: Estimate
    pass_: bool
    limit_ml_min_n: float
    watch_min: float
    cost_g_day: Estimate
    trail: Trail


def leak(question: LeakQuestion) -> LeakAnswer:
    """The leak of a shut line from its fall in pressure, put right for temperature and tube wall.

    Parameters
    ----------
    question : LeakQuestion
        Volume, fall, time, gauge, temperatures.

    Returns
    -------
    LeakAnswer
        Leak with 90 % limits, pass or not, time a test needs, gas lost in a day.
    """
    check(question)
    if question.drop_barg > question.gauge_barg:
        allowed = f"at most the gauge at the start, {show(question.gauge_barg, 'barg')}"
        raise InputError([Fault("--drop", show(question.drop_barg, "barg"), allowed)])
    start_bara = question.gauge_barg + float(ambient_bara(question.altitude_m))
    end_c = question.start_c if question.end_c is None else question.end_c
    end_bara = float(
        corrected_end_bara(start_bara - question.drop_barg, start_c=question.start_c, end_c=end_c)
    )
    raw = _leak_ml_min_n(question, start_bara, end_bara)
    wall = float(flow_ml_min_n(question.tube_loss_mg_h))
    error = _error_ml_min_n(question, start_bara, raw)
    found = Estimate(raw - wall, "ml_min_n", raw - wall - error, raw - wall + error)
    cost_low, cost_mid, cost_high = (
        max(float(leak_cost_g_day(x)), 0.0) for x in (found.low, found.value, found.high)
    )
    watch = float(
        watch_time_min(
            question.volume_ml, question.limit_ml_min_n, resolution_barg=_doubt_barg(question, start_bara)
        )
    )
    passed = found.high <= question.limit_ml_min_n
    return LeakAnswer(
        leak_ml_min_n=found,
        pass_=passed,
        limit_ml_min_n=question.limit_ml_min_n,
        watch_min=watch,
        cost_g_day=Estimate(cost_mid, "g_day", cost_low, cost_high),
        trail=make_trail(
            [ambient_bara, corrected_end_bara, decay_leak_ml_min_n, watch_time_min],
            inputs=dataclasses.asdict(question),
            assumptions=_assumptions(question),
            findings=_findings(question, found, watch),
        ),
    )


def _leak_ml_min_n(question: LeakQuestion, start_bara: float, end_bara: float) -> float:
    return float(
        decay_leak_ml_min_n(
            question.volume_ml,
            question.time_min,
            start_bara=start_bara,
            end_bara=end_bara,
            temperature_c=question.start_c,
        )
    )


def _doubt_barg(question: LeakQuestion, start_bara: float) -> float:
    """90 % doubt of the corrected fall: the gauge's reading and the gas's temperature."""
    by_warmth = start_bara * question.temperature_error_c / (question.start_c + 273.15)
    return math.hypot(question.drop_error_barg, by_warmth)


def _error_ml_min_n(question: LeakQuestion, start_bara: float, raw: float) -> float:
    by_fall = _leak_ml_min_n(question, start_bara, start_bara - _doubt_barg(question, start_bara))
    by_wall = 0.7 * float(flow_ml_min_n(question.tube_loss_mg_h))
    return math.sqrt(by_fall**2 + (question.volume_error_frac * raw) ** 2 + by_wall**2)


def _findings(question: LeakQuestion, found: Estimate, watch_min: float) -> list[Finding]:
    said = []
    limit = question.limit_ml_min_n
    if found.low > limit:
        text = (
            f"It leaks: {number_text(found.value, 2)} mL/min against {number_text(limit, 2)} allowed. Put "
            "test liquid on every joint, the nut at the bottle first, shut the bottle before you undo "
            "anything, and test again."
        )
        said.append(Finding(Level.STOP, text, "leak"))
    elif found.high > limit:
        text = (
            "Not shown either way: the doubt of this test is larger than the limit. Watch for "
            f"{watch_min:.0f} min or more at an even temperature, or read a finer gauge."
        )
        said.append(Finding(Level.CARE, text, "minutes"))
    if found.high < 0.0:
        text = "Pressure rose by more than its error: a creeping regulator, a valve not shut, or warmth."
        said.append(Finding(Level.CARE, text, "drop"))
    if question.end_c is None:
        text = (
            f"No second temperature: one kelvin moves this line by {1000 * _per_kelvin_barg(question):.0f} "
            "mbar, as much as a small leak. Read both."
        )
        said.append(Finding(Level.NOTE, text, "temperature"))
    if question.tube_loss_mg_h == 0.0:
        text = (
            "The loss through the tube's wall is in this figure. Work it out with the tube sum and take it "
            "off; with silicone tube this test says nothing."
        )
        said.append(Finding(Level.NOTE, text, "tube"))
    text = (
        "This tests the low side only. On the bottle side gas is far from ideal and an hour proves nothing: "
        "test liquid on the nut, then weigh over a week. Any hiss: shut the bottle, open a window, leave."
    )
    said.append(Finding(Level.NOTE, text, "bottle side", "span-wagner-1996"))
    return said


def _per_kelvin_barg(question: LeakQuestion) -> float:
    return (question.gauge_barg + 1.0) / (question.start_c + 273.15)


def _assumptions(question: LeakQuestion) -> list[Assumption]:
    texts = {
        "start_c": ("temperature at the start", show(question.start_c, "c")),
        "end_c": ("temperature at the end", "as at the start"),
        "tube_loss_mg_h": ("loss through the tube wall", "not taken off"),
        "limit_ml_min_n": ("leak allowed", show(question.limit_ml_min_n, "ml_min_n")),
        "drop_error_barg": ("90 % error of the fall", show(question.drop_error_barg, "barg")),
        "temperature_error_c": (
            "90 % error of the change in temperature",
            f"{question.temperature_error_c:g} K",
        ),
        "volume_error_frac": ("90 % error of the volume", show(question.volume_error_frac, "frac")),
        "altitude_m": ("height over the sea", show(question.altitude_m, "m")),
    }
    return assumed(question, texts)
