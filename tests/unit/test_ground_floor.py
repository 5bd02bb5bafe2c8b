"""Errors, results, sources and questions: what everything else stands on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from fizzwright import errors
from fizzwright.errors import Fault, FizzwrightError, InputError, UnsafePlan
from fizzwright.form import asked, asked_fields, check
from fizzwright.result import Assumption, Estimate, Finding, Level, digest, make_trail
from fizzwright.sources import all_sources, equation, equation_of


@dataclass(frozen=True)
class Question:
    """A question with a range, words, and something that may be left out."""

    water_c: float = asked("--temp", "water temperature", low=0, high=40)
    kind: str = asked("--kind", "kind", choices=("fine", "coarse"), default="fine")
    ph: float | None = asked("--ph", "pH", low=4, high=10, why="what a probe can read", default=None)


def test_every_fault_comes_at_once() -> None:
    with pytest.raises(InputError) as refused:
        check(Question(water_c=50.0, kind="odd", ph=2.0))
    assert [fault.field for fault in refused.value.faults] == ["--temp", "--kind", "--ph"]
    assert "0\u00a0°C to 40.0\u00a0°C" in str(refused.value)
    assert "what a probe can read" in str(refused.value)


def test_nothing_wrong_passes_and_not_a_number_does_not() -> None:
    check(Question(water_c=25.0))
    with pytest.raises(InputError, match="not a number"):
        check(Question(water_c=float("nan")))


def test_asked_fields_keep_their_order() -> None:
    assert list(asked_fields(Question)) == ["water_c", "kind", "ph"]


def test_exit_codes_are_those_promised() -> None:
    codes = {name: getattr(errors, name).exit_code for name in errors.__all__ if name != "Fault"}
    assert codes["InputError"] == 3
    assert {codes[name] for name in ("NoAnswer", "NotConverged", "NoPhysicalRoot", "BalanceNotClosed")} == {4}
    assert codes["UnsafePlan"] == 5
    assert {codes[name] for name in ("StoreError", "NotFound", "EditedElsewhere", "SchemaTooNew")} == {6}
    assert codes["MissingExtra"] == 7
    assert all(issubclass(getattr(errors, name), FizzwrightError) for name in codes)


def test_a_fault_reads_as_one_line() -> None:
    fault = Fault("water.kh", "48 dKH", "allowed 0.05 to 30 dKH", "Did you mean 4.8", line=12)
    assert str(fault) == "line 12, water.kh = 48 dKH: allowed 0.05 to 30 dKH. Did you mean 4.8"


def test_refused_plan_lists_every_reason() -> None:
    assert str(UnsafePlan(["one", "two"])) == "one\ntwo"


def test_estimate_needs_limits_in_order_and_numbers() -> None:
    with pytest.raises(ValueError, match="low limit"):
        Estimate(1.0, "mg_l", 2.0, 1.0)
    with pytest.raises(ValueError, match="finite"):
        Estimate(float("inf"), "mg_l", 1.0, 2.0)


def test_estimate_from_draws_takes_the_ninety_per_cent_points() -> None:
    # 0..100 evenly: 5 %, 50 % and 95 % points are 5, 50 and 95.
    found = Estimate.from_draws(np.arange(101.0), "mg_l")
    assert (found.low, found.value, found.high) == (5.0, 50.0, 95.0)


@equation("weiss-1974", where="made up for this test", valid={"water_c": (0.0, 40.0)})
def doubled_c(water_c: float) -> float:
    """Twice a temperature."""
    return 2 * water_c


def test_a_record_hangs_on_the_same_function() -> None:
    record = equation_of(doubled_c)
    assert record.says == "Twice a temperature."
    assert record.source == "weiss-1974"
    assert doubled_c(2.0) == 4.0
    with pytest.raises(TypeError):
        equation_of(test_a_record_hangs_on_the_same_function)


def test_a_trail_lists_equations_once_and_every_source_named() -> None:
    trail = make_trail(
        [doubled_c, doubled_c],
        inputs={"a": 1},
        assumptions=[Assumption("x", "1", source="animal-ceilings"), Assumption("y", "2")],
        findings=[Finding(Level.NOTE, "mind", "x", "davies-1962" if "davies-1962" in all_sources() else "")],
    )
    assert len(trail.equations) == 1
    assert {"weiss-1974", "animal-ceilings"} <= {source.key for source in trail.sources}


def test_digest_is_the_same_whatever_the_order() -> None:
    assert digest({"a": 1, "b": [2.5]}) == digest({"b": [2.5], "a": 1})
    assert digest({"a": 1}) != digest({"a": 2})
