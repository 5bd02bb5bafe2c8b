"""Plants: limits of the canopy model, worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.living.plants import (
    DEMAND_LOG_SD_NUMBER,
    Canopy,
    afternoon_factor,
    canopy_for,
    energy_ceiling_mg_m2_h,
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
    sustainable_biomass_g_m2,
)
from fizzwright.job.model import Density, PlantClass

MIXED = Canopy(10.0, 0.050, 50.0, 60.0, 0.8)


def test_thin_stand_in_bright_light_works_at_leaf_capacity() -> None:
    """1 g/m2 under very bright light: 10 mg/g/h x (C - G)/(C - G + 6); at C = 6.2 that is half, 5 mg/m2/h."""
    thin = replace(MIXED, biomass_g_m2=1.0)
    assert float(gross_uptake_mg_m2_h(6.2, 1e7, thin)) == pytest.approx(5.0, rel=1e-3)


def test_deep_stand_in_dim_light_is_paid_by_photons() -> None:
    """Dim light fully caught and CO2 in excess: 158.43 x 0.05 x E; at 0.01 umol/m2/s 0.0792 mg/m2/h."""
    deep = replace(MIXED, biomass_g_m2=2000.0)
    assert float(gross_uptake_mg_m2_h(1e6, 0.01, deep)) == pytest.approx(0.07922, rel=1e-3)


def test_dark_or_starved_bed_takes_nothing() -> None:
    assert gross_uptake_mg_m2_h(30.0, 0.0, MIXED) == 0.0
    assert gross_uptake_mg_m2_h(0.1, 100.0, MIXED) == 0.0
    assert gross_uptake_mg_m2_h(0.2, 100.0, MIXED) == 0.0


def test_draws_broadcast_like_single_numbers() -> None:
    co2 = np.array([1.0, 10.0, 30.0])
    bed = replace(MIXED, demand_factor=np.array([0.5, 1.0, 2.0]))
    together = gross_uptake_mg_m2_h(co2, 80.0, bed)
    alone = [
        factor * float(gross_uptake_mg_m2_h(c, 80.0, MIXED))
        for c, factor in zip(co2, (0.5, 1.0, 2.0), strict=True)
    ]
    np.testing.assert_allclose(together, alone, rtol=1e-14)


def test_second_call_on_one_bed_gives_the_same_and_a_copy_is_worked_out_anew() -> None:
    first = gross_uptake_mg_m2_h(10.0, 80.0, MIXED)
    assert gross_uptake_mg_m2_h(10.0, 80.0, MIXED) == first
    assert gross_uptake_mg_m2_h(10.0, 80.0, replace(MIXED, biomass_g_m2=30.0)) < first


def test_leaf_capacity_is_flat_from_30_to_33_c_and_falls_above() -> None:
    def bright(water_c: float) -> float:
        return float(gross_uptake_mg_m2_h(25.0, 1e6, replace(MIXED, biomass_g_m2=1.0, water_c=water_c)))

    assert bright(30.0) == pytest.approx(bright(25.0) * math.sqrt(2.0), rel=1e-4)
    assert bright(33.0) == pytest.approx(bright(30.0), rel=1e-12)
    assert bright(34.0) == pytest.approx(0.9 * bright(33.0), rel=1e-3)


def test_respiration_doubles_in_ten_kelvin_and_falls_to_two_fifths_by_dawn() -> None:
    """0.8 x 60 = 48 at dusk and 25 degC; 96 at 35; 19.2 at dawn; mid-night 33.6."""
    assert respiration_mg_m2_h(MIXED) == pytest.approx(48.0)
    assert respiration_mg_m2_h(replace(MIXED, water_c=35.0)) == pytest.approx(96.0)
    assert respiration_mg_m2_h(MIXED, 1.0) == pytest.approx(19.2)
    assert respiration_mg_m2_h(MIXED, 0.5) == pytest.approx(33.6)


def test_oxygen_for_carbon() -> None:
    """44.0095 mg CO2 at quotient 1 is 31.9988 mg O2; at 1.1 a tenth more."""
    assert oxygen_for_carbon_mg_m2_h(44.0095, 1.0) == pytest.approx(31.9988)
    assert oxygen_for_carbon_mg_m2_h(44.0095) == pytest.approx(35.19868)


def test_afternoon_factor_waits_five_hours() -> None:
    np.testing.assert_allclose(
        afternoon_factor(np.array([0.0, 5.0, 5.5, 6.0, 9.0]), 0.3), [1, 1, 0.85, 0.7, 0.7]
    )


@pytest.mark.parametrize("grows", list(PlantClass))
@pytest.mark.parametrize("par_umol_m2_s", [20.0, 60.0, 150.0, 400.0])
def test_no_class_passes_what_light_can_pay(grows: PlantClass, par_umol_m2_s: float) -> None:
    for density in Density:
        bed = canopy_for(grows, density, 30.0)
        uptake = float(gross_uptake_mg_m2_h(60.0, par_umol_m2_s, bed))
        assert uptake < energy_ceiling_mg_m2_h(par_umol_m2_s)


def test_a_bed_too_dense_for_its_light_breathes_more_than_it_takes() -> None:
    mixed = canopy_for(PlantClass.MIXED, Density.MEDIUM, 25.0)
    alive = sustainable_biomass_g_m2(mixed, 40.0, co2_mg_l=25.0, lit_h=8.0)
    stand = replace(mixed, biomass_g_m2=1.3 * alive)
    taken = 8 * float(gross_uptake_mg_m2_h(25.0, 40.0, stand))
    assert taken < (8 + 16 * 0.7) * respiration_mg_m2_h(stand)


def test_no_stand_lives_under_almost_no_light() -> None:
    mixed = canopy_for(PlantClass.MIXED, Density.MEDIUM, 25.0)
    assert sustainable_biomass_g_m2(mixed, 0.5, co2_mg_l=25.0, lit_h=8.0) == 0.0


def test_spread_is_a_factor_of_two_for_nine_in_ten() -> None:
    assert math.exp(1.6449 * DEMAND_LOG_SD_NUMBER) == pytest.approx(2.0)
