"""One bubble: limits with a known answer, then what was seen of bubbles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.bubbles import closures
from fizzwright.engines.bubbles.closures import Closure, contaminated_closure, stack, tap_closure
from fizzwright.engines.bubbles.critical import critical_size_mm
from fizzwright.engines.bubbles.fate import (
    Release,
    Stepping,
    bubble_fate,
    bubble_track,
    clean_bubble,
    contaminated_bubble,
    supersaturated_bubble,
    tap_bubble,
)
from fizzwright.engines.bubbles.medium import CO2, N2, O2, BubbleWater, bubble_water
from fizzwright.engines.bubbles.plume import slip_plume_speed_m_s
from fizzwright.engines.bubbles.rise import rise_tap_wueest_m_s
from fizzwright.errors import InputError, NotConverged

FINE = Stepping(error_frac=1e-7, most_steps_count=100_000)


def _resting(water: BubbleWater) -> Closure:
    """No rise, and gas passes by diffusion alone: Sh = 2."""
    d = closures.SMALLEST_M * np.exp(closures.PITCH * np.arange(closures.NODES))
    films = 2.0 * water.diffusivity_m2_s[:, None] / d
    return Closure(np.concatenate([np.zeros((1, d.size)), films]))


def test_a_resting_co2_bubble_dissolves_as_epstein_and_plesset_say():
    """No skin tension, no gas in the water: R^2/(2 D HRT) = 3.1386 s for R = 100 um (analytic; derived)."""
    water = replace(bubble_water(25.0), tension_n_m=0.0, bulk_mol_m3=np.zeros(3))
    found = bubble_fate(water, Release(200e-6, 1e-4), closure=_resting(water), stepping=FINE)
    hrt = float(water.solubility_mol_m3_pa[CO2]) * water.thermal_j_mol
    whole = (100e-6) ** 2 / (2 * float(water.diffusivity_m2_s[CO2]) * hrt)
    assert whole == pytest.approx(3.1386, rel=1e-3)
    assert not bool(found.surfaced)
    assert float(found.end_s) == pytest.approx(whole, rel=2e-4)


def test_a_resting_nitrogen_bubble_is_pressed_into_saturated_water():
    """Only the skin's pressure drives it; life = (P R^3 + 2 s R^2)/(6 RT s D H) (analytic; derived)."""
    water = bubble_water(25.0)
    dry = water.surface_pa + water.head_pa_m * 1e-4 - water.vapour_pa
    water = replace(water, bulk_mol_m3=np.array([0.0, float(water.solubility_mol_m3_pa[N2]) * dry, 0.0]))
    # The bubble is let go as CO2-free air; its oxygen is swapped for nitrogen by making both alike.
    for name in ("solubility_mol_m3_pa", "diffusivity_m2_s"):
        values = getattr(water, name).copy()
        values[O2] = values[N2]
        water = replace(water, **{name: values})
    share = np.array([0.0, 0.78084, 0.20946]) / 0.9903
    water = replace(water, bulk_mol_m3=share * float(water.solubility_mol_m3_pa[N2]) * dry)
    found = bubble_fate(water, Release(20e-6, 1e-4, co2_frac=1e-6), closure=_resting(water), stepping=FINE)

    def gas(radius: float) -> float:
        return dry * radius**3 + 2 * water.tension_n_m * radius**2

    rate = (
        6
        * water.thermal_j_mol
        * water.tension_n_m
        * float(water.diffusivity_m2_s[N2] * water.solubility_mol_m3_pa[N2])
    )
    # The integration stops at 2 um across, or a little below.
    last = 0.5 * float(found.end_diameter_m)
    assert float(found.end_s) == pytest.approx((gas(10e-6) - gas(last)) / rate, rel=1e-4)
    # Epstein and Plesset 1950: 6.63 s for air with D = 2e-9 m2/s and a solubility of 0.02 (mark: memory).
    scaled = float(found.end_s) * float(water.diffusivity_m2_s[N2]) / 2e-9
    scaled *= float(water.solubility_mol_m3_pa[N2]) * water.thermal_j_mol / 0.02
    assert scaled == pytest.approx(6.63, rel=0.10)


def test_where_nothing_passes_the_skin_only_the_head_matters():
    """Moles kept, and without skin tension d goes with P^-1/3: 1.03216 from 1 m (analytic; derived)."""
    skin = contaminated_closure(bubble_water(25.0))
    water = replace(bubble_water(25.0), tension_n_m=0.0)
    tight = Closure(skin.table_m_s * np.array([[1.0], [1e-12], [1e-12], [1e-12]]))
    found = bubble_fate(water, Release(1e-3, 1.0), closure=tight)
    assert float(found.end_mol.sum() / found.start_mol.sum()) == pytest.approx(1.0, abs=1e-9)
    assert float(found.end_diameter_m) / 1e-3 == pytest.approx(1.03216, rel=1e-4)


def test_water_that_presses_back_keeps_every_mole():
    """CO2 over the water's own pressure everywhere: a bubble in equilibrium neither gains nor loses."""
    water = replace(bubble_water(25.0), tension_n_m=0.0)
    dry = water.surface_pa - water.vapour_pa
    water = replace(
        water,
        bulk_mol_m3=np.array([float(water.solubility_mol_m3_pa[CO2]) * dry, 0.0, 0.0]),
        density_kg_m3=1e-6,
    )
    found = bubble_fate(water, Release(2e-3, 0.3), closure=tap_closure(bubble_water(25.0)))
    assert float(found.end_mol[CO2] / found.start_mol[CO2]) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("make", [contaminated_closure, tap_closure])
def test_finer_steps_settle(make):
    water = bubble_water(25.0)
    release = Release(np.array([0.3e-3, 0.8e-3, 1.2e-3, 2e-3]), 0.3)
    exact = bubble_fate(water, release, closure=make(water), stepping=FINE)
    worst = []
    for error in (4e-3, 4e-4, 4e-5):
        rule = Stepping(error_frac=error, most_steps_count=20_000)
        found = bubble_fate(water, release, closure=make(water), stepping=rule)
        worst.append(float(np.abs(found.dissolved_frac - exact.dissolved_frac).max()))
    # Default steps are good to 0.05 points, and ten times finer ones at least four times better.
    usual = bubble_fate(water, release, closure=make(water))
    assert float(np.abs(usual.dissolved_frac - exact.dissolved_frac).max()) < 5e-4
    assert worst[2] < worst[1] / 4 < worst[0] / 8


def test_a_batch_is_the_same_as_one_by_one():
    water = bubble_water(25.0)
    sizes = np.array([0.15e-3, 0.6e-3, 1e-3, 3e-3])
    closure, first = stack([contaminated_closure(water), tap_closure(water)])
    batch = bubble_fate(water, Release(sizes[:, None], 0.35, closure_column=first), closure=closure)
    for i, size in enumerate(sizes):
        for j, make in enumerate((contaminated_closure, tap_closure)):
            alone = bubble_fate(water, Release(size, 0.35), closure=make(water))
            assert float(alone.dissolved_frac) == float(batch.dissolved_frac[i, j])
            assert float(alone.end_s) == float(batch.end_s[i, j])


def test_the_old_bubble_is_an_air_bubble_of_a_quarter_its_size():
    """Where CO2 is down to 2 %, d/d0 is 0.28 for every skin (independent implementation; derived)."""
    for make in (contaminated_closure, tap_closure, closures.clean_closure):
        water = bubble_water(25.0)
        for d0, depth in ((0.3e-3, 0.3), (0.5e-3, 0.6), (1e-3, 1.0)):
            track = bubble_track(water, Release(d0, depth), closure=make(water))
            size = np.interp(0.02, track.co2_frac[::-1], track.diameter_mm[::-1])
            assert 0.27 < size / (1e3 * d0) < 0.29


def test_time_for_the_co2_to_leave_goes_with_size():
    """99 % in 4.63 s per mm with a stiff skin, 3 for tap water (independent implementation; derived)."""
    water = bubble_water(25.0)
    for d0 in (0.2e-3, 0.5e-3, 1e-3):
        track = bubble_track(water, Release(d0, 1.0), closure=contaminated_closure(water))
        t99 = float(np.interp(0.99, track.dissolved_frac, track.time_s))
        assert t99 / (1e3 * d0) == pytest.approx(4.63, rel=0.04)
    tap = bubble_track(water, Release(1e-3, 1.0), closure=tap_closure(water))
    assert float(np.interp(0.99, tap.dissolved_frac, tap.time_s)) == pytest.approx(3.0, rel=0.15)


def test_rise_while_losing_its_co2():
    # 1 mm, stiff: 13/27/34 cm in 1.2/3.1/4.7 s for 50/90/99 % (independent implementation; derived).
    water = bubble_water(25.0)
    track = bubble_track(water, Release(1e-3, 1.0), closure=contaminated_closure(water), stepping=FINE)
    height = np.interp([0.5, 0.9, 0.99], track.dissolved_frac, track.height_m)
    time = np.interp([0.5, 0.9, 0.99], track.dissolved_frac, track.time_s)
    assert height == pytest.approx([0.13, 0.27, 0.34], abs=0.0075)
    assert time == pytest.approx([1.2, 3.1, 4.7], abs=0.07)


def test_large_co2_bubbles_vanish_in_two_metres_where_air_bubbles_hardly_change():
    """Legendre and Zevenhoven 2017, abstract (seen): CO2 of 4.5 to 5.5 mm nearly gone, air as it was.

    Temperature, purity and dissolved CO2 were not seen: 20 degC and none assumed.
    """
    water = bubble_water(20.0, co2_mg_l=0.0)
    gas = bubble_fate(water, Release(np.array([4.5e-3, 5e-3, 5.5e-3]), 2.0), closure=tap_closure(water))
    assert np.all(gas.dissolved_frac > 0.98)
    air = bubble_fate(water, Release(5e-3, 2.0, co2_frac=4e-4), closure=tap_closure(water))
    expanded = 5e-3 * ((101325 + water.head_pa_m * 2) / 101325) ** (1 / 3)
    assert float(air.end_diameter_m) / expanded == pytest.approx(0.9986, rel=1e-3)
    stiff = bubble_fate(water, Release(5e-3, 2.0), closure=contaminated_closure(water))
    assert float(stiff.dissolved_frac) == pytest.approx(0.46, abs=0.01)


def test_a_small_bubble_stops_shrinking_at_a_size_set_by_dissolved_air():
    """Shim and co-workers 2012, abstract (seen): fast shrinking, then a steady size."""
    water = bubble_water(25.0)
    track = bubble_track(water, Release(0.5e-3, 0.4), closure=contaminated_closure(water))
    early = float(np.interp(1.0, track.time_s, track.diameter_mm))
    settled = np.interp([4.0, 8.0], track.time_s, track.diameter_mm)
    assert early < 0.5 - 0.15
    assert abs(settled[1] - settled[0]) < 0.004


def test_without_dissolved_air_nothing_is_left():
    water = replace(bubble_water(25.0), bulk_mol_m3=np.zeros(3))
    found = bubble_fate(water, Release(0.5e-3, 0.4), closure=contaminated_closure(water))
    assert not bool(found.surfaced)
    assert float(found.dissolved_frac) == pytest.approx(1.0, abs=1e-6)


def test_bubbles_in_a_seep_plume_rise_as_fast_as_was_seen():
    """QICS release, 2 to 12 mm: 25 to 40 cm/s with the water they lift (Sellami et al., abstract; seen)."""
    rise = rise_tap_wueest_m_s(np.array([2e-3, 6e-3, 12e-3]))
    over_ground = rise + slip_plume_speed_m_s(rise)
    assert np.all((over_ground > 0.25) & (over_ground < 0.40))


def test_depth_needed_grows_with_size_between_the_two_skins():
    """A model gave 0.68 m per mm for 3 to 40 mm (Chen and co-workers 2009, abstract; seen, weak)."""
    water = bubble_water(15.0)
    slopes = []
    for make in (tap_closure, contaminated_closure):
        low, high = (critical_size_mm(water, z, closure=make(water), dissolved_frac=0.95) for z in (1.0, 2.0))
        slopes.append(1.0 / (high - low))
    assert slopes[0] < 0.68 < slopes[1]


def test_fine_bubbles_give_their_oxygen_at_the_rate_of_aeration_plants():
    """Fine pores in clean water, 5 to 7 % of the oxygen a metre (EPA 1989; memory).

    The water is taken to be lifted as fast as the bubbles rise through it.
    """
    water = bubble_water(20.0, co2_mg_l=0.0, o2_saturation_ratio=0.0)
    air = Release(np.array([2.5e-3, 3e-3]), 4.0, up_m_s=0.22, co2_frac=4e-4)
    found = bubble_fate(water, air, closure=tap_closure(water))
    each_metre = 1.0 - (found.end_mol[O2] / found.start_mol[O2]) ** (1 / 4)
    assert np.all((each_metre > 0.045) & (each_metre < 0.09))


def test_lit_tanks_keep_a_mist_that_carries_co2_out():
    still = contaminated_bubble(0.15, 0.4)
    lit = supersaturated_bubble(0.15, 0.4, o2_saturation_ratio=1.5)
    assert not bool(still.surfaced)
    # 0.15 mm no longer vanishes and arrives at 70 um (independent implementation; derived).
    assert bool(lit.surfaced)
    assert float(lit.end_diameter_mm) == pytest.approx(0.070, abs=0.003)
    starved = supersaturated_bubble(
        np.array([0.2, 0.3, 0.4]), 0.4, n2_saturation_ratio=0.9, o2_saturation_ratio=0.6
    )
    assert not starved.surfaced.any()


def test_smallest_bubbles_are_pressed_away():
    # 0.1 mm in 12 s, 0.25 mm in 114 s; 0.3 mm as 38 um after 160 s (independent implementation; derived).
    found = contaminated_bubble(np.array([0.1, 0.25, 0.3]), 0.4)
    assert found.surfaced.tolist() == [False, False, True]
    assert found.end_s == pytest.approx([12.2, 114.0, 160.0], rel=0.02)
    assert float(found.end_diameter_mm[2]) == pytest.approx(0.038, abs=0.0015)
    assert np.isnan(found.surface_co2_frac[0])


def test_a_downflow_holds_a_bubble_and_lets_it_go_no_deeper():
    water = bubble_water(25.0)
    track = bubble_track(water, Release(1e-3, 0.3, up_m_s=-0.2), closure=contaminated_closure(water))
    assert np.all(track.height_m == 0.0)
    assert float(track.dissolved_frac[-1]) == pytest.approx(1.0, abs=1e-3)


def test_impure_gas_leaves_a_larger_residue():
    # 99.0 % gas leaves 0.155 mm in place of 0.135 mm from 0.5 mm (independent implementation; derived).
    water = bubble_water(25.0)
    found = bubble_fate(
        water, Release(0.5e-3, 0.4, co2_frac=np.array([1.0, 0.99])), closure=contaminated_closure(water)
    )
    assert found.end_diameter_mm == pytest.approx([0.135, 0.155], abs=0.0015)


def test_track_and_fate_tell_one_story():
    water = bubble_water(25.0)
    release = Release(0.8e-3, 0.3)
    track = bubble_track(water, release, closure=tap_closure(water))
    fate = bubble_fate(water, release, closure=tap_closure(water))
    assert float(track.diameter_mm[-1]) == pytest.approx(float(fate.end_diameter_mm), rel=1e-9)
    assert float(track.time_s[-1]) == pytest.approx(float(fate.end_s), rel=1e-9)
    assert float(track.height_m[-1]) == pytest.approx(0.3, abs=1e-6)
    assert np.all(np.diff(track.time_s) > 0.0)


def test_critical_sizes_by_depth():
    # Stiff 0.56/0.77/0.93/1.07/1.29 mm at 10/20/30/40/60 cm, tap 0.60/0.95/1.32/1.65/2.27 (derived).
    water = bubble_water(25.0)
    depths = (0.1, 0.2, 0.3, 0.4, 0.6)
    stiff = [critical_size_mm(water, z, closure=contaminated_closure(water)) for z in depths]
    tap = [critical_size_mm(water, z, closure=tap_closure(water)) for z in depths]
    assert stiff == pytest.approx([0.56, 0.77, 0.93, 1.07, 1.29], abs=0.009)
    assert tap == pytest.approx([0.60, 0.95, 1.32, 1.65, 2.27], abs=0.009)


def test_skins_stand_in_order_for_a_millimetre():
    stiff, tap, clean = (
        float(f(1.0, 0.15).dissolved_frac) for f in (contaminated_bubble, tap_bubble, clean_bubble)
    )
    assert stiff < tap < clean


def test_faults_are_listed_together():
    water = bubble_water(25.0)
    with pytest.raises(InputError) as refused:
        bubble_fate(water, Release(0.05, -1.0, 5.0), closure=tap_closure(water))
    assert {f.field for f in refused.value.faults} == {"diameter_m", "depth_m", "up_m_s"}
    with pytest.raises(InputError, match="one bubble"):
        bubble_track(water, Release(np.array([1e-3, 2e-3]), 0.3), closure=tap_closure(water))


def test_too_few_steps_are_said_to_be_too_few():
    water = bubble_water(25.0)
    rule = Stepping(most_steps_count=2)
    with pytest.raises(NotConverged):
        bubble_fate(water, Release(1e-3, 0.3), closure=tap_closure(water), stepping=rule)
    with pytest.raises(NotConverged):
        bubble_track(water, Release(1e-3, 0.3), closure=tap_closure(water), stepping=rule)


def test_stopping_when_enough_is_known_changes_the_share_by_no_more():
    water = bubble_water(25.0)
    release = Release(np.geomspace(0.1e-3, 3e-3, 12), 0.3)
    whole = bubble_fate(water, release, closure=tap_closure(water))
    early = bubble_fate(water, release, closure=tap_closure(water), stepping=Stepping(enough_frac=5e-4))
    assert np.abs(whole.dissolved_frac - early.dissolved_frac).max() < 6e-4
    assert float(early.end_s[0]) < 0.2 * float(whole.end_s[0])
