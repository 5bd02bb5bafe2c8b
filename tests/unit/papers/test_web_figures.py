"""The small figures of the pages: where the dots stand, and that they say what they show."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from datetime import date

import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.papers.bottles_due import BottleDue, bottles_due_desk, bottles_due_phone, due_words
from fizzwright.papers.dial_curve import DialDay, dial_curve
from fizzwright.papers.gas_column import gas_line_phone
from fizzwright.papers.gas_line import gas_line_desk
from fizzwright.papers.gas_parts import Links
from fizzwright.papers.level_strip import level_scale, level_strip
from fizzwright.result import Estimate
from fizzwright.stages.plan import plan

TODAY = date(2026, 11, 24)


@pytest.fixture(scope="module")
def foyer():
    return plan(read_job(example_text("library-foyer-120.toml")), draws_count=60)


def test_strip_sets_the_dot_on_the_common_scale():
    # 20 of 40 is half of the way from 6 to 222: 114.
    svg = level_strip(Estimate(20, "mg_l", 15, 25), target_mg_l=(15, 20), ceiling_mg_l=30, most_mg_l=40)
    ET.fromstring(svg)
    assert 'cx="114"' in svg
    assert 'aria-hidden="true"' in svg
    assert "<title" not in svg
    assert re.findall(r">(\d+)</text>", level_scale(40)) == ["0", "10", "20", "30", "40"]


def test_a_tank_without_a_reading_has_no_dot():
    assert "circle" not in level_strip(None, target_mg_l=(15, 20), ceiling_mg_l=30, most_mg_l=40)


def test_dates_are_counted_from_today():
    assert due_words(Estimate(10, "days", 5, 40), TODAY) == ("4\u00a0Dec", "29\u00a0Nov…3\u00a0Jan 2027")
    assert due_words(Estimate(900, "days", 700, 1200), TODAY)[0] == "over two years"
    assert due_words(Estimate(100, "days", 60, 1200), TODAY)[1].endswith("…later")


@pytest.mark.parametrize("draw", [bottles_due_desk, bottles_due_phone])
def test_bottles_say_what_they_show(draw):
    rows = [
        BottleDue("<nano>", Estimate(10, "days", 5, 40)),
        BottleDue("rack", Estimate(200, "days", 90, 800)),
    ]
    root = ET.fromstring(draw(rows, today=TODAY))
    words = root.find("{http://www.w3.org/2000/svg}desc").text
    assert "<nano> 4\u00a0Dec, between 29\u00a0Nov and 3\u00a0Jan 2027" in words


def test_todays_dots_stand_at_their_hour(foyer):
    day = DialDay([(720.0, Estimate(15, "mg_l", 13, 17))], 840.0)
    svg = dial_curve(foyer, day)
    ET.fromstring(svg)
    # Noon is half of the way from 30 to 350: 190.
    assert '<circle class="dot" cx="190"' in svg
    assert "1 read today, the last at 15.0 mg/L, 13.0 to 17.0" in svg
    assert 'class="gas dash"' in svg


@pytest.mark.parametrize("draw", [gas_line_desk, gas_line_phone])
def test_stations_lead_somewhere_when_asked(foyer, draw):
    plain = draw(foyer)
    linked = draw(foyer, links=Links("?a=1&station={}", 4))
    ET.fromstring(linked)
    assert "<a " not in plain
    assert 'role="img"' in plain
    assert 'role="group"' in linked
    assert linked.count("<a ") == len(foyer.stations)
    assert 'href="?a=1&amp;station=4"' in linked
    assert linked.count('class="bal on"') == 1
