"""What must hold for any water: round trips, one-way answers, balances, one answer for all shapes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.water.aired import aired_alk_meq_l, aired_ph, co2_after_drop_mg_l
from fizzwright.engines.water.carbonate import (
    alk_from_ph_co2_meq_l,
    co2_from_dic_mg_l,
    co2_from_ph_mg_l,
    conditional_constants,
    dic_from_co2_mmol_l,
    ph_from_co2,
    ph_from_dic,
    speciation,
)
from fizzwright.engines.water.gases import co2_air_equilibrium_mg_l, o2_saturation_mg_l
from fizzwright.engines.water.ionic import ionic_strength_best
from fizzwright.engines.water.kit import organic_alk_hruska_meq_l, phosphate_alk_meq_l

warmth = st.floats(1.0, 38.0)
alkalinity = st.floats(0.0, 8.0)
strength = st.floats(0.0, 0.03)
level = st.floats(0.05, 200.0)
hardness = st.one_of(st.none(), st.floats(0.0, 4.0))


@given(level, alkalinity, warmth, strength, hardness)
@settings(max_examples=150, deadline=None)
def test_ph_and_co2_lead_back_to_each_other(co2, alk, water_c, salt, hard):
    water = {"water_c": water_c, "ionic_strength_mol_l": salt, "hardness_mmol_l": hard}
    ph = ph_from_co2(co2, alk, **water)
    # Within 1e-6 of the pH is 2.3e-6 of the CO2.
    assert float(co2_from_ph_mg_l(ph, alk, **water)) == pytest.approx(co2, rel=2.4e-6, abs=1e-9)
    assert float(alk_from_ph_co2_meq_l(ph, co2, **water)) == pytest.approx(alk, rel=1e-7, abs=1e-7)


@given(level, alkalinity, warmth, strength, hardness)
@settings(max_examples=150, deadline=None)
def test_carbon_and_co2_lead_back_to_each_other(co2, alk, water_c, salt, hard):
    water = {"water_c": water_c, "ionic_strength_mol_l": salt, "hardness_mmol_l": hard}
    dic = dic_from_co2_mmol_l(co2, alk, **water)
    assert float(co2_from_dic_mg_l(dic, alk, **water)) == pytest.approx(co2, rel=1e-5)
    assert float(ph_from_dic(dic, alk, **water)) == pytest.approx(
        float(ph_from_co2(co2, alk, **water)), abs=1e-6
    )


@given(st.floats(4.5, 9.5), level, warmth, strength)
def test_charge_and_carbon_balance(ph, co2, water_c, salt):
    found = speciation(ph, co2 / 44.0095, constants=conditional_constants(water_c, salt))
    assert float(found.dic_mmol_l) == pytest.approx(
        float(found.co2_mmol_l + found.hco3_mmol_l + found.co3_mmol_l)
    )
    negative = found.hco3_mmol_l + 2.0 * found.co3_mmol_l + found.oh_mmol_l
    assert float(found.alk_meq_l) == pytest.approx(float(negative - found.h_mmol_l), rel=1e-9, abs=1e-12)


@given(st.floats(0.1, 100.0), st.floats(0.1, 6.0), warmth, strength)
def test_more_gas_lowers_the_ph_and_more_kh_raises_it(co2, alk, water_c, salt):
    water = {"water_c": water_c, "ionic_strength_mol_l": salt}
    here = ph_from_co2(co2, alk, **water)
    assert ph_from_co2(1.1 * co2, alk, **water) < here < ph_from_co2(co2, 1.1 * alk, **water)


@given(st.floats(5.5, 7.8), st.floats(0.1, 6.0), st.floats(1.0, 30.0), strength)
def test_warmer_or_saltier_water_of_one_ph_holds_less_free_co2(ph, alk, water_c, salt):
    here = co2_from_ph_mg_l(ph, alk, water_c=water_c, ionic_strength_mol_l=salt)
    warmer = co2_from_ph_mg_l(ph, alk, water_c=water_c + 2.0, ionic_strength_mol_l=salt)
    saltier = co2_from_ph_mg_l(ph, alk, water_c=water_c, ionic_strength_mol_l=salt + 1e-3)
    harder = co2_from_ph_mg_l(ph, alk, water_c=water_c, ionic_strength_mol_l=salt, hardness_mmol_l=1.0)
    assert warmer < here
    assert saltier < here
    assert harder < here


@given(
    st.floats(0.1, 5.0), st.floats(400.0, 3000.0), st.floats(10.0, 30.0), st.floats(0.001, 0.02),
    st.floats(0.0, 3000.0),
)  # fmt: skip
def test_an_aired_sample_leads_back_to_its_alkalinity(alk, ppm, water_c, salt, height):
    water = {"water_c": water_c, "ionic_strength_mol_l": salt, "altitude_m": height}
    settled = aired_ph(alk, ppm, **water)
    assert float(aired_alk_meq_l(settled, ppm, **water)) == pytest.approx(alk, rel=1e-7)


@given(st.floats(0.3, 5.0), st.floats(0.0, 0.3), st.floats(0.4, 1.6))
def test_a_probe_offset_falls_out_of_a_drop(alk, offset, drop):
    """A probe wrong by the same at both readings: CO2 changes by the little carbonate only."""
    water = {"water_c": 25.0, "ionic_strength_mol_l": 1e-3 * alk}
    settled = float(ph_from_co2(0.6, alk, **water))
    true = co2_after_drop_mg_l(settled, settled - drop, baseline_co2_mg_l=0.6, **water)
    read = co2_after_drop_mg_l(settled + offset, settled + offset - drop, baseline_co2_mg_l=0.6, **water)
    assert float(read) == pytest.approx(float(true), rel=0.08)


@given(warmth, st.floats(300.0, 5000.0), st.floats(0.0, 3000.0))
def test_air_leaves_less_in_warmer_water_and_thinner_air(water_c, ppm, height):
    here = co2_air_equilibrium_mg_l(water_c, ppm, altitude_m=height)
    assert co2_air_equilibrium_mg_l(water_c + 1.0, ppm, altitude_m=height) < here
    assert co2_air_equilibrium_mg_l(water_c, ppm, altitude_m=height + 100.0) < here
    assert float(co2_air_equilibrium_mg_l(water_c, 2.0 * ppm, altitude_m=height)) == pytest.approx(2.0 * here)
    oxygen = o2_saturation_mg_l(water_c, altitude_m=height)
    assert o2_saturation_mg_l(water_c + 1.0, altitude_m=height) < oxygen
    assert o2_saturation_mg_l(water_c, altitude_m=height + 100.0) < oxygen


@given(st.floats(0.0, 100.0), st.floats(5.0, 8.5), warmth)
def test_what_a_kit_counts_beside_carbonate_grows_with_ph(amount, ph, water_c):
    water = {"water_c": water_c, "ionic_strength_mol_l": 0.004}
    counted = phosphate_alk_meq_l(amount, ph, **water)
    assert 0.0 <= counted <= phosphate_alk_meq_l(amount, ph + 0.1, **water)
    # Two protons at the most for each phosphate between pH 4.5 and 9.
    assert counted <= 2.0 * amount / 94.9714
    assert 0.0 <= organic_alk_hruska_meq_l(amount, ph) <= 10.2e-3 * amount


@given(alkalinity, st.floats(20.0, 3000.0), st.one_of(st.none(), st.floats(0.0, 5.0)))
def test_the_guess_of_salts_keeps_its_order(alk, ec, hard):
    salt = ionic_strength_best(alk, ec_us_cm=ec, hardness_mmol_l=hard)
    assert 0.0 <= salt.ionic_low_mol_l <= salt.ionic_strength_mol_l <= salt.ionic_high_mol_l
    assert 0.0 <= salt.hardness_low_mmol_l <= salt.hardness_mmol_l <= salt.hardness_high_mmol_l
    # Bicarbonate must have as much charge beside it.
    assert salt.ionic_strength_mol_l >= 1e-3 * alk - 1e-12


def test_arrays_give_what_single_numbers_give():
    rng = np.random.default_rng(3)
    co2, alk = rng.uniform(0.5, 60.0, (4, 5)), rng.uniform(0.05, 5.0, (4, 5))
    water_c = rng.uniform(12.0, 30.0, (4, 1))
    salt = rng.uniform(0.0005, 0.01, 5)
    together = ph_from_co2(co2, alk, water_c=water_c, ionic_strength_mol_l=salt)
    assert together.shape == (4, 5)
    for i in range(4):
        for j in range(5):
            alone = ph_from_co2(co2[i, j], alk[i, j], water_c=water_c[i, 0], ionic_strength_mol_l=salt[j])
            assert float(together[i, j]) == pytest.approx(float(alone), abs=1e-9)
