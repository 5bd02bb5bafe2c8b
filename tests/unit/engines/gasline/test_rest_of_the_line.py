"""Lock-up, creep, solenoid, check valve, cooling, the end of a bottle, other sources."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.gasline import (
    check_valve,
    cooling,
    ending,
    leak,
    needle_fit,
    other_sources,
    regulator,
    regulator_rest,
    solenoid,
)


@pytest.mark.parametrize(
    ("watch", "verdict"),
    [
        ((2.0, 2.2, 2.22, 45.0), regulator_rest.RestVerdict.HOLDS),
        # ISO 2503 (memory): R = (p4 - p2)/p2 under 0.3
        ((2.0, 2.7, 2.72, 45.0), regulator_rest.RestVerdict.LOCKS_HIGH),
        # practice: over 0.1 bar/h after settling is a service
        ((2.0, 2.2, 2.3, 45.0), regulator_rest.RestVerdict.CREEPS),
    ],
)
def test_a_regulator_watched_at_rest(watch, verdict):
    assert regulator_rest.judge_rest(regulator_rest.RestWatch(*watch)) is verdict


def test_working_pressure_is_twice_what_stands_behind():
    assert regulator_rest.working_pressure_barg(1.0) + 1.01325 == pytest.approx(2 * 2.01325)


def test_every_way_a_solenoid_fails_has_a_guard():
    assert {row.state for row in solenoid.FAILURES} == set(solenoid.SolenoidState)
    assert all(row.guard and row.check for row in solenoid.FAILURES)
    assert [row.state for row in solenoid.FAILURES if not row.gas_flows] == [
        solenoid.SolenoidState.NO_POWER,
        solenoid.SolenoidState.COIL_GONE,
    ]


def test_suction_and_head_add_at_the_check_valve():
    # derived: half a metre 0.049 bar; soft PVC at 0.39 bar abs pulls with 0.62 bar more
    assert check_valve.pull_barg(0.5, 0.39) == pytest.approx(0.0489 + 1.01325 - 0.39, abs=1e-3)
    assert check_valve.pull_barg(-1.0, 1.01325) == 0.0
    assert check_valve.in_series_barg(0.03, 2) == pytest.approx(0.06)


def test_steady_draw_of_three_bottles():
    # derived: 10 K colder than the room, 7 W/m2/K: 0.12, 0.28, 0.75 kg/h
    found = cooling.steady_draw_g(np.array([0.07, 0.17, 0.45]), drop_k=10.0, heat_j_kg=152_000.0)
    assert found == pytest.approx([120.0, 280.0, 750.0], rel=0.05)


def test_the_regulator_has_to_warm_the_gas():
    # derived: 0.014 W at 5 mL/min, 26 W at 1 kg/h
    heat = cooling.rewarming_j_kg(20.0, outlet_bara=2.0)
    assert cooling.heat_drawn_w(551.8, heat) == pytest.approx(0.0142, rel=0.02)
    assert cooling.heat_drawn_w(1e6, heat) == pytest.approx(25.8, rel=0.02)


def end_of(effect, friction, set_barg=2.0, back_barg=1.0):
    law = needle_fit.needle_law_from_one_point(
        needle_fit.NeedlePoint(set_barg + 1.01325, back_barg + 1.01325, 500.0), friction
    )
    return ending.last_of_the_bottle(ending.EndingSetup(2.94, 20.0, set_barg, back_barg, effect, law))


def test_the_last_quarter_drifts_by_the_multipliers():
    # derived: gauge 56.3 to 10 bar g at 1 %: outlet +0.46 bar; the fine-gap law then gives the end's factor
    found = end_of(0.01, 1.0)
    assert found.gauge_barg[-1] == pytest.approx(10.0, abs=0.02)
    rise = found.outlet_barg[-1, 0] - 2.0
    assert rise == pytest.approx(0.463, abs=0.005)
    assert found.flow_factor[-1, 0] == pytest.approx(
        regulator.laminar_multiplier_factor(3.01325, 3.01325 + rise, back_bara=2.01325)
    )
    assert np.all(np.diff(found.flow_factor[:, 0]) > 0)
    # derived: 28.6 % of 2 kg at the knee, 3.1 % at 10 bar g
    assert found.left_g[[0, -1]] / 2000.0 == pytest.approx([0.2856, 0.0311], abs=0.001)


def test_two_stages_hold_to_the_end():
    assert end_of(0.0001, 1.0).flow_factor.max() < 1.01


def test_a_set_pressure_just_over_the_opening_drifts_most():
    assert end_of(0.02, 1.0, 2.0, 1.5).flow_factor[-1, 0] > end_of(0.02, 1.0, 3.0, 1.5).flow_factor[-1, 0]


def test_a_bottle_with_no_knee_still_answers():
    law = needle_fit.needle_law_from_one_point(needle_fit.NeedlePoint(3.0, 2.0, 500.0), 0.5)
    hot = ending.last_of_the_bottle(ending.EndingSetup(2.94, 38.0, 2.0, 1.0, 0.01, law))
    assert np.all(np.isfinite(hot.flow_factor))


def test_weighing_sees_what_an_hour_of_gauge_does_not():
    # derived: 1 g in 7 days is 52 g a year; in one night 730 g a year
    assert 365 * leak.weighed_leak_g_day(5000.0, 4999.0, time_days=7.0) == pytest.approx(52.1, abs=0.1)
    assert 365 * leak.weighed_leak_g_day(5000.0, 4999.0, time_days=0.5) == pytest.approx(730.0)


def test_yeast_gives_its_total_and_its_peak():
    # Zwietering et al. 1990 (memory): the steepest slope is the rate parameter, the lag its tangent's foot
    days = np.linspace(0.0, 40.0, 4001)
    given = other_sources.fermented_by_g(days, 92.0, peak_g_day=11.2, lag_days=0.75)
    rates = other_sources.fermenting_g_day(days, 92.0, peak_g_day=11.2, lag_days=0.75)
    assert given[-1] == pytest.approx(92.0, rel=1e-3)
    assert rates.max() == pytest.approx(11.2, rel=1e-3)
    assert np.gradient(given, days)[5:-5] == pytest.approx(rates[5:-5], rel=1e-3, abs=1e-3)
    at = days[np.argmax(rates)]
    assert at - given[np.argmax(rates)] / 11.2 == pytest.approx(0.75, abs=0.02)
    # practice: peak on day 1 to 4, 90 % by day 10 to 20
    assert 1.0 < at < 4.0
    assert 10.0 < days[np.searchsorted(given, 0.9 * 92.0)] < 20.0


def test_liquid_carbon_is_about_two_per_cent_of_gas():
    # derived: 1.5 % product, 1 mL for 40 L: 0.82 mg/L a day against 44.1 mg/L from 5 mL/min over 8 h in 100 L
    share = other_sources.glutaraldehyde_co2_mg_l(0.375) / 44.1
    assert share == pytest.approx(0.0187, abs=0.0005)
    # practice: under 2 %
    assert share < 0.02


def test_mixed_powders_give_three_tenths():
    # derived: 0.297 g CO2 for a gram of acid and bicarbonate together
    acid = 1.0
    both = acid + other_sources.bicarbonate_for_acid_g(acid)
    assert other_sources.citric_acid_co2_g(acid, 1.0) / both == pytest.approx(0.297, abs=0.001)


def test_a_bottle_emptied_in_a_hurry_gets_cold():
    # derived: 0.5 kg out of 2 kg in 2.94 L with 2.6 kg of aluminium, from 20 degC: 3.65 degC
    draw = cooling.FastDraw(20.0, 2000.0, 500.0, 2.94, 2.6)
    assert cooling.drawn_end_c(draw) == pytest.approx(3.65, abs=0.5)


def test_test_liquid_finds_what_the_trade_says():
    # seen: 1e-4 to 1e-3 Pa m3/s; derived: 1e-4 is 0.0592 mL/min at 1 atm
    per_ml_min = 101325.0 * 1e-6 / 60.0
    assert pytest.approx(1e-4 / per_ml_min, rel=0.02) == leak.SOAP_LOW_ML_MIN_N
    assert pytest.approx(1e-3 / per_ml_min, rel=0.02) == leak.SOAP_HIGH_ML_MIN_N


def test_the_bottle_side_moves_half_a_bar_for_a_kelvin():
    # derived: 0.58 bar/K near saturation at 20 degC
    warmer = leak.high_side_still_bara(56.0, start_c=20.0, end_c=21.0)
    assert warmer - 56.0 == pytest.approx(0.58, rel=0.15)
