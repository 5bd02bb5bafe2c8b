"""A plan set by hand: at its own settings it is the plan; elsewhere it moves the way water does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.plan import told
from fizzwright.stages.plan_choice import decide
from fizzwright.stages.plan_set import day_set, hand_set_of, plan_set
from fizzwright.stages.plan_slider import ready


@pytest.fixture(scope="module")
def decided():
    return decide(read_job(example_text("library-foyer-120.toml")), draws_count=100)


@pytest.fixture(scope="module")
def plan(decided):
    return told(decided)


@pytest.fixture(scope="module")
def slid():
    return ready(read_job(example_text("library-foyer-120.toml")), draws_count=100)


def test_at_its_own_settings_it_is_the_plan(decided, plan):
    same = plan_set(decided, plan, hand_set_of(plan))
    for name in (
        "co2_peak_mg_l",
        "o2_dawn_mg_l",
        "stuck_open_24h_mg_l",
        "gas_g_day",
        "bottle_days",
        "feed_mg_h",
    ):
        assert getattr(same, name).value == pytest.approx(getattr(plan, name).value, rel=1e-3), name
    assert [s.name for s in same.stations] == [s.name for s in plan.stations]


def test_day_and_whole_agree(decided, plan, slid):
    to = replace(hand_set_of(plan), bubbles_per_s=1.3 * plan.bubbles_per_s.value, gas_off_min=1050)
    quick, whole = day_set(slid, plan, to), plan_set(decided, plan, to)
    assert quick.co2_peak_mg_l.value == pytest.approx(whole.co2_peak_mg_l.value, rel=0.05)
    assert quick.verdict.partition(",")[0] == whole.verdict.partition(",")[0]


def test_more_gas_means_more_in_the_water_and_fewer_days_of_bottle(decided, plan):
    usual = hand_set_of(plan)
    more = plan_set(decided, plan, replace(usual, bubbles_per_s=1.5 * usual.bubbles_per_s))
    assert more.co2_peak_mg_l.value > plan.co2_peak_mg_l.value
    assert more.p_over_ceiling_frac > plan.p_over_ceiling_frac
    assert more.bottle_days.value == pytest.approx(plan.bottle_days.value / 1.5, rel=0.02)


def test_more_stir_means_less(decided, plan):
    usual = hand_set_of(plan)
    stirred = plan_set(decided, plan, replace(usual, loss_per_h=2 * usual.loss_per_h))
    assert stirred.co2_peak_mg_l.value < plan.co2_peak_mg_l.value
    assert stirred.loss_per_h.high == pytest.approx(2 * plan.loss_per_h.high)


def test_the_ledger_balances_wherever_it_is_set(decided, plan):
    usual = hand_set_of(plan)
    moved = plan_set(decided, plan, replace(usual, bubbles_per_s=0.4 * usual.bubbles_per_s, gas_on_min=0))
    assert moved.ledger.residual_frac < 1e-9
    assert moved.ledger.total_g_day("in") == pytest.approx(moved.ledger.total_g_day("out"))
