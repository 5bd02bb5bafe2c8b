"""What must hold of bubbles whatever the numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.bubbles.closures import (
    Closure,
    between,
    clean_closure,
    contaminated_closure,
    film_scaled,
    tap_closure,
)
from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.engines.bubbles.fate import Release, bubble_fate, bubble_track
from fizzwright.engines.bubbles.film import Skins, bubble_amount_mol, bubble_diameter_m, film_rates
from fizzwright.engines.bubbles.medium import CO2, N2, O2, bubble_water
from fizzwright.engines.bubbles.population import RisePath, dissolved_share
from fizzwright.engines.bubbles.strip import strip_over_oxygen_ratio, strip_rate_per_h
from fizzwright.job.words import Condition, DiffuserKind

sizes = st.floats(0.05, 5.0)
depths = st.floats(0.03, 1.0)
temperatures = st.floats(10.0, 34.0)
levels = st.floats(0.0, 80.0)
makers = st.sampled_from([contaminated_closure, tap_closure, clean_closure])
FEW = settings(max_examples=25, deadline=None)
TOL = 1e-3


def _share(size_mm, depth_m, *, water, make, up=0.0):
    found = bubble_fate(water, Release(1e-3 * np.asarray(size_mm), depth_m, up), closure=make(water))
    return found.dissolved_frac


@given(sizes, depths, temperatures)
def test_amount_and_diameter_are_inverse(size_mm, depth_m, water_c):
    water = bubble_water(water_c)
    amount = bubble_amount_mol(1e-3 * size_mm, depth_m, water=water)
    assert np.isclose(float(bubble_diameter_m(amount, depth_m, water=water)), 1e-3 * size_mm, rtol=1e-9)


@FEW
@given(sizes, depths, temperatures, levels, makers)
def test_ends_are_whole(size_mm, depth_m, water_c, level, make):
    """Shares between nil and one, amounts over nil, a time, and a size no larger than gas allows."""
    water = bubble_water(water_c, co2_mg_l=level)
    found = bubble_fate(water, Release(1e-3 * size_mm, depth_m), closure=make(water))
    assert -1e-9 <= float(found.dissolved_frac) <= 1.0
    assert np.all(found.end_mol >= 0.0)
    assert float(found.end_s) > 0.0
    assert bool(found.surfaced) == (float(found.end_depth_m) < 1e-6)
    if bool(found.surfaced):
        assert 0.0 <= float(found.surface_co2_frac) <= 1.0
        assert float(found.end_diameter_m) < 1e-3 * size_mm * 1.1


@FEW
@given(depths, temperatures, makers)
def test_larger_bubbles_dissolve_less(depth_m, water_c, make):
    water = bubble_water(water_c)
    share = _share(np.geomspace(0.1, 3.0, 9), depth_m, water=water, make=make)
    assert np.all(np.diff(share) <= TOL)


@FEW
@given(sizes, temperatures, makers)
def test_deeper_releases_dissolve_more(size_mm, water_c, make):
    water = bubble_water(water_c)
    share = _share(size_mm, np.array([0.05, 0.15, 0.4, 0.9]), water=water, make=make)
    assert np.all(np.diff(share) >= -TOL)


@FEW
@given(sizes, depths, makers)
def test_rising_water_costs_and_richer_water_costs(size_mm, depth_m, make):
    lean, rich = bubble_water(25.0, co2_mg_l=5.0), bubble_water(25.0, co2_mg_l=60.0)
    by_lift = _share(size_mm, depth_m, water=lean, make=make, up=np.array([0.0, 0.03, 0.1]))
    assert np.all(np.diff(by_lift) <= TOL)
    assert float(_share(size_mm, depth_m, water=rich, make=make)) <= float(by_lift[0]) + TOL


@FEW
@given(sizes, depths, st.floats(0.0, 1.0))
def test_a_skin_between_ends_between(size_mm, depth_m, part):
    water = bubble_water(25.0)
    stiff, tap = contaminated_closure(water), tap_closure(water)
    ends = [
        float(bubble_fate(water, Release(1e-3 * size_mm, depth_m), closure=c).dissolved_frac)
        for c in (stiff, between(stiff, tap, part_frac=part), tap)
    ]
    assert min(ends[0], ends[2]) - TOL <= ends[1] <= max(ends[0], ends[2]) + TOL


@FEW
@given(sizes, depths, st.floats(1.05, 2.0))
def test_a_quicker_film_dissolves_more(size_mm, depth_m, factor):
    water = bubble_water(25.0)
    skin = tap_closure(water)
    slow, quick = (
        float(bubble_fate(water, Release(1e-3 * size_mm, depth_m), closure=c).dissolved_frac)
        for c in (skin, film_scaled(skin, factor))
    )
    assert quick >= slow - TOL


@FEW
@given(st.floats(0.3, 4.0), depths, st.floats(0.2, 0.95))
def test_gases_that_cannot_pass_are_kept(size_mm, depth_m, co2_frac):
    """Nitrogen and oxygen behind a tight skin stay to round-off while the CO2 goes."""
    water = bubble_water(25.0)
    table = contaminated_closure(water).table_m_s.copy()
    table[[1 + N2, 1 + O2]] = 1e-30
    found = bubble_fate(water, Release(1e-3 * size_mm, depth_m, co2_frac=co2_frac), closure=Closure(table))
    for gas in (N2, O2):
        assert np.isclose(float(found.end_mol[gas]), float(found.start_mol[gas]), rtol=1e-9)
    assert float(found.end_mol[CO2]) < float(found.start_mol[CO2])


@settings(max_examples=10, deadline=None)
@given(st.floats(0.5, 3.0), st.floats(0.1, 0.5), makers)
def test_every_gas_is_accounted_for(size_mm, depth_m, make):
    """What a bubble gains or loses of each gas is the flux through its skin, summed over its track."""
    from fizzwright.engines.bubbles.fate import Stepping

    water = bubble_water(25.0)
    closure = make(water)
    release = Release(1e-3 * size_mm, depth_m)
    rule = Stepping(error_frac=1e-6, most_steps_count=50_000)
    track = bubble_track(water, release, closure=closure, stepping=rule)
    fate = bubble_fate(water, release, closure=closure, stepping=rule)
    d, z = 1e-3 * track.diameter_mm, depth_m - track.height_m
    total = bubble_amount_mol(d, z, water=water)
    gas = np.zeros((3, d.size))
    gas[CO2] = total * track.co2_frac
    rates = film_rates(gas + 1e-30, z, water=water, skins=Skins(closure), near_m=d)
    flux = rates.gain[CO2] - rates.loss_per_s[CO2] * gas[CO2]
    lost = -np.trapezoid(flux, track.time_s)
    assert np.isclose(lost, float(fate.start_mol[CO2] - fate.end_mol[CO2]), rtol=0.08)


@FEW
@given(depths, st.floats(0.0, 60.0), st.sampled_from(list(DiffuserKind)), st.sampled_from(list(Condition)))
def test_shares_of_any_diffuser_are_shares(depth_m, flow, kind, condition):
    share = dissolved_share(RisePath(depth_m, 25.0, flow_ml_min_n=flow), diffuser_spread(kind, condition))
    drawn = share.at(np.linspace(-4, 4, 17)[:, None], np.linspace(0, 1, 5))
    assert np.all((drawn >= 0.0) & (drawn <= 1.0))


@FEW
@given(depths, st.sampled_from([Condition.CLEAN, Condition.FOULED]))
def test_more_gas_through_one_disc_dissolves_no_larger_share(depth_m, condition):
    spread = diffuser_spread(DiffuserKind.GLASS_FRIT, condition)
    found = [
        dissolved_share(RisePath(depth_m, 25.0, flow_ml_min_n=q), spread).share_frac for q in (1.0, 8.0, 40.0)
    ]
    assert np.all(found[1] <= found[0] + TOL)
    assert np.all(found[2] <= found[1] + TOL)


@given(st.floats(0.001, 40.0), st.floats(1.0, 500.0), st.floats(5.0, 900.0))
def test_stripping_stays_under_its_ceiling(number, air, volume):
    rate = float(strip_rate_per_h(air, volume, capacity_ratio=0.83, exchange_number=number))
    assert 0.0 < rate <= air / (0.83 * volume)
    assert 0.0 < float(strip_over_oxygen_ratio(number)) <= 1.0


@FEW
@given(sizes, depths)
def test_head_and_air_pressure_are_one_thing(size_mm, depth_m):
    """Raising the air's pressure by a head of water is the same as being that much deeper."""
    water = bubble_water(25.0)
    lifted = replace(water, surface_pa=water.surface_pa + 0.5 * water.head_pa_m)
    one = float(bubble_amount_mol(1e-3 * size_mm, depth_m + 0.5, water=water))
    other = float(bubble_amount_mol(1e-3 * size_mm, depth_m, water=lifted))
    assert np.isclose(one, other, rtol=1e-12)
