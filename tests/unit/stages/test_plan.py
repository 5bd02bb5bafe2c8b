"""The plan over the four example tanks: books, limits, refusals, and what a night changes."""

from __future__ import annotations

from functools import cache
from importlib import resources

import numpy as np
import pytest

from fizzwright.errors import UnsafePlan
from fizzwright.job.file import read_job
from fizzwright.job.model import Job
from fizzwright.result import Level
from fizzwright.stages.plan import plan
from fizzwright.stages.plan_night import NightLog
from fizzwright.stages.plan_result import PlanResult

EXAMPLES = ("library-foyer-120", "kitchen-nano", "shallow-bench-90", "school-rack")


def example(name: str) -> Job:
    text = resources.files("fizzwright.data").joinpath("examples", f"{name}.toml").read_text(encoding="utf-8")
    return read_job(text)


@cache
def planned(name: str) -> PlanResult:
    return plan(example(name), draws_count=300)


def changed(job: Job, **parts: dict[str, object]) -> Job:
    """The job with some fields of some parts changed, as a person would write it anew."""
    new = {name: getattr(job, name).model_copy(update=fields) for name, fields in parts.items()}
    return job.model_copy(update=new)


@pytest.mark.parametrize("name", EXAMPLES)
def test_ledger_balances(name: str) -> None:
    books = planned(name).ledger
    assert books.total_g_day("in") == pytest.approx(books.total_g_day("out"), rel=1e-9)
    assert books.residual_frac < 1e-9


@pytest.mark.parametrize("name", EXAMPLES)
def test_ceiling_is_passed_in_under_five_draws_of_a_hundred(name: str) -> None:
    assert planned(name).p_over_ceiling_frac <= 0.05


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_number_has_limits_around_it(name: str) -> None:
    result = planned(name)
    for field in (
        "feed_mg_h",
        "bubbles_per_s",
        "co2_peak_mg_l",
        "stuck_open_24h_mg_l",
        "bottle_days",
        "loss_per_h",
    ):
        estimate = getattr(result, field)
        assert estimate.low < estimate.value < estimate.high, field
        assert field.endswith(estimate.unit)


@pytest.mark.parametrize("name", EXAMPLES)
def test_gas_runs_in_the_light_plus_a_lead(name: str) -> None:
    # Common practice, no source: gas comes on before the lamp and is off by the time the lamp is.
    result = planned(name)
    lead = (result.light_on_min - result.gas_on_min) % 1440
    early = (result.light_off_min - result.gas_off_min) % 1440
    assert 0 <= lead <= 360
    assert 0 <= early <= (result.light_off_min - result.light_on_min) % 1440


def test_same_job_same_plan() -> None:
    assert (
        plan(example("kitchen-nano"), draws_count=100).feed_mg_h
        == plan(example("kitchen-nano"), draws_count=100).feed_mg_h
    )


def test_a_tank_under_ten_litres_lives_off_a_small_cartridge() -> None:
    # Common practice, no source: a nano tank needs so little that a small cartridge lasts for weeks.
    result, job = planned("kitchen-nano"), example("kitchen-nano")
    assert result.net_volume_l.value < 10
    assert job.gasline.bottle.charge_g <= 100
    assert result.feed_mg_h.value < 150
    assert result.bottle_days.low > 28


def test_stations_run_from_bottle_to_leaf_and_lose_what_the_ledger_says() -> None:
    result = planned("library-foyer-120")
    assert [s.number for s in result.stations] == list(range(1, 11))
    wall = next(line for line in result.ledger.lines if line.name == "through the tube wall")
    hours = ((result.gas_off_min - result.gas_on_min) % 1440) / 60
    tube = result.stations[6]
    assert tube.lost_mg_h is not None
    assert tube.lost_mg_h.value * hours / 1000 == pytest.approx(wall.carbon_g_day.value, rel=0.05)


def test_starting_plan_says_so_and_names_the_night_first() -> None:
    result = planned("library-foyer-120")
    assert result.kind == "starting"
    assert "starting plan" in result.verdict
    assert "night" in result.next_readings[0].name
    first = result.next_readings[0]
    assert first.high_mg_l - first.low_mg_l < result.co2_peak_mg_l.high - result.co2_peak_mg_l.low


def _night(loss_per_h: float, hours: float, start: float = 18.0, rest: float = 2.0) -> NightLog:
    """A made-up night: first-order loss at the foyer's hardness, 0.008 pH of noise (invented data)."""
    from fizzwright.engines.water.carbonate import ph_from_co2

    t = np.arange(0, hours, 1 / 6)
    co2 = rest + (start - rest) * np.exp(-loss_per_h * t)
    ph = ph_from_co2(co2, 4.25 / 2.80387, water_c=25.0, ionic_strength_mol_l=0.004)
    return NightLog(t, np.asarray(ph) + np.random.default_rng(5).normal(0, 0.008, t.size))


def test_a_night_tightens_the_plan() -> None:
    before = planned("library-foyer-120")
    after = plan(example("library-foyer-120"), night=_night(0.25, 9), draws_count=300)
    assert after.kind == "fitted"
    assert after.night is not None
    assert after.night.usable
    assert after.loss_per_h.low < 0.25 < after.loss_per_h.high
    spread = [np.log(p.co2_peak_mg_l.high / p.co2_peak_mg_l.low) for p in (before, after)]
    assert spread[1] < 0.6 * spread[0]
    assert after.share_in_band_frac > before.share_in_band_frac


def test_a_night_too_short_says_so_and_changes_nothing() -> None:
    result = plan(example("library-foyer-120"), night=_night(0.25, 1.2), draws_count=300)
    assert result.kind == "starting"
    assert result.night is not None
    assert not result.night.usable
    assert result.feed_mg_h == planned("library-foyer-120").feed_mg_h
    assert any(f.about == "night" and f.level is Level.CARE for f in result.trail.findings)


def test_a_still_surface_that_lets_a_stuck_valve_run_away_is_refused() -> None:
    # Four lit hours and six of lead at K = 0.05/h: a valve open for a day brings over twice the gas.
    job = changed(
        example("library-foyer-120"),
        surface={"loss_per_h": 0.05, "loss_spread_frac": 0.1},
        light={"on_min": 720, "off_min": 960},
        target={"low_mg_l": 19.0, "high_mg_l": 23.0},
    )
    few = tuple(a.model_copy(update={"count": 2}) for a in job.animals)
    job = job.model_copy(update={"animals": few, "plants": ()})
    with pytest.raises(UnsafePlan, match="stuck open"):
        plan(job, draws_count=100)


def test_too_many_animals_for_the_night_are_refused_with_the_oxygen_named() -> None:
    job = example("library-foyer-120")
    crowd = tuple(a.model_copy(update={"count": a.count * 40, "mass_g": a.mass_g * 4}) for a in job.animals)
    with pytest.raises(UnsafePlan, match="oxygen"):
        plan(job.model_copy(update={"animals": crowd}), draws_count=100)


def test_a_target_over_the_ceiling_is_refused() -> None:
    job = example("library-foyer-120")
    target = job.target.model_copy(update={"low_mg_l": 32.0, "high_mg_l": 40.0}) if job.target else None
    with pytest.raises(UnsafePlan, match="lower the target"):
        plan(job.model_copy(update={"target": target}), draws_count=100)


def test_shared_bottle_counts_the_other_tanks() -> None:
    alone = planned("school-rack")
    others = [alone.gas_g_day] * 3
    shared = plan(example("school-rack"), others_g_day=others, draws_count=300)
    assert shared.bottle_days.value == pytest.approx(alone.bottle_days.value / 4, rel=0.05)


def test_silicone_tube_is_called_out() -> None:
    # Silicone loses more than a 5 mL/min feed at 1 bar (Robb 1968, second hand): a small feed starves.
    job = example("kitchen-nano")
    tube = job.gasline.tube.model_copy(
        update={"material": "silicone", "length_m": 2.0, "bore_mm": 4.0, "outer_mm": 6.0}
    )
    job = job.model_copy(update={"gasline": job.gasline.model_copy(update={"tube": tube})})
    with pytest.raises(UnsafePlan, match="tube wall"):
        plan(job, draws_count=100)


def test_draws_are_stated_and_trail_is_full() -> None:
    result = planned("shallow-bench-90")
    assert result.draws_count == 300
    assert len(result.trail.equations) > 20
    assert all(a.chosen_by in {"default", "user"} for a in result.trail.assumptions)
    assert any("upright and chained" in f.text for f in result.trail.findings)
