"""Hose, ladder, chamber, air stone: hand values and the balances behind them."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.closures import contaminated_closure
from fizzwright.engines.bubbles.diffusers import size_pore_tate_mm, size_pump_hinze_mm
from fizzwright.engines.bubbles.fate import Release, bubble_fate
from fizzwright.engines.bubbles.held import (
    chamber_speed_m_s,
    hose_eddy_m_s,
    hose_speed_m_s,
    hose_wall_speed_m_s,
)
from fizzwright.engines.bubbles.medium import CO2, bubble_water
from fizzwright.engines.bubbles.stays import held_dissolved_frac, hose_dissolved_frac, largest_held_mm
from fizzwright.engines.bubbles.strip import (
    air_stone_per_h,
    strip_ceiling_per_h,
    strip_over_oxygen_ratio,
    strip_rate_per_h,
)

NU = 0.893e-6


def test_speeds_in_hose_and_chamber_by_hand():
    # 600 L/h = 1.6667e-4 m3/s over 1.2668e-4 m2 (12.7 mm): 1.3157 m/s; over 60 mm: 0.0589 m/s.
    assert float(hose_speed_m_s(600.0, 12.7)) == pytest.approx(1.3157, rel=1e-3)
    assert float(chamber_speed_m_s(600.0, 60.0)) == pytest.approx(0.0589, rel=2e-3)


def test_power_spent_in_a_hose():
    # 300/600/1000 L/h in 12.7 mm: 0.36/2.4/9.9 W/kg (Blasius friction by hand; derived).
    speed = hose_speed_m_s(np.array([300.0, 600.0, 1000.0]), 12.7)
    spent = hose_eddy_m_s(speed, 12.7, kinematic_m2_s=NU) ** 4 / NU
    assert spent == pytest.approx([0.36, 2.4, 9.9], rel=0.03)
    # v (f/8)^1/2 at 1.3 m/s: f = 0.316/18488^0.25 = 0.02710; 1.3 * 0.0582 = 0.0757 m/s.
    assert float(hose_wall_speed_m_s(1.3, 12.7, kinematic_m2_s=NU)) == pytest.approx(0.0757, rel=5e-3)


def test_a_creeping_hose_is_laminar():
    # Re = 0.01 * 12.7e-3 / 0.893e-6 = 142: f = 64/142.2 = 0.450; 0.01 * (0.450/8)^0.5 = 2.37e-3 m/s.
    assert float(hose_wall_speed_m_s(0.01, 12.7, kinematic_m2_s=NU)) == pytest.approx(2.37e-3, rel=2e-3)


def test_hose_shares_by_size_and_length():
    # Stiff skin in turbulence, 0.5 m: 80/63/43/23/12 % for 0.2/0.3/0.5/1/2 mm (independent; derived).
    found = hose_dissolved_frac(np.array([0.2, 0.3, 0.5, 1.0, 2.0]), 0.5)
    assert 100 * found[0] == pytest.approx([80, 63, 43, 23, 12], abs=1.2)
    assert 100 * found[1] == pytest.approx([100, 100, 100, 93, 68], abs=1.2)


def test_half_the_flow_doubles_the_exponent():
    share = [float(hose_dissolved_frac(0.5, 1.0, water_l_h=q)[0]) for q in (400.0, 800.0)]
    ratio = np.log1p(-share[0]) / np.log1p(-share[1])
    # Twice the time, a little less turbulence.
    assert 1.5 < ratio < 2.2


def test_a_held_bubble_dissolves_as_a_very_slow_one():
    """Held for 3 s, or in a down-flow that stops its rise: one answer from two integrations."""
    water = bubble_water(25.0)
    closure = contaminated_closure(water)
    held = float(held_dissolved_frac(1.0, 3.0, depth_m=0.2)[0])
    rise = float(closure.speeds_m_s(np.array([1e-3]))[0, 0])
    from fizzwright.engines.bubbles.fate import bubble_track

    track = bubble_track(water, Release(1e-3, 0.2, up_m_s=-2 * rise), closure=closure)
    assert float(np.interp(3.0, track.time_s, track.dissolved_frac)) == pytest.approx(held, abs=0.01)


def test_chambers_hold_what_rises_slower_than_they_flow():
    # 600 L/h in 50/60/75/100 mm: 0.70/0.50/0.36/0.23 mm (independent implementation; derived).
    found = largest_held_mm(chamber_speed_m_s(600.0, np.array([50.0, 60.0, 75.0, 100.0])))
    assert found == pytest.approx([0.70, 0.50, 0.36, 0.23], abs=0.006)


def test_pore_and_pump_sizes_go_as_they_should():
    # Size goes with the cube root of the pore; eight times the pore is twice the bubble.
    assert float(size_pore_tate_mm(80.0) / size_pore_tate_mm(10.0)) == pytest.approx(2.0, rel=1e-12)
    # Ten times the power is 10^-0.4 = 0.398 of the size.
    assert float(size_pump_hinze_mm(10.0, 0.1) / size_pump_hinze_mm(1.0, 0.1)) == pytest.approx(
        0.398, rel=1e-3
    )


def test_air_stone_rates_by_size_and_depth():
    # 1 L/min in 100 L, stiff..tap: 2 mm 0.27..0.60 at 40 cm, 0.15..0.43 at 20 cm (independent; derived).
    for depth, expected in ((0.4, [0.27, 0.60]), (0.2, [0.15, 0.43])):
        assert air_stone_per_h(60.0, 100.0, diameter_mm=2.0, depth_m=depth) == pytest.approx(
            expected, abs=0.006
        )


def test_the_fixed_size_balance_is_near_the_full_one():
    """An air bubble followed through the whole balance in water with little CO2: within 4 %."""
    water = bubble_water(25.0, co2_mg_l=15.0)
    closure = contaminated_closure(water)
    for size in (1.0, 2.0, 3.0):
        fate = bubble_fate(water, Release(1e-3 * size, 0.4, co2_frac=1e-6), closure=closure)
        picked = float(fate.end_mol[CO2] - fate.start_mol[CO2])
        volume = np.pi / 6 * (1e-3 * size) ** 3
        # A litre an hour of such bubbles takes picked/volume mol/m3; over C and the tank's volume: a rate.
        rate = picked / volume / float(water.bulk_mol_m3[CO2]) * 60.0 / 100.0
        simple = float(air_stone_per_h(60.0, 100.0, diameter_mm=size, depth_m=0.4)[0])
        assert simple == pytest.approx(rate, rel=0.05)


def test_a_full_bubble_strips_at_the_ceiling():
    full = strip_ceiling_per_h(60.0, 100.0, capacity_ratio=0.831)
    assert float(full) == pytest.approx(0.722, rel=1e-3)
    assert float(strip_rate_per_h(60.0, 100.0, capacity_ratio=0.831, exchange_number=20.0)) == pytest.approx(
        float(full)
    )


def test_co2_lags_behind_oxygen_in_fine_bubbles():
    # (1 - e^-X)/X: 0.9 coarse (X 0.2), 0.14 fine (X 7).
    assert strip_over_oxygen_ratio(np.array([0.2, 7.0])) == pytest.approx([0.906, 0.143], rel=2e-3)
