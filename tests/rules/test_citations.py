"""The equations an answer lists are the equations that ran, no more and no fewer.

Each sum and stage runs under a profiler hook that notes every function carrying an equation record.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import sys
from collections.abc import Callable
from typing import Any

import pytest

import fizzwright
from fizzwright.app import App
from fizzwright.cli.bench import SUMS
from fizzwright.cli.questions import question_from, slots_of
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.result import Estimate, Trail
from fizzwright.units import suffix_of
from tests.rules.bench_runs import BENCH_RUNS

DRAWS_COUNT = 60


def _records() -> dict[Any, str]:
    """The code of every function that carries a record, with the name of its equation."""
    found = {}
    for info in pkgutil.walk_packages(fizzwright.__path__, "fizzwright."):
        if info.name.endswith("__main__"):
            continue
        for thing in vars(importlib.import_module(info.name)).values():
            if hasattr(thing, "__equation__"):
                found[inspect.unwrap(thing).__code__] = thing.__equation__.name
    return found


RECORDS = _records()


def executed(run: Callable[[], Any]) -> tuple[Any, set[str]]:
    """What a call gave back, and the equations that ran in it."""
    seen: set[str] = set()

    def watch(frame: Any, event: str, argument: Any) -> None:  # noqa: ARG001 - the hook's own signature
        if event == "call" and frame.f_code in RECORDS:
            seen.add(RECORDS[frame.f_code])

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        answer = run()
    finally:
        sys.setprofile(before)
    return answer, seen


def assert_trail_is_true(trail: Trail, ran: set[str]) -> None:
    """Listed equals run; every source of an equation, finding or assumption is listed with it."""
    listed = {equation.name for equation in trail.equations}
    assert not ran - listed, f"ran, but not listed: {', '.join(sorted(ran - listed))}"
    assert not listed - ran, f"listed, but did not run: {', '.join(sorted(listed - ran))}"
    assert {equation.source for equation in trail.equations} <= {source.key for source in trail.sources}


def ask(command: list[str]) -> Callable[[], Any]:
    """A single sum as typed, ready to run."""
    question, function = SUMS[command[0]].loaded()
    slots = {slot.note.option: slot for slot in slots_of(question)}
    words, given = command[1:], {}
    while words:
        slot = slots[words[0]]
        given[slot.name], words = (True, words[1:]) if slot.kind is bool else (words[1], words[2:])
    asked = question_from(question, given)
    return lambda: function(asked)


def test_every_sum_is_run():
    assert {command[0] for command in BENCH_RUNS} == set(SUMS)


@pytest.mark.parametrize("command", BENCH_RUNS, ids=" ".join)
def test_single_sum(command):
    answer, ran = executed(ask(command))
    assert_trail_is_true(answer.trail, ran)
    for name, value in vars(answer).items():
        if isinstance(value, Estimate):
            assert name == "hours_above_5000ppm" or suffix_of(name) == value.unit, (
                f"{name} holds {value.unit}"
            )
            assert value.low <= value.value <= value.high


@pytest.fixture
def folder(tmp_path):
    """All files of all examples in one folder."""
    for example in EXAMPLES:
        for name in example_files(example):
            (tmp_path / name).write_text(example_text(name), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("example", EXAMPLES)
def test_survey(example, folder):
    answer, ran = executed(lambda: App().survey(folder / f"{example}.toml"))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("example", EXAMPLES)
def test_plan(example, folder):
    answer, ran = executed(lambda: App().plan(folder / f"{example}.toml", draws_count=DRAWS_COUNT))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("example", EXAMPLES)
def test_failures(example, folder):
    answer, ran = executed(lambda: App().failures(folder / f"{example}.toml", draws_count=DRAWS_COUNT))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("night", ["library-foyer-120-night.csv", "library-foyer-120-short-night.csv"])
def test_plan_from_a_night(night, folder):
    job = folder / "library-foyer-120.toml"
    answer, ran = executed(lambda: App().plan(job, night=folder / night, draws_count=DRAWS_COUNT))
    assert_trail_is_true(answer.trail, ran)
