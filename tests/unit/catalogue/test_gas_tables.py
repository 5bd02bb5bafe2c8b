"""Tables of the gas line: complete, ordered, and true to what is published."""

from __future__ import annotations

import pytest

from fizzwright.catalogue.bottles import BOTTLE_SIZES, FILL_LIMITS, RETESTS
from fizzwright.catalogue.counters import COUNTER_LIQUIDS
from fizzwright.catalogue.diffuser_pressures import CHECK_VALVE, OPENING_PRESSURES, opening_pressure
from fizzwright.catalogue.tubes import TUBES
from fizzwright.job.words import Condition, CounterFluid, DiffuserKind, TubeMaterial
from fizzwright.sources import all_sources


def test_every_word_of_a_job_has_its_row():
    assert set(TUBES) == set(TubeMaterial)
    assert set(COUNTER_LIQUIDS) == set(CounterFluid)
    assert set(OPENING_PRESSURES) == set(DiffuserKind)


def test_every_source_exists():
    known = all_sources()
    named = [r.source for r in (*TUBES.values(), *COUNTER_LIQUIDS.values(), *FILL_LIMITS)]
    assert [key for key in named if key not in known] == []


def test_limits_stand_in_order():
    for row in TUBES.values():
        assert row.co2_low_barrer < row.co2_barrer < row.co2_high_barrer
        assert row.n2_barrer < row.o2_barrer < row.co2_barrer
    for opening in (*OPENING_PRESSURES.values(), CHECK_VALVE):
        assert 0 < opening.low_barg < opening.mid_barg < opening.high_barg


@pytest.mark.parametrize(
    ("material", "barrer"),
    [
        # second hand: Robb 1968 for the rubber, a laboratory supplier for the tube
        (TubeMaterial.SILICONE, 3250.0),
        (TubeMaterial.SILICONE, 2013.0),
        # memory: Polymer Handbook, Michaels & Bixler 1961, Pasternak 1970, makers of resin
        (TubeMaterial.EPDM, 100.0),
        (TubeMaterial.SOFT_PVC, 36.0),
        (TubeMaterial.POLYURETHANE, 24.0),
        (TubeMaterial.POLYURETHANE, 5.3),
        (TubeMaterial.POLYETHYLENE, 12.6),
        (TubeMaterial.PTFE, 10.0),
        (TubeMaterial.NYLON, 2.5),
    ],
)
def test_published_permeabilities_lie_within_the_band(material, barrer):
    row = TUBES[material]
    assert row.co2_low_barrer <= barrer <= row.co2_high_barrer


def test_activation_energy_of_polyethylene():
    # memory: Polymer Handbook, 38.9 kJ/mol for low-density polyethylene
    assert TUBES[TubeMaterial.POLYETHYLENE].activation_j_mol == pytest.approx(38_900.0, rel=0.2)


def test_fill_limits_as_in_the_rules():
    # seen: 49 CFR 173.304a table, 68 / 70.3 / 73.2 %; memory: P200, 0.76 at 250 bar; seen: 1 kg to 1.34 L
    limits = {row.rule: row.most_kg_l for row in FILL_LIMITS}
    assert limits["US cylinders of 1800 psi service"] == 0.68
    assert limits["US cylinders of 2000 psi service"] == 0.703
    assert limits["US cylinders of 2265 psi service"] == 0.732
    assert limits["UN and ADR, test pressure 250 bar"] == 0.76
    assert limits["German railways 1912, 1 kg to 1.34 L"] == pytest.approx(0.746, abs=0.001)


@pytest.mark.parametrize(
    ("name", "capacity_l"),
    [
        ("2.5 lb", 1.6676),
        ("5 lb", 3.3352),
        ("10 lb", 6.6705),
        ("0.5 kg", 0.66667),
        ("1 kg", 1.3333),
        ("10 kg", 13.333),
        ("20 kg", 26.667),
    ],
)
def test_water_capacity_of_the_sizes_sold(name, capacity_l):
    # derived: charge over 0.68 kg/L (US) or 0.75 kg/L (Europe)
    row = next(row for row in BOTTLE_SIZES if row.name == name)
    assert row.water_capacity_l == pytest.approx(capacity_l, rel=0.01)
    assert row.tare_low_g < row.tare_high_g


def test_retests_are_reminders_with_marks():
    assert {row.mark for row in RETESTS} <= {"seen", "second hand", "memory"}
    assert all(1 <= row.every_years <= 10 for row in RETESTS)


def test_slime_raises_the_opening_pressure_but_not_of_an_open_end():
    # practice: fouling raises it, an open tube does not care
    for kind in DiffuserKind:
        clean, fouled = (opening_pressure(kind, c).mid_barg for c in (Condition.CLEAN, Condition.FOULED))
        assert fouled == clean if kind in (DiffuserKind.LADDER, DiffuserKind.OPEN_TUBE) else fouled > clean


def test_glycerol_thins_with_warmth():
    # memory: handbooks, 1.41 Pa s at 20 degC, 0.945 at 25 degC
    row = COUNTER_LIQUIDS[CounterFluid.GLYCEROL]
    assert row.viscosity_pa_s(20.0) == pytest.approx(1.41)
    assert row.viscosity_pa_s(25.0) == pytest.approx(0.945, rel=0.03)
