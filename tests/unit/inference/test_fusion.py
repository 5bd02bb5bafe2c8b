"""Readings taken together: what they leave, which one is doubted, and what to read next."""

from __future__ import annotations

import dataclasses
import math

import pytest

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.ionic import Ions
from fizzwright.errors import InputError
from fizzwright.inference.fusion import (
    AiredReading,
    BesideCarbonate,
    CheckerReading,
    KitKh,
    NightReading,
    ProbeReading,
    Readings,
    RoomAirReading,
    SaltSide,
    estimated,
    fused,
)
from fizzwright.inference.fusion_drift import fitted_kh_drift

PLAIN = Readings(water_c=25.0, kits=(KitKh(3.0, 4.0),), probe=ProbeReading(6.6))
AIRED = dataclasses.replace(PLAIN, aired=AiredReading(8.0), room=RoomAirReading(600.0))


def width(estimate):
    return estimate.high / estimate.low


# 25 °C: 5, 50 and 95 % of a Monte Carlo run of the same constants (independent implementation), 4 % allowed.
@pytest.mark.parametrize(
    ("limits", "ph", "expected"),
    [
        ((3.0, 4.0), 6.6, (22.4, 28.4, 35.9)),
        ((7.0, 8.0), 6.9, (25.0, 30.6, 37.4)),
        ((0.75, 1.25), 6.0, (23.6, 32.3, 43.3)),
    ],
)
def test_kit_and_probe_alone(limits, ph, expected):
    found, _ = estimated(Readings(water_c=25.0, error_c=1.0, kits=(KitKh(*limits),), probe=ProbeReading(ph)))
    assert (found.low, found.value, found.high) == pytest.approx(expected, rel=0.045)


def test_a_first_drop_says_little_and_an_aired_sample_most():
    """Room at 600 ppm, pH 7.4 aired: 0.464 x 600/420 = 0.66 dKH, where the drop says 0 to 1."""
    drop = Readings(water_c=25.0, kits=(KitKh(0.0, 1.0),), probe=ProbeReading(6.0))
    alone = fused(drop)
    assert width(alone.co2_mg_l) > 10.0
    assert alone.dominant_input == "KH kit"
    assert alone.next_readings[0].reading == "aired sample"
    aired = dataclasses.replace(drop, aired=AiredReading(7.4), room=RoomAirReading(600.0))
    both = fused(aired)
    assert both.carbonate_kh_dkh.value == pytest.approx(0.67, abs=0.04)
    promised = 1.0 - alone.next_readings[0].narrows_frac
    kept = math.log(width(both.co2_mg_l)) / math.log(width(alone.co2_mg_l))
    assert kept < promised + 0.1


def test_more_readings_that_agree_narrow_the_band():
    assert width(fused(AIRED).co2_mg_l) < width(fused(PLAIN).co2_mg_l)


def test_readings_that_fit_are_not_flagged():
    assert fused(AIRED).disagreements == ()


def test_a_sample_that_was_not_aired_is_distrusted():
    """7.3 at 500 ppm would be 0.45 dKH; the kit says 4."""
    found = fused(
        Readings(
            water_c=25.0,
            kits=(KitKh(3.9, 4.1),),
            probe=ProbeReading(6.6),
            aired=AiredReading(7.3),
            room=RoomAirReading(500.0),
        )
    )
    assert found.disagreements[0].reading == "aired sample"
    assert "not come level" in found.disagreements[0].text
    # Either may be wrong, so the band holds what both say.
    assert found.co2_mg_l.low < 5.0
    assert found.co2_mg_l.high > 30.0


def test_said_to_have_stood_for_hours_it_fits_again():
    """The same sample four hours in a glass is simply not there yet, and nothing is wrong."""
    found = fused(
        Readings(
            water_c=25.0,
            kits=(KitKh(3.5, 4.5),),
            probe=ProbeReading(6.6),
            aired=AiredReading(7.3, way=AiringWay.STOOD, aired_h=4.0),
            room=RoomAirReading(500.0),
        )
    )
    assert found.disagreements == ()
    assert found.carbonate_kh_dkh.value == pytest.approx(4.0, abs=0.15)


def test_a_blue_checker_against_a_low_ph():
    found = fused(dataclasses.replace(PLAIN, probe=ProbeReading(6.4), checkers=(CheckerReading(215.0),)))
    assert found.disagreements[0].reading == "drop checker"


def test_two_checkers_bracket_better_than_one():
    one = fused(Readings(water_c=25.0, checkers=(CheckerReading(140.0),)))
    two = fused(
        Readings(
            water_c=25.0,
            checkers=(CheckerReading(125.0, kh_dkh=3.0), CheckerReading(165.0, kh_dkh=6.0)),
        )
    )
    assert one.dominant_input == "drop checker"
    assert width(two.co2_mg_l) < 0.85 * width(one.co2_mg_l)


def test_a_checker_read_too_early_says_more_than_it_shows():
    """An hour after the gas came on it has covered a third of the way."""
    late = fused(Readings(water_c=25.0, checkers=(CheckerReading(165.0),)))
    early = fused(Readings(water_c=25.0, checkers=(CheckerReading(165.0, steady_h=1.5),)))
    assert early.co2_mg_l.value > 1.3 * late.co2_mg_l.value


def test_phosphate_is_taken_off_and_carries_doubt():
    found = fused(dataclasses.replace(PLAIN, beside=BesideCarbonate(phosphate_mg_l=80.0)))
    assert found.beside_kh_dkh > 0.4
    assert found.carbonate_kh_dkh.value < 3.1
    assert "phosphate" in found.input_shares


def test_night_level_and_offset_of_the_probe():
    """A probe 0.15 too high with a sharp kit and a known night is found out."""
    found = fused(
        Readings(
            water_c=25.0,
            offset_error_ph=0.1,
            kits=(KitKh(3.95, 4.05),),
            probe=ProbeReading(6.8),
            night=NightReading(7.8, 3.0, level_error_factor=1.05),
        )
    )
    assert found.offset_ph.value > 0.08


def test_known_ions_take_the_doubt_of_the_salts_away():
    ions = SaltSide(ions=Ions(ca_mmol_l=1.0, na_mmol_l=0.5, cl_mmol_l=1.0))
    hard = dataclasses.replace(PLAIN, salts=ions)
    assert fused(hard).input_shares["salts"] < fused(PLAIN).input_shares["salts"]


def test_same_readings_same_answer():
    first, second = fused(AIRED), fused(AIRED)
    assert (first.co2_mg_l, first.input_shares) == (second.co2_mg_l, second.input_shares)


def test_a_soil_is_fitted_from_a_log():
    """5, 4, 3, 3 drops on days 0, 4, 8, 12: a sixth of a degree a day."""
    drift = fitted_kh_drift([0, 4, 8, 12], [5, 4, 3, 3], step_dkh=1.0).drift_dkh_day
    assert drift.low < -1.0 / 6.0 < drift.high
    assert drift.high < 0.0
    with pytest.raises(InputError, match="three"):
        fitted_kh_drift([0, 4], [5, 4], step_dkh=1.0)
