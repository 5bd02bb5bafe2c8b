"""The water sums: values, bands, what they say beside the number, and the truth of their trail."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys

import pytest

import fizzwright.engines.water as room
from fizzwright.errors import InputError, NoPhysicalRoot
from fizzwright.result import Level
from fizzwright.stages.bench.water import (
    AirQuestion,
    Co2Question,
    OxygenQuestion,
    PhQuestion,
    air,
    co2,
    oxygen,
    ph,
)

TANK = {"ph": 6.6, "kh_dkh": 4.0, "water_c": 25.0}


def about(answer):
    return {(finding.about, finding.level) for finding in answer.trail.findings}


def texts(answer):
    return " ".join(finding.text for finding in answer.trail.findings)


# pH 6.60 or as said, 25 °C, TDS 250 mg/L: 5, 50 and 95 % of an independent Monte Carlo run of the same
# constants (an independent implementation). Ours reads its pen through another factor, so 4 % is allowed.
MONTE_CARLO = [
    ({"ph": 6.6, "kh_dkh": 4.0, "kit_step_dkh": 0.15, "error_ph": 0.02, "error_c": 0.5}, (30.1, 32.6, 35.2)),
    ({"ph": 6.6, "kh_dkh": 4.0, "kit_step_dkh": 0.5, "error_ph": 0.05, "error_c": 1.0}, (26.6, 32.5, 39.8)),
    ({"ph": 6.6, "kh_dkh": 4.0, "kit_step_dkh": 1.0, "error_ph": 0.1, "error_c": 1.0}, (21.8, 32.5, 48.3)),
    (
        {"ph": 6.6, "kh_dkh": 4.0, "kit_step_dkh": 1.0, "drop_kit": True, "error_ph": 0.05, "error_c": 1.0},
        (22.4, 28.4, 35.9),
    ),
    (
        {"ph": 6.9, "kh_dkh": 8.0, "kit_step_dkh": 1.0, "drop_kit": True, "error_ph": 0.05, "error_c": 1.0},
        (25.0, 30.6, 37.4),
    ),
]


@pytest.mark.parametrize(("given", "expected"), MONTE_CARLO)
def test_band_against_another_monte_carlo(given, expected):
    found = co2(Co2Question(water_c=25.0, tds_mg_l=250.0, **given)).co2_mg_l
    assert (found.low, found.value, found.high) == pytest.approx(expected, rel=0.04)


def test_one_drop_leaves_the_co2_open():
    """Anything up to 1 dKH: 5 to 95 % of it is a factor of 19, less what the colour's own doubt blurs."""
    answer = co2(
        Co2Question(
            ph=6.0, kh_dkh=1.0, water_c=25.0, tds_mg_l=250.0, kit_step_dkh=1.0, drop_kit=True, error_ph=0.05
        )
    )
    assert answer.co2_mg_l.high / answer.co2_mg_l.low == pytest.approx(19.0, rel=0.2)
    assert ("kh", Level.CARE) in about(answer)
    assert "first drop" in texts(answer)
    assert answer.dominant_input == "KH kit"


def test_value_is_that_of_the_middle_of_every_input():
    """6.6, 4 dKH, 25 °C, known salts: 4 x 0.35665 x 10^-6.6 / 4.80e-7 x 44.01 = 32.9, pairs off 0.3 %."""
    answer = co2(Co2Question(**TANK, ec_us_cm=350.0, gh_dgh=7.0))
    assert answer.co2_mg_l.value == pytest.approx(32.7, abs=0.3)
    assert answer.carbonate_kh_dkh.value == pytest.approx(4.0)
    assert answer.trade_rule_mg_l.value == pytest.approx(3.0 * 4.0 * 10**0.4)
    assert "low" in texts(answer)


def test_shares_add_up_and_name_the_largest():
    answer = co2(Co2Question(**TANK, error_ph=0.1, kit_step_dkh=0.1))
    assert answer.dominant_input == "pH reading"
    assert answer.input_shares[0].startswith("pH reading")
    assert sum(int(share.split()[-2]) for share in answer.input_shares) == pytest.approx(100, abs=2)
    coarse = co2(Co2Question(**TANK, error_ph=0.01, kit_step_dkh=2.0))
    assert coarse.dominant_input == "KH kit"


def test_better_readings_narrow_the_band():
    wide = co2(Co2Question(**TANK)).co2_mg_l
    narrow = co2(Co2Question(**TANK, error_ph=0.01, kit_step_dkh=0.1, ec_us_cm=300.0, error_c=0.1)).co2_mg_l
    assert narrow.high - narrow.low < 0.3 * (wide.high - wide.low)


def test_step_is_read_off_the_number_and_said():
    for kh, step in ((4.0, "1.00"), (4.5, "0.500"), (4.3, "0.100"), (2.803, "0.500")):
        answer = co2(Co2Question(ph=6.6, kh_dkh=kh, water_c=25.0))
        said = next(a for a in answer.trail.assumptions if "step" in a.text)
        assert said.value == f"{step}\u00a0dKH"


def test_phosphate_fertiliser_is_a_note_and_a_buffer_a_warning():
    """100 mg/L at KH 4 and pH 7: a third of the CO2 (PHREEQC says the truth is 32 % below)."""
    plain = co2(Co2Question(ph=7.0, kh_dkh=4.0, water_c=25.0, ec_us_cm=400.0)).co2_mg_l.value
    dosed = co2(Co2Question(ph=7.0, kh_dkh=4.0, water_c=25.0, ec_us_cm=400.0, phosphate_mg_l=5.0))
    powder = co2(Co2Question(ph=7.0, kh_dkh=4.0, water_c=25.0, ec_us_cm=400.0, phosphate_mg_l=100.0))
    assert dosed.co2_mg_l.value / plain == pytest.approx(0.984, abs=0.003)
    assert ("phosphate", Level.NOTE) in about(dosed)
    assert powder.co2_mg_l.value / plain == pytest.approx(0.68, abs=0.01)
    assert ("phosphate", Level.CARE) in about(powder)


def test_tint_matters_in_soft_water_only():
    """20 mg/L of carbon: a fifth of a dKH. At KH 1 that is care, at KH 8 a note."""
    soft = co2(Co2Question(ph=6.0, kh_dkh=1.0, water_c=25.0, tint_doc_mg_l=20.0))
    hard = co2(Co2Question(ph=6.9, kh_dkh=8.0, water_c=25.0, tint_doc_mg_l=20.0))
    assert ("tint", Level.CARE) in about(soft)
    assert ("tint", Level.NOTE) in about(hard)


def test_pure_water_troubles_the_probe():
    """Under 70 µS/cm care, under 150 a note, and the doubt of the reading is taken as double."""
    for ec, level in ((40.0, Level.CARE), (120.0, Level.NOTE)):
        answer = co2(Co2Question(ph=6.3, kh_dkh=1.5, water_c=25.0, ec_us_cm=ec))
        assert ("ph", level) in about(answer)
        assert any(a.value == "0.1" for a in answer.trail.assumptions)


@pytest.mark.parametrize(
    ("given", "topic"),
    [
        ({"ph": 8.4}, ("ph", Level.NOTE)),
        ({"ph": 5.0}, ("ph", Level.CARE)),
        ({"ph": 6.3}, ("co2", Level.CARE)),
        ({"water_c": 6.0}, ("temp", Level.NOTE)),
        ({"ec_us_cm": 300.0, "tds_mg_l": 150.0}, ("tds", Level.NOTE)),
        ({"kh_dkh": 1.5, "kit_step_dkh": 1.0}, ("kh", Level.CARE)),
        ({"kh_dkh": 0.5}, ("kh", Level.CARE)),
        ({"drop_kit": True}, ("kh", Level.NOTE)),
    ],
)
def test_findings_come_when_they_should(given, topic):
    assert topic in about(co2(Co2Question(**{**TANK, **given})))


def test_a_plain_good_reading_only_hears_of_the_trade_rule():
    answer = co2(Co2Question(**TANK, ec_us_cm=300.0))
    assert about(answer) == {("co2", Level.NOTE)}


def test_every_fault_at_once():
    with pytest.raises(InputError) as refused:
        co2(Co2Question(ph=2.0, kh_dkh=90.0, water_c=60.0))
    assert {fault.field for fault in refused.value.faults} == {"--ph", "--kh", "--temp"}


def test_nothing_left_as_carbonate_is_no_answer():
    with pytest.raises(NoPhysicalRoot, match="aired"):
        co2(Co2Question(ph=7.2, kh_dkh=1.0, water_c=25.0, phosphate_mg_l=150.0))


def test_ph_of_the_usual_target():
    """30 mg/L at 4 dKH, 25 °C: 6.65 in its own bicarbonate (reference solution 6.654), 0.01 less in tap."""
    answer = ph(PhQuestion(co2_mg_l=30.0, kh_dkh=4.0, water_c=25.0, ec_us_cm=350.0))
    assert answer.ph.value == pytest.approx(6.64, abs=0.01)
    # Half a step of KH either way: log10(4.45/4) = 0.046 at the 95 % point.
    assert answer.ph.high - answer.ph.value == pytest.approx(0.046, abs=0.006)
    assert answer.dominant_input == "KH kit"
    assert "25 %" in texts(answer)


def test_ph_and_co2_sums_lead_back_to_each_other():
    given = {"kh_dkh": 3.0, "water_c": 22.0, "ec_us_cm": 280.0}
    level = co2(Co2Question(ph=6.7, **given)).co2_mg_l.value
    assert ph(PhQuestion(co2_mg_l=level, **given)).ph.value == pytest.approx(6.7, abs=1e-6)


@pytest.mark.parametrize(
    ("given", "topic"),
    [
        ({"kh_dkh": 0.5}, ("kh", Level.CARE)),
        ({"co2_mg_l": 60.0}, ("co2", Level.CARE)),
        ({"kh_dkh": 0.8}, ("ph", Level.NOTE)),
        ({"kh_dkh": 1.0, "kit_step_dkh": 1.0, "drop_kit": True}, ("kh", Level.CARE)),
    ],
)
def test_ph_findings(given, topic):
    asked = {"co2_mg_l": 30.0, "kh_dkh": 4.0, "water_c": 25.0, **given}
    assert topic in about(ph(PhQuestion(**asked)))


def test_air_of_a_measured_room():
    """420 ppm, 25 °C, 4 dKH: 0.606 mg/L and pH 8.33 (an independent implementation gives 8.335)."""
    answer = air(AirQuestion(water_c=25.0, room_co2_ppm=420.0, kh_dkh=4.0))
    assert answer.co2_mg_l.value == pytest.approx(0.606, abs=0.002)
    assert answer.ph is not None
    assert answer.ph.value == pytest.approx(8.335, abs=0.012)
    assert answer.air_pressure_atm.value == 1.0
    assert answer.co2_mg_l.low < 0.55
    assert answer.co2_mg_l.high > 0.66


def test_an_unmeasured_room_spreads_the_answer():
    answer = air(AirQuestion(water_c=25.0))
    assert answer.ph is None
    assert ("room-co2", Level.CARE) in about(answer)
    # 430 to 1500 ppm about 700.
    assert answer.co2_mg_l.high / answer.co2_mg_l.low == pytest.approx(1500 / 430, rel=0.08)


@pytest.mark.parametrize(
    ("given", "topic"),
    [
        ({"room_co2_ppm": 1500.0}, ("room-co2", Level.NOTE)),
        ({"room_co2_ppm": 6000.0}, ("room-co2", Level.CARE)),
        ({"altitude_m": 1500.0}, ("altitude", Level.NOTE)),
        ({"kh_dkh": 8.0}, ("ph", Level.NOTE)),
    ],
)
def test_air_findings(given, topic):
    assert topic in about(air(AirQuestion(**{"water_c": 25.0, "room_co2_ppm": 600.0, **given})))


def test_oxygen_at_sea_and_on_a_mountain():
    """8.26 mg/L at 25 °C (USGS tables); 6.43 at 2000 m (Benson & Krause's own pressure term)."""
    sea = oxygen(OxygenQuestion(water_c=25.0))
    high = oxygen(OxygenQuestion(water_c=25.0, altitude_m=2000.0))
    assert sea.o2_mg_l.value == pytest.approx(8.26, abs=0.01)
    assert sea.n2_mg_l.value == pytest.approx(13.80, abs=0.02)
    assert high.o2_mg_l.value == pytest.approx(6.43, abs=0.01)
    assert ("altitude", Level.NOTE) in about(high)
    assert sea.saturation_frac is None


def test_oxygen_reading_is_placed():
    low = oxygen(OxygenQuestion(water_c=26.0, read_mg_l=4.1))
    lush = oxygen(OxygenQuestion(water_c=26.0, read_mg_l=10.0))
    assert low.saturation_frac is not None
    # 4.1 / 8.11
    assert low.saturation_frac.value == pytest.approx(0.505, abs=0.005)
    assert ("oxygen", Level.CARE) in about(low)
    assert "saturation" in texts(lush)
    assert ("temp", Level.NOTE) in about(oxygen(OxygenQuestion(water_c=31.0)))


RUNS = [
    lambda: co2(Co2Question(**TANK)),
    lambda: co2(Co2Question(**TANK, tds_mg_l=200.0, drop_kit=True)),
    lambda: co2(Co2Question(**TANK, ec_us_cm=60.0, gh_dgh=3.0)),
    lambda: co2(Co2Question(**TANK, phosphate_mg_l=10.0)),
    lambda: co2(Co2Question(**TANK, tint_doc_mg_l=10.0)),
    lambda: ph(PhQuestion(co2_mg_l=30.0, kh_dkh=4.0, water_c=25.0, co2_error_mg_l=3.0)),
    lambda: ph(PhQuestion(co2_mg_l=30.0, kh_dkh=4.0, water_c=25.0, ec_us_cm=300.0, drop_kit=True)),
    lambda: air(AirQuestion(water_c=25.0)),
    lambda: air(AirQuestion(water_c=25.0, room_co2_ppm=700.0, kh_dkh=4.0, ec_us_cm=300.0)),
    lambda: oxygen(OxygenQuestion(water_c=25.0)),
    lambda: oxygen(OxygenQuestion(water_c=25.0, altitude_m=900.0, read_mg_l=7.0)),
]


def _records():
    found = {}
    for info in pkgutil.iter_modules(room.__path__, "fizzwright.engines.water."):
        for thing in vars(importlib.import_module(info.name)).values():
            if hasattr(thing, "__equation__"):
                found[thing.__code__] = thing.__equation__.name
    return found


@pytest.mark.parametrize("run", RUNS)
def test_equations_listed_are_those_that_ran(run):
    records, seen = _records(), set()

    def watch(frame, event, _argument):
        if event == "call" and frame.f_code in records:
            seen.add(records[frame.f_code])

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        answer = run()
    finally:
        sys.setprofile(before)
    assert {equation.name for equation in answer.trail.equations} == seen
    assert {equation.source for equation in answer.trail.equations} <= {s.key for s in answer.trail.sources}


@pytest.mark.parametrize("run", RUNS)
def test_same_question_same_answer(run):
    assert run() == run()


def test_no_heavy_library_for_a_single_sum():
    code = (
        "import sys; from fizzwright.stages.bench.water import *;"
        "co2(Co2Question(water_c=25.0, ph=6.6, kh_dkh=4.0)); air(AirQuestion(25.0));"
        "oxygen(OxygenQuestion(25.0));"
        "print([m for m in ('scipy', 'CoolProp', 'pydantic', 'numba') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
