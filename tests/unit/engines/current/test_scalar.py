"""Dissolved matter against exact balances: nothing lost, even stays even, ages and sums as theory says."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.flow import Flow, Spell, settle_flow
from fizzwright.engines.current.gas import Exchange, GasSolver
from fizzwright.engines.current.grid import Block, Grid, scene_for
from fizzwright.engines.current.scalar import Solver, age_of_water_s, transport_for
from fizzwright.engines.current.spread import after_step, mixing_time_s, renewal_time_s, streams_in_per_s
from fizzwright.engines.current.zones import dead_frac
from fizzwright.job.layout import OutletKind


@pytest.fixture(scope="module")
def flow():
    scene = scene_for(Grid(0.02, 20, 12, 10), [Block(0.16, 0.24, 0.08, 0.16, 0.0, 0.10)])
    jet = Jet(OutletKind.NOZZLE, (0.01, 0.12, 0.16), (1.0, 0.0, 0.0), 300.0, 0.63, 13.0)
    return settle_flow(scene, drive_for(scene, jet, Sink((0.38, 0.05, 0.03))), spell=Spell(4.0, 2.0, 1))[0]


def test_a_closed_tank_loses_nothing_in_sixty_steps(flow):
    transport = transport_for(flow)
    marked = np.zeros(flow.scene.grid.shape)
    marked[2, 2, 2] = 1.0
    start = marked.sum()
    for _ in range(60):
        marked = after_step(transport, marked, 1.0, tolerance_frac=1e-12)
    assert abs(marked.sum() / start - 1.0) < 1e-12


def test_an_even_field_stays_even(flow):
    even = flow.scene.water.astype(float)
    later = after_step(transport_for(flow), even, 5.0, tolerance_frac=1e-13)
    assert np.abs(later - even)[flow.scene.water].max() < 1e-9


def test_age_at_the_intake_is_volume_over_flow(flow):
    """Sandberg 1981 (from memory): the mean age of what leaves is volume over flow, whatever the flow."""
    transport = transport_for(flow)
    age = age_of_water_s(transport)
    turnover = flow.scene.volume_m3 / (300.0 / 3.6e6)
    assert (age * flow.drive.take).sum() == pytest.approx(turnover, rel=1e-6)
    assert (
        0.0 < dead_frac(age, flow.scene.water, turnover) < 1.0 or age[flow.scene.water].max() < 1.5 * turnover
    )


def test_what_comes_in_goes_out(flow):
    transport = transport_for(flow)
    loss, source = np.zeros(flow.scene.grid.shape), np.zeros(flow.scene.grid.shape)
    loss[-1], source[3, 3, 3] = 1e-3, 1.0
    found = Solver(transport, loss).field(source, tolerance_frac=1e-7)
    assert (found * loss)[flow.scene.water].sum() == pytest.approx(1.0, rel=1e-6)


def _still(grid, u, v, w, eddy):
    """A current given on paper, with no filter."""
    nil = np.zeros(grid.shape)
    none, empty = np.zeros(0, np.int64), np.zeros(0, np.float32)
    drive = Drive(nil, nil, nil, (none,) * 3, (empty,) * 3, 0.0, 0.0)
    return Flow(scene_for(grid), drive, u, v, w, eddy, 0.0)


def _error_of_made_up_field(cells):
    """c = 2 + cos(pi x) cos(pi z) in a unit square roll with D = 0.05, source worked out by hand.

    Stream function psi = sin(pi x) sin(pi z)/pi^2/10: u = dpsi/dz, w = -dpsi/dx; loss 1/s everywhere.
    """
    grid = Grid(1.0 / cells, cells, 4, cells)
    edge = np.arange(cells + 1) / cells
    psi = np.sin(np.pi * edge)[:, None] * np.sin(np.pi * edge)[None, :] / np.pi**2 / 10
    u = np.repeat(((psi[1:] - psi[:-1]) * cells)[:, None, :], 4, axis=1)
    w = np.repeat((-(psi[:, 1:] - psi[:, :-1]) * cells)[:, None, :], 4, axis=1)
    v = np.zeros((cells, 5, cells))
    # The law shares out eddy viscosity over 0.7.
    flow = _still(grid, u, v, w, np.full(grid.shape, 0.05 * 0.7))
    x, _, z = grid.centres_m()
    x, z = x[None, None, :], z[:, None, None]
    exact = 2.0 + np.cos(np.pi * x) * np.cos(np.pi * z)
    speed_x = np.sin(np.pi * x) * np.cos(np.pi * z) / np.pi / 10
    speed_z = -np.cos(np.pi * x) * np.sin(np.pi * z) / np.pi / 10
    slope_x = -np.pi * np.sin(np.pi * x) * np.cos(np.pi * z)
    slope_z = -np.pi * np.cos(np.pi * x) * np.sin(np.pi * z)
    source = speed_x * slope_x + speed_z * slope_z + 0.05 * 2 * np.pi**2 * (exact - 2.0) + exact
    source = np.broadcast_to(source, grid.shape)
    found = Solver(transport_for(flow, mixing_m2_s=0.0), np.ones(grid.shape)).field(
        source, tolerance_frac=1e-10
    )
    return float(np.sqrt(((found - exact) ** 2).mean()))


def test_a_made_up_field_is_met_with_second_order():
    errors = [_error_of_made_up_field(cells) for cells in (8, 16, 32)]
    assert errors[0] / errors[1] > 3.0
    assert errors[1] / errors[2] > 3.0
    assert errors[2] < 2e-3


def test_still_water_is_renewed_by_mixing_alone():
    """A middle third of a bar with diffusivity D: both faces exchange 2 D/(h L) of its volume a second."""
    grid = Grid(0.01, 30, 4, 4)
    zero = np.zeros((4, 4, 31)), np.zeros((4, 5, 30)), np.zeros((5, 4, 30))
    transport = transport_for(_still(grid, *zero, np.full(grid.shape, 0.7e-4)), mixing_m2_s=0.0)
    cells = np.zeros(grid.shape, dtype=bool)
    cells[:, :, 10:20] = True
    # D = 1e-4, h = 0.01, 10 cells long: 2 x 1e-4 / (0.01 x 0.10) = 0.2 per second.
    assert streams_in_per_s(transport, cells) == pytest.approx(0.2, rel=1e-12)
    # First cosine mode of the excess: L²/(4 pi² D) = 0.09/39.5e-4 = 22.8 s; the excess starts above one mode,
    # 2 x 0.477/... so that 1/e is met a little sooner.
    assert renewal_time_s(transport, cells) == pytest.approx(17.0, rel=0.25)


def test_marks_in_the_stream_mix_sooner_than_in_a_corner(flow):
    transport = transport_for(flow)
    corner = np.zeros(flow.scene.grid.shape)
    corner[0, -1, 0] = 1.0
    assert 0.0 < mixing_time_s(transport, flow.drive.give) <= 1.2 * mixing_time_s(transport, corner)


def _exchange(shape, level, uptake=0.0):
    surface, field = np.zeros(shape), np.full(shape, uptake)
    surface[-1] = 0.3 * shape[0]
    return Exchange(level, field, np.zeros(shape), surface, 0.6, np.full(shape, 0.05))


def test_without_plants_the_mean_is_that_of_the_mixed_tank(flow):
    """The day engine's own repeating day for the same tank, gas always on, lamp without plants."""
    from fizzwright.engines.day.balance import TankDay
    from fizzwright.engines.day.clock import Clock, forcing
    from fizzwright.engines.day.integrate import State, repeating_day

    solver = GasSolver(transport_for(flow), _exchange(flow.scene.grid.shape, 18.0))
    wet = flow.scene.water
    source = np.zeros(flow.scene.grid.shape)
    source[1:8, 9, 14] = 1.0
    field = solver.field(source)
    volume = 1000.0 * flow.scene.volume_m3
    loss = float((solver.exchange.surface_per_h)[wet].sum() / wet.sum())
    tank = TankDay(
        volume_l=volume, loss_per_h=loss, air_co2_mg_l=0.6, o2_loss_per_h=0.3, o2_saturation_mg_l=8.0,
        feed_mg_h=field.supply_mg_l_h * volume, dissolved_frac=1.0, beds=(), par_umol_m2_s=0.0,
        breathing_mg_h=0.05 * volume, breathing_o2_mg_h=0.0, exchange_per_h=0.0, tap_co2_mg_l=0.0,
        alk_drift_meq_l_h=0.0, carbonate_ratio=1e4,
    )  # fmt: skip
    clock = Clock(
        light_on_min=600.0,
        light_off_min=1080.0,
        gas_on_min=0.0,
        gas_off_min=0.0,
        ramp_min=0.0,
        always_on=True,
    )
    start = State(np.array([15.0]), np.array([8.0]), np.array([1.5]))
    day = repeating_day(start, tank, forcing([clock], 30.0), tolerance_mg_l=1e-9)
    mixed = float(day.co2_mg_l[-1].ravel()[0])
    assert mixed == pytest.approx(18.0, rel=1e-6)
    # What differs is only that the surface sees its own water, not the mean: a per cent or so.
    assert field.co2_mg_l[wet].mean() == pytest.approx(mixed, rel=0.02)
    top = field.co2_mg_l[-1].mean()
    assert top == pytest.approx(mixed, rel=1e-6)
    assert abs(field.residual_frac) < 1e-6


def test_uptake_draws_its_own_bed_down(flow):
    shape = flow.scene.grid.shape
    level, uptake = 18.0, np.zeros(shape)
    uptake[0, :, 12:] = 60.0
    bare = _exchange(shape, level)
    planted = Exchange(level, uptake, 0.01 * uptake, bare.surface_per_h, 0.6, bare.breathing_mg_l_h)
    source = np.zeros(shape)
    source[2:8, 3, 3] = 1.0
    field = GasSolver(transport_for(flow), planted).field(source)
    assert field.co2_mg_l[0, :, 12:].mean() < field.co2_mg_l[flow.scene.water].mean()
