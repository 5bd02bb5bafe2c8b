"""Every figure, for every plan at the edge: sound XML, words in place, nothing covered, nothing let in."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from fizzwright.papers.tokens import figure_rules
from fizzwright.units import System
from tests.unit.papers import drawings as papers
from tests.unit.papers.papers_check import SPACE, classes, collisions, outside, read, texts
from tests.unit.papers.papers_extremes import HOSTILE, extreme_plans
from tests.unit.papers.papers_plans import band, changed, made_up_plan

FIGURES: dict[str, Callable[..., str]] = {
    name: getattr(papers, name)
    for name in papers.__all__
    if name.startswith(("day_strip", "gas_line", "ledger", "next_readings", "input_bars", "steady_front"))
}
IN_UNITS = [name for name in FIGURES if name.startswith(("gas_line", "ledger", "steady_front"))]
PLANS = extreme_plans()


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("odd", PLANS)
def test_no_word_covers_another_or_runs_off(figure: str, odd: str) -> None:
    svg = FIGURES[figure](PLANS[odd])
    assert collisions(svg) == []
    assert outside(svg) == []


@pytest.mark.parametrize("figure", IN_UNITS)
@pytest.mark.parametrize("odd", ["made up", "nano", "lake", "crowded line"])
def test_us_units_fit_too(figure: str, odd: str) -> None:
    svg = FIGURES[figure](PLANS[odd], system=System.US)
    assert collisions(svg) == []
    assert outside(svg) == []


@pytest.mark.parametrize("figure", FIGURES)
def test_title_and_words_come_first_and_name_the_figure(figure: str) -> None:
    root = read(FIGURES[figure](made_up_plan(), prefix="p7"))
    assert [child.tag for child in root][:2] == [f"{SPACE}title", f"{SPACE}desc"]
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-labelledby"] == "p7-t p7-d"
    assert re.search(r"\d", root[1].text or "")
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids)) == 2
    assert all(i.startswith("p7-") for i in ids)


@pytest.mark.parametrize("figure", FIGURES)
def test_two_prefixes_share_no_id(figure: str) -> None:
    one, other = (
        set(re.findall(r' id="([^"]+)"', FIGURES[figure](made_up_plan(), prefix=p))) for p in ("a", "b")
    )
    assert not one & other


def test_a_prefix_cannot_break_out_of_its_attribute() -> None:
    svg = papers.day_strip_desk(made_up_plan(), prefix='x" onload="y')
    assert "onload=" not in re.sub(r'"[^"]*"', '""', svg)
    read(svg)


@pytest.mark.parametrize("figure", FIGURES)
def test_every_class_has_a_rule_and_no_style_or_script_is_inline(figure: str) -> None:
    svg = FIGURES[figure](made_up_plan())
    rules = figure_rules()
    known = {name for name in classes(svg) if re.search(rf"\.{name}\b", rules)}
    assert classes(svg) - known <= {"wide", "narrow"}
    for element in read(svg).iter():
        assert not {a for a in element.attrib if a == "style" or a.startswith("on") or "href" in a}
        assert element.tag.removeprefix(SPACE) in {
            "svg",
            "title",
            "desc",
            "g",
            "path",
            "rect",
            "circle",
            "text",
        }


@pytest.mark.parametrize("figure", FIGURES)
def test_hostile_words_stay_words(figure: str) -> None:
    svg = FIGURES[figure](PLANS["hostile words"])
    root = read(svg)
    assert not [e for e in root.iter() if e.tag.endswith("}b")]
    assert "\u0007" not in svg
    if not figure.startswith(("day", "gas_line_paper", "steady_front")):
        assert "#evil[*x*]" in " ".join(root.itertext())
    assert '"quoted"' in HOSTILE
    assert 'class="quoted' not in svg


@pytest.mark.parametrize("figure", FIGURES)
def test_numbers_are_spelled_as_the_house_spells_them(figure: str) -> None:
    for text in texts(FIGURES[figure](made_up_plan())):
        assert "..." not in text
        assert not re.search(r"(?<![\w–])-\d", text), "a minus is a true minus"
        assert not re.search(r"\d (mg|g|L|h|bar|%)\b", text), f"a plain blank before a unit: {text}"
        assert "!" not in text


def test_day_strip_names_its_limits_and_who_sets_them() -> None:
    wide = texts(papers.day_strip_desk(made_up_plan()))
    assert {"starting ceiling 25", "target 14…20", "floor 5", "expected", "90\u00a0% band"} <= {
        t.replace("90 %", "90\u00a0%") for t in wide
    }
    assert any("hardy dwarf shrimp" in t for t in wide)
    phone = texts(papers.day_strip_phone(made_up_plan()))
    assert any(t.startswith("starting ceiling 25") for t in phone)
    assert "target 14…20" in phone
    assert "floor 5" in phone


def test_the_peak_stands_with_its_limits() -> None:
    wide = texts(papers.day_strip_desk(made_up_plan()))
    at = next(i for i, t in enumerate(wide) if t.startswith("peak 19.9 at"))
    assert wide[at + 1] == "16.9…24.0"


def test_bars_over_midnight_are_cut_in_two() -> None:
    plan = PLANS["gas over midnight"]
    bars = [e for e in read(papers.day_strip_desk(plan)).iter(f"{SPACE}rect") if e.attrib["class"] == "gasf"]
    # The axis runs from 92 to 964: 22:00 falls on 92 + 872 * 22/24 = 891.3, 09:00 on 92 + 872 * 9/24 = 419.
    edges = sorted((float(b.attrib["x"]), float(b.attrib["x"]) + float(b.attrib["width"])) for b in bars)
    assert edges == [pytest.approx((92.0, 419.0), abs=0.2), pytest.approx((891.3, 964.0), abs=0.2)]


def test_dark_hours_are_what_the_lamp_leaves() -> None:
    plan = PLANS["lamp over midnight"]
    shaded = (
        e for e in read(papers.day_strip_desk(plan)).iter(f"{SPACE}rect") if e.attrib["class"] == "shade"
    )
    first = next(shaded)
    # Lamp from 16:00 to 02:00: dark from 02:00 (92 + 872/12 = 164.7) to 16:00 (92 + 872 * 2/3 = 673.3).
    assert float(first.attrib["x"]) == pytest.approx(164.7, abs=0.2)
    assert float(first.attrib["x"]) + float(first.attrib["width"]) == pytest.approx(673.3, abs=0.2)


def test_readings_are_rings_and_one_set_aside_is_struck_through() -> None:
    plan = made_up_plan()
    kept = papers.DayReading(660, "co2", band(15, "mg_l", 12, 18))
    aside = papers.DayReading(700, "ph", band(6.9, "ph", 6.8, 7.0), set_aside=True)
    bare = papers.day_strip_desk(plan)
    svg = papers.day_strip_desk(plan, readings=[kept, aside])
    assert svg.count('class="dot"') == bare.count('class="dot"') + 2
    assert svg.count('class="mid"') == bare.count('class="mid"') + 1
    assert "2 readings" in svg


@pytest.mark.parametrize("now_min", [0.0, 10.0, 780.0, 1020.0, 1439.0])
@pytest.mark.parametrize("figure", ["day_strip_desk", "day_strip_paper", "day_strip_phone"])
def test_the_present_reads_out_beside_its_line(figure: str, now_min: float) -> None:
    svg = FIGURES[figure](made_up_plan(), now_min=now_min)
    assert collisions(svg) == []
    assert outside(svg) == []
    assert len(texts(svg)) == len(texts(FIGURES[figure](made_up_plan()))) + 4


def test_gas_line_shows_every_station_with_pressure_flow_and_loss() -> None:
    plan = made_up_plan()
    for figure in ("gas_line_desk", "gas_line_paper", "gas_line_phone"):
        found = texts(FIGURES[figure](plan))
        assert {str(s.number) for s in plan.stations} <= set(found)
        for wanted in ("56.3", "53.6…59.0", "147", "85…210", "801"):
            assert any(t == wanted or t.startswith(f"{wanted}\u00a0") for t in found), (figure, wanted)


def test_heavy_losses_are_bold_copper_and_small_ones_are_not() -> None:
    svg = papers.gas_line_desk(made_up_plan())
    css = {e.text: e.attrib.get("class", "") for e in read(svg).iter(f"{SPACE}text")}
    assert "tb tg" in css["147"]
    assert "tb tg" in css["801"]
    lone = [e for e in read(svg).iter(f"{SPACE}text") if e.text == "1" and e.attrib["class"] == "mm"]
    assert len(lone) == 1, "the counter loses 1 mg/h, which is not over the mark"


def test_a_finding_puts_its_mark_beside_its_station() -> None:
    plan = made_up_plan()
    quiet = changed(plan, trail=type(plan.trail)((), (), (), (), "", ""))
    stop = "M-3.5 -8.5H3.5"
    for figure in ("gas_line_desk", "gas_line_paper", "gas_line_phone"):
        assert stop in FIGURES[figure](plan)
        assert stop not in FIGURES[figure](quiet)


def test_an_unknown_fill_claims_no_level() -> None:
    known = papers.gas_line_desk(made_up_plan(), bottle_left_frac=0.5)
    unknown = papers.gas_line_desk(made_up_plan())
    # The level is a copper line across the bottle, 52 px wide, at half of the way from 137 up to 36: 86.5.
    assert '<path class="gas" d="M-26 86.5H26"/>' in known
    assert 'd="M-26 86.5H26"' not in unknown
    assert not re.search(r'<path class="gas" d="M-26 [\d.]+H26"/>', unknown)


def test_next_readings_show_before_and_after_on_one_scale() -> None:
    plan = made_up_plan()
    found = texts(papers.next_readings_desk(plan))
    assert {"18.2…21.9", "17.6…23.0", "17.4…23.2", "17.3…23.4"} <= set(found)
    svg = papers.next_readings_desk(plan)
    assert svg.count('class="pipe"') == len(plan.next_readings) == svg.count('class="dot"')


def test_a_plan_with_nothing_to_measure_still_draws() -> None:
    plan = PLANS["gas from the air"]
    for figure in ("next_readings_desk", "next_readings_paper", "next_readings_phone"):
        read(FIGURES[figure](plan))


def test_a_minute_by_minute_day_makes_no_bulky_drawing() -> None:
    assert len(papers.day_strip_phone(PLANS["flat day"])) < 12_000
    assert len(papers.day_strip_desk(made_up_plan())) < 24_000
