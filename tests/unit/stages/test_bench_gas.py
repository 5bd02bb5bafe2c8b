"""Single sums of the gas line: answers, bands, what they warn of, and that they start fast."""

from __future__ import annotations

import subprocess
import sys

import pytest

from fizzwright.errors import InputError
from fizzwright.job.words import CounterFluid, TubeMaterial
from fizzwright.result import Level
from fizzwright.stages.bench.gas import (
    BottleQuestion,
    CountQuestion,
    LeakQuestion,
    RoomQuestion,
    TubeQuestion,
    bottle,
    count,
    leak,
    room,
    tube,
)

RUN = {"length_m": 2.0, "bore_mm": 4.0, "outer_mm": 6.0, "gauge_barg": 1.0, "temperature_c": 25.0}


def texts(answer, level=None):
    return " ".join(f.text for f in answer.trail.findings if level is None or f.level is level)


# --- count ---------------------------------------------------------------------------------------------


def test_a_known_counter_gives_a_narrow_feed():
    answer = count(CountQuestion(rate_per_s=1.0, tip_mm=2.0, line_gauge_barg=0.987, altitude_m=0.0))
    # derived: 46.7 uL at 2.0 bar abs and 22 degC is 0.16529 mg, 595 mg/h; doubt 15 % of the tip foremost
    assert answer.feed_mg_h.value == pytest.approx(595.0, rel=0.01)
    assert answer.flow_ml_min_n.value == pytest.approx(595.0 / 110.36, rel=0.01)
    assert 0.15 < 1 - answer.feed_mg_h.low / answer.feed_mg_h.value < 0.20
    assert "factor" not in texts(answer)


def test_without_a_tip_it_says_elevenfold_and_asks_for_a_calibration():
    answer = count(CountQuestion(rate_per_s=1.0))
    assert "factor of 11" in texts(answer, Level.CARE)
    assert "Calibrate" in texts(answer, Level.CARE)
    assert answer.feed_mg_h.high / answer.feed_mg_h.low > 4.0
    told = {a.text for a in answer.trail.assumptions}
    assert "pressure in the counter" in told


def test_a_calibration_needs_no_tip():
    answer = count(CountQuestion(rate_per_s=2.0, mg_per_bubble_mg=0.1))
    assert answer.feed_mg_h.value == pytest.approx(720.0)
    assert answer.bubble_volume_ul is None
    assert "factor" not in texts(answer)


def test_a_calibration_moves_with_pressure_where_both_are_known():
    answer = count(
        CountQuestion(
            rate_per_s=1.0,
            mg_per_bubble_mg=0.1,
            line_gauge_barg=1.0,
            calibration_gauge_barg=0.0,
            altitude_m=0.0,
        )
    )
    assert answer.mg_per_bubble_mg.value == pytest.approx(0.1 * 2.01325 / 1.01325)


def test_glycerol_is_warned_of():
    slow = count(CountQuestion(rate_per_s=0.2, tip_mm=2.0, fluid=CounterFluid.GLYCEROL, line_gauge_barg=0.5))
    fast = count(CountQuestion(rate_per_s=4.0, tip_mm=2.0, fluid=CounterFluid.GLYCEROL, line_gauge_barg=0.5))
    assert fast.bubble_volume_ul.value > 1.8 * slow.bubble_volume_ul.value
    assert "glycerol" in texts(slow, Level.CARE)


def test_too_fast_for_the_eye_and_for_the_tip():
    answer = count(CountQuestion(rate_per_s=30.0, tip_mm=4.0, line_gauge_barg=0.5))
    assert "the eye loses count" in texts(answer)
    # memory: 234 mL/min is the quasi-static limit of a 4 mm tip; 30/s x 93 uL is 168
    assert "no longer sets the size" not in texts(answer)
    small = count(
        CountQuestion(rate_per_s=30.0, tip_mm=4.0, fluid=CounterFluid.GLYCEROL, line_gauge_barg=0.5)
    )
    assert "no longer sets the size" in texts(small)


def test_all_faults_at_once():
    with pytest.raises(InputError) as refused:
        count(CountQuestion(rate_per_s=1000.0, tip_mm=50.0))
    assert len(refused.value.faults) == 2


# --- bottle --------------------------------------------------------------------------------------------


def test_a_gauge_on_the_plateau_cannot_tell():
    answer = bottle(BottleQuestion(charge_g=2000.0, capacity_l=2.67, gauge_barg=56.0, temperature_c=20.0))
    assert answer.liquid_present is True
    assert answer.remaining_g.high == 2000.0
    assert answer.remaining_g.low < 520.0
    assert answer.knee_barg.value == pytest.approx(56.28, abs=0.05)
    assert "mass is unknown, between" in texts(answer, Level.CARE)


def test_a_falling_gauge_tells_the_rest():
    answer = bottle(BottleQuestion(charge_g=2000.0, capacity_l=2.6667, gauge_barg=40.0, temperature_c=20.0))
    # derived: 13.488 % of a 0.75 kg/L charge at 40 bar g
    assert answer.liquid_present is False
    assert answer.remaining_frac.value == pytest.approx(0.13488, rel=0.005)
    assert "creeps up" in texts(answer, Level.CARE)


def test_without_a_capacity_the_charge_stands_in():
    answer = bottle(
        BottleQuestion(charge_g=2000.0, gauge_barg=50.0, gauge_class_frac=0.01, temperature_c=20.0)
    )
    # derived: 21.511 % at 50 bar g of a 0.68 kg/L filling
    assert answer.remaining_frac.value == pytest.approx(0.21511, rel=0.006)
    assert answer.remaining_frac.low < 0.195
    assert "water capacity from the charge" in {a.text for a in answer.trail.assumptions}


def test_a_scale_beats_the_gauge():
    answer = bottle(BottleQuestion(charge_g=2000.0, gross_g=5200.0, tare_g=4000.0, gauge_barg=40.0))
    assert answer.read_from == "scale"
    assert answer.remaining_g.value == 1200.0
    # hypot(8, 20) = 21.5 g
    assert answer.remaining_g.high - 1200.0 == pytest.approx(21.54, abs=0.01)
    assert answer.liquid_present is True


def test_a_warm_fresh_bottle_is_not_leaking():
    answer = bottle(
        BottleQuestion(
            charge_g=2000.0, capacity_l=2.6667, gauge_barg=75.0, gauge_class_frac=0.01, temperature_c=26.0
        )
    )
    assert "no leak" in texts(answer)
    assert answer.remaining_frac.value == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("temperature_c", "level"), [(42.0, Level.CARE), (52.0, Level.STOP)])
def test_a_hot_bottle_is_warned_of(temperature_c, level):
    answer = bottle(
        BottleQuestion(charge_g=2000.0, gross_g=5200.0, tare_g=4000.0, temperature_c=temperature_c)
    )
    assert "relief disc" in texts(answer, level)
    assert answer.knee_barg is None
    assert answer.liquid_present is None


def test_an_overfilled_bottle_stops_the_reader():
    answer = bottle(BottleQuestion(charge_g=3000.0, capacity_l=2.67, gauge_barg=56.0))
    assert "licensed filler" in texts(answer, Level.STOP)


def test_every_bottle_answer_says_upright_and_licensed():
    answer = bottle(BottleQuestion(gauge_barg=56.0))
    assert "upright" in texts(answer)
    assert "licensed people only" in texts(answer)
    assert answer.remaining_g is None
    assert answer.remaining_frac is None


def test_a_bottle_with_nothing_read_is_refused():
    with pytest.raises(InputError, match="--gauge"):
        bottle(BottleQuestion(charge_g=2000.0))
    with pytest.raises(InputError, match="--tare"):
        bottle(BottleQuestion(gross_g=5000.0))
    with pytest.raises(InputError, match="at least the tare"):
        bottle(BottleQuestion(gross_g=3000.0, tare_g=4000.0))


# --- tube ----------------------------------------------------------------------------------------------


def test_silicone_takes_the_feed_and_polyurethane_a_per_cent():
    silicone = tube(TubeQuestion(material=TubeMaterial.SILICONE, feed_mg_h=551.8, **RUN))
    assert silicone.loss_mg_h.low > 551.8
    assert silicone.lost_frac.value == 1.0
    assert "more than the feed" in texts(silicone, Level.CARE)
    polyurethane = tube(TubeQuestion(material=TubeMaterial.POLYURETHANE, feed_mg_h=551.8, **RUN))
    # derived: 1.1 to 1.3 % of 5 mL/min
    assert polyurethane.lost_frac.value == pytest.approx(0.0115, rel=0.1)


def test_soft_pvc_overnight():
    # derived: 0.43 bar abs after 14 h shut from 1.3 atm, 6 m of suction
    answer = tube(TubeQuestion(material=TubeMaterial.SOFT_PVC, **{**RUN, "gauge_barg": 0.3}))
    assert "check valve" in texts(answer, Level.CARE)
    assert "0.4" in texts(answer, Level.CARE)


def test_a_tight_tube_draws_no_water():
    answer = tube(TubeQuestion(material=TubeMaterial.NYLON, **RUN))
    assert "draws no water" in texts(answer, Level.NOTE)


def test_a_bore_wider_than_the_tube_is_refused():
    with pytest.raises(InputError, match="less than --outer"):
        tube(TubeQuestion(material=TubeMaterial.NYLON, **{**RUN, "bore_mm": 6.0}))


# --- room ----------------------------------------------------------------------------------------------


def test_two_kilograms_in_forty_cubic_metres():
    answer = room(RoomQuestion(release_g=2000.0, volume_m3=40.0))
    # derived: 27604 ppm mixed
    assert answer.peak_ppm.value == pytest.approx(27_604.0, rel=0.001)
    # by hand: ln(27184 / 4580) / 0.5 = 3.56 h
    assert answer.hours_above_5000ppm.value == pytest.approx(3.56, abs=0.02)
    assert answer.hours_above_5000ppm.low < 2.0
    assert answer.hours_above_5000ppm.high > 6.5
    assert answer.mass_to_5000ppm_g == pytest.approx(337.0, rel=0.001)


def test_every_room_answer_says_floor_and_leave_first():
    for release_g in (10.0, 400.0, 2000.0, 10_000.0):
        told = texts(room(RoomQuestion(release_g=release_g, volume_m3=40.0)))
        assert "understates the floor" in told
        assert "leave first" in told.replace("\n", " ")


@pytest.mark.parametrize(
    ("release_g", "level"),
    [(10.0, Level.NOTE), (450.0, Level.CARE), (2000.0, Level.STOP), (8000.0, Level.STOP)],
)
def test_verdict_levels(release_g, level):
    answer = room(RoomQuestion(release_g=release_g, volume_m3=40.0))
    assert answer.trail.findings[0].level is level


def test_a_slow_release_is_milder_and_says_so():
    slow = room(RoomQuestion(release_g=1000.0, volume_m3=40.0, hours_h=24.0))
    # derived: +1130 ppm
    assert slow.peak_ppm.value - 420.0 == pytest.approx(1133.0, abs=5.0)
    assert slow.hours_above_5000ppm.value == 0.0
    assert "0 hours" in texts(slow)


def test_a_tiny_room_never_passes_pure_gas():
    answer = room(RoomQuestion(release_g=60_000.0, volume_m3=2.0))
    assert answer.peak_ppm.high <= 1e6


def test_the_same_question_gives_the_same_answer():
    question = RoomQuestion(release_g=2000.0, volume_m3=40.0)
    assert room(question) == room(question)


# --- leak ----------------------------------------------------------------------------------------------

HOUR = {
    "volume_ml": 30.0,
    "time_min": 60.0,
    "gauge_barg": 2.0,
    "start_c": 20.0,
    "end_c": 20.0,
    "altitude_m": 0.0,
}


def test_a_tight_line_passes():
    # derived: 20.3 mbar in an hour from 30 mL is 0.01 mL/min
    answer = leak(LeakQuestion(drop_barg=0.0203, **HOUR))
    assert answer.leak_ml_min_n.value == pytest.approx(0.01, rel=0.01)
    assert answer.pass_


def test_a_leak_stops_the_reader():
    answer = leak(LeakQuestion(drop_barg=1.013, **HOUR))
    # derived: 1013 mbar/h is 0.5 mL/min, 483 g a year
    assert answer.leak_ml_min_n.value == pytest.approx(0.5, rel=0.01)
    assert answer.cost_g_day.value * 365 == pytest.approx(483.0, rel=0.01)
    assert not answer.pass_
    assert "It leaks" in texts(answer, Level.STOP)


def test_too_short_a_test_is_no_pass():
    answer = leak(LeakQuestion(drop_barg=0.0, **{**HOUR, "time_min": 5.0}))
    assert not answer.pass_
    assert "Not shown either way" in texts(answer, Level.CARE)
    assert leak(LeakQuestion(drop_barg=0.0, **{**HOUR, "time_min": 1.2 * answer.watch_min})).pass_


def test_cooling_is_taken_off():
    # 10.3 mbar/K at 2 bar g
    answer = leak(LeakQuestion(drop_barg=0.0103, **{**HOUR, "end_c": 19.0}))
    assert answer.leak_ml_min_n.value == pytest.approx(0.0, abs=2e-4)


def test_wall_loss_is_taken_off():
    with_wall, without = (
        leak(LeakQuestion(drop_barg=0.1, tube_loss_mg_h=x, **HOUR)).leak_ml_min_n.value for x in (2.0, 0.0)
    )
    assert without - with_wall == pytest.approx(2.0 / 110.36, rel=1e-3)


def test_more_fall_than_there_was_is_refused():
    with pytest.raises(InputError, match="at most the gauge"):
        leak(LeakQuestion(drop_barg=3.0, **HOUR))


# --- all -----------------------------------------------------------------------------------------------


def test_the_sums_load_without_the_heavy_libraries():
    code = (
        "import sys; import fizzwright.stages.bench.gas as g; "
        "g.bottle(g.BottleQuestion(charge_g=2000.0, gauge_barg=40.0)); "
        "g.count(g.CountQuestion(rate_per_s=1.0)); "
        "g.room(g.RoomQuestion(release_g=1000.0, volume_m3=40.0)); "
        "print([m for m in ('scipy', 'CoolProp', 'pydantic', 'numba') if m in sys.modules])"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
