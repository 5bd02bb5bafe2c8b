"""The flow solver against published flows: the lid-driven cube and the round turbulent jet."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from fizzwright.engines.current.closures import jet_viscosity_m2_s, outlet_speed_m_s
from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.flow import Box, Spell, carry_over, settle_flow, start_state
from fizzwright.engines.current.grid import Grid, grid_for, scene_for
from fizzwright.job.layout import OutletKind

# Albensoeder, S. & Kuhlmann, H. C. (2005), J. Comput. Phys. 206, 536-558, Tables 5 and 6, cube at Re = 1000
# (second hand: digits read in a public transcription of the two tables). Lid at x = -1/2 moving
# along +y: v along
# x and u along y, both through the middle. The two walls at the ends are left out.
X = (
    -.4766, -.4688, -.4609, -.4531, -.3516, -.2344, -.1172, 0,
    .0469, .2187, .3281, .3984, .4297, .4375, .4453,
)  # fmt: skip
V = (
    .58964, .48443, .39821, .33171, .12183, .07334, .03905, .00802,
    -.00612, -.10999, -.25160, -.27293, -.23696, -.22283, -.20623,
)  # fmt: skip
Y = (
    -.4375, -.4297, -.4219, -.4062, -.3437, -.2734, -.2656, 0,
    .3047, .3594, .4063, .4453, .4531, .4609, .4688,
)  # fmt: skip
U = (
    -.21738, -.22746, -.23503, -.24407, -.22924, -.17580, -.16987, -.03674,
    .15223, .31117, .43423, .33511, .29032, .24095, .18864,
)  # fmt: skip


def _on(share):  # noqa: ARG001 - the form of a watcher
    return True


def cavity_errors(flow):
    """Root mean square differences from the tables; our lid lies on top and moves along x."""
    u, _, w = flow.faces
    n = flow.scene.grid.columns
    middle, at = n // 2, (np.arange(n) + 0.5) / n
    down = np.interp(0.5 - np.array(X), at, 0.5 * (u[:, middle - 1, middle] + u[:, middle, middle]))
    along = np.interp(0.5 + np.array(Y), at, -0.5 * (w[middle, middle - 1] + w[middle, middle]))
    return (float(np.sqrt(((a - np.array(b)) ** 2).mean())) for a, b in ((down, V), (along, U)))


def cavity(cells):
    scene = scene_for(Grid(1.0 / cells, cells, cells, cells))
    nil, none, empty = np.zeros(scene.grid.shape), np.zeros(0, np.int64), np.zeros(0, np.float32)
    drive = Drive(nil, nil, nil, (none,) * 3, (empty,) * 3, 0.0, 0.0)
    return dataclasses.replace(scene, mixing_m2_s=nil), drive


@pytest.mark.slow
def test_lid_driven_cube():
    """Each grid goes on from the coarser one. Allowed: what third-order upwind fluxes leave."""
    settings = (Box(free_top=False, lid_m_s=1.0, calm_m2_s=1e-3, threads=2), _on)
    errors, state, before = {}, None, None
    for cells, spell in ((24, Spell(30.0, 2.0, 1)), (32, Spell(12.0, 2.0, 1)), (48, Spell(7.0, 1.5, 1))):
        scene, drive = cavity(cells)
        state = start_state(scene) if state is None else carry_over(state, before, scene)
        flow = settle_flow(scene, drive, spell=spell, state=state, settings=settings)[0]
        errors[cells], before = tuple(cavity_errors(flow)), scene
        assert np.abs(flow.u_m_s - flow.u_m_s[:, ::-1]).max() < 1e-5
        assert flow.diverging_ratio < 1e-6
    assert errors[48][0] < 0.02
    assert errors[48][1] < 0.025
    assert errors[32][1] / errors[48][1] > 1.6


@pytest.mark.slow
def test_round_jet_decays_and_keeps_its_push():
    """Pope 2000, Table 5.1 (from memory): u/u0 = B d/(x - x0), B 5.8 to 6.1; 2 x 2 cells add a tenth."""
    scene = scene_for(grid_for((0.50, 0.30, 0.30), 0.01))
    speed = float(outlet_speed_m_s(600.0, 13.0))
    jet = Jet(OutletKind.NOZZLE, (0.02, 0.15, 0.15), (1.0, 0.0, 0.0), 600.0, speed, 13.0)
    drive = drive_for(scene, jet, Sink((0.48, 0.03, 0.03)))
    settings = (Box(threads=2), _on)
    flow = settle_flow(scene, drive, spell=Spell(3.0, 1.5, 1), settings=settings)[0]
    d, start = 0.013, 0.025
    x = np.arange(scene.grid.columns + 1) * scene.grid.cell_m - start
    along = [i for i, place in enumerate(x) if 12 * d <= place <= 28 * d]
    slope, _ = np.polyfit(x[along] / d, [speed / flow.u_m_s[:, :, i].max() for i in along], 1)
    assert 5.5 < 1.0 / slope < 7.0
    plane = flow.u_m_s[:, :, round((0.20 + start) / scene.grid.cell_m)]
    push = (plane[plane > 0.02 * plane.max()] ** 2).sum() * scene.grid.cell_m**2
    assert 0.9 < push / (600.0 / 3.6e6 * speed) < 1.1


def test_the_jets_law_is_the_textbook_one():
    """Pope 2000 (from memory): 0.028 u_c r_half, u_c = 6 u0 d/x, r_half = 0.094 x: 0.0158 u0 d within 5 %."""
    assert float(jet_viscosity_m2_s(1.0, 10.0)) == pytest.approx(0.028 * 6.0 * 0.01 * 0.094, rel=0.05)
