"""What must hold for any night fitted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.inference.night import NightWater, fit_night
from fizzwright.inference.night_grid import NightPrior, night_curve_mg_l

WATER = NightWater(1.4266, 25.0, 0.005, 0.15)
PRIOR = NightPrior(0.15, 0.5, 0.2, 0.6, 0.8, 0.3)
HOURS = np.arange(0.0, 9.01, 0.25)


def _ph(loss_per_h: float, start_mg_l: float) -> np.ndarray:
    settles = 0.8 + 0.2 / loss_per_h
    return 8.131 - np.log10(night_curve_mg_l(HOURS, start_mg_l, loss_per_h=loss_per_h, settles_mg_l=settles))


@settings(max_examples=15, deadline=None)
@given(st.floats(0.07, 0.5), st.floats(15, 35))
def test_limits_are_in_order_and_hold_a_clean_truth(loss_per_h: float, start_mg_l: float) -> None:
    fit = fit_night(HOURS, _ph(loss_per_h, start_mg_l), water=WATER, prior=PRIOR)
    assert fit.loss_per_h.low < fit.loss_per_h.value < fit.loss_per_h.high
    assert fit.loss_per_h.low <= loss_per_h <= fit.loss_per_h.high
    assert fit.breathing_mg_l_h.low < fit.breathing_mg_l_h.high
    assert fit.set_aside_count == 0


@settings(max_examples=10, deadline=None)
@given(st.floats(-0.1, 0.1))
def test_a_probe_that_reads_high_moves_the_level_more_than_the_loss(offset_ph: float) -> None:
    """A steady offset scales all CO2 alike; only the resting level, tied to air and breathing, feels it."""
    true = fit_night(HOURS, _ph(0.2, 30.0), water=WATER, prior=PRIOR)
    off = fit_night(HOURS, _ph(0.2, 30.0) + offset_ph, water=WATER, prior=PRIOR)
    assert off.start_mg_l == pytest.approx(true.start_mg_l * 10**-offset_ph, rel=0.02)
    assert off.loss_per_h.value == pytest.approx(true.loss_per_h.value, rel=0.04)


@settings(max_examples=10, deadline=None)
@given(st.integers(12, 37))
def test_a_longer_night_never_tells_much_less(count: int) -> None:
    ph = _ph(0.2, 30.0)
    part = fit_night(HOURS[:count], ph[:count], water=WATER, prior=PRIOR)
    whole = fit_night(HOURS, ph, water=WATER, prior=PRIOR)
    assert whole.loss_log_sd_number <= 1.05 * part.loss_log_sd_number
