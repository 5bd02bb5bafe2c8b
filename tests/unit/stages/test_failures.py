"""Faults of the example tanks: directions that must hold, sums by hand, and an honest trail."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.model import Job
from fizzwright.result import Level
from fizzwright.stages.failure_words import FAULT_WORDS
from fizzwright.stages.failures import failures, failures_of
from fizzwright.stages.failures_result import FailureCourse, FailuresResult
from fizzwright.stages.plan_choice import decide


def job(name: str) -> Job:
    return read_job(example_text(f"{name}.toml"))


@cache
def failed(name: str) -> FailuresResult:
    return failures(job(name), draws_count=200)


def course(name: str, fault: str) -> FailureCourse:
    return next(c for c in failed(name).courses if c.name == fault)


EXAMPLES = ("library-foyer-120", "kitchen-nano", "shallow-bench-90", "school-rack")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_fault_is_tried_and_told(name: str) -> None:
    found = failed(name)
    assert {c.name for c in found.courses} == set(FAULT_WORDS)
    for c in found.courses:
        assert np.all(np.diff(c.hours_h) >= 0)
        assert np.all(c.co2_low_mg_l <= c.co2_mg_l)
        assert np.all(c.co2_mg_l <= c.co2_high_mg_l)
        assert (c.to_ceiling_h is None) == (c.p_ceiling_frac == 0)
        assert c.p_hard_frac <= c.p_ceiling_frac
        assert c.sees
        assert c.first


@pytest.mark.parametrize("name", EXAMPLES)
def test_directions(name: str) -> None:
    def peak(fault: str) -> float:
        return course(name, fault).co2_peak_mg_l.value

    usual = float(course(name, "valve stuck open").usual_co2_mg_l.max())
    assert peak("valve stuck open") > usual
    assert peak("valve stuck shut") < 0.6 * usual
    assert peak("pump stopped, gas on") > 1.5 * usual
    assert peak("probe reads high") > 1.3 * usual
    assert peak("diffuser cracked") <= usual * 1.02
    assert (
        course(name, "power cut").o2_least_mg_l.value < course(name, "valve stuck shut").o2_least_mg_l.value
    )
    assert course(name, "heat wave").o2_least_mg_l.value < course(name, "big trim").o2_least_mg_l.value
    assert (
        course(name, "valve leaking by").co2_least_mg_l.value
        > course(name, "valve stuck shut").co2_least_mg_l.value
    )


def test_a_trusted_probe_doubles_as_its_offset_says() -> None:
    # 0.2 pH at one alkalinity is a factor of 10^0.2 = 1.585 in CO2 (definition of pH).
    c = course("library-foyer-120", "probe reads high")
    second_day = (c.hours_h > 24) & (c.hours_h < 40)
    ratio = c.co2_mg_l[second_day].max() / c.usual_co2_mg_l[second_day].max()
    assert ratio == pytest.approx(10**0.2, rel=0.05)


def test_a_stopped_pump_is_a_stop_where_gas_runs_on() -> None:
    c = course("library-foyer-120", "pump stopped, gas on")
    assert c.level is Level.STOP
    assert c.to_ceiling_h is not None
    assert 1.0 < c.to_ceiling_h.value < 12.0
    assert any(
        f.level is Level.STOP and "Pump stopped" in f.text for f in failed("library-foyer-120").trail.findings
    )


def test_room_after_the_whole_bottle() -> None:
    # 1 kg in 40 m3 is 13 592 ppm over 420 (0.54367 m3 a kilogram, ideal mixing): less what it pushes out.
    tank = job("library-foyer-120")
    bottle = tank.gasline.bottle.model_copy(update={"remaining_g": 1000.0})
    small = tank.model_copy(
        update={
            "gasline": tank.gasline.model_copy(update={"bottle": bottle}),
            "room": tank.room.model_copy(
                update={"volume_m3": 40.0, "temperature_c": 20.0, "co2_ppm": None, "air_changes_per_h": 0.5}
            ),
        }
    )
    decided = decide(small, draws_count=60)
    room = failures_of(decided).room
    assert room.peak_ppm == pytest.approx(420 + 13592, rel=0.01)
    # From 14 012 to 5000 over 420 at half a change an hour: ln(13592/4580)/0.5 = 2.18 h.
    assert room.over_8_hour_h == pytest.approx(2.18, abs=0.03)
    assert room.room_ppm[0] == pytest.approx(room.peak_ppm)


def test_plants_left_out_leaves_the_trim_out() -> None:
    bare = job("library-foyer-120").model_copy(update={"plants": ()})
    assert "big trim" not in {c.name for c in failures(bare, draws_count=60).courses}
