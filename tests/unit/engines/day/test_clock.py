"""The day's clock: what lamp and gas do, and that the grid loses nothing."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.day.clock import Clock, forcing, gas_share_frac, light_share_frac, night_share_frac


def _gas_minutes(clock: Clock, step_min: float) -> float:
    """Minutes of full feed a day holds, by Simpson's rule on the grid's own start, middle and end."""
    course = forcing([clock], step_min)
    width = np.diff(course.nodes_min)
    a, m, b = course.gas_frac[:, :, 0].T
    return float(np.sum(width * (a + 4 * m + b) / 6))


@pytest.mark.parametrize("lag", [0.0, 0.4, 7.0, 55.0])
@pytest.mark.parametrize("step", [5.0, 15.0, 60.0])
def test_a_day_delivers_what_the_valve_let_in(lag: float, step: float) -> None:
    # 06:10 to 17:00 is 650 minutes whatever the line holds back and gives later.
    clock = Clock(600, 1080, 370, 1020, ramp_min=20, line_lag_min=lag)
    assert _gas_minutes(clock, step) == pytest.approx(650.0, abs=1e-3)


def test_gas_past_midnight() -> None:
    # 22:30 to 04:30 is 360 minutes.
    assert _gas_minutes(Clock(60, 300, 1350, 270), 15.0) == pytest.approx(360.0, abs=1e-3)


def test_every_switch_is_a_node() -> None:
    clock = Clock(607, 1083, 371.5, 1019, ramp_min=31, line_lag_min=4.25)
    nodes = forcing([clock], 15.0).nodes_min
    for switch in (607, 1083, 371.5, 1019, 638, 1052, 375.75, 1027.5):
        assert np.min(np.abs(nodes - switch)) < 1e-5


def test_light_ramp_is_straight() -> None:
    clock = Clock(600, 1080, 0, 0, ramp_min=60)
    seen = light_share_frac(clock, np.array([0.0, 30.0, 60.0, 240.0, 450.0, 480.0, 700.0]))
    assert seen == pytest.approx([0, 0.5, 1, 1, 0.5, 0, 0])


def test_line_fills_first_and_runs_out_after() -> None:
    clock = Clock(600, 1080, 480, 1020, line_lag_min=10)
    seen = gas_share_frac(clock, np.array([5.0, 15.0, 539.0, 540.0, 550.0, 560.0, 900.0]))
    assert seen == pytest.approx([0, 1, 1, 1, 0.5, 0, 0])


def test_stuck_valve_gives_all_day() -> None:
    assert _gas_minutes(Clock(600, 1080, 480, 1020, line_lag_min=10, always_on=True), 30) == pytest.approx(
        1440
    )


def test_night_share_runs_from_dusk_to_dawn() -> None:
    # Lit 8 h, dark 16 h: half the night is over 8 h after lamp-off.
    clock = Clock(600, 1080, 0, 0)
    assert night_share_frac(clock, np.array([100.0, 480.0, 960.0, 1439.99])) == pytest.approx(
        [0, 0, 0.5, 1], abs=1e-4
    )
