"""Cooling and throttling against the equation of state used directly; a shut space of real gas."""

from __future__ import annotations

import pytest

from fizzwright.engines.gasline import cooling, leak

pytestmark = pytest.mark.peers
CoolProp = pytest.importorskip("CoolProp.CoolProp")


@pytest.mark.parametrize("warm_c", [0.0, 10.0, 20.0, 25.0, 30.0])
def test_heat_of_vaporisation(warm_c):
    kelvin = warm_c + 273.15
    liquid, vapour = (CoolProp.PropsSI("H", "T", kelvin, "Q", q, "CO2") for q in (0, 1))
    assert cooling.evaporation_j_kg(warm_c) == pytest.approx(vapour - liquid, rel=1e-6)


@pytest.mark.parametrize(("before", "after"), [(30.0, 2.0), (10.0, 2.0), (50.0, 10.0)])
def test_throttling_keeps_the_enthalpy(before, after):
    heat = CoolProp.PropsSI("H", "T", 293.15, "P", before * 1e5, "CO2")
    kelvin = CoolProp.PropsSI("T", "H", heat, "P", after * 1e5, "CO2")
    assert cooling.throttled_c(before, 20.0, after_bara=after) == pytest.approx(kelvin - 273.15, abs=1e-3)


@pytest.mark.parametrize("start_bara", [20.0, 40.0, 50.0])
def test_a_shut_bottle_side_that_warms(start_bara):
    # two coefficients against the whole equation: the change for 5 K within 3 %
    density = CoolProp.PropsSI("D", "T", 293.15, "P", start_bara * 1e5, "CO2")
    warm = CoolProp.PropsSI("P", "T", 298.15, "D", density, "CO2") * 1e-5
    ours = leak.high_side_still_bara(start_bara, start_c=20.0, end_c=25.0)
    assert ours - start_bara == pytest.approx(warm - start_bara, rel=0.03)
