"""Every misfit is refused, each with its reason."""

from __future__ import annotations

import itertools

import pytest

from fizzwright.catalogue.outlets import OUTLETS
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.part_words import Country, Outlet
from fizzwright.job.write import update_job
from fizzwright.result import Level
from fizzwright.stages.parts import parts
from fizzwright.stages.parts_misfits import outlet_misfit

FOYER = example_text("library-foyer-120.toml")
NANO = example_text("kitchen-nano.toml")


def asked(changes, text=FOYER, country=Country.GERMANY):
    return parts(read_job(update_job(text, changes)), country=country)


def refusals(changes, text=FOYER, country=Country.GERMANY):
    return " | ".join(asked(changes, text, country).refused)


def test_the_example_fits():
    found = asked({})
    assert found.refused == ()
    assert found.outlet == "DIN 477 No. 6"


# --- thread -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bottle", "regulator", "reason"),
    [
        # second hand and memory: 20.96, 21.7, 21.8, 21.84, 22.0 mm at 14 to the inch start on each other
        (Outlet.DIN_477_6, Outlet.BS_341_8, "seat and length differ"),
        (Outlet.DIN_477_6, Outlet.NF_C, "seat and length differ"),
        (Outlet.DIN_477_6, Outlet.CGA_320, "seat and length differ"),
        (Outlet.DIN_477_6, Outlet.JIS_EXTERNAL, "seat and length differ"),
        (Outlet.BS_341_8, Outlet.AS_2473_30, "seat and length differ"),
        (Outlet.UNI_11144, Outlet.DIN_477_6, "seat and length differ"),
        (Outlet.DIN_477_6, Outlet.GOST, "other thread"),
        (Outlet.JIS_INTERNAL, Outlet.JIS_EXTERNAL, "external"),
        # the thread equals in name, the valve needs a pin and seals on a ring
        (Outlet.SPORTS_PIN, Outlet.CGA_320, "pin"),
        (Outlet.CGA_320, Outlet.SPORTS_PIN, "pin"),
        (Outlet.HOME_SCREW, Outlet.DIN_477_6, "pin"),
        (Outlet.CARTRIDGE_74, Outlet.DIN_477_6, "pierced"),
        (Outlet.CARTRIDGE_45, Outlet.CARTRIDGE_74, "other thread"),
        (Outlet.EXTINGUISHER, Outlet.DIN_477_6, "extinguisher"),
    ],
)
def test_a_regulator_for_another_outlet_is_refused(bottle, regulator, reason):
    text = refusals({"parts.bottle_outlet": bottle.value, "parts.regulator_inlet": regulator.value})
    assert "Thread:" in text
    assert reason in text
    assert "Never an adapter between gas families" in text


@pytest.mark.parametrize("pair", list(itertools.permutations(Outlet, 2)), ids=lambda p: f"{p[0]}-{p[1]}")
def test_no_two_outlets_are_taken_for_one(pair):
    assert outlet_misfit(*pair)


@pytest.mark.parametrize("outlet", Outlet)
def test_the_same_outlet_fits(outlet):
    assert outlet_misfit(outlet, outlet) == ""


def test_an_adapter_is_let_pass_only_with_its_conditions():
    found = asked(
        {"parts.regulator_inlet": "CGA 320", "parts.owned": ["outlet adapter"]},
    )
    assert found.refused == ()
    said = [f.text for f in found.trail.findings if f.about == "outlet adapter"]
    assert "marked with its pressure for exactly this pair" in said[0]


def test_a_foreign_bottle_is_pointed_out():
    found = asked({"parts.bottle_outlet": "CGA 320"})
    assert any("fillers in Germany use" in f.text for f in found.trail.findings)


def test_two_patterns_in_one_country_are_asked_for():
    found = asked({}, country=Country.JAPAN)
    assert found.outlet == ""
    assert any("JIS B 8246 external or JIS B 8246 internal" in f.text for f in found.trail.findings)


# --- seal and elastomer -------------------------------------------------------------------------------


@pytest.mark.parametrize("seal", ["epdm", "nbr", "fkm", "silicone", "polyurethane"])
def test_rubber_is_no_flat_washer(seal):
    assert "Seal:" in refusals({"parts.bottle_seal": seal})


@pytest.mark.parametrize("seal", ["nylon", "ptfe", "fibre"])
def test_hard_washers_fit(seal):
    assert refusals({"parts.bottle_seal": seal}) == ""


@pytest.mark.parametrize(
    ("seal", "reason"), [("nbr", "blisters"), ("fkm", "blisters"), ("silicone", "swells")]
)
def test_rings_that_blister_at_bottle_pressure(seal, reason):
    text = refusals({"parts.bottle_outlet": "sports tank pin valve", "parts.bottle_seal": seal})
    assert "Elastomer:" in text
    assert reason in text


@pytest.mark.parametrize(
    ("seat", "reason"), [("nbr", "stiffens"), ("silicone", "swells"), ("fibre", "soaks")]
)
def test_check_valve_seats(seat, reason):
    text = refusals({"parts.check_valve_seat": seat})
    assert "Elastomer:" in text
    assert reason in text


@pytest.mark.parametrize("seat", ["epdm", "fkm"])
def test_check_valve_seats_that_serve(seat):
    assert refusals({"parts.check_valve_seat": seat}) == ""


# --- pressure -----------------------------------------------------------------------------------------


def test_too_little_pressure_for_the_diffuser():
    assert "no gas would come" in refusals({"gasline.regulator.set_pressure": "1 bar"})


def test_a_regulator_that_cannot_give_enough():
    assert "gives 0.800" in refusals({"parts.regulator_max": "0.8 bar"})


def test_a_part_marked_for_less_than_it_would_see():
    # set 2.5 bar g, 0.3 bar more at lock-up
    assert "would see 2.8" in refusals({"parts.low_side_max": "2.6 bar"})
    assert refusals({"parts.low_side_max": "3 bar"}) == ""


def test_a_tube_too_soft_for_the_pressure():
    text = refusals({"gasline.tube.material": "silicone"})
    assert "silicone tube is for about" in text


# --- kind ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "reason"),
    [
        ("siphon bottle", "liquid"),
        ("extinguisher", "never convert it yourself"),
        ("coarse needle valve", "cannot be set"),
        ("tee after the needle valve", "one each"),
        ("air-pump check valve", "stiffens"),
    ],
)
def test_kinds_that_are_refused(kind, reason):
    found = asked({"parts.owned": [kind]})
    assert reason in " ".join(found.refused)
    assert kind not in [line.kind for line in found.lines]


def test_a_second_hand_bottle_without_a_stamp():
    changes = {"parts.owned": ["second-hand bottle"], "gasline.bottle.tested": None}
    text = refusals(changes)
    assert "licensed filler" in text
    assert refusals(changes | {"gasline.bottle.tested": "2024-01"}) == ""


def test_two_gauges_are_not_two_stages():
    assert "Two gauges are not two stages" in refusals({"parts.owned": ["two-gauge regulator"]})
    changes = {"parts.owned": ["two-gauge regulator"], "gasline.regulator.stages": 1}
    assert refusals(changes) == ""


def test_cartridge_and_bottle_regulators_are_kept_apart():
    changes = {"gasline.regulator.stages": 1}
    pierced = changes | {"parts.owned": ["disposable cartridge", "two-gauge regulator"]}
    assert "needs a regulator that pierces it" in refusals(pierced)
    screwed = changes | {"parts.owned": ["refillable bottle", "cartridge regulator"]}
    assert "does not go on a refillable bottle" in refusals(screwed)
    right = changes | {
        "parts.owned": ["disposable cartridge", "cartridge regulator"],
        "parts.bottle_outlet": "cartridge 5/8-18",
        "parts.regulator_inlet": "cartridge 5/8-18",
    }
    assert refusals(right) == ""


def test_silicone_oil_and_silicone_tube():
    changes = {"gasline.counter.fluid": "silicone oil", "gasline.tube.material": "silicone"}
    assert "swells silicone tube" in refusals(changes)


def test_a_bottle_too_large_for_the_room_stops():
    found = asked({"room.volume": "12 m³"})
    assert any("immediately dangerous" in text for text in found.refused)


def test_every_refusal_is_a_finding_of_level_stop():
    found = asked({"parts.owned": ["extinguisher", "air-pump check valve"], "parts.check_valve_seat": "nbr"})
    assert [f.text for f in found.trail.findings if f.level is Level.STOP] == list(found.refused)
    assert len(found.refused) == 3


def test_a_hand_dialled_regulator_is_listed_with_its_caution():
    found = asked({"parts.owned": ["hand-dialled regulator"], "gasline.regulator.stages": 1})
    assert any("no clock shuts it" in f.text for f in found.trail.findings)
    assert "solenoid valve" in [line.kind for line in found.lines]


def test_near_threads_are_near():
    # second hand: CGA 320 0.825 in, DIN W 21.8 mm; memory: BS 0.860 in
    assert OUTLETS[Outlet.CGA_320].diameter_mm == pytest.approx(20.96, abs=0.01)
    assert OUTLETS[Outlet.BS_341_8].diameter_mm == pytest.approx(21.84, abs=0.01)
    assert OUTLETS[Outlet.DIN_477_6].diameter_mm == 21.8
