"""Rise and film laws: hand values, joints between branches, and where each stands."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.compare import skin_speeds
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.rise import (
    rise_clean_tomiyama_m_s,
    rise_contaminated_m_s,
    rise_ellipsoid_grace_m_s,
    rise_mcginnis_m_s,
    rise_sphere_clift_m_s,
    rise_tap_wueest_m_s,
)
from fizzwright.engines.bubbles.transfer import (
    transfer_clean_takemura_m_s,
    transfer_mobile_higbie_m_s,
    transfer_mobile_leifer_m_s,
    transfer_rigid_clift_m_s,
    transfer_rigid_froessling_m_s,
    transfer_turbulent_mobile_m_s,
    transfer_turbulent_rigid_m_s,
)

NU = 0.893e-6
D = 1.917e-9


def test_a_tiny_stiff_bubble_creeps_by_stokes():
    # g d^2 / (18 nu) at 20 um and 25 degC: 9.80665 * 4e-10 / (18 * 0.8926e-6) = 2.441e-4 m/s.
    assert float(rise_sphere_clift_m_s(20e-6, bubble_water(25.0))) == pytest.approx(2.441e-4, rel=2e-3)


def test_a_tiny_clean_bubble_creeps_half_as_fast_again():
    """Hadamard and Rybczynski: three halves of Stokes (textbook; mark: memory)."""
    water = bubble_water(25.0)
    stokes = 9.80665 * (10e-6) ** 2 / (18 * water.kinematic_m2_s)
    assert float(rise_clean_tomiyama_m_s(10e-6, water)) == pytest.approx(1.5 * stokes, rel=0.01)


@pytest.mark.parametrize("water_c", [8.0, 15.0, 20.0, 25.0, 30.0, 34.0])
def test_the_contaminated_law_has_no_jump(water_c):
    water = bubble_water(water_c)
    d = np.linspace(0.3e-3, 4e-3, 4000)
    speed = rise_contaminated_m_s(d, water)
    assert np.all(np.abs(np.diff(speed)) < 0.006 * speed[:-1])
    assert np.all(speed > 0.0)


def test_the_ellipsoid_law_is_negative_where_it_means_nothing():
    """Why the smaller of the two laws must not be taken below the first crossing."""
    water = bubble_water(20.0)
    assert float(rise_ellipsoid_grace_m_s(0.3e-3, water)) < 0.0
    assert float(rise_contaminated_m_s(0.3e-3, water)) == float(rise_sphere_clift_m_s(0.3e-3, water))


def test_the_tap_law_has_no_jump_worth_naming():
    below, above = rise_tap_wueest_m_s(np.array([1.4999e-3, 1.5001e-3]))
    assert above == pytest.approx(below, rel=2e-3)


@pytest.mark.parametrize("law", [rise_tap_wueest_m_s, rise_mcginnis_m_s])
def test_two_lake_laws_agree_at_lake_sizes(law):
    # Both give 22 to 23 cm/s for 2 to 9 mm.
    assert np.all(np.abs(law(np.array([2e-3, 4e-3, 8e-3])) - 0.225) <= 0.0051)


def test_larger_beads_rise_faster_up_to_a_size():
    """Practice: a fine mist hangs, beads shoot up (common practice, no source)."""
    speeds = skin_speeds(np.array([0.1, 0.3, 0.6, 1.0, 2.0, 3.0]))
    assert np.all(np.diff(speeds.rise_contaminated_m_s) > 0.0)
    assert np.all(np.diff(speeds.rise_tap_m_s)[:4] > 0.0)


def test_clean_and_stiff_differ_most_near_a_millimetre_and_little_over_three():
    speeds = skin_speeds(np.array([1.3, 3.5]), water_c=20.0)
    ratio = speeds.rise_clean_m_s / speeds.rise_contaminated_m_s
    assert 2.2 < ratio[0] < 2.6
    assert abs(ratio[1] - 1.0) < 0.05


def test_a_resting_stiff_bubble_passes_gas_by_diffusion_alone():
    # Sh = 2 without flow: k = 2 D / d.
    k = transfer_rigid_froessling_m_s(1e-3, 0.0, diffusivity_m2_s=D, kinematic_m2_s=NU)
    assert float(k) == pytest.approx(2 * D / 1e-3, rel=1e-12)


def test_the_stiff_film_constant_lies_where_it_was_measured():
    """k over (U/d)^1/2 D^2/3 nu^-1/6 is 0.42 to 0.95 (Alves and co-workers 2004, quoted; second hand)."""
    for d, rise in ((0.5e-3, 0.06), (1e-3, 0.12), (2e-3, 0.21)):
        k = transfer_rigid_froessling_m_s(d, rise, diffusivity_m2_s=D, kinematic_m2_s=NU)
        constant = float(k) / ((rise / d) ** 0.5 * D ** (2 / 3) * NU ** (-1 / 6))
        assert 0.42 < constant < 0.95


def test_the_second_stiff_law_stays_near_the_first():
    # 4 to 34 % above, most at the smallest sizes.
    speeds = skin_speeds(np.array([0.1, 0.3, 0.5, 1.0, 2.0]))
    ratio = speeds.film_clift_m_s / speeds.film_contaminated_m_s
    assert np.all((ratio > 1.03) & (ratio < 1.36))


def test_clift_film_law_has_all_its_branches():
    re = np.array([0.5, 50.0, 1000.0, 3000.0])
    d = np.full(4, 1e-3)
    k = transfer_rigid_clift_m_s(d, re * NU / d, diffusivity_m2_s=D, kinematic_m2_s=NU)
    sc, pe = NU / D, 0.5 * NU / D
    # By hand from the printed forms at each Reynolds number.
    sherwood = [
        1 + (1 + pe) ** (1 / 3),
        1 + (1 + 1 / (50 * sc)) ** (1 / 3) * 50**0.41 * sc ** (1 / 3),
        1 + 0.724 * 1000**0.48 * sc ** (1 / 3),
        1 + 0.425 * 3000**0.55 * sc ** (1 / 3),
    ]
    assert np.allclose(k * 1e-3 / D, sherwood, rtol=1e-12)


def test_mobile_laws_by_hand_and_against_each_other():
    # Higbie at 2 mm and 0.22 m/s: 1.1284 * (1.917e-9*0.22/2e-3)^0.5 = 5.182e-4 m/s.
    higbie = float(transfer_mobile_higbie_m_s(2e-3, 0.22, diffusivity_m2_s=D))
    assert higbie == pytest.approx(5.182e-4, rel=1e-3)
    # Leifer and Patro: Re = 492.7, 1 - 2.89/22.197 = 0.8698; (0.63662*0.8698*1.917e-9*220)^0.5 = 4.833e-4.
    leifer = float(transfer_mobile_leifer_m_s(2e-3, 0.22, diffusivity_m2_s=D, kinematic_m2_s=NU))
    assert leifer == pytest.approx(4.833e-4, rel=1e-3)
    clean = float(transfer_clean_takemura_m_s(2e-3, 0.22, diffusivity_m2_s=D, kinematic_m2_s=NU))
    assert 0.95 * leifer < clean < higbie


def test_turbulence_by_hand():
    # Sc = 465.8. Mobile: 0.523*0.04*465.8^-0.5 = 9.69e-4; stiff: 0.13*0.04*465.8^(-2/3) = 8.65e-5.
    mobile = float(transfer_turbulent_mobile_m_s(0.04, diffusivity_m2_s=D, kinematic_m2_s=NU))
    rigid = float(transfer_turbulent_rigid_m_s(0.04, diffusivity_m2_s=D, kinematic_m2_s=NU))
    assert mobile == pytest.approx(9.69e-4, rel=2e-3)
    assert rigid == pytest.approx(8.65e-5, rel=2e-3)


def test_the_tap_film_never_falls_under_the_stiff_one():
    """Under 0.3 mm the tap law alone would be far below what a solid sphere passes."""
    speeds = skin_speeds(np.geomspace(0.02, 6.0, 60))
    assert np.all(speeds.film_tap_m_s > 0.97 * speeds.film_contaminated_m_s)
