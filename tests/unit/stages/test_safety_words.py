"""A number that can hurt somebody never stands without its caution."""

from __future__ import annotations

import pytest

from fizzwright.catalogue.room_air import CARRY_WARNING, ROOM_WARNING
from fizzwright.job.examples import EXAMPLES, example_text
from fizzwright.job.file import read_job
from fizzwright.job.part_words import Country
from fizzwright.stages.bench.gas import (
    BottleQuestion,
    LeakQuestion,
    RoomQuestion,
    TubeQuestion,
    bottle,
    leak,
    room,
    tube,
)
from fizzwright.stages.bench.gas_bottle import BOTTLE_WARNING
from fizzwright.stages.bench.gas_leak_words import LEAK_WARNING
from fizzwright.stages.bench.gas_room import Shut
from fizzwright.stages.fit import fit
from fizzwright.stages.parts import parts
from fizzwright.stages.parts_misfits import NEVER_AT_THE_OUTLET
from fizzwright.stages.plan import plan
from fizzwright.stages.source import source
from fizzwright.stages.source_gas import CARTRIDGE_WARNING
from fizzwright.stages.source_home import ACID_WARNING, YEAST_WARNING
from fizzwright.stages.source_rest import GLUTARALDEHYDE_WARNING
from fizzwright.stages.survey import survey

JOBS = {name: read_job(example_text(f"{name}.toml")) for name in EXAMPLES}


def said(answer):
    return " ".join(finding.text for finding in answer.trail.findings)


@pytest.mark.parametrize("release_g", [10.0, 500.0, 2000.0, 10_000.0])
@pytest.mark.parametrize("volume_m3", [20.0, 80.0])
def test_a_figure_for_a_room_carries_the_rules_for_a_room(release_g, volume_m3):
    answer = room(RoomQuestion(release_g=release_g, volume_m3=volume_m3))
    assert ROOM_WARNING in said(answer)
    assert answer.alarm_height_m == 0.3
    assert "0.3 m over the floor" in said(answer)


def test_a_bottle_in_a_car_carries_the_rules_for_a_car():
    answer = room(RoomQuestion(release_g=2000.0, volume_m3=3.0, place=Shut.CAR))
    # derived: 2 kg in 3 m3 is over 30 % CO2
    assert answer.peak_ppm.value > 300_000
    assert CARRY_WARNING in said(answer)
    assert CARRY_WARNING not in said(room(RoomQuestion(release_g=2000.0, volume_m3=30.0)))


def test_limits_are_those_of_the_country():
    german = room(RoomQuestion(release_g=500.0, volume_m3=40.0, country=Country.GERMANY))
    british = room(RoomQuestion(release_g=500.0, volume_m3=40.0, country=Country.UNITED_KINGDOM))
    # second hand: AGW with factor 2, EH40
    assert any("10000" in row for row in german.limits)
    assert any("15000" in row for row in british.limits)
    assert (german.second_alarm_ppm, british.second_alarm_ppm) == (10_000.0, 15_000.0)


def test_the_largest_bottle_stays_under_the_lowest_limit():
    # derived: 40 m3 bears 0.70 kg under 10 000 ppm, 20 m3 0.35, 80 m3 1.4
    for volume_m3, kilos in ((20.0, 0.35), (40.0, 0.70), (80.0, 1.4)):
        answer = room(RoomQuestion(release_g=100.0, volume_m3=volume_m3))
        assert answer.largest_bottle_g.value == pytest.approx(kilos * 1000, rel=0.02)


@pytest.mark.parametrize(
    "question",
    [
        BottleQuestion(charge_g=2000.0, gauge_barg=57.0),
        BottleQuestion(charge_g=2000.0, gauge_barg=30.0),
        BottleQuestion(gross_g=6000.0, tare_g=4000.0),
    ],
)
def test_a_figure_for_a_bottle_carries_the_rules_for_bottles(question):
    assert BOTTLE_WARNING in said(bottle(question))


def test_a_figure_for_a_leak_says_what_to_do_at_a_hiss():
    answer = leak(LeakQuestion(volume_ml=30.0, drop_barg=0.1, time_min=60.0, gauge_barg=2.0))
    assert LEAK_WARNING in said(answer)
    assert "58 to 580 g" in said(answer)


def test_a_line_that_sucks_says_water_and_mains():
    answer = tube(TubeQuestion(material="soft pvc", length_m=2.0, bore_mm=4.0, outer_mm=6.0, gauge_barg=1.0))
    assert "mains" in said(answer)


@pytest.mark.parametrize("name", EXAMPLES)
def test_survey_and_parts(name):
    if survey(JOBS[name]).whole_release_ppm.value >= 5000:
        assert ROOM_WARNING in said(survey(JOBS[name]))
    found = parts(JOBS[name])
    for text in (ROOM_WARNING, BOTTLE_WARNING, NEVER_AT_THE_OUTLET):
        assert text in said(found)


def test_fit_and_source():
    job = JOBS["library-foyer-120"]
    made = plan(job, draws_count=60)
    card = fit(job, made)
    for text in (LEAK_WARNING, BOTTLE_WARNING, NEVER_AT_THE_OUTLET):
        assert text in said(card)
    told = said(source(job, made))
    for text in (
        BOTTLE_WARNING, ROOM_WARNING, CARRY_WARNING, CARTRIDGE_WARNING, YEAST_WARNING, ACID_WARNING,
        GLUTARALDEHYDE_WARNING,
    ):  # fmt: skip
        assert text in told
