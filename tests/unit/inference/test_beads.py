"""The skin told by timed beads: found again from invented films, with limits that hold."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.closures import (
    Closure,
    between,
    contaminated_closure,
    film_scaled,
    tap_closure,
)
from fizzwright.engines.bubbles.fate import Release
from fizzwright.engines.bubbles.lives import bubble_lives
from fizzwright.engines.bubbles.medium import BubbleWater, bubble_water
from fizzwright.engines.bubbles.population import skin_mix_frac
from fizzwright.errors import InputError
from fizzwright.inference.beads import Bead, fit_skin

DEPTH_M = 0.36


def _skin(water: BubbleWater, u: float, diameter_mm: float, film: float = 1.0) -> Closure:
    mix = float(skin_mix_frac(u, diameter_mm))
    return film_scaled(between(contaminated_closure(water), tap_closure(water), part_frac=mix), film)


def _bead(water: BubbleWater, size_mm: float, closure: Closure, rng: np.random.Generator | None) -> Bead:
    """One bead as read, with the usual errors where a generator is given."""
    lives = bubble_lives(water, Release(1e-3 * size_mm, DEPTH_M), closure=closure, heights_m=(0.3,))

    def read(value: float, share: float, least: float) -> float:
        return value if rng is None else value * (1 + share * rng.normal()) + least * rng.normal()

    width = read(size_mm, 0.05, 0.06)
    if np.isfinite(lives.speck_s):
        seconds = read(float(lives.speck_s), 0.08, 0.06)
        centimetres = min(read(100 * float(lives.speck_height_m), 0.08, 0.6), 100 * DEPTH_M)
        return Bead(width, vanish_s=seconds, vanish_cm=max(centimetres, 0.5))
    end = max(read(1e3 * float(lives.pass_diameter_m[0]), 0.05, 0.06), 0.05)
    return Bead(width, rise_cm=30.0, rise_s=read(float(lives.pass_s[0]), 0.04, 0.06), end_mm=end)


@pytest.mark.parametrize("u", [0.05, 0.5, 0.95])
def test_skins_are_found_again_from_beads_read_well(u):
    water = bubble_water(25.0)
    beads = [_bead(water, d, _skin(water, u, d), None) for d in np.linspace(0.8, 1.9, 12)]
    fit = fit_skin(beads, water, depth_m=DEPTH_M)
    assert fit.usable
    assert fit.odd_count == 0
    assert fit.skin_frac.low - 0.02 <= u <= fit.skin_frac.high + 0.02
    assert fit.skin_frac.value == pytest.approx(u, abs=0.15)


def test_limits_hold_nine_times_in_ten():
    """Waters drawn evenly, films astray by 1.12 (90 %), readings with the errors the fit allows for."""
    rng = np.random.default_rng(20260301)
    water = bubble_water(25.0)
    held, spreads = 0, []
    for _ in range(24):
        u, film = rng.uniform(), float(np.exp(rng.normal(0.0, np.log(1.12) / 1.6449)))
        beads = [_bead(water, d, _skin(water, u, d, film), rng) for d in rng.uniform(0.7, 1.8, 8)]
        fit = fit_skin(beads, water, depth_m=DEPTH_M)
        held += fit.skin_frac.low <= u <= fit.skin_frac.high
        spreads.append(fit.spread_frac)
    assert 19 <= held <= 24
    # Eight beads say more than nothing: an even guess has 0.29.
    assert np.median(spreads) < 0.2


def test_height_and_time_alone_tell_the_skin():
    """No width read: the height of the speck fixes the size, its time the skin."""
    water = bubble_water(25.0)
    fits = []
    for u in (0.1, 0.9):
        beads = []
        for d in np.linspace(0.7, 1.0, 10):
            found = bubble_lives(water, Release(1e-3 * d, DEPTH_M), closure=_skin(water, u, d))
            beads.append(Bead(vanish_s=float(found.speck_s), vanish_cm=100 * float(found.speck_height_m)))
        fits.append(fit_skin(beads, water, depth_m=DEPTH_M).skin_frac)
    assert fits[0].high < fits[1].value
    assert fits[0].value < fits[1].low


def test_four_and_a_half_seconds_a_millimetre_is_stiff_and_under_three_is_mobile():
    """99 % of the CO2 in 4.6 s/mm with a stiff skin, 3 with that of tap water (derived)."""
    water = bubble_water(25.0)
    stiff = fit_skin([Bead(d, vanish_s=4.5 * d) for d in (0.8, 0.9, 1.0) * 3], water, depth_m=DEPTH_M)
    mobile = fit_skin([Bead(d, vanish_s=2.9 * d) for d in (1.0, 1.1) * 4], water, depth_m=DEPTH_M)
    assert stiff.skin_frac.value < 0.25
    assert "stiff" in stiff.verdict
    assert mobile.skin_frac.value > 0.75


def test_quicker_than_tap_is_said():
    water = bubble_water(25.0)
    fit = fit_skin([Bead(d, vanish_s=2.3 * d) for d in (1.0, 1.1, 1.2) * 3], water, depth_m=DEPTH_M)
    assert fit.quicker_than_tap
    assert "quicker" in fit.verdict


def test_small_beads_tell_nothing():
    water = bubble_water(25.0)
    beads = [_bead(water, d, _skin(water, 0.8, d), None) for d in (0.25, 0.3, 0.35, 0.3)]
    fit = fit_skin(beads, water, depth_m=DEPTH_M)
    assert not fit.usable
    assert "guess" in fit.verdict


def test_a_misread_bead_hardly_moves_the_skin():
    water = bubble_water(25.0)
    beads = [_bead(water, d, _skin(water, 0.1, d), None) for d in np.linspace(0.8, 1.6, 9)]
    alone = fit_skin(beads, water, depth_m=DEPTH_M)
    # Slow motion left in the seconds: eight times too long.
    spoilt = fit_skin([*beads, Bead(1.0, vanish_s=36.0)], water, depth_m=DEPTH_M)
    assert spoilt.odd_count == 1
    assert spoilt.skin_frac.value == pytest.approx(alone.skin_frac.value, abs=0.05)


def test_beads_that_fit_no_skin_are_of_no_use():
    water = bubble_water(25.0)
    fit = fit_skin([Bead(1.0, vanish_s=20.0), Bead(1.2, vanish_s=25.0)], water, depth_m=DEPTH_M)
    assert not fit.usable
    assert "no skin at all" in fit.verdict


def test_rows_that_hold_too_little_are_set_aside():
    water = bubble_water(25.0)
    fit = fit_skin([Bead(1.0, vanish_s=4.0), Bead(1.0), Bead(rise_cm=20.0)], water, depth_m=DEPTH_M)
    assert (fit.beads_count, fit.aside_count) == (1, 2)


def test_every_fault_of_the_readings_is_listed():
    water = bubble_water(25.0)
    with pytest.raises(InputError) as refused:
        fit_skin([Bead(20.0, vanish_s=4.0), Bead(1.0, rise_s=2.0)], water, depth_m=DEPTH_M)
    assert [f.field for f in refused.value.faults] == ["bead 1, diameter_mm", "bead 2, rise_cm"]
    with pytest.raises(InputError, match="two readings"):
        fit_skin([Bead(1.0)], water, depth_m=DEPTH_M)
