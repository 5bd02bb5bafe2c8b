"""The bottle: knee, vapour-only mass, contents from a gauge, weighing."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.gasline import bottle, contents, hot
from fizzwright.engines.gasline.contents import GaugeShows
from fizzwright.errors import NoAnswer


def test_slope_of_the_saturation_line_at_20_degrees():
    # derived: 1.3446 bar/K from the Span & Wagner equation of state, independent implementation
    slope = (bottle.saturation_bara(20.5) - bottle.saturation_bara(19.5)) / 1.0
    assert slope == pytest.approx(1.3446, rel=0.01)


def test_over_the_critical_point_everything_stays_critical():
    # memory: critical point of CO2 after Span & Wagner, 30.978 degC, 73.773 bar, 467.6 kg/m3
    for temperature_c in (30.98, 35.0, 60.0):
        assert bottle.saturation_bara(temperature_c) == pytest.approx(73.773, rel=1e-4)
        assert bottle.liquid_density_kg_m3(temperature_c) == pytest.approx(467.6, rel=0.02)
        assert bottle.vapour_density_kg_m3(temperature_c) == pytest.approx(467.6, rel=0.02)


def test_the_ideal_gas_understates_a_falling_bottle():
    # derived: ideal gas is 37 % low at 50 bar g and 20 degC (independent implementation)
    real = bottle.vapour_only_g(50.0, 20.0, water_capacity_l=1.0)
    ideal = 51.01325e5 * 0.0440095 / (8.314462618 * 293.15)
    assert 1 - ideal / real == pytest.approx(0.37, abs=0.01)


def test_vapour_mass_ends_at_the_knee():
    warm = np.array([10.0, 20.0, 25.0])
    knee = bottle.knee_g(warm, water_capacity_l=2.0)
    full = bottle.vapour_only_g(bottle.knee_barg(warm), warm, water_capacity_l=2.0)
    # two virial coefficients are up to 2 % out at saturation
    np.testing.assert_allclose(full, knee, rtol=0.03)


def test_a_fresh_european_filling_loses_five_per_cent_to_the_plateau():
    # derived: 5.3 % at 25 degC from 0.75 kg/L, 1 - 710.5/750
    assert 1 - bottle.liquid_density_kg_m3(25.0) / 750.0 == pytest.approx(0.053, abs=0.001)


@pytest.mark.parametrize(
    ("fill_kg_l", "relief_barg", "expected_c"),
    [(0.75, 190.0, 54.0), (0.80, 190.0, 45.5), (0.85, 190.0, 36.5), (0.68, 171.0, 59.0), (0.85, 171.0, 33.0)],
)
def test_relief_disc_temperatures(fill_kg_l, relief_barg, expected_c):
    # derived: isochores of the Span & Wagner equation of state, independent implementation, given to 0.5 K
    assert hot.relief_c(fill_kg_l, relief_barg) == pytest.approx(expected_c, abs=0.6)


def test_little_gas_never_reaches_the_disc():
    with pytest.raises(NoAnswer, match="stays under"):
        hot.relief_c(0.1, 190.0)


def test_gauge_on_the_plateau_says_liquid_and_no_more():
    found = contents.contents_from_gauge(56.0, 20.0, charge_g=2000.0, water_capacity_l=2.67, error_barg=0.5)
    assert found.shows is GaugeShows.LIQUID
    assert found.high_g == 2000.0
    # 2.67 L x 194.2 g/L = 518.5 g at the knee; 55.5 bar g could be vapour alone, a little less
    assert 480.0 < found.low_g <= 518.6
    assert found.mid_g == pytest.approx((518.5 + 2000.0) / 2, abs=1.0)


def test_gauge_below_the_plateau_says_how_much():
    found = contents.contents_from_gauge(
        40.0, 20.0, charge_g=2000.0, water_capacity_l=2.6667, error_barg=6.25
    )
    assert found.shows is GaugeShows.VAPOUR
    # derived: 101.16 g/L at 40 bar g, 20 degC; class 2.5 on 250 bar gives 3 to 5 % of charge
    assert found.mid_g == pytest.approx(2.6667 * 101.16, rel=0.003)
    assert 0.02 < (found.high_g - found.mid_g) / 2000.0 < 0.06


def test_gauge_over_the_plateau_says_liquid_full():
    # derived: 0.75 kg/L at 25 degC stands at 71.7 bar abs
    found = contents.contents_from_gauge(
        71.7 - 1.01325, 25.0, charge_g=2000.0, water_capacity_l=2.6667, error_barg=1.0
    )
    assert found.shows is GaugeShows.ONE_PHASE
    assert found.mid_g == pytest.approx(2000.0, rel=0.003)


def test_gauge_in_a_hot_place_has_no_knee():
    found = contents.contents_from_gauge(10.0, 35.0, charge_g=2000.0, water_capacity_l=2.7, error_barg=1.0)
    assert found.shows is GaugeShows.ONE_PHASE
    assert found.low_g < found.mid_g < found.high_g < 100.0


def test_usable_gas_leaves_ten_bar_behind():
    # derived: 21.163 g/L stay at 10 bar g and 20 degC
    assert contents.usable_g(2000.0, 20.0, water_capacity_l=2.6667) == pytest.approx(
        2000.0 - 2.6667 * 21.163, rel=1e-3
    )
    assert contents.usable_g(20.0, 20.0, water_capacity_l=2.6667) == 0.0


def test_more_weighings_beat_two():
    # least squares, n = 8: sqrt(12 * 7 / 72) = 1.080 against sqrt(2) = 1.414
    two = contents.rate_sd_g_day(5.0, 14.0)
    eight = contents.rate_sd_g_day(5.0, 14.0, weighings_count=8)
    assert two == pytest.approx(2**0.5 * 5.0 / 14.0)
    assert eight / two == pytest.approx(1.0801 / 1.4142, rel=1e-3)


def test_days_left_carries_every_doubt():
    days = contents.days_left(1940.0, 4.41, usable_sd_g=20.0, rate_sd_g_day=0.0, drift_frac=0.12)
    # derived: 440 days from 1.94 kg at 4.41 g a day; 1.645 x hypot(0.0103, 0.12) = 0.198
    assert days.mid_days == pytest.approx(440.0, rel=0.001)
    assert days.high_days / days.mid_days == pytest.approx(np.exp(0.198), rel=0.002)
    assert days.low_days * days.high_days == pytest.approx(days.mid_days**2)


def test_an_empty_bottle_lasts_no_days():
    assert contents.days_left(0.0, 4.0, usable_sd_g=5.0, rate_sd_g_day=1.0).high_days == 0.0
