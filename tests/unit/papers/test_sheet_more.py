"""The parts of the typeset plan about the days to come and about faults."""

from __future__ import annotations

import dataclasses
import re
from datetime import date
from pathlib import Path

import pytest

from fizzwright.papers.failure_course import Lamp
from fizzwright.papers.plan_sheet import plan_sheet
from fizzwright.papers.sheet_expect import expectations, lever_rows, ramp_table
from fizzwright.papers.sheet_failures import failure_page, joined
from fizzwright.result import Level
from fizzwright.units import System
from tests.unit.papers.pages import ask
from tests.unit.papers.papers_extremes import HOSTILE, LONG, extreme_plans
from tests.unit.papers.papers_failures import course, made_up_failures
from tests.unit.papers.papers_plans import changed, made_up_plan

DAY = date(2026, 11, 24)
NB = "\u00a0"


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@pytest.fixture(scope="module")
def sheet() -> bytes:
    return plan_sheet(made_up_plan(), failures=made_up_failures(), today=DAY)


def test_the_sheet_tells_the_days_to_come_and_the_faults(sheet: bytes, tmp_path: Path) -> None:
    text = flat(ask("pdftotext", sheet, tmp_path))
    for wanted in (
        "Coming up, day by day",
        "Steadiness against gas",
        "What drives the spread",
        "What would help",
        "Air at night.",
        "When something fails",
        "Pump stopped, gas on",
        "Ceiling after 6.2 (3.0…12.5) h in 20 % of draws.",
        "The ceiling is not reached.",
        "Over the ceiling no oftener than on a usual day.",
        "The ceiling falls to 20 mg/L.",
        "Begins at 8000 ppm, over the 8-hour workplace limit. Over 5000 ppm for 0.9 h.",
        "Seen:",
        "First:",
        "Mass balance of a well-mixed room",
        "heat wave: the room over its usual warmth",
    ):
        assert wanted in text, wanted
    assert "!" not in text
    assert not re.search(r"\bsafe", text, re.IGNORECASE)


def test_faults_come_last_but_for_the_working(sheet: bytes, tmp_path: Path) -> None:
    text = ask("pdftotext", sheet, tmp_path)
    order = [
        text.index(words) for words in ("Carbon ledger", "When something fails", "Equations run, by source")
    ]
    assert order == sorted(order)


def test_without_failures_no_page_speaks_of_them(tmp_path: Path) -> None:
    text = ask("pdftotext", plan_sheet(made_up_plan(), today=DAY), tmp_path)
    assert "When something fails" not in text


def test_the_same_faults_give_the_same_bytes(sheet: bytes) -> None:
    assert plan_sheet(made_up_plan(), failures=made_up_failures(), today=DAY) == sheet


@pytest.mark.parametrize("odd", ["no animals", "nothing more", "hostile words", "long words", "lake"])
def test_faults_can_be_set_beside_any_plan(odd: str) -> None:
    failures = made_up_failures()
    words = {"hostile words": HOSTILE, "long words": LONG}.get(odd)
    if words:
        told = dataclasses.replace(course(), name=words, happens=words, sees=words, first=words)
        failures = dataclasses.replace(failures, courses=(told,) * 4)
    pdf = plan_sheet(extreme_plans()[odd], failures=failures, system=System.US, today=DAY)
    assert b"pdfuaid" in pdf


def test_the_gravest_fault_stands_first() -> None:
    page = failure_page(made_up_failures(), Lamp(600, 1080), System.METRIC)
    levels = [cell["level"] for cell in page["cells"]]
    assert levels == [Level.STOP.value, Level.CARE.value, "", "", "", ""]
    assert page["cells"][0]["name"] == "Pump stopped, gas on"
    assert page["cells"][0]["happens"].startswith("From 06:30: ")


def test_a_hard_stop_alone_begins_its_sentence_with_a_capital() -> None:
    odd = dataclasses.replace(course(over_frac=0.03), to_hard_h=course().to_ceiling_h, p_hard_frac=0.3)
    failures = dataclasses.replace(made_up_failures(), courses=(odd,))
    cell = failure_page(failures, Lamp(600, 1080), System.METRIC)["cells"][0]
    assert cell["reached"] == f"Hard stop after 6.2{NB}(3.0…12.5){NB}h in 30{NB}% of draws."


def test_one_working_names_everything_once() -> None:
    plan, failures = made_up_plan().trail, made_up_failures().trail
    both = joined(plan, failures)
    assert joined(plan, None) is plan
    assert joined(both, failures) == both
    assert len(both.equations) == len(plan.equations) + 1
    assert len(both.sources) == len(plan.sources) + 1
    assert both.inputs_digest == plan.inputs_digest


def test_what_to_expect_says_how_steady_the_day_is() -> None:
    rows = {row["name"]: row for row in expectations(made_up_plan(), System.METRIC)}
    # A swing of 0.24 (0.20…0.31) is 24 % (20…31).
    assert rows["Swing in the light"]["value"].replace("\u2060", "") == f"24{NB}(20…31){NB}%"
    assert "longest time over it" in rows["CO₂ at the day's peak"]["note"]
    assert rows[f"Hours inside the target, of 8{NB}h lit"]["value"].startswith("7.4")
    assert "17:00" in rows["CO₂ and O₂ as one risk, at most"]["note"]
    bare = expectations(extreme_plans()["nothing more"], System.METRIC)
    assert [row["name"] for row in bare][2] == "Lit time inside the target"


def test_the_first_days_have_feed_bubbles_peak_and_chance() -> None:
    table = ramp_table(made_up_plan().ramp, System.METRIC)
    assert table is not None
    assert table["head"][:3] == ["day", "feed, mg/h", "bubbles/s"]
    # A quarter of 1040 mg/h and of 2.53 bubbles a second.
    assert table["rows"][0][:3] == ["1", "260", "0.63"]
    assert table["rows"][-1][1] == "1040"
    assert "17:00" in table["words"]
    assert ramp_table((), System.METRIC) is None


def test_levers_are_sentences_with_numbers() -> None:
    (row,) = lever_rows(made_up_plan())
    assert row["name"] == "Air at night"
    assert f"16{NB}mg/L instead of 23" in row["sentence"]
    assert lever_rows(changed(made_up_plan(), levers=())) == []
