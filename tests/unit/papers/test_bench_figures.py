"""Drawings of single sums: whole XML, named and described, with the numbers of the answer in them."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from fizzwright.app import App
from fizzwright.errors import InputError
from fizzwright.stages.bench.water import AirQuestion, CheckerQuestion, Co2Question, co2

CO2 = Co2Question(water_c=25.0, ph=6.6, kh_dkh=4.0)
DRAWN = {
    "co2": lambda: App().co2_svg(CO2),
    "co2 of an aired sample": lambda: App().co2_svg(Co2Question(water_c=25.0, ph=6.4, aired_ph=7.6)),
    "checker": lambda: App().checker_svg(CheckerQuestion(25.0, co2_mg_l=20.0)),
    "airing": lambda: App().airing_svg(AirQuestion(25.0, kh_dkh=8.0)),
}


@pytest.mark.parametrize("name", DRAWN)
def test_a_whole_drawing(name):
    svg = DRAWN[name]()
    root = ElementTree.fromstring(svg)
    assert root.tag.endswith("svg")
    assert "nan" not in svg.lower().replace("banana", "")
    assert root[0].tag.endswith("title")
    assert len(root[1].text) > 60
    width = float(root.attrib["viewBox"].split()[2])
    for x in re.findall(r'<text x="([-\d.]+)"', svg):
        assert -1.0 <= float(x) <= width


def test_the_tank_stands_in_the_words():
    level = co2(CO2).co2_mg_l
    assert f"{level.value:.0f} mg/L ({level.low:.0f} to {level.high:.0f})" in DRAWN["co2"]()


def test_colours_run_from_blue_to_yellow():
    fills = re.findall(r"style=.fill:#(\w{2})(\w{2})(\w{2})", DRAWN["checker"]())
    assert len(fills) == 3 * 48
    first, last = (tuple(int(part, 16) for part in fills[48 + i]) for i in (0, 47))
    assert first[2] > first[0]
    assert last[0] > last[2]


def test_no_ph_no_drawing():
    with pytest.raises(InputError, match="pH"):
        App().co2_svg(Co2Question(water_c=25.0, checker_hue_deg=140.0))
    with pytest.raises(InputError, match="KH"):
        App().airing_svg(AirQuestion(25.0))
