"""Where the carbon should come from: what each source gives, costs and does, and which is taken."""

from __future__ import annotations

import re

import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.write import update_job
from fizzwright.stages.parts_prices import blank_prices, read_prices
from fizzwright.stages.plan import plan
from fizzwright.stages.source import source
from fizzwright.stages.source_result import SourceKind

FOYER_TEXT = example_text("library-foyer-120.toml")
FOYER = read_job(FOYER_TEXT)
NANO = read_job(example_text("kitchen-nano.toml"))
RUN = {
    "refill": 30, "trip": 5, "kwh": 0.3, "hour": 10, "cartridge": 9, "cartridge_g": 95, "sugar_kg": 1.2,
    "yeast": 0.5, "citric_acid_kg": 5, "bicarbonate_kg": 3, "yeast_kit": 25, "acid_kit": 60,
    "liquid_carbon_l": 20, "tablet": 0.15,
}  # fmt: skip


@pytest.fixture(scope="module")
def foyer_plan():
    return plan(FOYER, draws_count=60)


@pytest.fixture(scope="module")
def nano_plan():
    return plan(NANO, draws_count=60)


def prices(part=15, **run):
    text = re.sub(r'^# ("[a-z0-9 -]+") = 0$', rf"\1 = {part}", blank_prices(), flags=re.MULTILINE)
    for key, value in {**RUN, **run}.items():
        text = re.sub(rf"^# {key} = 0 ", f"{key} = {value} ", text, flags=re.MULTILINE)
    return read_prices(text)


def by_kind(found):
    return {option.kind: option for option in found.options}


def test_every_source_is_compared(foyer_plan):
    assert [option.kind for option in source(FOYER, foyer_plan).options] == list(SourceKind)


def test_liquid_carbon_supplies_about_two_per_cent(foyer_plan):
    # practice: under 2 % of a pressurised dose; derived: 0.824 mg/L a day at the label's dose
    option = by_kind(source(FOYER, foyer_plan))[SourceKind.LIQUID_CARBON]
    assert option.gives_g_day.value == pytest.approx(0.824 * foyer_plan.net_volume_l.value / 1000, rel=0.01)
    assert 0.005 < option.share_frac.value < 0.03
    assert not option.suits


def test_bottle_days_are_usable_gas_over_need(foyer_plan):
    option = by_kind(source(FOYER, foyer_plan))[SourceKind.BOTTLE]
    assert option.renew_days.value == pytest.approx(0.97 * 2000 / foyer_plan.gas_g_day.value)
    assert option.renew_days.low < option.renew_days.value < option.renew_days.high


def test_cartridges_suit_a_nano_and_not_a_show_tank(foyer_plan, nano_plan):
    assert not by_kind(source(FOYER, foyer_plan))[SourceKind.CARTRIDGE].suits
    assert by_kind(source(NANO, nano_plan))[SourceKind.CARTRIDGE].suits


def test_yeast_rises_and_falls(foyer_plan):
    option = by_kind(source(FOYER, foyer_plan))[SourceKind.YEAST]
    rates = [point.gas_g_day for point in option.course]
    top = rates.index(max(rates))
    # practice: peak on day 1 to 4
    assert 1.0 <= option.course[top].time_days <= 5.0
    assert rates[-1] < 0.5 * max(rates)
    # derived: three bottles of 200 g sugar, 92 g of CO2 each, over two weeks
    assert option.gives_g_day.value == pytest.approx(3 * 92.6 / 14, rel=0.1)


def test_acid_says_what_a_shut_vessel_comes_to(foyer_plan):
    option = by_kind(source(FOYER, foyer_plan))[SourceKind.ACID]
    # derived: n / (V/24.4 + 0.034 Vw) with 123.7 g over 0.8 L water in 1.2 L space
    sealed = 123.7 / 44.01 / (1.2 / 24.4 + 0.034 * 0.8)
    assert f"about {sealed:.0f} bar" in option.hazards[0]
    assert "relief valve" in option.hazards[0]


def test_without_prices_no_cost_is_told(foyer_plan):
    found = source(FOYER, foyer_plan)
    assert all(option.cost_five_years is None and option.cost_per_g is None for option in found.options)
    assert any(finding.about == "prices" for finding in found.trail.findings)


def test_costs_add_up(foyer_plan):
    found = by_kind(source(FOYER, foyer_plan, prices=prices()))
    bottle = found[SourceKind.BOTTLE]
    assert bottle.not_priced == ()
    grams = foyer_plan.gas_g_day.value * 5 * 365
    assert float(bottle.cost_per_g.amount) == pytest.approx(
        float(bottle.cost_five_years.amount) / grams, rel=0.01
    )
    tablets = found[SourceKind.TABLETS]
    # 15 p a tablet, 4 a day, five years, and 9.1 h a year at 10
    count = -(-foyer_plan.net_volume_l.value // 60)
    assert float(tablets.cost_five_years.amount) == pytest.approx(
        0.15 * count * 1825 + 5 * 10 * 9.125, rel=0.001
    )


def test_dearer_gas_costs_more(foyer_plan):
    cheap, dear = (
        by_kind(source(FOYER, foyer_plan, prices=prices(refill=refill)))[
            SourceKind.BOTTLE
        ].cost_five_years.amount
        for refill in (20, 60)
    )
    assert dear > cheap


def test_missing_prices_are_named_not_guessed(foyer_plan):
    found = source(FOYER, foyer_plan, prices=read_prices('currency = "EUR"\n[run]\nrefill = 30\n'))
    bottle = by_kind(found)[SourceKind.BOTTLE]
    assert "trip" in bottle.not_priced
    assert any("counted as nothing" in finding.text for finding in found.trail.findings)


def test_a_show_tank_takes_the_bottle(foyer_plan):
    found = source(FOYER, foyer_plan, prices=prices())
    assert found.take is SourceKind.BOTTLE
    assert "Pressurised bottle" in found.recommendation


def test_a_budget_that_is_too_small_is_said(foyer_plan):
    found = source(FOYER, foyer_plan, prices=prices(), budget_number=50.0)
    assert found.take is SourceKind.NOTHING
    assert "at this budget" in found.recommendation
    rich = source(FOYER, foyer_plan, prices=prices(), budget_number=1e5)
    assert rich.take is SourceKind.BOTTLE


def test_a_cartridge_beats_a_dear_bottle_on_a_nano(nano_plan):
    assert source(NANO, nano_plan, prices=prices(refill=90, trip=50)).take is SourceKind.CARTRIDGE


def test_no_plants_no_gas(foyer_plan):
    bare = FOYER.model_copy(update={"plants": ()})
    assert source(bare, foyer_plan).take is SourceKind.NOTHING


def test_shade_plants_in_the_dim_need_none():
    dim = {"light.par": "20 µmol", "plants[1].grows": "slow shade plants"}
    job = read_job(update_job(FOYER_TEXT, dim))
    found = source(job, plan(job, draws_count=60))
    assert found.take is SourceKind.NOTHING
    assert "little light" in found.recommendation
