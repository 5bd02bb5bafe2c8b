"""Water that warms, and instruments that run behind."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.day.clock import Clock, forcing
from fizzwright.engines.day.instruments import checker_co2_mg_l, checker_lag_h, probe_ph
from fizzwright.engines.day.integrate import State, day_from
from fizzwright.engines.day.warmth import warming_h, warmth_of, water_course_c
from tests.unit.engines.day.test_spells import BARE

CLOCK = Clock(600, 1080, 360, 1020)


def test_water_follows_a_step_by_an_exponential() -> None:
    # From 25 towards 31 with 10 h: after 10 h 25 + 6 (1 - 1/e) = 28.79; then back from there towards 25.
    at = np.array([0.0, 600.0, 1200.0])
    seen = water_course_c(at, 25.0, settles_c=[(0.0, 31.0), (600.0, 25.0)], warming_h=10.0)
    top = 25 + 6 * (1 - np.exp(-1))
    assert seen == pytest.approx([25.0, top, 25 + (top - 25) * np.exp(-1)])


def test_a_larger_tank_is_slower() -> None:
    # Twice the edge: eight times the water behind four times the wall.
    assert warming_h(800.0, 4.8) == pytest.approx(2 * warming_h(100.0, 1.2))


def test_the_usual_temperature_changes_nothing() -> None:
    course = forcing([CLOCK], 30.0)
    warmth = warmth_of(course, lambda at: np.full_like(at, 25.0), usual_c=25.0)
    tank = replace(BARE, feed_mg_h=300.0, breathing_mg_h=20.0, breathing_o2_mg_h=15.0)
    start = State(np.array([5.0]), np.array([7.0]), np.array([1.0]))
    plain, warmed = day_from(start, tank, course), day_from(start, tank, replace(course, warmth=warmth))
    assert warmed.co2_mg_l == pytest.approx(plain.co2_mg_l, rel=1e-12)
    assert warmed.sums.surface_mg == pytest.approx(plain.sums.surface_mg, rel=1e-9)


def test_warm_water_settles_at_the_warm_saturation() -> None:
    # Oxygen saturation 8.26 at 25 and 7.56 mg/L at 30 degC (Benson & Krause 1984 tables, memory).
    course = forcing([CLOCK], 30.0, span_min=(0.0, 7200.0))
    warmth = warmth_of(course, lambda at: np.full_like(at, 30.0), usual_c=25.0)
    start = State(np.array([0.6]), np.array([8.26]), np.array([1.0]))
    run = day_from(start, replace(BARE, o2_saturation_mg_l=8.26), replace(course, warmth=warmth))
    assert run.o2_mg_l[-1, 0] == pytest.approx(7.56, abs=0.01)


# derived (independent implementation of diffusion through film, air and liquid): films of 0.5 to 1 mm.
@pytest.mark.parametrize(
    ("liquid_mm", "low_h", "high_h"), [(3.0, 0.8, 1.0), (5.0, 1.8, 2.2), (7.0, 3.4, 3.9), (10.0, 6.6, 7.3)]
)
def test_checker_lag(liquid_mm: float, low_h: float, high_h: float) -> None:
    assert low_h * 0.93 < checker_lag_h(liquid_mm, 0.5) < checker_lag_h(liquid_mm, 1.0) < high_h * 1.07


def test_a_centimetre_of_air_hardly_counts() -> None:
    assert checker_lag_h(5.0, air_mm=20.0) == pytest.approx(checker_lag_h(5.0, air_mm=5.0), rel=2e-3)


def test_lag_of_a_step_and_of_a_ramp() -> None:
    nodes = np.arange(0.0, 1441.0, 10.0)
    step = np.where(nodes > 0, 1.0, 0.0)
    shown = checker_co2_mg_l(nodes, step, lag_h=2.0)
    # After the first ten minutes' rise a plain exponential: two time constants on, e^-2 is left.
    left = 1 - shown[1]
    assert 1 - shown[25] == pytest.approx(left * np.exp(-2.0), rel=1e-9)
    ramp = checker_co2_mg_l(nodes, nodes / 60.0, lag_h=2.0)
    # A ramp is followed two hours behind in the end.
    assert ramp[-1] == pytest.approx(24.0 - 2.0, abs=1e-4)


def test_a_repeating_course_is_shown_repeating() -> None:
    nodes = np.linspace(0.0, 1440.0, 97)
    true = 20.0 + 5.0 * np.sin(2 * np.pi * nodes / 1440.0)
    shown = checker_co2_mg_l(nodes, true, lag_h=3.0, repeats=True)
    assert shown[0] == pytest.approx(shown[-1], abs=1e-9)
    # First-order answer to a sine: amplitude over sqrt(1 + (w tau)^2), w = 2 pi / 24 h.
    assert np.ptp(shown) / 2 == pytest.approx(5.0 / np.sqrt(1 + (2 * np.pi / 24 * 3.0) ** 2), rel=2e-3)


def test_a_probe_is_off_by_its_offset() -> None:
    nodes = np.arange(0.0, 601.0, 10.0)
    shown = probe_ph(nodes, np.full_like(nodes, 6.6), offset_ph=0.2)
    assert shown == pytest.approx(6.8)
