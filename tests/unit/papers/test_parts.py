"""The parts behind the figures: scales, free places, symbols, the sums of the ledger."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fizzwright.papers.curves import Trace, spells, thinned
from fizzwright.papers.gas_parts import marks, rows, tank_start
from fizzwright.papers.ledger_parts import books
from fizzwright.papers.scales import Axis, LogAxis, nice_step, spread, ticks
from fizzwright.papers.svg import Box, escape, hatch_line, num
from fizzwright.papers.symbols import DRAWINGS, MARKS, Symbol, bottle, for_station, symbol_svg
from fizzwright.result import Level
from fizzwright.stages.plan_result import Ledger, LedgerLine
from fizzwright.units import System
from tests.unit.papers.papers_extremes import extreme_plans
from tests.unit.papers.papers_plans import band, made_up_plan, stations


def test_axes_run_straight_and_by_decades() -> None:
    assert Axis(0, 10, 100, 0)(2.5) == 75
    assert Axis(0, 10, 100, 0).held(12) == 0
    # Four decades over 100 px: one decade is 25 px; 1 stands two decades over 0.01.
    assert LogAxis(0.01, 100, 100, 0)(1) == pytest.approx(50)
    assert LogAxis(0.01, 100, 100, 0)(1e-9) == pytest.approx(100)


@pytest.mark.parametrize(
    ("span", "count", "step"), [(30, 4, 10), (22, 4, 10), (0.7, 3, 0.25), (1.1, 4, 0.5), (8, 4, 2)]
)
def test_steps_are_round(span: float, count: int, step: float) -> None:
    assert nice_step(span, count) == pytest.approx(step)


def test_ticks_include_both_ends() -> None:
    assert ticks(0, 30, 10) == (0, 10, 20, 30)
    assert ticks(6.42, 7.6, 0.5) == (6.5, 7.0, 7.5)


@given(st.lists(st.floats(0, 400), min_size=1, max_size=6), st.floats(8, 40))
def test_stacked_blocks_never_overlap(wished: list[float], height: float) -> None:
    centres = sorted(spread(wished, [height] * len(wished), low=0, high=400))
    assert all(b - a >= height + 5.999 for a, b in pairwise(centres))
    assert centres[0] - height / 2 >= -1e-6
    if (height + 6) * len(wished) <= 400:
        assert centres[-1] + height / 2 <= 400 + 1e-6


def test_a_lone_block_stands_where_it_wishes() -> None:
    assert spread([120.0], [30.0], low=0, high=400) == (120.0,)


@pytest.mark.parametrize(
    ("on", "off", "cut"),
    [
        (390, 1020, ((390, 1020),)),
        (1320, 360, ((0, 360), (1320, 1440))),
        (0, 1440, ((0, 1440),)),
        (600, 600, ((0, 600), (600, 1440))),
        (960, 0, ((960, 1440),)),
    ],
)
def test_spells_are_cut_at_midnight(on: int, off: int, cut: tuple[tuple[int, int], ...]) -> None:
    found = spells(on, off)
    assert sum(b - a for a, b in found) == sum(b - a for a, b in cut)
    if on != off:
        assert tuple(found) == cut


def test_thinning_keeps_the_ends_and_every_corner() -> None:
    xs = np.linspace(0.0, 100.0, 401)
    ys = np.abs(xs - 37.0)
    kept = thinned(xs, ys)
    assert kept[0] == (0.0, 37.0)
    assert kept[-1] == (100.0, 63.0)
    assert min(y for _, y in kept) < 0.2
    assert len(kept) < 10


@given(st.integers(0, 10_000))
def test_thinned_curves_stay_within_their_tolerance(seed: int) -> None:
    rng = np.random.default_rng(seed)
    xs = np.linspace(0.0, 800.0, 289)
    ys = np.cumsum(rng.normal(0, 1.5, 289))
    kept = thinned(xs, ys, tolerance=0.5)
    back = np.interp(xs, [x for x, _ in kept], [y for _, y in kept])
    assert np.max(np.abs(back - ys)) <= 0.5 + 1e-9


def test_a_band_knows_what_it_covers() -> None:
    x = np.array([0.0, 100.0])
    trace = Trace(x, np.array([60.0, 60.0]), np.array([50.0, 50.0]), np.array([40.0, 40.0]))
    assert trace.meets(Box(10, 45, 30, 55))
    assert not trace.meets(Box(10, 10, 30, 37))
    assert trace.meets(Box(10, 10, 30, 39)), "nearer than the gap"


def test_escaping_leaves_only_what_xml_allows() -> None:
    text = escape("<&>\"' \x07\ufffe\ud800 ok")
    assert text == "&lt;&amp;&gt;&quot;&#39;  ok"
    ElementTree.fromstring(f'<a b="{text}">{text}</a>')


def test_coordinates_carry_no_useless_figures() -> None:
    assert [num(x) for x in (1.0, 1.25, -0.04, 12.34)] == ["1", "1.2", "0", "12.3"]


def test_hatching_stays_on_its_line_and_its_side() -> None:
    marks_drawn = hatch_line((0, 50), (90, 50), side=-1).split("M")[1:]
    assert len(marks_drawn) == 10
    assert all(m.endswith("l7 -7") and m.split(" ")[1].startswith("50") for m in marks_drawn)


@pytest.mark.parametrize("symbol", list(Symbol))
def test_every_symbol_is_drawn_and_is_sound(symbol: Symbol) -> None:
    assert DRAWINGS[symbol]
    root = ElementTree.fromstring(symbol_svg(symbol))
    assert root.attrib["aria-hidden"] == "true"


def test_level_marks_differ_in_shape() -> None:
    assert len({MARKS[level] for level in Level}) == 3
    assert [("circle" in MARKS[Level.NOTE]), ("circle" in MARKS[Level.CARE])] == [True, False]


@pytest.mark.parametrize(
    ("name", "symbol"),
    [
        ("bottle", Symbol.BOTTLE_VALVE),
        ("solenoid", Symbol.GAS_CLOCK_VALVE),
        ("gas clock valve", Symbol.GAS_CLOCK_VALVE),
        ("needle", Symbol.NEEDLE_VALVE),
        ("counter", Symbol.BUBBLE_COUNTER),
        ("check valve", Symbol.CHECK_VALVE),
        ("tube 1.8 m", Symbol.TUBE),
        ("in-hose atomiser", Symbol.REACTOR),
        ("Air-stone", Symbol.DIFFUSER),
        ("leaf", Symbol.LEAF),
        ("muffler", Symbol.PART),
    ],
)
def test_stations_get_the_symbol_of_their_word(name: str, symbol: Symbol) -> None:
    assert for_station(name) is symbol


def test_an_empty_bottle_has_no_liquid_and_an_unknown_one_no_level() -> None:
    assert "gast" not in bottle(fill_frac=0.0)
    assert 'class="gas"' in bottle(fill_frac=0.0)
    assert 'class="gas"' not in bottle()


def test_the_tank_begins_at_the_diffuser() -> None:
    assert tank_start(stations()) == 7
    assert tank_start(extreme_plans()["short line"].stations) == 2


def test_flows_share_their_decimals_so_that_losses_add_up() -> None:
    found = rows(stations(), System.METRIC)
    flows = [row.flow.value for row in found if row.flow is not None]
    losses = {i: row.lost.value for i, row in enumerate(found) if row.lost is not None}
    assert flows[:8] == ["1040", "1040", "1040", "1040", "1039", "1039", "1035", "888"]
    for i, lost in losses.items():
        assert int(flows[i - 1]) - int(flows[i]) == int(lost)


def test_a_pond_is_told_in_grams() -> None:
    pond = rows(extreme_plans()["lake"].stations, System.METRIC)
    assert pond[0].flow is not None
    # 1040 mg/h times 300 is 312 g/h.
    assert (pond[0].flow.value, pond[0].flow.unit) == ("312.0", "g/h")


def test_the_gravest_finding_marks_a_station() -> None:
    plan = made_up_plan()
    found = dict(zip((s.name for s in plan.stations), marks(plan.stations, plan.trail), strict=True))
    assert found["bottle"] is Level.STOP
    assert found["gas clock valve"] is Level.CARE
    assert found["water"] is Level.NOTE
    assert found["tube"] is None


def test_both_sums_are_written_and_equal() -> None:
    kept = books(made_up_plan().ledger, System.METRIC)
    assert kept.totals == ("11.49", "11.49")
    assert kept.sum_of("out").endswith("0.05 + 1.54 + 9.21 + 0.65 + 0.04 = 11.49\u00a0g/day")
    assert kept.closing == "balances to round-off"


def test_thirds_are_rounded_so_that_the_sum_holds() -> None:
    # 10/3 each is 3.333; three of them must be written so that they make 10.00: 3.34 + 3.33 + 3.33.
    third = band(10 / 3, "g_day", 3, 4)
    lines = [LedgerLine("from the bottle", "in", band(10, "g_day", 9, 11))]
    lines += [LedgerLine(name, "out", third) for name in ("a", "b", "c")]
    kept = books(Ledger(tuple(lines), 0.0), System.METRIC)
    assert sum(round(100 * float(s.value)) for s in kept.outs) == 1000
    assert sorted(s.value for s in kept.outs) == ["3.33", "3.33", "3.34"]


@given(st.lists(st.floats(1e-6, 500), min_size=1, max_size=8), st.sampled_from(list(System)))
def test_written_sums_agree_for_any_ledger(out: list[float], system: System) -> None:
    lines = [LedgerLine("from the bottle", "in", band(sum(out), "g_day", 0, 1e9))]
    lines += [LedgerLine(f"stream {i}", "out", band(v, "g_day", 0, 1e9)) for i, v in enumerate(out)]
    kept = books(Ledger(tuple(lines), 0.0), system)
    assert kept.totals[0] == kept.totals[1]
    places = len(kept.totals[0].partition(".")[2])
    assert round(sum(float(s.value) for s in kept.outs), places) == pytest.approx(float(kept.totals[1]))


def test_a_stream_below_zero_stands_on_the_other_side() -> None:
    lines = (
        LedgerLine("from the bottle", "in", band(2, "g_day", 1, 3)),
        LedgerLine("change in store", "out", band(-1, "g_day", -2, -0.5)),
        LedgerLine("out of the surface", "out", band(3, "g_day", 2, 4)),
    )
    kept = books(Ledger(lines, 0.0), System.METRIC)
    assert [s.name for s in kept.ins] == ["from the bottle", "change in store"]
    assert kept.ins[1].limits == "0.500…2.000"
    assert kept.totals == ("3.000", "3.000")


def test_a_ledger_that_does_not_close_says_so() -> None:
    lines = (
        LedgerLine("from the bottle", "in", band(2, "g_day", 1, 3)),
        LedgerLine("out of the surface", "out", band(1.9, "g_day", 1, 3)),
    )
    kept = books(Ledger(lines, 0.05), System.METRIC)
    assert kept.closing == "open by 5\u00a0% of the sum in"
    assert kept.totals == ("2.000", "1.900")


def test_a_small_tank_is_told_in_milligrams() -> None:
    kept = books(extreme_plans()["nano"].ledger, System.US)
    assert kept.unit == "mg/day"
    # 10.91 g/day over a hundred is 109.1 mg.
    assert kept.ins[0].value == "109.1"
