"""Days in which something happens: jumps, seams, several days, and the air pump's timer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.day.balance import TankDay
from fizzwright.engines.day.clock import Clock, clock_moved, forcing
from fizzwright.engines.day.integrate import State, day_from, repeating_day
from fizzwright.engines.day.spells import Spell, run_spells, water_changed, with_loss

BARE = TankDay(
    volume_l=100.0, loss_per_h=0.25, air_co2_mg_l=0.6, o2_loss_per_h=0.25, o2_saturation_mg_l=8.0,
    feed_mg_h=0.0, dissolved_frac=1.0, beds=(), par_umol_m2_s=0.0, breathing_mg_h=0.0,
    breathing_o2_mg_h=0.0, exchange_per_h=0.0, tap_co2_mg_l=0.6, alk_drift_meq_l_h=0.0, carbonate_ratio=9.5e3,
)  # fmt: skip
CLOCK = Clock(600, 1080, 360, 1020)
SOFT = 1e-6


def _state(co2: float, o2: float = 8.0, alk: float = SOFT) -> State:
    return State(np.array([co2]), np.array([o2]), np.array([alk]))


def test_several_days_are_one_day_after_another() -> None:
    tank = replace(BARE, feed_mg_h=300.0)
    whole = day_from(_state(2.0), tank, forcing([CLOCK], 15.0, span_min=(0.0, 2880.0)))
    first = day_from(_state(2.0), tank, forcing([CLOCK], 15.0))
    second = day_from(first.end, tank, forcing([CLOCK], 15.0))
    assert whole.co2_mg_l[-1, 0] == pytest.approx(second.co2_mg_l[-1, 0], rel=1e-9)
    assert whole.sums.fed_mg[0] == pytest.approx(2 * first.sums.fed_mg[0], rel=1e-9)


def test_a_water_change_mixes_carbon_and_hardness() -> None:
    # Without alkalinity to speak of: half of 30 and half of 2 is 16 mg/L.
    after = water_changed(BARE, 0.5, fresh=_state(2.0))(_state(30.0))
    assert after.co2_mg_l[0] == pytest.approx(16.0, abs=1e-3)
    # Half of 1 meq/L and half of 3 is 2.
    after = water_changed(BARE, 0.5, fresh=_state(2.0, alk=3.0))(_state(30.0, alk=1.0))
    assert after.alk_meq_l[0] == pytest.approx(2.0)


def test_a_jump_stands_twice_and_a_seam_once() -> None:
    spells = (
        Spell(600.0, BARE, CLOCK),
        Spell(900.0, BARE, CLOCK, jump=water_changed(BARE, 0.5, fresh=_state(2.0))),
    )
    course = run_spells(_state(30.0), spells, from_min=0.0, step_min=15.0)
    assert np.count_nonzero(course.at_min == 600.0) == 2
    plain = run_spells(_state(30.0), (spells[0], Spell(900.0, BARE, CLOCK)), from_min=0.0, step_min=15.0)
    assert np.count_nonzero(plain.at_min == 600.0) == 1
    # 30 mg/L after 15 h at 0.25/h over air at 0.6, seam or not: 0.6 + 29.4 exp(-3.75).
    assert plain.co2_mg_l[-1, 0] == pytest.approx(0.6 + 29.4 * np.exp(-3.75), rel=1e-6)


def test_an_air_pump_adds_its_loss_while_it_runs() -> None:
    # Four hours at 0.25 + 0.5 per hour, the other twenty at 0.25: exp(-(3 + 5)).
    pumped = replace(CLOCK, air_on_min=120, air_off_min=360)
    tank = replace(BARE, air_loss_per_h=0.5)
    run = day_from(_state(30.0), tank, forcing([pumped], 5.0))
    assert run.co2_mg_l[-1, 0] - 0.6 == pytest.approx(29.4 * np.exp(-8.0), rel=1e-5)
    assert float(np.abs(run.residual_frac()).max()) < 1e-10


def test_a_meal_costs_its_oxygen() -> None:
    # The felt shape t/2h exp(1 - t/2h) holds 2e hours of its peak; all but e^-11 of it fits in a day.
    clock = replace(CLOCK, meals_min=(0.0,))
    tank = replace(BARE, meal_o2_mg_h=10.0)
    run = day_from(_state(0.6), tank, forcing([clock], 5.0))
    assert run.sums.breathing_mg[0] == pytest.approx(10.0 * 2 * np.e * 0.9 * 44.0095 / 31.9988, rel=1e-3)
    assert run.o2_mg_l.min() < 8.0


def test_a_leaking_valve_passes_its_share_at_night() -> None:
    # 11 h at the full 100 mg/h and 13 h at a tenth of it.
    tank = replace(BARE, feed_mg_h=100.0)
    run = day_from(_state(0.6), tank, forcing([replace(CLOCK, leak_frac=0.1)], 15.0))
    assert run.sums.fed_mg[0] == pytest.approx(1100.0 + 130.0, rel=1e-6)


def test_a_moved_clock_keeps_its_length() -> None:
    moved = clock_moved(CLOCK, -420.0)
    assert moved.gas_on_min == 1380.0
    assert moved.gas_min == CLOCK.gas_min
    assert moved.light_on_min == CLOCK.light_on_min


def test_the_repeating_day_with_a_pump_forgets_its_start() -> None:
    clock = replace(CLOCK, air_on_min=1080, air_off_min=300, meals_min=(720.0,))
    tank = replace(BARE, feed_mg_h=400.0, air_loss_per_h=0.2, meal_o2_mg_h=5.0, breathing_o2_mg_h=20.0)
    one, other = (
        repeating_day(_state(c, o), tank, forcing([clock], 15.0)) for c, o in ((1.0, 8.0), (60.0, 1.0))
    )
    assert one.co2_mg_l == pytest.approx(other.co2_mg_l, abs=1e-6)
    assert one.o2_mg_l == pytest.approx(other.o2_mg_l, abs=1e-6)


def test_a_surface_moved_half_again_loses_half_again() -> None:
    tank = with_loss(BARE, 1.5)
    assert tank.loss_per_h == pytest.approx(0.375)
    assert tank.o2_loss_per_h == pytest.approx(0.375)


# derived (independent implementation): 41.5 mg/h in 100 L over 0.25 m2, twelve hours from saturation.
@pytest.mark.parametrize(("kl_cm_h", "deficit"), [(2.0, 3.74), (8.0, 1.89)])
def test_oxygen_deficit_of_a_long_night(kl_cm_h: float, deficit: float) -> None:
    rate = kl_cm_h / 100 * 0.25 / 0.1
    tank = replace(BARE, o2_loss_per_h=rate, breathing_o2_mg_h=41.5)
    run = day_from(_state(0.6), tank, forcing([CLOCK], 15.0, span_min=(1080.0, 1800.0)))
    assert 8.0 - run.o2_mg_l[-1, 0] == pytest.approx(deficit, abs=0.005)


def test_a_short_lead_heads_far_over_what_it_reaches() -> None:
    # derived (independent implementation): at 0.25/h a lead of 2 h is 0.393 of the way; 30 mg/L then means
    # 76.2 mg/L in the end, with no air and no plants.
    tank = replace(BARE, air_co2_mg_l=0.0, feed_mg_h=76.2 * 0.25 * 100)
    clock = Clock(600, 1080, 480, 470)
    run = day_from(_state(1e-6), tank, forcing([clock], 15.0, span_min=(480.0, 480.0 + 2880.0)))
    at = int(np.argmin(np.abs(run.nodes_min - 600)))
    assert run.co2_mg_l[at, 0] == pytest.approx(30.0, rel=2e-3)
    assert run.co2_mg_l.max() == pytest.approx(76.2, rel=2e-3)
