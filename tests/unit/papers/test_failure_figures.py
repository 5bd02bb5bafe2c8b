"""Figures of faults, gas clocks and doubt: words in place, walls and bars where the numbers put them."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable

import pytest

from fizzwright.papers import failure_course as fc
from fizzwright.papers.failure_course import Lamp, more_than_usual
from fizzwright.papers.tokens import figure_rules
from fizzwright.stages.failures_result import FailureCourse
from tests.unit.papers import drawings as papers
from tests.unit.papers.papers_check import SPACE, classes, collisions, outside, read, texts
from tests.unit.papers.papers_extremes import HOSTILE
from tests.unit.papers.papers_failures import course, made_up_failures
from tests.unit.papers.papers_plans import made_up_plan

FIGURES: dict[str, Callable[..., str]] = {
    "desk": fc.failure_course_desk,
    "paper": fc.failure_course_paper,
    "phone": fc.failure_course_phone,
}
LAMP = Lamp(600, 1080)
COURSES = {
    "stuck open": course(),
    "nothing happens": course(ends_mg_l=0.0, over_frac=0.0),
    "far over": course(ends_mg_l=900.0, over_frac=1.0),
    "three days": course(length_h=72.0),
    "two weeks": course(length_h=336.0),
    "one hour": course(length_h=1.0),
    "low ceiling": course(ceiling_mg_l=2.0),
    "ceiling off the scale": course(ceiling_mg_l=400.0),
    "hostile": dataclasses.replace(course(), name=HOSTILE, happens=HOSTILE, sees=HOSTILE),
}


def _drawn(figure: str, one: FailureCourse, lamp: Lamp = LAMP) -> str:
    found = dataclasses.replace(made_up_failures(), courses=(one,))
    return FIGURES[figure](found, one, lamp)


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("odd", COURSES)
@pytest.mark.parametrize("lamp", [LAMP, Lamp(960, 120), Lamp(0, 1440), Lamp(600, 605)])
def test_no_word_covers_another_or_runs_off(figure: str, odd: str, lamp: Lamp) -> None:
    svg = _drawn(figure, COURSES[odd], lamp)
    assert collisions(svg) == []
    assert outside(svg) == []


@pytest.mark.parametrize("figure", FIGURES)
def test_a_figure_is_named_and_told_in_words(figure: str) -> None:
    root = read(_drawn(figure, course()))
    assert [child.tag for child in root][:2] == [f"{SPACE}title", f"{SPACE}desc"]
    assert root[0].text == "Valve stuck open"
    assert "22.8 mg/L, 19.2 to 27.4" in (root[1].text or "")
    known = {name for name in classes(_drawn(figure, course())) if re.search(rf"\.{name}\b", figure_rules())}
    assert classes(_drawn(figure, course())) - known <= {"wide", "narrow"}


def test_all_courses_of_a_tank_share_one_scale() -> None:
    found = made_up_failures()
    walls = set()
    for one in found.courses:
        if one.ceiling_mg_l == found.ceiling_mg_l:
            svg = fc.failure_course_paper(found, one, LAMP)
            walls |= set(re.findall(r'<path class="mid" d="M[\d.]+ ([\d.]+)L', svg))
    assert len(walls) == 1


def test_the_bar_on_the_ceiling_stands_only_where_a_fault_passes_it_more_often() -> None:
    bar = 'class="pipe"'
    assert bar in _drawn("paper", course(over_frac=0.2))
    assert bar not in _drawn("paper", course(over_frac=0.04))
    assert bar not in _drawn("paper", course(over_frac=0.0))
    # 3 % on an ordinary day: 5 % is within chance of it, 6 % is not.
    assert not more_than_usual(0.05, 0.03)
    assert more_than_usual(0.06, 0.03)


def test_the_bar_runs_from_limit_to_limit() -> None:
    svg = _drawn("phone", course())
    left, right = (float(v) for v in re.search(r'class="pipe" d="M([\d.]+) [\d.]+L([\d.]+) ', svg).groups())  # type: ignore[union-attr]
    ends = [float(v) for v in re.search(r'class="mid" d="M([\d.]+) [\d.]+L([\d.]+) ', svg).groups()]  # type: ignore[union-attr]
    # From 3.0 to 12.5 h of 24.
    assert (left - ends[0]) / (ends[1] - ends[0]) == pytest.approx(3.0 / 24, abs=0.002)
    assert (right - ends[0]) / (ends[1] - ends[0]) == pytest.approx(12.5 / 24, abs=0.002)


def test_dark_hours_are_counted_from_the_moment_of_the_fault() -> None:
    # The fault begins at 17:00, the lamp goes off at 18:00 and on at 10:00: dark from hour 1 to hour 17.
    svg = _drawn("phone", course())
    shade = [e for e in read(svg).iter(f"{SPACE}rect") if e.attrib["class"] == "shade"]
    ends = [float(v) for v in re.search(r'class="mid" d="M([\d.]+) [\d.]+L([\d.]+) ', svg).groups()]  # type: ignore[union-attr]
    assert len(shade) == 1
    left = float(shade[0].attrib["x"])
    right = left + float(shade[0].attrib["width"])
    assert (left - ends[0]) / (ends[1] - ends[0]) == pytest.approx(1 / 24, abs=0.002)
    assert (right - ends[0]) / (ends[1] - ends[0]) == pytest.approx(17 / 24, abs=0.002)


def test_the_usual_day_is_named_where_it_differs() -> None:
    assert "usual day" in texts(_drawn("phone", course("valve stuck shut", ends_mg_l=1.0)))
    alike = course()
    alike = dataclasses.replace(alike, usual_co2_mg_l=alike.co2_mg_l)
    assert "usual day" not in texts(_drawn("phone", alike))


def test_the_room_stands_under_its_limit_or_over_it() -> None:
    room = made_up_failures().room
    for one in (room, dataclasses.replace(room, room_ppm=room.room_ppm * 40, peak_ppm=320_000.0)):
        svg = fc.room_course_paper(one)
        assert collisions(svg) == []
        assert outside(svg) == []
        assert 'class="hatch"' in svg


def test_the_chosen_gas_clock_stands_out_and_every_one_is_named() -> None:
    plan = made_up_plan()
    for figure in ("steady_front_desk", "steady_front_paper", "steady_front_phone"):
        found = texts(getattr(papers, figure)(plan))
        assert {"this plan, 06:30–17:00", "09:00–17:00", "08:00–17:00", "06:30–18:00", "all day"} <= set(
            found
        )
        svg = getattr(papers, figure)(plan)
        assert svg.count('<circle class="gasf"') == 1
        assert svg.count('<circle class="dot"') == len(plan.front) - 1


def test_bars_of_doubt_are_as_long_as_their_share() -> None:
    svg = papers.input_bars_desk(made_up_plan())
    bars = [e for e in read(svg).iter(f"{SPACE}rect") if e.attrib["class"] in ("gasf", "riskf")]
    wide = [float(b.attrib["width"]) for b in bars]
    # 52, 28 and 14 of 100; the rest makes 6.
    assert [w / wide[0] for w in wide] == pytest.approx([1, 28 / 52, 14 / 52, 6 / 52], abs=0.01)
    assert {"52 %", "28 %", "14 %", "6 %"} <= {t.replace("\u00a0", " ") for t in texts(svg)}


def test_the_risk_hangs_under_its_alarm_and_a_tank_without_animals_has_none() -> None:
    plan = made_up_plan()
    for figure in ("day_strip_desk", "day_strip_phone"):
        assert any(t.startswith("alarm at 1") for t in texts(getattr(papers, figure)(plan)))
        bare = getattr(papers, figure)(dataclasses.replace(plan, risk=None))
        assert not any("alarm" in t for t in texts(bare))
        assert "highest 0.79" in " ".join(texts(getattr(papers, figure)(plan)))
