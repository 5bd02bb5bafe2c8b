"""The parts list: order, what is there already, costs from the user's own file."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from fizzwright.catalogue.part_kinds import Place
from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.part_words import Country, PartKind
from fizzwright.job.write import update_job
from fizzwright.stages.parts import parts
from fizzwright.stages.parts_prices import RUN_KEYS, Cost, blank_prices, read_prices

FOYER = example_text("library-foyer-120.toml")
RACK = example_text("school-rack.toml")


def asked(changes=None, text=FOYER, **more):
    more.setdefault("country", Country.GERMANY)
    return parts(read_job(update_job(text, changes or {})), **more)


def test_parts_stand_in_the_order_they_are_fitted():
    order = list(Place)
    places = [order.index(line.place) for line in asked(text=RACK).lines]
    assert places == sorted(places)
    assert [line.number for line in asked().lines] == list(range(1, len(asked().lines) + 1))


def test_what_is_there_is_used():
    found = asked({"parts.owned": ["two-stage regulator", "gas check valve", "spiral counter"]})
    by_kind = {(line.kind, line.owned): line.count for line in found.lines}
    assert by_kind[("two-stage regulator", True)] == 1
    assert by_kind[("gas check valve", True)] == 1
    assert by_kind[("gas check valve", False)] == 1
    assert by_kind[("spiral counter", True)] == 1
    assert ("plain counter", False) not in by_kind


def test_a_solenoid_in_the_regulator_saves_one():
    found = asked({"parts.owned": ["regulator with solenoid"], "gasline.regulator.stages": 1})
    assert "solenoid valve" not in [line.kind for line in found.lines]


def test_tanks_that_share_a_bottle_get_a_block():
    assert "manifold block" in [line.kind for line in asked(text=RACK).lines]
    assert "manifold block" not in [line.kind for line in asked().lines]
    assert any("before the needles" in f.text for f in asked(text=RACK).trail.findings)


def test_region_comes_from_the_job_and_is_overruled():
    own = parts(read_job(update_job(FOYER, {"parts.region": "Australia"})))
    assert own.outlet == "AS 2473 Type 30"
    other = parts(read_job(update_job(FOYER, {"parts.region": "Australia"})), country=Country.CANADA)
    assert other.outlet == "CGA 320"


def test_without_a_country_it_asks():
    found = asked(country=None)
    assert found.outlet == ""
    assert any(f.about == "region" for f in found.trail.findings)


@pytest.mark.parametrize(
    ("country", "due"),
    # memory: 10 years in Europe; seen: 5 in the US and in New Zealand
    [(Country.GERMANY, "2031-03"), (Country.UNITED_STATES, "2026-03"), (Country.NEW_ZEALAND, "2026-03")],
)
def test_next_test_of_the_bottle(country, due):
    assert asked(country=country).next_test == due


def test_a_test_that_is_due_is_said():
    found = asked(country=Country.UNITED_STATES, today=date(2026, 5, 1))
    assert any("test date is past" in f.text for f in found.trail.findings)
    assert not any(f.about == "bottle test" for f in asked(today=date(2026, 5, 1)).trail.findings)


def test_costs_come_from_the_file():
    text = (
        'currency = "NZD"\n[buy]\n"timer" = 20\n"tube" = 1.5\n"gas check valve" = 8\n[lasts]\n"timer" = 4\n'
    )
    found = asked(prices=read_prices(text))
    # tube: 2.5 m and a tenth and a quarter of a metre over, to the next half metre: 3 m
    assert found.to_buy == Cost.of((20 + 3 * 1.5 + 2 * 8,) * 3, "NZD")
    # timer 20 over 4 years, tube 4.5 over 2, check valves 16 over 1
    assert float(found.to_renew_year.amount) == pytest.approx(20 / 4 + 4.5 / 2 + 16.0)
    assert "needle valve" in found.not_priced
    assert "timer" not in found.not_priced


def test_owned_parts_cost_nothing():
    prices = read_prices('currency = "EUR"\n[buy]\n"timer" = 20\n')
    assert asked({"parts.owned": ["timer"]}, prices=prices).to_buy.amount == Decimal("0.00")


def test_no_prices_no_costs():
    found = asked()
    assert found.to_buy is None
    assert all(line.cost is None for line in found.lines)


def test_the_blank_file_holds_every_key_and_reads():
    text = blank_prices()
    assert all(f'"{kind.value}"' in text for kind in PartKind)
    assert all(f"# {key} = " in text for key in RUN_KEYS)
    assert read_prices(text).buy == {}
    filled = "\n".join(row.removeprefix("# ") if " = " in row else row for row in text.splitlines())
    assert set(read_prices(filled).run) == set(RUN_KEYS)


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("[buy]\n", "currency"),
        ('currency = "EUR"\n[buy]\n"timmer" = 1\n', "buy.timmer"),
        ('currency = "EUR"\n[buy]\n"timer" = "12 EUR"\n', "buy.timer"),
        ('currency = "EUR"\n[run]\nkwh = -0.1\n', "run.kwh"),
        ('currency = "EUR"\n[run]\nkwh = nan\n', "run.kwh"),
        ('currency = "EUR"\n[lasts]\n"timer" = 0\n', "lasts.timer"),
        ('currency = "EUR"\nbuy = 3\n', "buy"),
        ('currency = "EUR"\n[spend]\n', "spend"),
        ("currency = EUR", "prices"),
    ],
)
def test_a_wrong_price_file_is_refused_by_its_key(text, field):
    with pytest.raises(InputError) as refused:
        read_prices(text)
    assert field in [fault.field for fault in refused.value.faults]


def test_small_costs_keep_their_figures():
    assert str(Cost.of((0.01234, 0.01, 0.02), "EUR")) == "0.0123 (0.0100…0.0200) EUR"
    assert str(Cost.of((12.0,) * 3, "EUR")) == "12.00 EUR"


def test_a_needle_for_this_feed():
    # IEC 60534-2-1 (memory), independent implementation: Kv 8.2e-6 m3/h for 5 mL/min from 3.0 to 1.5 bar abs
    found = asked({"gasline.regulator.set_pressure": "2 bar", "gasline.diffuser.opening": "0.42 bar"})
    assert found.needle_kv_l_h.low < 0.00824 < found.needle_kv_l_h.high
    assert found.needle_hole_um.value == pytest.approx(17.2, rel=0.05)
