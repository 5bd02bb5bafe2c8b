"""What must hold on every gas line, whatever its sizes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.gasline import bottle, counter, room, tube
from fizzwright.engines.gasline.line import LineSetup, walk_line

lines = st.builds(
    LineSetup,
    feed_mg_h=st.floats(50.0, 20_000.0),
    bottle_c=st.floats(5.0, 30.0),
    room_c=st.floats(10.0, 35.0),
    set_barg=st.floats(1.0, 5.0),
    opening_barg=st.floats(0.0, 3.0),
    depth_m=st.floats(0.02, 1.9),
    tube_length_m=st.floats(0.05, 20.0),
    bore_mm=st.floats(2.0, 5.0),
    outer_mm=st.floats(5.5, 10.0),
    permeability_25c_barrer=st.floats(0.1, 4000.0),
    activation_j_mol=st.floats(0.0, 60_000.0),
    tip_mm=st.floats(0.5, 6.0),
    viscosity_pa_s=st.sampled_from([0.001, 0.006, 0.05, 1.41]),
    altitude_m=st.floats(0.0, 3000.0),
)


@settings(max_examples=60, deadline=None)
@given(lines)
def test_flow_adds_up_and_nothing_is_negative(line):
    walk = walk_line(line)
    assert walk.delivered_mg_h + walk.tube_loss_mg_h == pytest.approx(line.feed_mg_h)
    assert walk.delivered_mg_h >= 0.0
    assert walk.mg_per_bubble_mg > 0.0
    assert walk.run_on_mg >= 0.0
    assert walk.startup_min >= 0.0
    assert bool(walk.starved) == (walk.delivered_mg_h == 0.0)


@settings(max_examples=40, deadline=None)
@given(lines, st.floats(1.01, 3.0))
def test_a_leakier_or_longer_tube_delivers_less(line, factor):
    base = walk_line(line).delivered_mg_h
    leaky = walk_line(replace(line, permeability_25c_barrer=line.permeability_25c_barrer * factor))
    longer = walk_line(replace(line, tube_length_m=line.tube_length_m * factor))
    assert leaky.delivered_mg_h <= base + 1e-9
    assert longer.delivered_mg_h <= base + 1e-9


@settings(max_examples=40, deadline=None)
@given(lines, st.floats(0.05, 1.0))
def test_a_clogged_diffuser_never_shows_more_bubbles(line, clog_barg):
    before = walk_line(line).bubbles_per_s
    after = walk_line(replace(line, opening_barg=line.opening_barg + clog_barg)).bubbles_per_s
    # a starved line stands at the same pressure whatever the diffuser asks, but for a trace of friction
    assert after <= before * (1 + 1e-4)


@given(st.floats(-20.0, 30.9), st.floats(0.01, 0.99))
def test_mass_from_the_gauge_turns_back_into_the_gauge(temperature_c, share):
    temperature_c = max(temperature_c, 0.0)
    pressure = share * float(bottle.saturation_bara(temperature_c)) * 0.97
    density = bottle.vapour_only_density_kg_m3(pressure, temperature_c)
    assert bottle.virial_pressure_bara(density, temperature_c) == pytest.approx(pressure, rel=1e-6)


@given(st.floats(0.5, 1.0))
def test_the_liquid_full_temperature_turns_back_into_the_fill(fill_kg_l):
    full_c = bottle.liquid_full_c(fill_kg_l)
    assert bottle.liquid_density_kg_m3(full_c) == pytest.approx(1000 * fill_kg_l, rel=1e-5)


@given(st.floats(0.06, 3.0), st.floats(0.5, 5.0), st.floats(0.002, 1.5))
def test_bubbles_grow_with_flow_and_with_viscosity(flow_l_h, rim_mm, viscosity_pa_s):
    liquid = {"tension_n_m": 0.05, "density_kg_m3": 1100.0}
    base, faster = counter.kumar_kuloor_volume_ul(
        np.array([1.0, 1.5]) * flow_l_h, rim_mm, **liquid, viscosity_pa_s=viscosity_pa_s
    )
    thicker = counter.kumar_kuloor_volume_ul(flow_l_h, rim_mm, **liquid, viscosity_pa_s=1.5 * viscosity_pa_s)
    assert faster > base
    assert thicker > base * (1 - 1e-3)
    assert base >= counter.tate_volume_ul(rim_mm, **liquid) * (1 - 1e-6)


@given(st.floats(1.0, 1e5), st.floats(0.0, 50.0), st.floats(0.05, 10.0))
def test_slower_is_never_worse_for_the_room(rise_ppm, over_h, air_changes_per_h):
    slow = room.slow_release_peak_ppm(rise_ppm, over_h=over_h, air_changes_per_h=air_changes_per_h)
    assert 0.0 < slow <= rise_ppm * (1 + 1e-12)
    assert room.displaced_ppm(rise_ppm) <= rise_ppm


@given(st.floats(0.0, 500.0), st.floats(0.5, 4.0), st.floats(1.0, 3000.0))
def test_a_shut_line_keeps_between_nothing_and_its_start(time_h, start_bara, co2_barrer):
    rates = tuple(
        tube.wall_rate_per_h(p, bore_mm=4.0, outer_mm=6.0, temperature_c=22.0)
        for p in (co2_barrer, co2_barrer / 5, co2_barrer / 12)
    )
    found = tube.closed_line_bara(time_h, start_bara, rates_per_h=rates)
    assert 0.0 < found <= max(start_bara, 1.01325) + 1e-9
