"""Waters of known ions: limits worked by hand, and limestone's end point."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.carbon import (
    from_co2_and_alk,
    from_co2_and_dic,
    from_ph_and_alk,
    ph_from_co2_and_dic,
)
from fizzwright.engines.water.carbonate import co2_from_ph_mg_l
from fizzwright.engines.water.conditional import conditional_constants
from fizzwright.engines.water.drift import (
    calcite_saturation_log10,
    nitrogen_alk_meq_l,
    stone_meq_l_h,
    stone_rates,
)
from fizzwright.engines.water.ionic import Ions
from fizzwright.engines.water.known_ions import ionic_water
from fizzwright.errors import NoPhysicalRoot

DKH = 0.356650


def test_without_pairs_the_two_modes_agree():
    """Potassium bicarbonate forms no pairs: sized ions and Davies differ by their activities, under 0.1 %."""
    _, shared = ionic_water(
        lambda c: from_ph_and_alk(6.6, 1.4266, constants=c), Ions(k_mmol_l=1.4266), water_c=25.0
    )
    plain = co2_from_ph_mg_l(6.6, 1.4266, water_c=25.0, ionic_strength_mol_l=1.4266e-3)
    assert 44.0095 * float(shared.co2_mmol_l) == pytest.approx(float(plain), rel=1e-3)


def test_calcium_holds_bicarbonate_and_lowers_co2():
    """1.11 in the logarithm, 2 mmol/L of calcium two thirds active and one seventh held: 1.5 to 2.5 %."""
    ions = Ions(ca_mmol_l=2.0, cl_mmol_l=1.0)
    water, shared = ionic_water(lambda c: from_ph_and_alk(7.0, 3.0, constants=c), ions, water_c=25.0)
    bare = co2_from_ph_mg_l(7.0, 3.0, water_c=25.0, ionic_strength_mol_l=water.ionic_strength_mol_l)
    assert 0.97 < 44.0095 * float(shared.co2_mmol_l) / float(bare) < 0.99
    assert float(water.free_ca_mmol_l) < 2.0


def test_arrays_are_elementwise():
    ph = np.array([6.0, 7.0, 8.0])
    ions = Ions(ca_mmol_l=np.array([0.5, 1.0, 1.5]), cl_mmol_l=1.0)
    _, all_of_them = ionic_water(lambda c: from_ph_and_alk(ph, 2.0, constants=c), ions, water_c=24.0)
    _, one = ionic_water(
        lambda c: from_ph_and_alk(7.0, 2.0, constants=c), Ions(ca_mmol_l=1.0, cl_mmol_l=1.0), water_c=24.0
    )
    assert float(all_of_them.co2_mmol_l[1]) == pytest.approx(float(one.co2_mmol_l), rel=1e-9)


def test_ph_from_co2_and_total_carbon():
    """[HCO3]/[CO2] = 10 at pK' + 1 = 7.3 or so, carbonate a thousandth."""
    constants = conditional_constants(25.0, 0.002)
    ph = float(ph_from_co2_and_dic(0.2, 2.2, constants=constants))
    assert ph == pytest.approx(-np.log10(float(constants.k1_mol_l)) + 1.0, abs=0.003)
    assert float(from_co2_and_dic(0.2, 2.2, constants=constants).dic_mmol_l) == pytest.approx(2.2)
    with pytest.raises(NoPhysicalRoot):
        ph_from_co2_and_dic(1.0, 0.9, constants=constants)


# PHREEQC, pure water in equilibrium with calcite at a CO2 held (independent implementation), 0.1 dKH.
@pytest.mark.parametrize(("co2_mg_l", "end_dkh"), [(0.6, 3.0), (15.0, 9.2), (30.0, 11.8), (40.0, 13.2)])
def test_where_limestone_ends(co2_mg_l, end_dkh):
    alk = np.linspace(0.3, 6.0, 400)
    water, _ = ionic_water(
        lambda c: from_co2_and_alk(co2_mg_l / 44.0095, alk, constants=c),
        Ions(ca_mmol_l=0.5 * alk),
        water_c=25.0,
    )
    index = calcite_saturation_log10(water.ca_activity_mol_kg, water.co3_activity_mol_kg, water_c=25.0)
    assert float(np.interp(0.0, index, alk)) / DKH == pytest.approx(end_dkh, abs=0.1)


def test_limestone_in_a_tank_under_gas():
    """0.3 dKH a day from 1000 cm2 of bare calcite in 200 L at 4 dKH and 30 mg/L (an order of magnitude)."""
    ions = Ions(ca_mmol_l=0.9, na_mmol_l=0.5, cl_mmol_l=0.9)
    water, shared = ionic_water(
        lambda c: from_co2_and_alk(30 / 44.0095, 1.4266, constants=c), ions, water_c=25.0
    )
    index = calcite_saturation_log10(water.ca_activity_mol_kg, water.co3_activity_mol_kg, water_c=25.0)
    assert float(index) == pytest.approx(-1.23, abs=0.05)
    speed = stone_meq_l_h(
        shared.ph,
        30 / 44.0095,
        saturation_log10=index,
        rates=stone_rates(25.0),
        stone_m2_l_ratio=0.1 / 200.0,
    )
    assert 24.0 * float(speed) / DKH == pytest.approx(0.3, rel=0.25)


def test_without_gas_the_same_stone_takes_scale():
    ions = Ions(ca_mmol_l=0.9, na_mmol_l=0.5, cl_mmol_l=0.9)
    water, shared = ionic_water(lambda c: from_ph_and_alk(8.3, 1.4266, constants=c), ions, water_c=25.0)
    index = calcite_saturation_log10(water.ca_activity_mol_kg, water.co3_activity_mol_kg, water_c=25.0)
    speed = stone_meq_l_h(
        shared.ph, shared.co2_mmol_l, saturation_log10=index, rates=stone_rates(25.0), stone_m2_l_ratio=1e-3
    )
    assert float(speed) < 0.0


def test_nitrification_takes_four_tenths_of_a_degree():
    assert float(nitrogen_alk_meq_l(1.0, -2.0)) / DKH == pytest.approx(-0.400, abs=0.001)
