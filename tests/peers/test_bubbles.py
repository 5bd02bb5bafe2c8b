"""Bubbles against SciPy's integrators, a property library and a library of drag laws."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.stats import lognorm

from fizzwright.engines.bubbles.closures import clean_closure, contaminated_closure, tap_closure
from fizzwright.engines.bubbles.fate import Release, Stepping, bubble_fate
from fizzwright.engines.bubbles.medium import BubbleWater, bubble_water
from fizzwright.engines.bubbles.population import RisePath, diffuser_spread, dissolved_share
from fizzwright.engines.bubbles.properties import surface_tension_iapws_n_m, viscosity_iapws_pa_s
from fizzwright.engines.bubbles.rise import (
    rise_clean_tomiyama_m_s,
    rise_contaminated_m_s,
    rise_sphere_clift_m_s,
    rise_tap_wueest_m_s,
)
from fizzwright.engines.bubbles.transfer import (
    transfer_clean_takemura_m_s,
    transfer_rigid_froessling_m_s,
    transfer_tap_wueest_m_s,
)
from fizzwright.job.words import Condition, DiffuserKind

pytestmark = pytest.mark.peers

TEMPERATURES = [10.0, 18.0, 25.0, 32.0]


@pytest.mark.parametrize("water_c", TEMPERATURES)
def test_water_properties_against_coolprop(water_c):
    from CoolProp.CoolProp import PropsSI

    kelvin = water_c + 273.15
    water = bubble_water(water_c)
    assert float(viscosity_iapws_pa_s(water_c)) == pytest.approx(
        PropsSI("V", "T", kelvin, "P", 101325, "Water"), rel=2e-3
    )
    assert float(surface_tension_iapws_n_m(water_c)) == pytest.approx(
        PropsSI("I", "T", kelvin, "Q", 0, "Water"), rel=2e-3
    )
    assert water.vapour_pa == pytest.approx(PropsSI("P", "T", kelvin, "Q", 0, "Water"), rel=3e-3)
    assert water.density_kg_m3 == pytest.approx(PropsSI("D", "T", kelvin, "P", 101325, "Water"), rel=1e-4)


@pytest.mark.parametrize("law", ["Clift", "Clift_Gauvin", "Haider_Levenspiel"])
@pytest.mark.parametrize("diameter_mm", [0.05, 0.1, 0.3, 0.6, 1.0])
def test_stiff_rise_against_a_library_of_drag_laws(diameter_mm, law):
    """Solid spheres under three drag laws, which differ by up to 6 % among themselves.

    A ball of twice the water's density sinks as fast as a weightless one rises.
    """
    from fluids.drag import v_terminal

    water = bubble_water(20.0)
    theirs = abs(
        v_terminal(
            D=1e-3 * diameter_mm,
            rhop=2.0 * water.density_kg_m3,
            rho=water.density_kg_m3,
            mu=water.viscosity_pa_s,
            Method=law,
        )
    )
    assert float(rise_sphere_clift_m_s(1e-3 * diameter_mm, water)) == pytest.approx(theirs, rel=0.06)


def _laws(kind: str, water: BubbleWater):
    """Rise and films straight from the laws, without tables."""
    nu, spread = water.kinematic_m2_s, water.diffusivity_m2_s

    def contaminated(d):
        rise = float(rise_contaminated_m_s(d, water))
        return rise, transfer_rigid_froessling_m_s(d, rise, diffusivity_m2_s=spread, kinematic_m2_s=nu)

    def tap(d):
        rise = float(rise_tap_wueest_m_s(d))
        mobile = transfer_tap_wueest_m_s(d, diffusivity_m2_s=spread, diffusivity_o2_m2_s=spread[2])
        stiff = transfer_rigid_froessling_m_s(d, rise, diffusivity_m2_s=spread, kinematic_m2_s=nu)
        return rise, np.maximum(mobile, stiff)

    def clean(d):
        rise = float(rise_clean_tomiyama_m_s(d, water))
        return rise, transfer_clean_takemura_m_s(d, rise, diffusivity_m2_s=spread, kinematic_m2_s=nu)

    return {"contaminated": contaminated, "tap": tap, "clean": clean}[kind]


def _by_pressures(kind: str, water: BubbleWater, d0: float, *, depth: float, up: float = 0.0):
    """The same bubble in other unknowns: diameter, three partial pressures and depth, by SciPy."""
    laws, rt = _laws(kind, water), water.thermal_j_mol

    def slope(_, state):
        d, pressures = max(state[0], 1e-6), state[1:4]
        rise, films = laws(d)
        dz = -(rise + up)
        # Pressure lost by transfer, each for itself: (6/d) RT k (C - H p).
        passed = 6.0 / d * rt * films * (water.bulk_mol_m3 - water.solubility_mol_m3_pa * pressures)
        top = passed.sum() - water.head_pa_m * dz
        bottom = 3.0 * pressures.sum() / d - 4.0 * water.tension_n_m / d**2
        dd = top / bottom
        return [dd, *(passed - 3.0 * pressures * dd / d), dz]

    def surface(_, state):
        return state[4]

    def gone(_, state):
        return state[0] - 2e-6

    surface.terminal, gone.terminal = True, True
    dry = water.surface_pa + water.head_pa_m * depth + 4 * water.tension_n_m / d0 - water.vapour_pa
    found = solve_ivp(
        slope,
        (0.0, 2000.0),
        [d0, dry, 0.0, 0.0, depth],
        method="LSODA",
        rtol=1e-8,
        atol=[1e-12, 1e-3, 1e-3, 1e-3, 1e-9],
        events=[surface, gone],
    )
    d, co2, n2, o2, _ = found.y[:, -1]
    dissolved = 1.0 - co2 * d**3 / (dry * d0**3)
    return dissolved, d, co2 / (co2 + n2 + o2), found.t[-1]


MAKERS = {"contaminated": contaminated_closure, "tap": tap_closure, "clean": clean_closure}
CASES = [
    ("contaminated", 0.2, 0.40, 0.0),
    ("contaminated", 0.3, 0.20, 0.0),
    ("contaminated", 0.8, 0.20, 0.0),
    ("contaminated", 1.0, 0.30, 0.05),
    ("contaminated", 3.0, 0.40, 0.0),
    ("tap", 0.3, 0.20, 0.0),
    ("tap", 1.5, 0.30, 0.0),
    ("tap", 4.0, 0.60, 0.0),
    ("clean", 0.4, 0.30, 0.0),
    ("clean", 2.0, 0.20, -0.03),
]


@pytest.mark.parametrize(("kind", "d0_mm", "depth", "up"), CASES)
def test_one_bubble_in_other_unknowns(kind, d0_mm, depth, up):
    water = bubble_water(24.0, 98000.0, co2_mg_l=20.0, o2_saturation_ratio=1.1)
    dissolved, d, share, time = _by_pressures(kind, water, 1e-3 * d0_mm, depth=depth, up=up)
    ours = bubble_fate(water, Release(1e-3 * d0_mm, depth, up), closure=MAKERS[kind](water))
    assert float(ours.dissolved_frac) == pytest.approx(dissolved, abs=5e-4)
    assert float(ours.end_s) == pytest.approx(time, rel=0.01)
    if bool(ours.surfaced):
        assert float(ours.end_diameter_m) == pytest.approx(d, rel=5e-3)
        assert float(ours.surface_co2_frac) == pytest.approx(share, abs=2e-3)
    else:
        assert d < 3e-6


def test_fine_steps_close_in_on_the_other_formulation():
    water = bubble_water(25.0)
    dissolved, d, _, time = _by_pressures("contaminated", water, 0.8e-3, depth=0.2)
    rule = Stepping(error_frac=1e-7, most_steps_count=100_000)
    ours = bubble_fate(water, Release(0.8e-3, 0.2), closure=contaminated_closure(water), stepping=rule)
    # What is left is the table between its nodes.
    assert float(ours.dissolved_frac) == pytest.approx(dissolved, abs=3e-5)
    assert float(ours.end_diameter_m) == pytest.approx(d, rel=1e-4)
    assert float(ours.end_s) == pytest.approx(time, rel=1e-4)


def test_population_share_by_quadrature_over_single_bubbles():
    """Two dozen classes in a cloud against 400 single bubbles weighted by SciPy's lognormal."""
    spread = diffuser_spread(DiffuserKind.COARSE_CERAMIC, Condition.USED)
    water = bubble_water(25.0)
    sigma = np.log(spread.gsd_ratio)
    share = (np.arange(400) + 0.5) / 400
    middle = 1e-3 * spread.d32_mm * np.exp(0.5 * sigma**2)
    sizes = np.minimum(lognorm.ppf(share, s=sigma, scale=middle), 12e-3)
    found = dissolved_share(RisePath(0.3, 25.0, flow_ml_min_n=0.0), spread).share_frac[4]
    for column, make in enumerate((contaminated_closure, tap_closure)):
        single = bubble_fate(water, Release(sizes, 0.3), closure=make(water)).dissolved_frac
        assert float(found[column]) == pytest.approx(float(single.mean()), abs=2e-3)
