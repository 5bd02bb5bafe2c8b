"""Closed forms of the living room and of the night against SciPy's integrators."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import least_squares

from fizzwright.engines.living.plants import Canopy, gross_uptake_mg_m2_h
from fizzwright.inference.night import NightPrior, NightWater, fit_night
from fizzwright.inference.night_grid import night_curve_mg_l

pytestmark = pytest.mark.peers


@pytest.mark.parametrize("biomass", [5.0, 60.0, 250.0])
@pytest.mark.parametrize("par", [15.0, 90.0, 600.0])
@pytest.mark.parametrize("co2", [0.7, 8.0, 30.0])
def test_canopy_is_the_sum_of_its_leaf_layers(biomass: float, par: float, co2: float) -> None:
    """Each gram works at p E/(E + KE) in the light left over it; quad adds the layers up."""
    bed = Canopy(10.0, 0.050, 50.0, biomass, 0.8)
    over = co2 - 0.2
    p, phi = 10.0 * over / (over + 6.0), 0.050 * over / (over + 1.5)
    half_light = p * 50.0 / (44.0095 * 3.6 * phi)

    def layer(above_g_m2: float) -> float:
        light = par * np.exp(-above_g_m2 / 50.0)
        return p * light / (light + half_light)

    total, _ = quad(layer, 0.0, biomass, epsabs=1e-10)
    assert float(gross_uptake_mg_m2_h(co2, par, bed)) == pytest.approx(total, rel=1e-8)


def test_night_curve_is_the_solution_of_its_balance() -> None:
    hours = np.linspace(0.0, 10.0, 21)
    found = solve_ivp(
        lambda t, c: -0.18 * (c - (4.0 - 0.15 * t)), (0, 10), [28.0], t_eval=hours, rtol=1e-10, atol=1e-10
    )
    ours = night_curve_mg_l(hours, 28.0, loss_per_h=0.18, settles_mg_l=4.0, settles_falls_mg_l_h=0.15)
    np.testing.assert_allclose(ours, found.y[0], rtol=1e-8)


def test_night_fit_meets_least_squares_where_the_prior_says_little() -> None:
    """A long clean night: SciPy's fit of offset, loss and resting level, no prior, against our middle."""
    hours = np.arange(0.0, 14.01, 1 / 6)
    curve = 3.0 + 27.0 * np.exp(-0.3 * hours)
    ph = 8.131 - np.log10(curve) + np.random.default_rng(5).normal(0.0, 0.01, len(hours))

    def misses(x: np.ndarray) -> np.ndarray:
        return ph - (x[0] - np.log10(x[2] + (1 - x[2]) * np.exp(-x[1] * hours)))

    plain = least_squares(misses, [6.65, 0.2, 0.05])
    water = NightWater(1.4266, 25.0, 0.005, 0.1)
    ours = fit_night(hours, ph, water=water, prior=NightPrior(0.2, 1.0, 0.6, 1.0, 0.8, 0.4))
    sd = np.sqrt(np.linalg.inv(plain.jac.T @ plain.jac)[1, 1]) * 0.01
    assert abs(ours.loss_per_h.value - plain.x[1]) < 2.0 * sd
