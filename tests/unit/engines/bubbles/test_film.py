"""Size law and film law against sums by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.bubbles.closures import Closure, contaminated_closure
from fizzwright.engines.bubbles.film import Skins, bubble_amount_mol, bubble_diameter_m, film_rates
from fizzwright.engines.bubbles.medium import CO2, N2, O2, bubble_water


def test_amount_of_a_millimetre_bubble_by_hand():
    # 25 degC, 30 cm: 101325 + 997.05*9.80665*0.30 + 4*0.07197/1e-3 - 3168 = 101378 Pa dry;
    # volume pi/6 * 1e-9 = 5.236e-10 m3; over R T = 2478.96 J/mol: 2.1413e-8 mol.
    found = float(bubble_amount_mol(1e-3, 0.30, water=bubble_water(25.0)))
    assert found == pytest.approx(2.1413e-8, rel=1e-3)


def test_the_cubic_gives_back_the_diameter():
    water = bubble_water(18.0)
    d = np.geomspace(1e-6, 1e-2, 50)
    for depth in (0.0, 0.4, 3.0):
        back = bubble_diameter_m(bubble_amount_mol(d, depth, water=water), depth, water=water)
        assert np.allclose(back, d, rtol=1e-9)


def test_a_poor_guess_of_the_diameter_does_no_harm():
    water = bubble_water(25.0)
    d = np.geomspace(2e-6, 5e-3, 30)
    amount = bubble_amount_mol(d, 0.3, water=water)
    for factor in (0.7, 1.5):
        found = bubble_diameter_m(amount, 0.3, water=water, near_m=factor * d)
        assert np.allclose(found, d, rtol=1e-4)


def test_without_skin_and_vapour_it_is_boyle():
    water = replace(bubble_water(25.0), tension_n_m=0.0, vapour_pa=0.0)
    amount = bubble_amount_mol(1e-3, 10.0, water=water)
    # (101325 + 997.05*9.80665*10) / 101325 = 1.96499; cube root 1.25252.
    assert float(bubble_diameter_m(amount, 0.0, water=water)) == pytest.approx(1.25252e-3, rel=1e-4)


def test_a_bubble_of_moist_air_is_in_balance_with_aerated_water():
    """At the surface, without skin tension, dissolved air and bubble air press alike."""
    water = replace(bubble_water(25.0, co2_mg_l=0.0), tension_n_m=0.0)
    amount = float(bubble_amount_mol(2e-3, 0.0, water=water))
    gas = amount * np.array([[0.0], [0.78084], [0.20946]])
    gas[CO2] = amount - gas.sum()
    skins = Skins(contaminated_closure(bubble_water(25.0)))
    rates = film_rates(gas, 0.0, water=water, skins=skins)
    flux = rates.gain - rates.loss_per_s * gas
    assert abs(float(flux[N2, 0] / rates.gain[N2, 0])) < 1e-9
    assert abs(float(flux[O2, 0] / rates.gain[O2, 0])) < 1e-9


def test_first_shrinking_of_a_fresh_bubble_by_hand():
    # dd/dt = -2 k HRT (1 - C/C*): k = 1.1e-4 m/s, HRT 0.831, C/C* = 15/1448 gives 0.181 mm/s.
    water = bubble_water(25.0)
    flat = np.full((4, contaminated_closure(water).table_m_s.shape[1]), 1.1e-4)
    gas = np.zeros((3, 1))
    gas[CO2] = bubble_amount_mol(1e-3, 0.0, water=water)
    rates = film_rates(gas, 0.0, water=water, skins=Skins(Closure(flat)))
    change = float(rates.gain[CO2, 0] - rates.loss_per_s[CO2, 0] * gas[CO2, 0])
    # d ~ n^(1/3) where skin tension is small, so dd/dt = d/3 * (dn/dt)/n.
    assert 1e3 * abs(change) / gas[CO2, 0] * 1e-3 / 3 == pytest.approx(0.181, rel=0.01)


def test_air_saturated_water_at_altitude_holds_less_air():
    low, high = bubble_water(25.0), bubble_water(25.0, 79495.0)
    dry = (79495.0 - high.vapour_pa) / (101325.0 - low.vapour_pa)
    assert float(high.bulk_mol_m3[O2] / low.bulk_mol_m3[O2]) == pytest.approx(dry, rel=1e-12)
    assert math.isclose(float(high.bulk_mol_m3[CO2]), 15.0 / 44.0095)
