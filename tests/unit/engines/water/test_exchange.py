"""Transfer velocity, loss rate, priors by look, and the help of chemistry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fizzwright.engines.water.diffusion import (
    diffusivity_co2_jahne_m2_s,
    diffusivity_o2_ferrell_m2_s,
    diffusivity_o2_han_m2_s,
    schmidt_co2_number,
    schmidt_o2_number,
)
from fizzwright.engines.water.enhancement import (
    enhancement_factor,
    enhancement_negligible,
    film_enhancement_factor,
)
from fizzwright.engines.water.exchange import (
    O2_OVER_CO2,
    SURFACE_PRIORS,
    k600_from_velocity_cm_h,
    loss_per_h,
    relaxing_mg_l,
    schmidt_share_ratio,
    transfer_velocity_cm_h,
    velocity_from_loss_cm_h,
)
from fizzwright.job.model import SurfaceClass
from fizzwright.sources import source


def test_loss_by_hand():
    """4 cm/h over 0.25 m² sweeps 0.04 x 0.25 = 0.010 m³/h, a tenth of 100 L."""
    assert float(loss_per_h(4.0, 0.25, volume_l=100.0)) == pytest.approx(0.1)
    assert float(velocity_from_loss_cm_h(0.1, 0.25, volume_l=100.0)) == pytest.approx(4.0)


def test_half_life_of_a_still_tank():
    """k 1 cm/h, 40 cm deep: ln 2 x 40 = 27.7 h."""
    rate = loss_per_h(1.0, 1.0, volume_l=400.0)
    assert float(
        relaxing_mg_l(1.0, 0.0, loss_rate_per_h=rate, elapsed_h=40.0 * math.log(2.0))
    ) == pytest.approx(0.5)


def test_schmidt_number_carries_warmth_and_gas():
    """CO2 at 20 °C has 600: k is k600. At 25 °C 469: (469/600)^-1/2 = 1.131."""
    at_20 = transfer_velocity_cm_h(10.0, schmidt_co2_number(20.0), schmidt_exponent=0.5)
    at_25 = transfer_velocity_cm_h(10.0, schmidt_co2_number(25.0), schmidt_exponent=0.5)
    assert float(at_20) == pytest.approx(10.0, rel=0.001)
    assert float(at_25) == pytest.approx(11.31, rel=0.002)
    back = k600_from_velocity_cm_h(at_25, schmidt_co2_number(25.0), schmidt_exponent=0.5)
    assert float(back) == pytest.approx(10.0)


def test_oxygen_over_co2_lies_between_its_two_sources():
    by_schmidt = schmidt_share_ratio(schmidt_o2_number(25.0), schmidt_co2_number(25.0), schmidt_exponent=0.5)
    by_measure = math.sqrt(float(diffusivity_o2_han_m2_s(25.0) / diffusivity_co2_jahne_m2_s(25.0)))
    assert O2_OVER_CO2.low_ratio <= by_measure < O2_OVER_CO2.median_ratio < float(by_schmidt)
    assert float(by_schmidt) <= O2_OVER_CO2.high_ratio


def test_two_oxygen_diffusivities_differ_as_said():
    """2.27 of 1967 against 2.00 of 1996."""
    assert float(diffusivity_o2_ferrell_m2_s(25.0) / diffusivity_o2_han_m2_s(25.0)) == pytest.approx(
        1.135, abs=0.01
    )


def test_every_look_has_a_prior_and_they_rise():
    assert set(SURFACE_PRIORS) == set(SurfaceClass)
    medians = [SURFACE_PRIORS[look].median_cm_h for look in SurfaceClass]
    assert medians == sorted(medians)
    for prior in SURFACE_PRIORS.values():
        assert prior.low_cm_h < prior.median_cm_h < prior.high_cm_h
        assert prior.schmidt_exponent in (0.5, 2.0 / 3.0)
        assert source(prior.source).mark in ("derived", "seen", "second hand")


@pytest.mark.parametrize(
    ("look", "after_h", "left_mg_l"),
    [
        # Booth & Booth 1992, an excerpt on a public page: 299 L, 1.22 m x 0.46 m, 26 °C, gas off at 33 mg/L.
        (SurfaceClass.RIPPLED, 1.0, 24.0),
        (SurfaceClass.RIPPLED, 2.0, 17.0),
        (SurfaceClass.SMOOTH, 1.0, 28.5),
    ],
)
def test_a_published_loss_test_falls_within_its_prior(look, after_h, left_mg_l):
    """The reading, good to 2 mg/L, lies between what the prior's limits predict."""
    prior = SURFACE_PRIORS[look]
    number = schmidt_co2_number(26.0)
    left = []
    for k600 in (prior.high_cm_h, prior.low_cm_h):
        velocity = transfer_velocity_cm_h(k600, number, schmidt_exponent=prior.schmidt_exponent)
        rate = loss_per_h(velocity, 1.22 * 0.46, volume_l=299.0)
        left.append(float(relaxing_mg_l(33.0, 0.6, loss_rate_per_h=rate, elapsed_h=after_h)))
    assert left[0] - 2.0 <= left_mg_l <= left[1] + 2.0


def test_film_limits_by_hand():
    """A thin film leaves no time to react: 1. A thick one carries all the carbon: 1 + reserve."""
    assert float(film_enhancement_factor(1e-4, 0.5)) == pytest.approx(1.0, abs=1e-6)
    assert float(film_enhancement_factor(1e4, 0.5)) == pytest.approx(1.5, abs=1e-3)


# Independent implementation: a film resolved on a fine mesh, hydration after Johnson 1982, 25 °C.
RESOLVED = {
    (30.0, 4.0): (1.007, 1.004, 1.002),
    (30.0, 8.0): (1.014, 1.007, 1.003),
    (10.0, 8.0): (1.06, 1.03, 1.01),
    (10.0, 15.0): (1.14, 1.055, 1.011),
    (3.0, 4.0): (1.11, 1.05, 1.01),
    (3.0, 8.0): (1.28, 1.10, 1.014),
    (3.0, 15.0): (1.6, 1.16, 1.02),
}


@pytest.mark.parametrize("water", RESOLVED)
def test_enhancement_against_a_resolved_film(water):
    co2, kh = water
    found = enhancement_factor(
        co2, 0.35665 * kh, air_co2_mg_l=0.606, velocity_cm_h=[1.0, 4.0, 15.0], water_c=25.0
    )
    assert found - 1.0 == pytest.approx(np.array(RESOLVED[water]) - 1.0, abs=0.025, rel=0.1)


def test_when_it_may_be_left_out_it_is_small():
    for kh in (1.0, 4.0, 8.0):
        for co2, velocity in ((10.0, 1.0), (30.0, 1.0), (3.0, 4.0)):
            assert enhancement_negligible(co2, velocity, kh_dkh=kh)
            factor = enhancement_factor(
                co2, 0.35665 * kh, air_co2_mg_l=0.606, velocity_cm_h=velocity, water_c=25.0
            )
            assert float(factor) < 1.10
    assert not enhancement_negligible(3.0, 1.0, kh_dkh=8.0)
    assert not enhancement_negligible(10.0, 1.0, kh_dkh=15.0)
