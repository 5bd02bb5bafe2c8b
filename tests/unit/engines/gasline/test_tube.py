"""The tube: wall loss, start-up, run-on, and what a shut line does."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.gasline import tube
from fizzwright.engines.gasline.gas import flow_mg_h, held_mg

RUN = {"length_m": 2.0, "bore_mm": 4.0, "outer_mm": 6.0}


def rates(co2, oxygen, nitrogen):
    return tuple(
        tube.wall_rate_per_h(p, bore_mm=4.0, outer_mm=6.0, temperature_c=25.0)
        for p in (co2, oxygen, nitrogen)
    )


def test_silicone_loses_more_than_a_small_feed_and_polyurethane_about_one_per_cent():
    # derived: 113 to 182 % and 1.1 to 1.3 % of 5 mL/min at 1 bar g, from permeabilities of 2013, 3250, 20, 24
    feed = flow_mg_h(5.0)
    for silicone in (2013.0, 3250.0):
        assert tube.wall_loss_mg_h(2.01325, silicone, **RUN) > feed
    for polyurethane in (20.0, 24.0):
        assert 0.009 < tube.wall_loss_mg_h(2.01325, polyurethane, **RUN) / feed < 0.016


def test_one_barrer_in_si():
    # memory: 3.346e-16 mol m/(m2 s Pa)
    assert pytest.approx(3.346e-16, rel=1e-3) == tube.BARRER_MOL_M_M2_S_PA


@pytest.mark.parametrize(
    ("permeabilities", "hours", "expected_bara"),
    [
        ((3250.0, 600.0, 280.0), 0.25, 0.34),
        ((36.0, 8.0, 4.0), 14.0, 0.43),
        ((36.0, 8.0, 4.0), 20.0, 0.39),
        ((24.0, 2.1, 0.67), 42.0, 0.169),
        ((12.6, 2.9, 0.97), 14.0, 0.76),
        ((10.0, 4.2, 1.4), 14.0, 0.89),
        ((2.5, 0.6, 0.2), 14.0, 1.17),
    ],
)
def test_a_shut_line_goes_under_the_air(permeabilities, hours, expected_bara):
    # derived: the same three-gas balance stepped by an independent implementation, from 1.3 atm
    found = tube.closed_line_bara(hours, 1.3 * 1.01325, rates_per_h=rates(*permeabilities))
    assert found == pytest.approx(expected_bara, rel=0.05)


def test_a_shut_line_ends_at_the_air_outside():
    found = tube.closed_line_bara(1e6, 2.0, rates_per_h=rates(36.0, 8.0, 4.0))
    assert found == pytest.approx(1.01325, rel=1e-9)


@pytest.mark.parametrize(("rise_bar", "expected_min"), [(0.3, 1.8), (1.0, 5.9), (2.0, 11.9)])
def test_start_up_of_thirty_millilitres(rise_bar, expected_min):
    # derived: V dp / (p_atm Q) for 30.13 mL at 5 mL/min
    start, opened = (held_mg(30.13, p, temperature_c=20.0) for p in (1.01325, 1.01325 + rise_bar))
    found = tube.startup_min(start, opened, feed_mg_h=flow_mg_h(5.0), loss_open_mg_h=0.0)
    assert found == pytest.approx(expected_min, rel=0.02)


def test_start_up_against_a_stepped_balance():
    # the same mass balance in small steps: dm = (feed - loss m / m_open) dt
    start, opened, feed, loss = 50.0, 110.0, 550.0, 300.0
    mass, hours, step = start, 0.0, 1e-6
    while mass < opened:
        mass += (feed - loss * mass / opened) * step
        hours += step
    found = tube.startup_min(start, opened, feed_mg_h=feed, loss_open_mg_h=loss)
    assert found == pytest.approx(60 * hours, rel=1e-4)


def test_a_starving_line_never_starts():
    minutes = tube.startup_min(50.0, np.array([110.0, 40.0]), feed_mg_h=500.0, loss_open_mg_h=900.0)
    assert minutes[0] == np.inf
    assert minutes[1] == 0.0


def test_run_on_of_thirty_millilitres():
    # derived: 30.1 mL from 1 bar g gives 29.7 mL at 1 atm, 55 mg
    excess = held_mg(30.1, 2.01325, temperature_c=20.0) - held_mg(30.1, 1.01325, temperature_c=20.0)
    assert excess == pytest.approx(54.5, rel=0.02)
    assert tube.run_on_min(excess, flow_mg_h(5.0)) == pytest.approx(5.94, rel=0.02)
    assert tube.run_on_min(excess, 0.0) == np.inf


def test_friction_of_a_feed_is_nothing():
    # Hagen-Poiseuille by hand: 128 mu L Q / (pi d^4) = 0.39 Pa for 5 mL/min through 2 m of 4 mm
    inlet = tube.tube_inlet_bara(1.01325, flow_mg_h(5.0), length_m=2.0, bore_mm=4.0, temperature_c=20.0)
    assert (inlet - 1.01325) * 1e5 == pytest.approx(0.39, rel=0.03)


def test_suction_lifts_water():
    # 1 bar is 10.2 m of water
    assert tube.siphon_lift_m(0.01325) == pytest.approx(10.2, rel=0.01)
    assert tube.siphon_lift_m(1.5) == 0.0
