"""How a plan is printed and what its JSON holds, on an invented plan."""

from __future__ import annotations

import json

import pytest

from fizzwright.cli.jsonout import answer_object, dumps
from fizzwright.cli.output import label_of
from fizzwright.cli.plan import plan_result
from fizzwright.cli.plan_text import plan_lines
from fizzwright.units import System, suffix_of
from tests.cli.invented import invented_plan

CONTRACT = (
    "feed_mg_h", "bubbles_per_s", "gas_on", "gas_off", "co2_at_lights_on_mg_l", "co2_peak_mg_l",
    "ceiling_mg_l", "p_over_ceiling", "stuck_open_24h_mg_l", "bottle_days", "ledger_g_day",
)  # fmt: skip


@pytest.fixture
def text():
    """The plan as printed, one plain blank where there are several or one that does not break."""
    lines = plan_lines(invented_plan(), System.METRIC)
    return "\n".join(" ".join(line.split()) for line in lines)


def test_what_a_technician_looks_for_stands_there(text):
    for needle in (
        "Feed 590 (450…750) mg/h",
        "on 08:30, off 19:30",
        "on 10:30, off 20:30",
        "set by hardy dwarf shrimp",
        "CO₂ after 24 h 61.0 (44.0…89.0) mg/L",
        "97 % of the draws",
        "57.0 (54.0…60.0) bar g",
        "pH over a gas-off night",
        "Porosity of the substrate: 40 %",
    ):
        assert needle in text, needle


def test_the_gravest_finding_comes_first(text):
    assert text.index("stop A stuck valve") < text.index("care KH is low") < text.index("note The night")


def test_the_ledger_sums_stand_under_it_and_are_equal(text):
    totals = [line.split()[-1] for line in text.splitlines() if "together" in line]
    # in 14.2 + 0.1, out 9.3 + 2.0 + 3.0
    assert totals == ["14.30", "14.30"]


def test_no_line_is_wider_than_the_page():
    assert max(len(line.rstrip()) for line in plan_lines(invented_plan(), System.METRIC)) <= 100


def test_a_starting_plan_shows_no_night():
    text = "\n".join(plan_lines(invented_plan(night=None), System.METRIC))
    assert "The logged night" not in text
    assert "starting plan" in text


def test_us_units():
    text = "\n".join(plan_lines(invented_plan(), System.US))
    # 57 bar / 0.0689476 = 827 psi, which its band rounds to tens.
    assert "830" in text
    assert "psi" in text


def test_json_holds_what_was_promised():
    plan = invented_plan()
    found = json.loads(dumps(answer_object(plan_result(plan), plan.trail)))
    assert set(found) == {"result", "findings", "trail", "version"}
    result = found["result"]
    assert [key for key in CONTRACT if key not in result] == []
    assert result["gas_on"] == "08:30"
    assert result["feed_mg_h"] == {
        "value": 590.0, "unit": "mg_h", "low": 450.0, "high": 750.0, "basis": "propagated",
    }  # fmt: skip
    assert result["ceiling_mg_l"]["value"] == 30.0
    assert result["ledger_g_day"]["in"] == pytest.approx(result["ledger_g_day"]["out"])
    assert found["findings"][1]["level"] == "stop"


def test_every_quantity_stands_under_a_key_that_ends_in_its_unit():
    plan = invented_plan()
    odd = []

    def walk(value, key):
        if isinstance(value, dict):
            if {"value", "unit", "low", "high", "basis"} <= set(value):
                odd.extend([key] if suffix_of(key) != value["unit"] else [])
            else:
                for name, item in value.items():
                    walk(item, name)
        if isinstance(value, list):
            for item in value:
                walk(item, "")

    walk(plan_result(plan), "")
    assert odd == ["p_over_ceiling"]


def test_labels():
    assert label_of("net_volume_l", "l") == "Net volume"
    assert label_of("kla_per_h", "per_h") == "kLa"
