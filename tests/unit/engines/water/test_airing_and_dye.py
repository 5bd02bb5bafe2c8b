"""Airing, the dye of a drop checker, mixing and gas pressure: values worked out elsewhere or by hand."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.airing import (
    Glass,
    airing_curve,
    hours_to_within_h,
    reacting_airing_curve,
    short_of_settled_ph,
)
from fizzwright.engines.water.colour import hue_deg, srgb_hex, srgb_hue_deg
from fizzwright.engines.water.gas_pressure import headspace_rise_ppm, o2_to_bubble_frac, total_gas_atm
from fizzwright.engines.water.indicator import dye_base_frac, dye_tristimulus_factor, hue_scale
from fizzwright.engines.water.mixing import bulk_from_co2, carbon_state, poured_together

DKH = 0.356650


# 5 cm of water, 25 °C, 420 ppm, from 30 mg/L: hours to within 0.05 and 0.02 pH (independent implementation).
@pytest.mark.parametrize(
    ("kh", "velocity", "hours"),
    [
        (1, 1.0, (31, 36)), (4, 1.0, (39, 49)), (8, 1.0, (61, 84)), (15, 1.0, (126, 189)),
        (4, 6.0, (6.4, 8)), (15, 6.0, (21, 32)), (1, 20.0, (1.5, 1.7)), (8, 20.0, (3.0, 4.2)),
    ],
)  # fmt: skip
def test_hours_of_airing(kh, velocity, hours):
    glass = Glass(5.0, velocity, 25.0, 0.004, 0.606)
    curve = airing_curve(30.0, kh * DKH, glass=glass)
    assert hours_to_within_h(curve, 0.05) == pytest.approx(hours[0], rel=0.05)
    assert hours_to_within_h(curve, 0.02) == pytest.approx(hours[1], rel=0.07)


# The same with CO2 reacting in the film (independent implementation, resolved in full).
@pytest.mark.parametrize(("kh", "hours"), [(1, (29, 34)), (4, (31, 37)), (8, (36, 46)), (15, (51, 69))])
def test_a_still_glass_with_reaction(kh, hours):
    curve = reacting_airing_curve(30.0, kh * DKH, glass=Glass(5.0, 1.0, 25.0, 0.004, 0.606))
    assert hours_to_within_h(curve, 0.05) == pytest.approx(hours[0], rel=0.06)
    assert hours_to_within_h(curve, 0.02) == pytest.approx(hours[1], rel=0.06)


def test_a_glass_left_for_a_day():
    """At 4 dKH still 0.13 to 0.2 pH low (independent implementation)."""
    glass = Glass(5.0, 1.0, 25.0, 0.004, 0.606)
    plain = short_of_settled_ph(airing_curve(30.0, 4 * DKH, glass=glass), 24.0)
    helped = short_of_settled_ph(reacting_airing_curve(30.0, 4 * DKH, glass=glass), 24.0)
    assert 0.12 < helped < plain < 0.22


# Hue at 4 dKH and 25 °C for a strong dye with pK' 7.045 and 7.245 (independent implementation).
@pytest.mark.parametrize(
    ("ph", "hues"), [(7.1305, (185, 169)), (6.83, (161, 144)), (6.654, (146, 130)), (6.353, (123, 112))]
)
def test_hue_of_the_checker(ph, hues):
    scale = hue_scale(1e-4, path_cm=1.0)
    for pk, hue in zip((7.045, 7.245), hues, strict=True):
        assert float(scale.hue_at_deg(ph - pk)) == pytest.approx(hue, abs=2.0)


def test_hue_rises_with_ph_and_goes_back():
    scale = hue_scale(6e-5, path_cm=1.0)
    over = np.linspace(-1.5, 1.0, 20)
    assert scale.over_pk_at_ph(scale.hue_at_deg(over)) == pytest.approx(over, abs=0.02)


def test_a_colour_on_a_screen_keeps_its_hue():
    colour = dye_tristimulus_factor(dye_base_frac(6.7, 7.245), 6e-5, path_cm=1.0)
    assert srgb_hue_deg(srgb_hex(colour)) == pytest.approx(float(hue_deg(colour)), abs=3.0)
    with pytest.raises(ValueError, match="no colour"):
        srgb_hue_deg("green")


# Half of KH 4 with 30 mg/L, half of KH 10 with 2.3 mg/L free CO2: 7.175 by PHREEQC, 7.40 by the mean of pH.
def test_two_waters_half_and_half():
    rest = {"water_c": 25.0}
    first = bulk_from_co2(30.0, 4 * DKH, ionic_strength_mol_l=0.0014, **rest)
    second = bulk_from_co2(2.3, 10 * DKH, ionic_strength_mol_l=0.0036, **rest)
    mixed = poured_together(first, second, second_frac=0.5)
    assert float(carbon_state(mixed).ph) == pytest.approx(7.175, abs=0.01)
    assert float(mixed.alk_meq_l) == pytest.approx(7 * DKH)


def test_bubbles_need_more_than_air_holds():
    """0.4 m down, 0.02 atm of CO2: (1.039 - 0.03 - 0.02 - 0.79054 x 0.97) / (0.20946 x 0.97)."""
    terms = {"dry_air_atm": 0.97, "vapour_atm": 0.03, "co2_atm": 0.02}
    assert float(o2_to_bubble_frac(1.0, 1.039, **terms)) == pytest.approx(1.0935, abs=0.001)
    assert float(total_gas_atm(1.0935, 1.0, **terms)) == pytest.approx(1.039, abs=1e-4)


def test_air_under_a_lid():
    """100 mg/h are 55.6 mL/h; into 10 L changed ten times an hour, 556 ppm."""
    assert float(headspace_rise_ppm(100.0, 10.0, changes_per_h=10.0, air_c=25.0)) == pytest.approx(556, abs=2)
