"""Tables of parts, outlets, seals and limits: complete, ordered, marked."""

from __future__ import annotations

import pytest

from fizzwright.catalogue.bottles import BOTTLE_SIZES, RETESTS, retest_in
from fizzwright.catalogue.outlets import COUNTRY_OUTLETS, OUTLETS, SEALS, outlet_in
from fizzwright.catalogue.part_kinds import DIFFUSER_KINDS, KINDS, TUBE_MOST_BARG, Place, kinds_at
from fizzwright.catalogue.room_air import ROOM_LIMITS, Over, limits_in, second_alarm_ppm
from fizzwright.job.part_words import Country, Outlet, PartKind, SealMaterial
from fizzwright.job.words import DiffuserKind, TubeMaterial
from fizzwright.sources import all_sources

MARKS = {"seen", "second hand", "memory", "practice"}


def test_every_word_has_its_row():
    assert set(OUTLETS) == set(Outlet)
    assert set(SEALS) == set(SealMaterial)
    assert set(KINDS) == set(PartKind)
    assert set(TUBE_MOST_BARG) == set(TubeMaterial)
    assert set(COUNTRY_OUTLETS) == set(Country)
    assert {row.job_kind for row in DIFFUSER_KINDS} >= set(DiffuserKind)


def test_every_row_is_marked_and_its_source_is_kept():
    rows = [*OUTLETS.values(), *SEALS.values(), *KINDS.values(), *DIFFUSER_KINDS, *ROOM_LIMITS, *RETESTS]
    assert {row.mark for row in rows} <= MARKS
    named = [row.source for row in rows if hasattr(row, "source") and " " not in row.source]
    assert [key for key in named if key not in all_sources()] == []


@pytest.mark.parametrize(
    ("country", "outlet"),
    [
        # second hand: lists of gas dealers; memory: the British and Australian rows
        (Country.UNITED_STATES, Outlet.CGA_320),
        (Country.GERMANY, Outlet.DIN_477_6),
        (Country.UNITED_KINGDOM, Outlet.BS_341_8),
        (Country.FRANCE, Outlet.NF_C),
        (Country.AUSTRALIA, Outlet.AS_2473_30),
    ],
)
def test_outlets_by_country(country, outlet):
    assert outlet_in(country) == (outlet,)


@pytest.mark.parametrize(
    "words",
    [
        "hand-dialled regulator", "regulator with solenoid", "one-gauge regulator", "two-gauge regulator",
        "two-stage regulator", "manifold block", "built-in counter", "spiral counter", "plain counter",
        "air-pump check valve", "gas check valve", "second-hand bottle", "extinguisher",
    ],
)  # fmt: skip
def test_the_trade_finds_its_words(words):
    assert PartKind(words) in KINDS


def test_brown_white_and_in_line():
    named = {row.trade_name for row in DIFFUSER_KINDS}
    assert {"brown disc", "white disc", "in-hose atomiser", "reactor"} <= named


def test_why_gauges_are_no_stages():
    assert "not two stages" in KINDS[PartKind.TWO_GAUGE_REGULATOR].mind


def test_places_stand_in_the_order_of_the_gas():
    assert list(Place)[:3] == [Place.BOTTLE, Place.SEAL, Place.REGULATOR]
    assert kinds_at(Place.CHECK_VALVE) == (PartKind.GAS_CHECK_VALVE, PartKind.AIR_CHECK_VALVE)


def test_what_is_refused_says_why():
    assert [kind for kind, row in KINDS.items() if row.refused] == [
        PartKind.SIPHON_BOTTLE, PartKind.EXTINGUISHER, PartKind.COARSE_NEEDLE, PartKind.TEE,
        PartKind.AIR_CHECK_VALVE,
    ]  # fmt: skip


def test_test_intervals():
    # seen: 49 CFR 180.209 table 1, New Zealand station pages; memory: P200
    assert retest_in(Country.UNITED_STATES).every_years == 5.0
    assert retest_in(Country.NEW_ZEALAND).every_years == 5.0
    assert retest_in(Country.FRANCE).every_years == 10.0
    assert retest_in(Country.CHINA) is None
    assert retest_in(None) is None


def test_limits_of_a_country_or_all():
    assert {row.over for row in limits_in(Country.UNITED_STATES)} >= {Over.EIGHT_HOURS, Over.FIFTEEN_MINUTES}
    assert limits_in(Country.CHINA) == ROOM_LIMITS
    assert limits_in(None) == ROOM_LIMITS


def test_second_alarms():
    # the country's 15-minute limit, but never the late 30 000 of some codes
    assert second_alarm_ppm(Country.GERMANY) == 10_000.0
    assert second_alarm_ppm(Country.UNITED_STATES) == 15_000.0
    assert second_alarm_ppm(None) == 10_000.0


def test_sizes_of_four_more_regions():
    # memory: UK about 2, 3.15, 5, 6.35, 34 kg; Japan 5, 7, 10, 30 kg at 1.34 L/kg
    names = {row.name: row for row in BOTTLE_SIZES}
    assert names["5 kg, Japan"].water_capacity_l == pytest.approx(6.7)
    assert {"3.15 kg, UK", "2.6 kg, Australia"} <= set(names)
