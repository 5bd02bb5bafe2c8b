"""A dial-in's limits, words and edges on small logs; how well it knows tanks is for the calibration tests."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.dial import dial
from fizzwright.stages.dial_past import Doing, GasClock, Told, past_of

JOB = read_job(example_text("library-foyer-120.toml"), name="library-foyer-120.toml")
TIMER = GasClock(600.0, 1080.0, 1000.0)


def told(hours, doings=(), start_min=0.0, **columns):
    return Told(np.asarray(hours, dtype=float), {k: np.asarray(v, float) for k, v in columns.items()},
                tuple(doings), start_min, "2025-03-03")  # fmt: skip


def test_gas_follows_the_timer_where_nothing_is_noted():
    past = past_of(JOB, told([0, 48], ph=[7, 7]), TIMER, bubble_mg=0.25, line_gas_mg=0.0)
    # Open from 10:00 to 18:00 on both days.
    assert [(s.start_h, s.end_h) for s in past.spells] == [(10.0, 18.0), (34.0, 42.0)]


def test_gas_follows_the_notes_where_there_are_some():
    notes = [Doing(11.0, "gas on"), Doing(15.0, "gas off")]
    past = past_of(JOB, told([0, 24], notes, ph=[7, 7]), TIMER, bubble_mg=0.25, line_gas_mg=0.0)
    assert [(s.start_h, s.end_h) for s in past.spells] == [(11.0, 15.0)]


def test_feed_follows_the_counts():
    counts = [np.nan, 1.0, 1.0, 2.0]
    past = past_of(
        JOB, told([0, 11, 12, 13], bubbles_per_s=counts, ph=[7] * 4), TIMER, bubble_mg=0.25, line_gas_mg=0.0
    )
    # 1 bubble/s of 0.25 mg is 900 mg/h, two are 1800.
    assert [(s.start_h, s.end_h, s.feed_mg_h) for s in past.spells] == [(10.0, 13.0, 900.0)]
    later = told([0, 11, 12, 20], bubbles_per_s=[np.nan, 1.0, 2.0, 2.0], ph=[7] * 4)
    past = past_of(JOB, later, TIMER, bubble_mg=0.25, line_gas_mg=0.0)
    assert [(s.start_h, s.end_h, s.feed_mg_h) for s in past.spells] == [
        (10.0, 12.0, 900.0), (12.0, 18.0, 1800.0),
    ]  # fmt: skip


def day_of_ph(level: float):
    hours = np.arange(0.0, 30.0, 0.25)
    clock = (hours + 9.0) % 24.0
    swing = np.where((clock > 10) & (clock < 19), -0.6, 0.0)
    smooth = np.convolve(np.pad(swing, 8, mode="edge"), np.ones(17) / 17, mode="valid")
    return told(hours, start_min=540.0, ph=level + smooth)


def test_too_much_gas_is_lowered_and_said():
    # KH 4.5 at pH 6.2 is about 80 mg/L by any table: over every ceiling.
    answer = dial(JOB, day_of_ph(6.8), draws_count=200)
    assert answer.step.kind.startswith("lower")
    assert answer.step.change_frac < -0.1
    assert not answer.done


def test_the_step_up_is_bounded():
    answer = dial(JOB, day_of_ph(7.8), draws_count=200)
    assert answer.step.kind == "raise at gas on"
    assert answer.step.p_over_frac <= 0.01
    assert "Raise nothing after" in answer.next_step


def test_the_same_readings_give_the_same_answer():
    first, second = (dial(JOB, day_of_ph(7.3), draws_count=100) for _ in range(2))
    assert first.co2_now_mg_l == second.co2_now_mg_l
    assert first.next_step == second.next_step


def test_no_reading_of_the_water_is_refused():
    with pytest.raises(InputError):
        dial(JOB, told([0, 1], bubbles_per_s=[1, 1]))


def test_a_single_reading_is_enough_to_start():
    answer = dial(JOB, told([0.0], start_min=900.0, ph=[6.9]), draws_count=100)
    assert answer.co2_now_mg_l.low < answer.co2_now_mg_l.value < answer.co2_now_mg_l.high
    assert all(row.left_frac > 0.5 for row in answer.learnt if row.name == "surface loss")
