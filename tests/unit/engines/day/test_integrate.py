"""The day against sums that can be done by hand, and books that must balance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.day.balance import Bed, TankDay, free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.day.clock import Clock, forcing
from fizzwright.engines.day.integrate import State, day_from, repeating_day
from fizzwright.engines.living.plants import canopy_for
from fizzwright.errors import NotConverged
from fizzwright.job.model import Density, PlantClass

BARE = TankDay(
    volume_l=100.0, loss_per_h=0.2, air_co2_mg_l=0.6, o2_loss_per_h=0.212, o2_saturation_mg_l=8.26,
    feed_mg_h=0.0, dissolved_frac=1.0, beds=(), par_umol_m2_s=0.0, breathing_mg_h=0.0,
    breathing_o2_mg_h=0.0, exchange_per_h=0.0, tap_co2_mg_l=0.6, alk_drift_meq_l_h=0.0, carbonate_ratio=9.5e3,
)  # fmt: skip
CLOCK = Clock(600, 1080, 360, 1020)
# At next to no alkalinity all carbon is free CO2, and the hand formulas hold to the digit.
SOFT = 1e-6


def _state(co2: float, o2: float = 8.26, alk: float = SOFT) -> State:
    return State(np.array([co2]), np.array([o2]), np.array([alk]))


def test_first_order_loss() -> None:
    # 30 mg/L with K = 0.2/h for 24 h over air at 0.6: 0.6 + 29.4 exp(-4.8) = 0.84195.
    run = day_from(_state(30.0), BARE, forcing([CLOCK], 15.0))
    assert run.co2_mg_l[-1, 0] == pytest.approx(0.6 + 29.4 * np.exp(-4.8), rel=1e-6)


def test_plateau_and_lead() -> None:
    # Fed 200 mg/h into 100 L at K = 0.2/h the water heads for 0.6 + 2/0.2 = 10.6 and is 1 - exp(-0.8) of the
    # way there after 4 h of lead.
    tank = replace(BARE, feed_mg_h=200.0)
    run = day_from(_state(0.6), tank, forcing([CLOCK], 15.0))
    lights_on = int(np.argmin(np.abs(run.nodes_min - 600)))
    assert run.co2_mg_l[lights_on, 0] == pytest.approx(0.6 + 10 * (1 - np.exp(-0.8)), rel=1e-5)


def test_oxygen_deficit_after_a_dark_day() -> None:
    # 42 mg/h of demand in 100 L at kL 4 cm/h over 0.25 m2: K = 0.1/h; deficit 4.2 (1 - exp(-0.1 t)).
    tank = replace(BARE, o2_loss_per_h=0.1, breathing_o2_mg_h=42.0)
    run = day_from(_state(0.6), tank, forcing([CLOCK], 15.0))
    noon = int(np.argmin(np.abs(run.nodes_min - 1020)))
    assert 8.26 - run.o2_mg_l[noon, 0] == pytest.approx(4.2 * (1 - np.exp(-1.7)), rel=1e-4)


def test_free_co2_and_total_carbon_are_inverse() -> None:
    rng = np.random.default_rng(3)
    co2, alk = rng.uniform(0.2, 80, 500), rng.uniform(0.02, 5, 500)
    ratio = rng.uniform(6e3, 1.3e4, 500)
    there = total_carbon_mg_l(co2, alk, carbonate_ratio=ratio)
    assert free_co2_mg_l(there, alk, carbonate_ratio=ratio) == pytest.approx(co2, rel=1e-9)


def _planted(draws: int, seed: int = 0) -> tuple[TankDay, State]:
    rng = np.random.default_rng(seed)
    canopy = replace(
        canopy_for(PlantClass.FAST, Density.DENSE, 26.0), demand_factor=rng.uniform(0.4, 2.5, draws)
    )
    loss = rng.uniform(0.03, 0.9, draws)
    tank = replace(
        BARE, loss_per_h=loss, o2_loss_per_h=1.06 * loss, beds=(Bed(0.3, canopy),), par_umol_m2_s=120.0,
        feed_mg_h=rng.uniform(50, 900, draws), dissolved_frac=rng.uniform(0.5, 1, draws), breathing_mg_h=20.0,
        breathing_o2_mg_h=15.0, exchange_per_h=0.002, alk_drift_meq_l_h=-2e-4,
    )  # fmt: skip
    return tank, State(rng.uniform(1, 20, draws), np.full(draws, 8.0), rng.uniform(0.2, 4, draws))


def test_books_balance_to_round_off() -> None:
    tank, start = _planted(200)
    run = repeating_day(start, tank, forcing([replace(CLOCK, ramp_min=30, line_lag_min=6)], 15.0))
    assert np.max(np.abs(run.residual_frac())) < 1e-10


def test_repeating_day_does_not_depend_on_the_start() -> None:
    tank, start = _planted(60)
    course = forcing([CLOCK], 15.0)
    one = repeating_day(start, tank, course)
    other = repeating_day(
        replace(start, co2_mg_l=start.co2_mg_l * 3 + 5, o2_mg_l=start.o2_mg_l * 0 + 3), tank, course
    )
    assert one.co2_mg_l == pytest.approx(other.co2_mg_l, abs=1e-6)
    assert one.o2_mg_l == pytest.approx(other.o2_mg_l, abs=1e-6)


def test_fourth_order() -> None:
    # Halving the step must cut the error about sixteenfold (plants make the balance curved).
    tank, start = _planted(1)
    clock = Clock(600, 1080, 360, 1020)
    exact = day_from(start, tank, forcing([clock], 1.0)).co2_mg_l[-1, 0]
    coarse, fine = (day_from(start, tank, forcing([clock], step)).co2_mg_l[-1, 0] for step in (60.0, 30.0))
    assert 8 < abs(coarse - exact) / abs(fine - exact) < 32


def test_clocks_side_by_side_equal_clocks_alone() -> None:
    tank, start = _planted(5)
    clocks = [Clock(600, 1080, 360, 1020), Clock(600, 1080, 480, 960)]
    both = day_from(start, tank, forcing(clocks, 15.0))
    for i, clock in enumerate(clocks):
        alone = day_from(start, tank, forcing([clock], 15.0))
        assert both.co2_mg_l[-1, i] == pytest.approx(alone.co2_mg_l[-1], rel=1e-6)


def test_a_shut_surface_does_not_repeat() -> None:
    # Nothing leaves: the day cannot end as it began, and the refusal says what to look at.
    tank = replace(BARE, loss_per_h=0.0, feed_mg_h=500.0)
    with pytest.raises(NotConverged, match=r"surface\.loss"):
        repeating_day(_state(1.0), tank, forcing([CLOCK], 30.0), most=4)
