"""Room air and leak tests."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.catalogue import room_air
from fizzwright.engines.gasline import leak, needle, regulator, room


def test_limits_are_those_published():
    # second hand: NIOSH IDLH page (1994) and lists quoted there; check the current list
    found = {(row.body, row.over): row.co2_ppm for row in room_air.ROOM_LIMITS}
    assert (
        found["NIOSH, US", "8 hours"] == found["OSHA, US", "8 hours"] == found["EH40, UK", "8 hours"] == 5000
    )
    assert found["NIOSH, US", "15 minutes"] == found["ACGIH", "15 minutes"] == 30_000
    assert found["EH40, UK", "15 minutes"] == 15_000
    assert found["AGW, Germany", "15 minutes"] == 10_000
    assert found["NIOSH, US", "immediately dangerous"] == 40_000


def test_verdicts_at_their_edges():
    assert room_air.verdict_of(4999.0) is room_air.RoomVerdict.UNDER_EIGHT_HOUR
    assert room_air.verdict_of(5000.0) is room_air.RoomVerdict.OVER_EIGHT_HOUR
    assert room_air.verdict_of(10_000.0) is room_air.RoomVerdict.OVER_FIFTEEN_MINUTE
    assert room_air.verdict_of(40_000.0) is room_air.RoomVerdict.IMMEDIATE_DANGER


def test_displacement_is_a_little_lower():
    # derived: 1 to 7 % lower below 14 %
    rise = np.array([20_000.0, 140_000.0])
    lower = 1 - room.displaced_ppm(rise) / rise
    assert 0.009 < lower[0] < 0.011
    assert 0.06 < lower[1] < 0.075


def _stepped_hours(rise_ppm, over_h, air_changes_per_h, limit_ppm):
    """Hours over a limit from the room's balance in small steps."""
    step = 1e-3
    level, hours, over = 420.0, 0.0, 0.0
    while hours < over_h or level > limit_ppm:
        source = rise_ppm / over_h if hours < over_h else 0.0
        level += (source - air_changes_per_h * (level - 420.0)) * step
        over += step * (level > limit_ppm)
        hours += step
    return over


@pytest.mark.parametrize(("over_h", "air_changes_per_h"), [(1.0, 0.5), (4.0, 0.3), (12.0, 0.2)])
def test_hours_over_a_limit_against_a_stepped_balance(over_h, air_changes_per_h):
    found = room.hours_above_h(
        5000.0, 27_000.0, over_h=over_h, air_changes_per_h=air_changes_per_h, background_ppm=420.0
    )
    assert found == pytest.approx(_stepped_hours(27_000.0, over_h, air_changes_per_h, 5000.0), rel=0.005)


def test_a_small_release_is_never_over():
    assert room.hours_above_h(5000.0, 2000.0, over_h=0.0, air_changes_per_h=0.5, background_ppm=420.0) == 0.0


def test_the_bottle_side_falls_five_times_slower_than_an_ideal_gas():
    # derived: 8 mL losing 0.1 mL/min near saturation falls by 0.15 bar/h only
    near = leak.high_side_leak_ml_min_n(8.0, 0.15, pressure_bara=56.0, temperature_c=20.0)
    assert near == pytest.approx(0.1, rel=0.1)
    # derived: drho/dp 5.4 kg/m3/bar at 50 bar abs, 3.6 at 40
    slopes = [
        leak.high_side_leak_ml_min_n(1000.0, 60.0, pressure_bara=p, temperature_c=20.0) * 1.8393e-3
        for p in (50.0, 40.0)
    ]
    assert slopes == pytest.approx([5.4, 3.6], rel=0.05)


def test_even_warming_is_no_leak():
    end = leak.corrected_end_bara(3.0 * 298.15 / 293.15, start_c=20.0, end_c=25.0)
    assert leak.decay_leak_ml_min_n(30.0, 60.0, start_bara=3.0, end_bara=end, temperature_c=20.0) == (
        pytest.approx(0.0, abs=1e-12)
    )


def test_valve_flow_undoes_required_kv():
    kv = needle.required_kv_l_h(551.8, 3.0, after_bara=1.5, temperature_c=20.0)
    assert needle.valve_flow_mg_h(kv, 3.0, after_bara=1.5, temperature_c=20.0) == pytest.approx(551.8)


def test_a_choked_valve_does_not_feel_what_stands_behind_it():
    # IEC 60534-2-1: choked where x >= 0.929 xT = 0.65
    low, lower = (needle.valve_flow_mg_h(0.01, 4.0, after_bara=p, temperature_c=20.0) for p in (1.3, 1.05))
    assert low == pytest.approx(lower)


def test_sensitivity_meets_the_multiplier():
    # a rise of 0.1 % before the valve, p1 3.0 and p2 2.3 bar abs
    steep = needle.flow_sensitivity_exponent(3.0, 2.3)
    moved = regulator.laminar_multiplier_factor(3.0, 3.003, back_bara=2.3)
    assert (moved - 1) / 0.001 == pytest.approx(steep, rel=1e-3)


@pytest.mark.parametrize(
    ("set_barg", "back_barg", "laminar", "linear", "choked"),
    [(1.0, 0.3, 1.93, 1.69, 1.24), (3.0, 0.3, 1.28, 1.18, 1.12), (3.0, 1.0, 1.34, 1.24, 1.12)],
)
def test_flow_multipliers_at_one_per_cent(set_barg, back_barg, laminar, linear, choked):
    # derived: outlet up by 0.48 bar as the bottle falls from 58 to 10 bar g; rounded to 0.01
    before, after = set_barg + 1.01325, set_barg + 0.48 + 1.01325
    back = back_barg + 1.01325
    assert regulator.laminar_multiplier_factor(before, after, back_bara=back) == pytest.approx(
        laminar, abs=0.012
    )
    assert regulator.linear_multiplier_factor(before, after, back_bara=back) == pytest.approx(
        linear, abs=0.012
    )
    assert regulator.choked_multiplier_factor(before, after) == pytest.approx(choked, abs=0.006)
