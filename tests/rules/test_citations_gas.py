"""The equations of parts list, job card and comparison of sources are the ones that ran."""

from __future__ import annotations

import pytest

from fizzwright.app import App
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.part_words import Country
from fizzwright.stages.fit_leak import FORM_COLUMNS
from fizzwright.stages.parts_prices import blank_prices
from tests.rules.test_citations import assert_trail_is_true, executed

FORM = "\n".join(
    [
        ",".join(FORM_COLUMNS),
        "low side,2026-03-01T10:00,2026-03-01T14:00,2.5,2.4,21,20,,,",
        "high side,2026-03-01T20:00,2026-03-02T10:00,55,54.5,21,20,,,",
        "weighing,2026-03-01T20:00,2026-03-08T20:00,,,,,6000,5999,",
        "regulator,2026-03-01T20:00,2026-03-01T21:00,2.6,2.6,,,,,",
    ]
)


@pytest.fixture
def folder(tmp_path):
    """All files of all examples in one folder, with prices and a filled-in form."""
    for example in EXAMPLES:
        for name in example_files(example):
            (tmp_path / name).write_text(example_text(name), encoding="utf-8")
    (tmp_path / "prices.toml").write_text(blank_prices(), encoding="utf-8")
    (tmp_path / "leak.csv").write_text(FORM, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("example", EXAMPLES)
def test_parts(example, folder):
    job = folder / f"{example}.toml"
    answer, ran = executed(lambda: App().parts(job, country=Country.GERMANY, prices=folder / "prices.toml"))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("example", ["library-foyer-120", "kitchen-nano"])
def test_source(example, folder):
    answer, ran = executed(lambda: App().source(folder / f"{example}.toml", prices=folder / "prices.toml"))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("example", ["library-foyer-120", "school-rack"])
def test_fit(example, folder):
    answer, ran = executed(lambda: App().fit(folder / f"{example}.toml"))
    assert_trail_is_true(answer.trail, ran)


def test_fit_with_its_form(folder):
    job = folder / "library-foyer-120.toml"
    answer, ran = executed(lambda: App().fit(job, readings=folder / "leak.csv"))
    assert len(answer.tests) == 4
    assert_trail_is_true(answer.trail, ran)
