"""Dial-in, watch and faults list the equations they run, no more and no fewer."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.dial import dial
from fizzwright.stages.dial_past import Told
from fizzwright.stages.faults import faults
from fizzwright.stages.watch import watch
from tests.rules.test_citations import assert_trail_is_true, executed

JOB = read_job(example_text("library-foyer-120.toml"), name="library-foyer-120.toml")


def _told(days: float, **more: float) -> Told:
    hours = np.arange(0.0, 24.0 * days, 0.5)
    ph = 6.9 + 0.25 * np.cos(2 * np.pi * (hours - 16.0) / 24.0 + np.pi)
    columns = {"ph": ph} | {name: np.full(len(hours), value) for name, value in more.items()}
    return Told(hours, columns, (), 0.0, "2025-03-03")


@pytest.mark.parametrize("more", [{}, {"checker_hue_deg": 150.0}, {"kh_dkh": 4.5}])
def test_dial(more):
    answer, ran = executed(lambda: dial(JOB, _told(1.5, **more), draws_count=100))
    assert_trail_is_true(answer.trail, ran)


@pytest.mark.parametrize("more", [{}, {"bottle_gross_g": 5200.0}, {"bottle_gauge_barg": 57.0}])
def test_watch(more):
    answer, ran = executed(lambda: watch(JOB, _told(9.0, **more)))
    assert_trail_is_true(answer.trail, ran)


def test_faults():
    answer, ran = executed(lambda: faults(JOB, ["rate-falls"]))
    assert_trail_is_true(answer.trail, ran)
