"""What the air leaves in water, and how it goes with height."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.aired import aired_ph, co2_after_drop_mg_l
from fizzwright.engines.water.gases import (
    ROOM_AIR,
    co2_air_equilibrium_mg_l,
    n2_saturation_mg_l,
    o2_pressure_factor,
    o2_saturation_mg_l,
    pressure_isa_atm,
)


def test_co2_of_outdoor_air_by_hand():
    """25 °C: 0.034065 mol/kg/atm x 420e-6 x 0.9688 atm x 0.99681 x 0.99705 kg/L x 44009.5 = 0.6062 mg/L."""
    assert float(co2_air_equilibrium_mg_l(25.0, 420.0)) == pytest.approx(0.6062, rel=5e-4)


def test_one_atmosphere_is_the_reference():
    assert float(pressure_isa_atm(0.0)) == 1.0
    assert float(o2_pressure_factor(18.0, pressure_atm=1.0)) == 1.0
    assert o2_saturation_mg_l([20.0, 25.0]) == pytest.approx([9.09, 8.26], abs=0.006)


def test_height_by_hand():
    """2000 m: 0.7846 atm; less 0.0312 of vapour over 0.9688: oxygen 0.777 of 8.263, theta adds 0.01 %."""
    assert float(o2_saturation_mg_l(25.0, altitude_m=2000.0)) == pytest.approx(6.43, abs=0.01)
    assert float(n2_saturation_mg_l(25.0, altitude_m=2000.0) / n2_saturation_mg_l(25.0)) == pytest.approx(
        (0.7846 - 0.0312) / 0.9688, rel=2e-4
    )


def test_nitrogen_by_hand():
    """494.2 µmol/kg x 28.0134 x 0.99705 = 13.80 mg/L."""
    assert float(n2_saturation_mg_l(25.0)) == pytest.approx(13.80, abs=0.01)


def test_room_prior_is_in_order():
    assert 400.0 < ROOM_AIR.low_ppm < ROOM_AIR.median_ppm < ROOM_AIR.high_ppm


def test_shapes_broadcast():
    found = co2_air_equilibrium_mg_l(np.array([[20.0], [25.0]]), [420.0, 800.0, 1200.0], altitude_m=100.0)
    assert found.shape == (2, 3)


@pytest.mark.parametrize(
    ("kh", "ppm", "expected"), [(4.0, 2000.0, 28.9959), (8.0, 1200.0, 17.5799), (15.0, 2000.0, 29.3497)]
)
def test_one_ph_below_an_aired_sample(kh, ppm, expected):
    """An independent implementation of the same constants, 25 °C; not 30 mg/L, whatever the trade says."""
    alk = 0.35665 * kh
    water = {"water_c": 25.0, "ionic_strength_mol_l": max(0.002, 1e-3 * alk)}
    settled = aired_ph(alk, ppm, **water)
    baseline = co2_air_equilibrium_mg_l(25.0, ppm)
    found = co2_after_drop_mg_l(settled, settled - 1.0, baseline_co2_mg_l=baseline, **water)
    assert float(found) == pytest.approx(expected, abs=0.1)
