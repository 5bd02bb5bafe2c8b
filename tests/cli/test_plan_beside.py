"""`plan --failures` and `plan --compare` as a user types them."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from fizzwright.cli.plan import plan
from fizzwright.job.examples import EXAMPLES, example_files, example_text


@pytest.fixture
def folder(tmp_path):
    for example in EXAMPLES:
        for name in example_files(example):
            (tmp_path / name).write_text(example_text(name), encoding="utf-8")
    return tmp_path


def run(*arguments: str):
    return CliRunner().invoke(plan, [*arguments, "--draws", "60"])


def test_failures_in_words(folder):
    done = run(str(folder / "kitchen-nano.toml"), "--failures")
    assert done.exit_code == 0, done.output
    for text in ("valve stuck open", "power cut", "whole bottle into the room", "see ", "do  ", "hard stop"):
        assert text in done.output
    assert max(len(line) for line in done.output.splitlines()) <= 110


def test_failures_as_json(folder):
    done = run(str(folder / "kitchen-nano.toml"), "--failures", "--json")
    body = json.loads(done.output)["result"]
    assert body["feed_mg_h"]["unit"] == "mg_h"
    course = body["failures"]["courses"][0]
    assert course["name"] == "valve stuck open"
    assert len(course["hours_h"]) == len(course["co2_mg_l"]) == len(course["o2_high_mg_l"])
    assert body["failures"]["trail"]["equations"]


def test_two_plans_side_by_side(folder):
    done = run(str(folder / "kitchen-nano.toml"), "--compare", str(folder / "library-foyer-120.toml"))
    assert done.exit_code == 0, done.output
    for text in ("kitchen nano", "library foyer 120", "tank.length_cm", "Take from it", "apart"):
        assert text in done.output


def test_two_plans_as_json(folder):
    done = run(
        str(folder / "kitchen-nano.toml"), "--compare", str(folder / "library-foyer-120.toml"), "--json"
    )
    body = json.loads(done.output)["result"]
    assert body["name"] == "kitchen nano"
    assert body["compare"]["other"]["result"]["name"] == "library foyer 120"
    assert any(row.get("feed_mg_h") for row in body["compare"]["rows"])


def test_both_at_once_are_refused(folder):
    job = str(folder / "kitchen-nano.toml")
    done = run(job, "--failures", "--compare", job)
    assert done.exit_code == 2


def test_the_plan_shows_steadiness_levers_and_the_first_days(folder):
    done = run(str(folder / "library-foyer-120.toml"))
    for text in (
        "How steady",
        "Steadiness against gas",
        "The first days",
        "What would help",
        "spread of the peak",
    ):
        assert text in done.output


def test_the_plan_as_json_holds_them_too(folder):
    body = json.loads(run(str(folder / "library-foyer-120.toml"), "--json").output)["result"]
    assert body["stability"]["swing_frac"]["unit"] == "frac"
    assert body["front"][0]["gas_g_day"]["unit"] == "g_day"
    assert body["ramp"][-1]["feed_mg_h"]["value"] == pytest.approx(body["feed_mg_h"]["value"])
    assert {lever["name"] for lever in body["levers"]} >= {"more surface movement", "air at night"}
    assert len(body["risk"]["risk_number"]) == len(body["risk"]["clock_min"])
