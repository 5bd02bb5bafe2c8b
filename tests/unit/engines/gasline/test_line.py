"""The walk along the line: pressures from the far end, flow that adds up, draws side by side."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.gasline.counter import kumar_kuloor_volume_ul, tate_volume_ul
from fizzwright.engines.gasline.line import LineSetup, StationName, equations_of, walk_line

LINE = LineSetup(
    feed_mg_h=551.8,
    bottle_c=20.0,
    room_c=25.0,
    set_barg=2.0,
    opening_barg=0.6,
    depth_m=0.4,
    tube_length_m=2.0,
    bore_mm=4.0,
    outer_mm=6.0,
    permeability_25c_barrer=20.0,
    activation_j_mol=35_000.0,
    altitude_m=0.0,
)


def station(walk, name):
    return next(s for s in walk.stations if s.name is name)


def test_stations_in_the_order_of_the_gas():
    assert [s.name for s in walk_line(LINE).stations] == list(StationName)


def test_pressures_by_hand():
    walk = walk_line(LINE)
    # 0.4 m of water 0.0392 bar, 0.6 to open, 0.03 for the check valve; saturation at 20 degC 57.29 bar abs
    assert station(walk, StationName.DIFFUSER).pressure_barg == pytest.approx(0.0392, abs=1e-3)
    assert station(walk, StationName.TUBE).pressure_barg == pytest.approx(0.6392, abs=1e-3)
    assert station(walk, StationName.COUNTER).pressure_barg == pytest.approx(0.6692, abs=1e-3)
    assert station(walk, StationName.REGULATOR).pressure_barg == 2.0
    assert station(walk, StationName.BOTTLE).pressure_barg == pytest.approx(57.29 - 1.013, abs=0.02)
    assert walk.needle_ratio == pytest.approx(1.6825 / 3.01325, rel=1e-3)


def test_gas_is_neither_made_nor_lost_unseen():
    walk = walk_line(replace(LINE, permeability_25c_barrer=np.array([5.0, 200.0, 3000.0])))
    np.testing.assert_allclose(walk.delivered_mg_h + walk.tube_loss_mg_h, 551.8)
    assert sum(np.max(s.lost_mg_h) > 0 for s in walk.stations) == 1


def test_silicone_starves_the_diffuser():
    walk = walk_line(replace(LINE, permeability_25c_barrer=3250.0, activation_j_mol=1000.0, opening_barg=1.0))
    assert walk.starved
    assert walk.delivered_mg_h == 0.0
    assert walk.startup_min == np.inf
    # the pressure stands where the wall loses what comes: below the 1 bar the diffuser asks for
    assert station(walk, StationName.TUBE).pressure_barg < 1.0


def test_a_starved_line_is_held_by_the_water_outside():
    walk = walk_line(replace(LINE, permeability_25c_barrer=3250.0, feed_mg_h=50.0, tube_length_m=10.0))
    # 0.4 m of water over the diffuser, 0.0392 bar, and 0.03 bar for the check valve
    assert walk.counter_bara == pytest.approx(1.01325 + 0.0392 + 0.03, abs=1e-3)
    # 130.7 mL of tube and counter at that 0.03 bar hold 7 mg
    assert walk.run_on_mg == pytest.approx(7.0, rel=0.03)


def test_a_falling_bottle_lifts_the_regulator_and_two_stages_do_not():
    # 56.28 - 10 = 46.28 bar of fall at 1 %: 0.463 bar; two stages 0.005 bar
    one = walk_line(replace(LINE, bottle_barg=10.0))
    two = walk_line(replace(LINE, bottle_barg=10.0, stages_count=2))
    assert station(one, StationName.REGULATOR).pressure_barg == pytest.approx(2.463, abs=0.002)
    assert station(two, StationName.REGULATOR).pressure_barg == pytest.approx(2.005, abs=0.001)


def test_bubbles_times_mass_is_the_feed():
    walk = walk_line(LINE)
    assert walk.bubbles_per_s * walk.mg_per_bubble_mg * 3600 == pytest.approx(551.8)


def test_a_calibration_overrules_the_tip():
    walk = walk_line(replace(LINE, calibrated_mg=0.12, tip_mm=4.0))
    assert walk.mg_per_bubble_mg == 0.12
    assert walk.bubble_volume_ul is None
    moved = walk_line(replace(LINE, calibrated_mg=0.12, calibration_bara=1.2))
    assert moved.mg_per_bubble_mg == pytest.approx(0.12 * moved.counter_bara / 1.2)


def test_draws_pass_through_unmixed():
    feeds = np.array([100.0, 500.0, 2000.0])
    openings = np.array([0.1, 0.6, 2.0])
    many = walk_line(replace(LINE, feed_mg_h=feeds, opening_barg=openings, viscosity_pa_s=1.41))
    for i in range(3):
        one = walk_line(
            replace(LINE, feed_mg_h=float(feeds[i]), opening_barg=float(openings[i]), viscosity_pa_s=1.41)
        )
        for field in ("delivered_mg_h", "mg_per_bubble_mg", "startup_min", "run_on_mg", "run_on_tau_min"):
            assert getattr(many, field)[i] == pytest.approx(getattr(one, field), rel=1e-9)


def test_the_model_follows_the_liquid():
    assert tate_volume_ul in equations_of(LINE)
    assert kumar_kuloor_volume_ul in equations_of(replace(LINE, viscosity_pa_s=0.05))
    assert tate_volume_ul not in equations_of(replace(LINE, calibrated_mg=0.1))
