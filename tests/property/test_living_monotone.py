"""What must hold for any bed and any mix of animals."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.living.animals import resting_o2_mg_h
from fizzwright.engines.living.ceilings import combined_risk_number
from fizzwright.engines.living.plants import (
    Canopy,
    energy_ceiling_mg_m2_h,
    gross_uptake_mg_m2_h,
    respiration_mg_m2_h,
)

beds = st.builds(
    Canopy,
    pmax25_mg_g_h=st.floats(2, 27),
    quantum_yield_ratio=st.floats(0.03, 0.08),
    shading_g_m2=st.floats(25, 100),
    biomass_g_m2=st.floats(1, 300),
    respiration25_mg_g_h=st.floats(0.2, 3.5),
    water_c=st.floats(10, 34),
    half_co2_mg_l=st.floats(3, 35),
    yield_half_co2_mg_l=st.floats(0.5, 3),
    compensation_co2_mg_l=st.floats(0.05, 1),
)
levels = st.floats(0, 60)
lights = st.floats(0, 1000)


@given(beds, levels, levels, lights)
def test_more_co2_never_means_less_uptake(bed: Canopy, one: float, other: float, par: float) -> None:
    low, high = sorted((one, other))
    assert gross_uptake_mg_m2_h(low, par, bed) <= gross_uptake_mg_m2_h(high, par, bed) * (1 + 1e-12)


@given(beds, levels, lights, lights)
def test_more_light_never_means_less_uptake(bed: Canopy, co2: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert gross_uptake_mg_m2_h(co2, low, bed) <= gross_uptake_mg_m2_h(co2, high, bed) * (1 + 1e-12)


@given(beds, levels, lights)
def test_uptake_is_never_negative_nor_more_than_light_or_leaves_allow(
    bed: Canopy, co2: float, par: float
) -> None:
    taken = gross_uptake_mg_m2_h(co2, par, bed)
    assert taken >= 0
    assert taken <= energy_ceiling_mg_m2_h(par, bed.quantum_yield_ratio) * (1 + 1e-9)
    warm = bed.uptake_q10_factor ** ((min(bed.water_c, 30.0) - 25.0) / 10)
    assert taken <= bed.pmax25_mg_g_h * warm * bed.biomass_g_m2 * (1 + 1e-9)


@given(beds, levels, lights, st.floats(0.2, 5))
def test_demand_factor_scales_uptake_and_breathing(
    bed: Canopy, co2: float, par: float, factor: float
) -> None:
    scaled = replace(bed, demand_factor=factor)
    one, many = gross_uptake_mg_m2_h(co2, par, bed), gross_uptake_mg_m2_h(co2, par, scaled)
    assert abs(many - factor * one) <= 1e-9 * max(one, 1.0) * factor
    breath = respiration_mg_m2_h(bed)
    assert abs(respiration_mg_m2_h(scaled) - factor * breath) <= 1e-9 * breath * factor


@settings(max_examples=50)
@given(st.floats(0.05, 500), st.floats(10, 33))
def test_small_animals_use_more_for_their_mass_and_warmth_uses_more(mass_g: float, water_c: float) -> None:
    assert resting_o2_mg_h(2 * mass_g, water_c) < 2 * resting_o2_mg_h(mass_g, water_c)
    assert resting_o2_mg_h(mass_g, water_c + 1) > resting_o2_mg_h(mass_g, water_c)


@given(st.floats(0, 60), st.floats(10, 60), st.floats(0.5, 14))
def test_short_oxygen_never_lowers_the_risk(co2: float, ceiling: float, o2: float) -> None:
    assert combined_risk_number(co2, ceiling, o2) >= co2 / ceiling - 1e-12
