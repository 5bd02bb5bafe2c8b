"""What stands beside a plan: other clocks, levers, the first days, the slider, a second plan."""

from __future__ import annotations

import time
from functools import cache

import numpy as np
import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.model import Job
from fizzwright.stages.compare import compare
from fizzwright.stages.plan import plan
from fizzwright.stages.plan_choice import decide
from fizzwright.stages.plan_result import PlanResult
from fizzwright.stages.plan_slider import Ready, day_at, ready


def job(name: str) -> Job:
    return read_job(example_text(f"{name}.toml"))


@cache
def planned(name: str) -> PlanResult:
    return plan(job(name), draws_count=200)


@cache
def sliding() -> Ready:
    return ready(job("library-foyer-120"))


EXAMPLES = ("library-foyer-120", "kitchen-nano", "shallow-bench-90", "school-rack")


@pytest.mark.parametrize("name", EXAMPLES)
def test_steadiness_is_bought_with_gas(name: str) -> None:
    points = planned(name).front
    assert sum(point.chosen for point in points) == 1
    others = [p for p in points if not p.chosen]
    gas = [p.gas_g_day.value for p in others]
    swing = [p.swing_frac.value for p in others]
    assert gas == sorted(gas)
    assert swing == sorted(swing, reverse=True)
    assert len(others) >= 2


@pytest.mark.parametrize("name", EXAMPLES)
def test_more_movement_takes_more_gas_and_gives_a_flatter_day(name: str) -> None:
    found = planned(name)
    lever = next(lever for lever in found.levers if lever.name == "more surface movement")
    assert lever.gas_g_day.value > found.gas_g_day.value
    assert lever.swing_frac.value < found.trade.swing_frac + 0.02
    assert lever.o2_dawn_mg_l.value >= found.o2_dawn_mg_l.value
    assert lever.p_over_ceiling_frac <= 0.08


@pytest.mark.parametrize("name", EXAMPLES)
def test_air_at_night_lifts_oxygen_at_dawn(name: str) -> None:
    found = planned(name)
    lever = next(lever for lever in found.levers if lever.name == "air at night")
    assert lever.o2_dawn_mg_l.value > found.o2_dawn_mg_l.value - 0.02
    assert lever.o2_dawn_mg_l.low > found.o2_dawn_mg_l.low


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_first_days_climb_in_small_steps_to_the_plan(name: str) -> None:
    found = planned(name)
    days, peaks = found.ramp, [day.co2_peak_mg_l.value for day in found.ramp]
    assert [day.day_count for day in days] == list(range(1, len(days) + 1))
    assert 5 <= len(days) <= 8
    assert days[-1].feed_mg_h == pytest.approx(found.feed_mg_h.value)
    assert np.all(np.diff(peaks) > 0)
    # 3 to 5 mg/L a day (common practice, no source).
    assert np.max(np.diff(peaks)) < 5.2
    assert days[0].co2_peak_mg_l.value < 0.5 * peaks[-1]


def test_no_ramp_and_no_risk_without_animals() -> None:
    bare = job("library-foyer-120").model_copy(update={"animals": ()})
    found = plan(bare, draws_count=60)
    assert found.ramp == ()
    assert found.risk is None


def test_little_oxygen_at_dawn_lowers_the_ceiling() -> None:
    tank = job("library-foyer-120")
    crowd = tuple(a.model_copy(update={"count": a.count * 7}) for a in tank.animals)
    found = plan(tank.model_copy(update={"animals": crowd, "target": None}), draws_count=100)
    # Under 6 mg/L at dawn a fifth is taken off (judgement): 25 becomes 20.
    assert found.o2_dawn_mg_l.value < 6.0
    assert found.ceiling.soft_mg_l == pytest.approx(20.0)


def test_the_slider_shows_the_plans_own_day() -> None:
    tank = sliding()
    choice = tank.decided.chosen.choice
    found = day_at(
        tank,
        feed_mg_h=choice.feed_mg_h,
        gas_on_min=choice.clock.gas_on_min,
        gas_off_min=choice.clock.gas_off_min,
    )
    stated = np.quantile(tank.decided.chosen.run.co2_mg_l.max(axis=0), [0.05, 0.5, 0.95])
    shown = found.co2_peak_mg_l
    assert (shown.low, shown.value, shown.high) == pytest.approx(stated, rel=2e-3)


def test_more_gas_shows_more_and_comes_at_once() -> None:
    tank = sliding()
    clock = tank.decided.chosen.choice.clock
    peaks, times = [], []
    for feed in (400.0, 800.0, 1200.0, 1600.0):
        began = time.process_time()
        found = day_at(tank, feed_mg_h=feed, gas_on_min=clock.gas_on_min, gas_off_min=clock.gas_off_min)
        times.append(time.process_time() - began)
        peaks.append(found.co2_peak_mg_l.value)
    assert peaks == sorted(peaks)
    # 30 ms on a quiet machine; five times that is still no reason to fail a busy one.
    assert min(times) < 0.15


def test_the_clock_does_not_hang_on_the_number_of_draws() -> None:
    few, many = (decide(job("kitchen-nano"), draws_count=count).chosen.choice for count in (60, 500))
    assert (few.lead_h, few.tail_h) == (many.lead_h, many.tail_h)
    assert few.feed_mg_h == pytest.approx(many.feed_mg_h, rel=0.12)


def test_two_plans_side_by_side() -> None:
    names = ("library-foyer-120", "kitchen-nano")
    found = compare((job(names[0]), job(names[1])), (planned(names[0]), planned(names[1])))
    feed = next(row for row in found.rows if row.key == "feed_mg_h")
    assert feed.apart
    assert feed.pair == (planned(names[0]).feed_mg_h, planned(names[1]).feed_mg_h)
    changed = {item.field: (item.one, item.other) for item in found.inputs}
    assert changed["tank.length_cm"] == ("120.0", "26.0")
    assert (
        "water.kh_step_dkh" not in changed
        or changed["water.kh_step_dkh"][0] != changed["water.kh_step_dkh"][1]
    )


def test_a_plan_beside_itself_differs_in_nothing() -> None:
    one = planned("kitchen-nano")
    found = compare((job("kitchen-nano"), job("kitchen-nano")), (one, one))
    assert found.inputs == ()
    assert not any(row.apart for row in found.rows)
