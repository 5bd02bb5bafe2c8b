"""The gas line against general libraries: CoolProp for CO2, fluids for the valve, SciPy for courses."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from fizzwright.engines.gasline import bottle, counter, needle, tube

pytestmark = pytest.mark.peers

CELSIUS = np.array([-20.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 28.0, 30.0])


def saturated(what, quality):
    return np.array([PropsSI(what, "T", c + 273.15, "Q", quality, "CO2") for c in CELSIUS])


def test_saturation_pressure():
    np.testing.assert_allclose(bottle.saturation_bara(CELSIUS), saturated("P", 0) / 1e5, rtol=3e-4)


def test_saturated_densities():
    np.testing.assert_allclose(bottle.liquid_density_kg_m3(CELSIUS), saturated("D", 0), rtol=5e-4)
    np.testing.assert_allclose(bottle.vapour_density_kg_m3(CELSIUS), saturated("D", 1), rtol=5e-4)


@pytest.mark.parametrize("celsius", [5.0, 12.0, 20.0, 27.0, 35.0])
def test_vapour_alone(celsius):
    top = 0.97 * float(bottle.saturation_bara(celsius))
    bars = np.linspace(2.0, min(top, 51.0), 8)
    real = np.array([PropsSI("D", "P", p * 1e5, "T", celsius + 273.15, "CO2") for p in bars])
    found = bottle.vapour_only_density_kg_m3(bars, celsius)
    np.testing.assert_allclose(found, real, rtol=0.006)
    np.testing.assert_allclose(found[bars < 31], real[bars < 31], rtol=0.001)


def test_virial_coefficients():
    # slope and curvature of p/(rho Rs T) at small density
    for celsius in (10.0, 20.0, 30.0):
        kelvin = celsius + 273.15
        second = PropsSI("Bvirial", "T", kelvin, "Dmolar", 1e-6, "CO2") / 0.0440098
        rho = 1.0
        z = bottle.virial_pressure_bara(rho, celsius) * 1e5 / (rho * bottle.GAS_J_KG_K * kelvin)
        assert (z - 1) / rho == pytest.approx(second, rel=0.002)


def test_needle_valve_against_a_control_valve_sizing():
    from fluids.control_valve import size_control_valve_g

    for after_bara in (1.5, 2.0, 1.02):
        theirs = size_control_valve_g(
            T=293.15,
            MW=44.0095,
            mu=1.4675e-5,
            gamma=1.30,
            Z=0.9834,
            P1=3.0e5,
            P2=after_bara * 1e5,
            Q=551.79e-6 / 3600 / 1.9635,
            xT=0.7,
            allow_laminar=False,
        )
        ours = needle.required_kv_l_h(551.79, 3.0, after_bara=after_bara, temperature_c=20.0)
        assert ours / 1000 == pytest.approx(theirs, rel=0.02)


def test_shut_line_against_an_integrator():
    names = [
        tube.wall_rate_per_h(p, bore_mm=4.0, outer_mm=6.0, temperature_c=22.0) for p in (24.0, 2.1, 0.67)
    ]
    outside = 1.01325 * np.array([0.0, 0.2095, 0.7905])
    run = solve_ivp(
        lambda _, p: -np.array(names) * (p - outside), (0.0, 42.0), [2.0, 0.0, 0.0], rtol=1e-9, atol=1e-12
    )
    found = tube.closed_line_bara(42.0, 2.0, rates_per_h=tuple(names))
    assert found == pytest.approx(run.y[:, -1].sum(), rel=1e-6)


def test_vapour_of_water():
    for celsius in (5.0, 20.0, 35.0):
        steam = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water") / 1e5
        assert counter.water_vapour_bara(celsius) == pytest.approx(steam, rel=0.005)


def test_rising_bubble_of_the_second_stage_against_an_integrator():
    """The closed form in glycerol against the equation of motion, stepped."""
    flow, rim, tension, rho, mu, g = 0.3 / 3.6e6, 2e-3, 0.0634, 1261.0, 1.41, 9.80665
    sphere = 3 / (4 * np.pi)

    def first(v):
        inertia = 11 * flow**2 / (192 * np.pi * sphere ** (2 / 3) * g)
        drag = 1.5 * mu * flow * v ** (1 / 3) / (sphere ** (1 / 3) * g * rho)
        return v ** (5 / 3) - inertia - drag - np.pi * rim * tension * v ** (2 / 3) / (g * rho)

    grown = brentq(first, 1e-12, 1e-4)
    radius = (sphere * grown) ** (1 / 3)

    def motion(v, y):
        _, speed = y
        push = v * rho * g - np.pi * rim * tension
        # drag of the rise on the mean radius, of the growth on the radius it has
        drag = 6 * np.pi * mu * 1.25 * radius * speed + 1.5 * mu * flow / (sphere * v) ** (1 / 3)
        mass = 11 / 16 * rho * v
        return [speed / flow, (push - drag - 11 / 16 * rho * flow * speed) / mass / flow]

    def parted(_, y):
        return y[0] - radius

    parted.terminal = True
    run = solve_ivp(
        motion, (grown, 20 * grown), [0.0, 0.0], events=parted, method="LSODA", rtol=1e-8, atol=1e-12
    )
    found = counter.kumar_kuloor_volume_ul(
        0.3, 2.0, tension_n_m=tension, density_kg_m3=rho, viscosity_pa_s=mu
    )
    assert found == pytest.approx(run.t_events[0][0] * 1e9, rel=0.01)
