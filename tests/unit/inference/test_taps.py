"""Bubbles counted by tapping."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.inference.taps import tap_count, tap_rate_sd_per_s


def test_an_even_rhythm():
    counted = tap_count(np.arange(0, 20) * 0.5)
    # Ten bubbles in five seconds are two a second.
    assert counted.bubbles_per_s.value == pytest.approx(2.0)
    assert counted.bubbles_count == 20


def test_missed_and_double_taps_do_not_move_the_rate():
    taps = [0, 0.5, 1.0, 2.0, 2.5, 2.55, 3.0, 3.5, 4.0]
    counted = tap_count(taps)
    assert counted.bubbles_per_s.value == pytest.approx(2.0, rel=0.01)
    assert (counted.missed_count, counted.double_count) == (1, 1)


def test_the_band_holds_the_rate_nine_times_in_ten():
    rng = np.random.default_rng(3)
    inside = 0
    for _ in range(400):
        taps = np.cumsum(np.full(12, 0.6)) + 0.05 * rng.standard_normal(12)
        rate = tap_count(taps).bubbles_per_s
        inside += rate.low <= 1 / 0.6 <= rate.high
    assert 0.85 <= inside / 400 <= 0.96


def test_slope_variance_of_a_straight_line():
    # 12 s^2/(n(n^2-1)) for n points one apart: textbook of statistics; n = 3 gives s^2/2.
    assert tap_rate_sd_per_s(1.0, 1.0, taps_count=3) == pytest.approx(0.5**0.5)


@pytest.mark.parametrize("taps", [[], [1.0], [1.0, 1.0, 1.0], [float("nan")] * 5])
def test_no_rhythm_is_refused(taps):
    with pytest.raises(InputError):
        tap_count(taps)
