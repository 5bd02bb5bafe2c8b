"""The moments a camera sees, against tracks and against what was worked out apart."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.closures import contaminated_closure, tap_closure
from fizzwright.engines.bubbles.diffusers import volume_median_mm
from fizzwright.engines.bubbles.fate import Release, Stepping, bubble_track
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.lives import bubble_lives
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.population import SIZE_Z
from fizzwright.errors import NotConverged


def test_moments_lie_on_the_track():
    water = bubble_water(25.0)
    closure = contaminated_closure(water)
    release = Release(1e-3, 0.6)
    found = bubble_lives(water, release, closure=closure, heights_m=(0.1, 0.3))
    track = bubble_track(
        water, release, closure=closure, stepping=Stepping(error_frac=1e-6, most_steps_count=50_000)
    )
    speck = np.interp(-1 / 3, -track.diameter_mm[:400], track.time_s[:400])
    assert float(found.speck_s) == pytest.approx(float(speck), rel=0.01)
    assert float(found.speck_height_m) == pytest.approx(
        float(np.interp(speck, track.time_s, track.height_m)), rel=0.01
    )
    for row, height in enumerate((0.1, 0.3)):
        assert float(found.pass_s[row]) == pytest.approx(
            float(np.interp(height, track.height_m, track.time_s)), rel=0.01
        )
        size = float(np.interp(height, track.height_m, track.diameter_mm))
        assert 1e3 * float(found.pass_diameter_m[row]) == pytest.approx(size, rel=0.01)


def test_time_to_a_speck_goes_with_size():
    """98 % of the CO2 is out at a third of the width: 4.6 s per mm stiff, 3 tap for 99 % (derived)."""
    water = bubble_water(25.0)
    sizes = np.array([0.3e-3, 0.6e-3, 1.0e-3])
    stiff = bubble_lives(water, Release(sizes, 1.0), closure=contaminated_closure(water)).speck_s
    assert stiff / (1e3 * sizes) == pytest.approx(4.5, rel=0.03)
    tap = bubble_lives(water, Release(1e-3, 1.0), closure=tap_closure(water))
    assert float(tap.speck_s) == pytest.approx(2.9, rel=0.06)


def test_what_surfaces_before_has_no_such_moment():
    water = bubble_water(25.0)
    found = bubble_lives(water, Release(3e-3, 0.2), closure=contaminated_closure(water), heights_m=(0.1, 0.5))
    assert np.isnan(float(found.speck_s))
    assert np.isfinite(float(found.pass_s[0]))
    assert np.isnan(float(found.pass_s[1]))
    # Rich in CO2 and in sight all its life.
    assert float(found.rich_s) == pytest.approx(float(found.seen_s), rel=1e-9)


def test_share_of_a_life_that_is_rich():
    """Rich in CO2 for 6, 28 and 66 % of the life of 0.5, 0.8 and 1.0 mm from 40 cm (derived, stiff)."""
    water = bubble_water(25.0)
    found = bubble_lives(
        water, Release(np.array([0.5e-3, 0.8e-3, 1e-3]), 0.4), closure=contaminated_closure(water)
    )
    assert 100 * found.rich_s / found.seen_s == pytest.approx([6, 28, 66], abs=1.5)


def test_the_haze_in_the_water_is_mostly_air():
    """Over 50 um, from 20 cm: 3 to 5 % is rich for d32 0.3 to 0.5 mm, 9 % for 0.8 (derived, stiff)."""
    water = bubble_water(25.0)
    shares = []
    for d32 in (0.3, 0.5, 0.8):
        sizes = 1e-3 * float(volume_median_mm(d32, 1.6)) * np.exp(np.log(1.6) * SIZE_Z)
        lives = bubble_lives(water, Release(sizes, 0.2), closure=contaminated_closure(water))
        number = np.exp(-0.5 * SIZE_Z**2) / bubble_amount_mol(sizes, 0.2, water=water)
        shares.append(float((number * lives.rich_s).sum() / (number * lives.seen_s).sum()))
    assert all(0.03 < share < 0.05 for share in shares[:2])
    assert shares[2] == pytest.approx(0.09, abs=0.01)


def test_too_few_steps_are_said_to_be_too_few():
    water = bubble_water(25.0)
    with pytest.raises(NotConverged):
        bubble_lives(
            water, Release(1e-3, 0.3), closure=tap_closure(water), stepping=Stepping(most_steps_count=2)
        )
