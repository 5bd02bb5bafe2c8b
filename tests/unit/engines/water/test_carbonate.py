"""Carbonate balance: sums worked by hand, edges, and refusals."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.carbonate import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    co2_at_alkalinity_mmol_l,
    co2_from_dic_mg_l,
    co2_from_ph_mg_l,
    conditional_constants,
    dic_from_co2_mmol_l,
    ph_from_co2,
    ph_from_dic,
    speciation,
)
from fizzwright.errors import NoPhysicalRoot
from fizzwright.sources import equation_of

WATER = {"water_c": 25.0, "ionic_strength_mol_l": 0.005}


def test_constants_of_one_water_by_hand():
    """25 °C, 0.005 mol/L: sqrt(I) = 0.07081 with I = 0.005015 mol/kg (density 0.99705).

    Davies: log g1 = -0.5092 (0.07081/1.07081 - 0.0015045) = -0.03291, g1 = 0.9270; log g2 = 4 x that.
    K1' = 10^-6.35186 x 10^0.0005 / 0.9270 = 4.803e-7; K2' = 10^-10.3289 x 0.9270 / 0.7385 = 5.886e-11.
    """
    found = conditional_constants(25.0, 0.005)
    assert float(found.gamma1_factor) == pytest.approx(0.9270, abs=2e-4)
    assert float(found.gamma2_factor) == pytest.approx(0.7385, abs=4e-4)
    assert float(found.k1_mol_l) == pytest.approx(4.803e-7, rel=1e-3)
    assert float(found.k2_mol_l) == pytest.approx(5.886e-11, rel=1e-3)
    # Kw 10^-13.9946 / 0.9270 x 0.99705; [H] = 0.99705 / 0.9270 for a of one.
    assert float(found.kw_mol_l) == pytest.approx(1.089e-14, rel=2e-3)
    assert float(found.h_mol_l) == pytest.approx(1.0756, rel=1e-3)


def test_ion_pairs_by_hand():
    """1 mmol/L of hardness, 85 % of it free: 0.85 x 0.7385 x 0.001003 = 6.296e-4 of activity.

    Bicarbonate is held in the ratio 10^1.107 x 6.296e-4 = 0.0081, carbonate 10^3.224 x 6.296e-4 x 0.7385
    = 0.779 (over the 1.0012 of an uncharged pair).
    """
    plain = conditional_constants(25.0, 0.005)
    paired = conditional_constants(25.0, 0.005, hardness_mmol_l=1.0)
    assert float(paired.k1_mol_l / plain.k1_mol_l) == pytest.approx(1.0081, abs=2e-4)
    both = paired.k1_mol_l * paired.k2_mol_l / (plain.k1_mol_l * plain.k2_mol_l)
    assert float(both) == pytest.approx(1.778, abs=0.01)


def test_co2_by_hand():
    """CO2 = alk x aH / K1' = 1.4266 x 10^-6.6 / 4.803e-7 = 0.7461 mmol/L, less carbonate 0.05 %."""
    assert float(co2_from_ph_mg_l(6.6, 1.4266, **WATER)) == pytest.approx(0.7461 * 44.0095, rel=1e-3)


def test_free_acid_counts_in_very_soft_water():
    """At pH 4.8 and no alkalinity the CO2 is what makes the acid: H 1.70e-5 = HCO3, CO2 = 0.56 mmol/L."""
    found = co2_from_ph_mg_l(4.8, 0.0, water_c=25.0, ionic_strength_mol_l=0.0)
    assert float(found) == pytest.approx(10**-4.8 * 10**-4.8 / 10**-6.35186 * 44009.5 * 0.997, rel=2e-3)


def test_hydroxide_alone_leaves_no_co2():
    """At pH 10 hydroxide is 0.1 meq/L, more than the alkalinity given."""
    assert float(co2_from_ph_mg_l(10.0, 0.05, water_c=25.0, ionic_strength_mol_l=0.001)) == 0.0
    constants = conditional_constants(25.0, 0.001)
    assert np.all(co2_at_alkalinity_mmol_l([10.0, 11.0], 0.01, constants=constants) == 0.0)


def test_pure_water_is_neutral():
    """No carbon, no alkalinity: half of pKw, 13.9946 / 2."""
    assert float(ph_from_dic(0.0, 0.0, water_c=25.0, ionic_strength_mol_l=0.0)) == pytest.approx(
        6.9973, abs=1e-4
    )


def test_solver_is_good_to_a_millionth():
    """The pH found, put back into the balance, gives the alkalinity to round-off."""
    found = ph_from_co2([0.01, 3.0, 300.0], [8.0, 0.2, 0.0], **WATER)
    back = co2_from_ph_mg_l(found, [8.0, 0.2, 0.0], **WATER)
    assert back == pytest.approx([0.01, 3.0, 300.0], rel=1e-7)


def test_carbon_of_a_usual_tank():
    """30 mg/L at 4 dKH in its own bicarbonate: 0.6817 + 1.4266 mmol/L, carbonate and acid aside."""
    found = dic_from_co2_mmol_l(30.0, 1.4266, water_c=25.0, ionic_strength_mol_l=0.0014266)
    assert float(found) == pytest.approx(30.0 / 44.0095 + 1.4266, abs=0.001)


def test_carbonate_eats_co2_and_acid_makes_it():
    """Half an alkali carbonate per dKH takes 0.178 mmol/L CO2, 7.85 mg/L; acid frees 15.7 mg/L a dKH."""
    alk, dic = 1.4266, 30.0 / 44.0095 + 1.4266
    step = 0.35665
    water = {"water_c": 25.0, "ionic_strength_mol_l": 0.0014}
    start = co2_from_dic_mg_l(dic, alk, **water)
    with_carbonate = co2_from_dic_mg_l(dic + 0.5 * step, alk + step, **water)
    with_acid = co2_from_dic_mg_l(dic, alk - step, **water)
    assert float(start - with_carbonate) == pytest.approx(0.5 * step * 44.0095, rel=0.01)
    assert float(with_acid - start) == pytest.approx(step * 44.0095, rel=0.01)


def test_readings_that_no_water_shows_are_refused():
    with pytest.raises(NoPhysicalRoot, match="no pH between"):
        ph_from_dic(0.1, 5000.0, **WATER)
    with pytest.raises(NoPhysicalRoot):
        co2_from_dic_mg_l([1.0, 1.0], [1.0, -5000.0], **WATER)
    with pytest.raises(NoPhysicalRoot):
        ph_from_co2(float("nan"), 1.0, **WATER)


def test_speciation_fields_have_one_shape():
    found = speciation([6.5, 7.0], 0.5, constants=conditional_constants(25.0, 0.002))
    assert {np.shape(getattr(found, name)) for name in vars(found)} == {(2,)}
    assert found.ph == pytest.approx([6.5, 7.0])


def test_what_runs_is_listed_for_trails():
    names = [equation_of(f).name for f in (*CONDITIONAL_EQUATIONS, *PAIR_EQUATIONS)]
    assert len(set(names)) == 9
