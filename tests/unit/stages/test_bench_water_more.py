"""The further water sums: values worked out elsewhere, and what a keeper hears beside them."""

from __future__ import annotations

import pytest

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.powders import Powder
from fizzwright.errors import InputError, NoPhysicalRoot
from fizzwright.result import Level
from fizzwright.stages.bench.water import (
    AirQuestion,
    CheckerQuestion,
    Co2Question,
    DoseQuestion,
    DriftQuestion,
    DropQuestion,
    MixQuestion,
    OxygenQuestion,
    SaltsQuestion,
    air,
    checker,
    co2,
    dose,
    drift,
    drop,
    mix,
    oxygen,
    salts,
)
from fizzwright.stages.bench.water_co2_question import CheckerColour


def texts(answer):
    return " ".join(finding.text for finding in answer.trail.findings)


def levels(answer, about):
    return {finding.level for finding in answer.trail.findings if finding.about == about}


# 25 °C: 5, 50 and 95 % of a Monte Carlo run of the same constants (independent implementation); that run
# let the sample be 0 to 20 % short of degassed, ours up to 0.05 pH.
@pytest.mark.parametrize(
    ("settled", "ph", "room", "expected"),
    [(8.33, 6.65, 425.0, (27, 33, 40)), (8.18, 6.65, 600.0, (24, 28, 33))],
)
def test_drop_with_a_measured_room(settled, ph, room, expected):
    found = drop(DropQuestion(settled, ph, 25.0, room_co2_ppm=room)).co2_mg_l
    assert (found.low, found.value, found.high) == pytest.approx(expected, rel=0.2)


def test_the_hidden_baseline_is_said():
    """A drop of one in air of 420 ppm is 6.2 mg/L where the rule says 30."""
    answer = drop(DropQuestion(8.33, 7.33, 25.0, room_co2_ppm=420.0))
    assert answer.co2_mg_l.value == pytest.approx(6.4, abs=0.3)
    assert answer.trade_rule_mg_l.value == pytest.approx(30.0)
    assert answer.drop_for_30mg_ph.value == pytest.approx(1.68, abs=0.01)
    assert "3 mg/L for granted" in texts(answer)
    assert levels(answer, "baseline") == {Level.CARE}


def test_a_sample_not_really_aired_is_said():
    answer = drop(
        DropQuestion(7.9, 6.6, 25.0, room_co2_ppm=600.0, kh_dkh=6.0, aired_way=AiringWay.STOOD, aired_h=12.0)
    )
    assert "Not really aired" in texts(answer)


def test_a_tank_before_its_gas_is_not_degassed():
    answer = drop(DropQuestion(7.4, 6.4, 25.0, baseline_co2_mg_l=6.0))
    assert answer.co2_mg_l.value == pytest.approx(60.0, rel=0.02)
    assert "dangerous direction" in texts(answer)


def test_a_drop_upwards_is_refused():
    with pytest.raises(InputError, match="over the tank"):
        drop(DropQuestion(6.5, 6.6, 25.0))


def test_aired_sample_alone_gives_kh_and_co2():
    """pH 8.0 aired at 420 ppm: 1.87 dKH at 25 °C (independent implementation); being short makes more."""
    answer = co2(Co2Question(water_c=25.0, ph=6.6, aired_ph=8.0, room_co2_ppm=420.0, ec_us_cm=300.0))
    assert answer.carbonate_kh_dkh is not None
    assert answer.carbonate_kh_dkh.value == pytest.approx(2.0, abs=0.13)
    assert answer.trade_rule_mg_l is None
    assert answer.distrust is None


def test_no_route_is_refused_and_a_checker_is_one():
    with pytest.raises(InputError, match="aired sample"):
        co2(Co2Question(water_c=25.0, ph=6.6))
    with pytest.raises(InputError, match="drop checker"):
        co2(Co2Question(water_c=25.0, kh_dkh=4.0))
    found = co2(Co2Question(water_c=25.0, checker_colour=CheckerColour.GREEN))
    assert found.carbonate_kh_dkh is None
    assert found.co2_mg_l.low < 20.0 < found.co2_mg_l.high
    assert "factor of three" in texts(found)


def test_disagreement_is_named():
    answer = co2(
        Co2Question(water_c=25.0, ph=6.6, kh_dkh=4.0, kit_step_dkh=0.2, aired_ph=7.3, room_co2_ppm=500.0)
    )
    assert answer.distrust == "aired sample"
    assert "Distrust the aired sample first" in texts(answer)


def test_an_analysis_that_does_not_balance():
    answer = co2(Co2Question(water_c=25.0, ph=7.2, kh_dkh=4.0, ca_mg_l=120.0))
    assert "do not balance" in texts(answer)


def test_silica_and_borate_are_next_to_nothing():
    answer = co2(Co2Question(water_c=25.0, ph=7.0, kh_dkh=4.0, silica_mg_l=20.0, boron_mg_l=0.5))
    assert levels(answer, "minor") == {Level.NOTE}


def test_green_spans_a_factor_of_three_and_more():
    """Green from 11 to 42 mg/L with pK' 7.245 (independent implementation)."""
    answer = checker(CheckerQuestion(25.0, co2_mg_l=30.0))
    assert answer.ph.value == pytest.approx(6.654, abs=0.005)
    assert answer.green_from_mg_l.value == pytest.approx(11.0, rel=0.1)
    assert answer.green_to_mg_l.value == pytest.approx(42.0, rel=0.1)
    assert answer.srgb.startswith("#")
    half = checker(CheckerQuestion(25.0, checker_kh_dkh=2.0, co2_mg_l=30.0))
    assert half.green_to_mg_l.value == pytest.approx(0.5 * answer.green_to_mg_l.value, rel=0.03)


def test_checker_reads_back_what_it_shows():
    shown = checker(CheckerQuestion(25.0, co2_mg_l=25.0)).hue_deg.value
    found = checker(CheckerQuestion(25.0, seen_hue_deg=shown)).co2_mg_l
    assert found is not None
    assert found.value == pytest.approx(25.0, rel=0.15)
    with pytest.raises(InputError, match="one of"):
        checker(CheckerQuestion(25.0, co2_mg_l=25.0, seen_hue_deg=140.0))


def test_yellow_has_no_upper_end():
    assert "no upper end" in texts(checker(CheckerQuestion(25.0, colour=CheckerColour.YELLOW)))


def test_mixing_and_the_mean_of_ph():
    """PHREEQC: 7.175; mean of pH 7.40."""
    answer = mix(MixQuestion(4.0, 25.0, 50.0, 10.0, 50.0, co2_mg_l=30.0, new_co2_mg_l=2.3))
    assert answer.ph.value == pytest.approx(7.175, abs=0.01)
    assert answer.kh_dkh.value == pytest.approx(7.0)
    assert "does not add up" in texts(answer)


def test_a_water_change_and_the_hours_after():
    """40 % of pure water: KH 2.46; CO2 comes back to 30 as e^-(0.3 x 4)."""
    answer = mix(
        MixQuestion(4.0, 25.0, 100.0, 0.1, 40.0, co2_mg_l=30.0, new_co2_mg_l=0.6, change=True, loss_per_h=0.3)
    )
    assert answer.kh_dkh.value == pytest.approx(2.44, abs=0.01)
    assert answer.later_co2_mg_l is not None
    gap = 30.0 - answer.co2_mg_l.value
    assert answer.later_co2_mg_l.value == pytest.approx(30.0 - gap * 0.3012, abs=0.05)
    assert "set point" in texts(answer)


# 1 dKH into 4 dKH with 30 mg/L at 25 °C in 100 L: PHREEQC and stoichiometry (independent implementation).
@pytest.mark.parametrize(
    ("powder", "mass_g", "level", "said"),
    [
        (Powder.POTASSIUM_CARBONATE, 2.4646, 22.2, "Carbonate eats CO2"),
        (Powder.SODIUM_CARBONATE, 1.890, 22.2, "Carbonate eats CO2"),
        (Powder.POTASSIUM_BICARBONATE, 3.5706, 30.0, "leaves the CO2"),
        (Powder.HYDROGEN_CHLORIDE, 1.3004, 45.7, "gas the animals"),
    ],
)
def test_powders_and_co2(powder, mass_g, level, said):
    answer = dose(DoseQuestion(powder, mass_g, 100.0, 4.0, 25.0, co2_mg_l=30.0))
    assert answer.co2_mg_l.value == pytest.approx(level, abs=0.15)
    assert said in texts(answer)


def test_acid_that_uses_up_all_kh_is_no_answer():
    with pytest.raises(NoPhysicalRoot, match="Do not add"):
        dose(DoseQuestion(Powder.HYDROGEN_CHLORIDE, 8.0, 100.0, 4.0, 25.0, co2_mg_l=30.0))


def test_recipe():
    """100 L to 1 dKH and 1 dGH of calcium: 3.571 g and 3.070 g; 13.94 mg/L of potassium."""
    answer = salts(SaltsQuestion(100.0, 1.0, 1.0, ca_share_frac=1.0))
    assert answer.kh_salt_g.value == pytest.approx(3.571, abs=0.005)
    assert answer.calcium_salt_g.value == pytest.approx(3.070, abs=0.005)
    assert answer.potassium_mg_l.value == pytest.approx(13.94, abs=0.02)
    with pytest.raises(InputError, match="take nothing out"):
        salts(SaltsQuestion(100.0, 1.0, 1.0, start_kh_dkh=3.0))


def test_limestone_creeps_and_the_controller_follows():
    answer = drift(DriftQuestion(4.0, 30.0, 25.0, 200.0, stone_m2=0.1))
    assert answer.stone_dkh.low < 1.0 < answer.stone_dkh.high
    assert "creeps" in texts(answer)
    assert answer.co2_at_same_ph_mg_l.value > 33.0


def test_bacteria_and_plants():
    """20 mg/L of nitrate taken: 0.36 dKH; 1 mg/L of ammonium nitrogen: -0.40."""
    taken = drift(DriftQuestion(4.0, 20.0, 25.0, 100.0, nitrate_mg_l=20.0))
    assert taken.plants_dkh.value == pytest.approx(0.36, abs=0.01)
    assert drift(
        DriftQuestion(4.0, 20.0, 25.0, 100.0, ammonium_n_mg_l=1.0)
    ).bacteria_dkh.value == pytest.approx(-0.40, abs=0.005)
    with pytest.raises(InputError, match="day and a KH"):
        drift(DriftQuestion(4.0, 20.0, 25.0, 100.0, kh_log="monday"))


def test_pearling_proves_oxygen_and_no_more():
    answer = oxygen(OxygenQuestion(25.0, read_mg_l=10.0, co2_mg_l=25.0))
    assert "not how much CO2" in texts(answer)
    assert answer.pearls_from_mg_l.value > answer.o2_mg_l.value
    full = oxygen(OxygenQuestion(25.0, read_mg_l=14.0, n2_share_frac=1.05))
    assert full.total_gas_frac is not None
    assert full.total_gas_frac.value > 1.1
    assert "gas bubbles in fins" in texts(full)


def test_lid_and_airing_time():
    answer = air(
        AirQuestion(
            25.0, room_co2_ppm=420.0, kh_dkh=8.0, lid_loss_mg_h=100.0, aired_way=AiringWay.STOOD, aired_h=24.0
        )
    )
    assert answer.air_over_water_ppm.value == pytest.approx(420 + 556, abs=3)
    assert "lid holds" in texts(answer)
    assert answer.airing_needs_h is not None
    assert answer.sample_short_ph is not None
    assert answer.sample_short_ph.high > 0.1
