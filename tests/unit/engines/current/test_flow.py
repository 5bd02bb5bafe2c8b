"""The flow solver against what any flow must obey: continuity, symmetry, drag in balance, still stones."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.flow import (
    Box,
    Spell,
    carry_over,
    open_faces,
    settle_flow,
    start_state,
    with_plume,
)
from fizzwright.engines.current.grid import Block, Grid, Planting, scene_for
from fizzwright.errors import NotConverged
from fizzwright.job.layout import OutletKind

STONE = Block(0.16, 0.24, 0.08, 0.16, 0.0, 0.10)


def _on(share):  # noqa: ARG001 - the form of a watcher
    return True


def jet(**changes):
    start = Jet(OutletKind.NOZZLE, (0.01, 0.12, 0.16), (1.0, 0.0, 0.0), 300.0, 0.63, 13.0)
    return dataclasses.replace(start, **changes)


@pytest.fixture(scope="module")
def stirred():
    """A small tank with a stone, a nozzle and an intake, stirred for a few seconds."""
    scene = scene_for(Grid(0.02, 20, 12, 10), [STONE])
    drive = drive_for(scene, jet(), Sink((0.38, 0.05, 0.03)))
    return settle_flow(scene, drive, spell=Spell(4.0, 2.0, 2))


def test_two_windows_of_moving_water(stirred):
    assert len(stirred) == 2
    assert all(0.002 < flow.speed_m_s().mean() < 0.2 for flow in stirred)


def test_every_cell_gives_out_what_it_is_fed(stirred):
    assert max(flow.diverging_ratio for flow in stirred) < 1e-6


def test_nothing_flows_through_stone_or_glass(stirred):
    for flow in stirred:
        for speed, free in zip(flow.faces, open_faces(flow.scene), strict=True):
            assert np.all(speed[free == 0.0] == 0.0)


def test_outlet_and_intake_keep_flow_and_push():
    scene = scene_for(Grid(0.01, 40, 24, 20), [STONE])
    drive = drive_for(scene, jet(), Sink((0.38, 0.05, 0.03)))
    h = scene.grid.cell_m
    # 300 L/h is 300/3.6e6 m3/s; times 0.63 m/s is the push.
    assert drive.feed_per_s.clip(0).sum() * h**3 == pytest.approx(300 / 3.6e6, rel=1e-12)
    assert abs(drive.feed_per_s.sum()) < 1e-12 * abs(drive.feed_per_s).sum()
    assert drive.push[0].sum() * h**3 == pytest.approx(300 / 3.6e6 * 0.63, rel=1e-5)


def test_a_nozzle_in_the_middle_gives_a_current_that_mirrors():
    scene = scene_for(Grid(0.02, 16, 10, 10))
    drive = drive_for(scene, jet(place_m=(0.02, 0.10, 0.12)), Sink((0.30, 0.10, 0.04)))
    # The intake is one cell off the middle by rounding; both halves must take alike.
    take = 0.5 * (drive.take + drive.take[:, ::-1])
    feed = (drive.give - take) * drive.feed_per_s.clip(0).sum()
    give = 0.5 * (drive.give + drive.give[:, ::-1])
    feed = (give - take) * drive.feed_per_s.clip(0).sum()
    strides = (21, 21 * 15)
    home = np.array(
        [(k + 2) * strides[1] + (j + 2) * strides[0] + i + 2 for k, j, i in np.argwhere(give > 0)]
    )
    push = np.full(home.size, 0.5, np.float32)
    none = np.zeros(0, np.int64)
    even = dataclasses.replace(
        drive, feed_per_s=feed, faces=(home + 1, none, none), push=(push, push[:0], push[:0])
    )
    flow = settle_flow(scene, even, spell=Spell(1.0, 0.5, 1))[0]
    assert np.abs(flow.u_m_s - flow.u_m_s[:, ::-1]).max() < 1e-5 * np.abs(flow.u_m_s).max() + 1e-7
    assert np.abs(flow.v_m_s + flow.v_m_s[:, ::-1]).max() < 1e-5 * np.abs(flow.u_m_s).max() + 1e-7


def test_one_and_two_threads_agree():
    scene = scene_for(Grid(0.02, 20, 12, 10), [STONE])
    drive = drive_for(scene, jet(), Sink((0.38, 0.05, 0.03)))
    one, two = (
        settle_flow(scene, drive, spell=Spell(0.5, 0.5, 1), settings=(Box(threads=n), _on))[0] for n in (1, 2)
    )
    assert np.abs(one.u_m_s - two.u_m_s).max() < 1e-5 * np.abs(one.u_m_s).max()


def test_leaves_share_the_stream_as_their_drag_says():
    """Two channels under one pressure: half Cd a U² is equal, so four times the leaves, half the speed."""
    grid = Grid(0.02, 24, 9, 6)
    wall = Block(0.06, 0.42, 0.08, 0.10, 0.0, 0.12)
    thin = Planting("thin", Block(0.06, 0.42, 0.0, 0.08, 0.0, 0.12), 300.0)
    thick = Planting("thick", Block(0.06, 0.42, 0.10, 0.18, 0.0, 0.12), 1200.0)
    scene = scene_for(grid, [wall], [thin, thick])
    give, take = np.zeros(grid.shape), np.zeros(grid.shape)
    give[:, :, 0] = take[:, :, -1] = 1.0 / 54
    feed = (give - take) * 2.0 * 54
    none, empty = np.zeros(0, np.int64), np.zeros(0, np.float32)
    drive = Drive(feed, give, take, (none, none, none), (empty, empty, empty), 0.0, 0.0)
    flow = settle_flow(scene, drive, spell=Spell(10.0, 3.0, 1))[0]
    across = flow.u_m_s[:, :, 12]
    ratio = across[1:5, 1:3].mean() / across[1:5, 6:8].mean()
    assert ratio == pytest.approx(2.0, rel=0.03)


def test_water_lifted_by_bubbles_rises_and_without_gas_stays_still():
    scene = scene_for(Grid(0.02, 12, 10, 10))
    still = Drive(
        np.zeros(scene.grid.shape), np.zeros(scene.grid.shape), np.zeros(scene.grid.shape),
        (np.zeros(0, np.int64),) * 3, (np.zeros(0, np.float32),) * 3, 1e-5, 0.0,
    )  # fmt: skip
    calm = settle_flow(scene, still, spell=Spell(1.0, 1.0, 1))[0]
    assert calm.speed_m_s().max() == 0.0
    column = np.array([(k + 2) * 17 * 15 + 7 * 17 + 8 for k in range(2, 8)])
    lifted = with_plume(still, column, np.full(6, 9.81 * 0.01, np.float32))
    flow = settle_flow(scene, lifted, spell=Spell(1.0, 1.0, 1))[0]
    assert flow.w_m_s[5, 5, 6] > 0.01
    assert flow.w_m_s[5].sum() == pytest.approx(0.0, abs=1e-9)


def test_a_current_put_on_finer_cells_is_the_same_current(stirred):
    coarse = stirred[0].scene
    fine = scene_for(Grid(0.01, 40, 24, 20), [STONE])
    state = start_state(coarse)
    drive = drive_for(coarse, jet(), Sink((0.38, 0.05, 0.03)))
    settle_flow(coarse, drive, spell=Spell(2.0, 0.0, 0), state=state)
    moved = carry_over(state, coarse, fine)
    before, after = np.sqrt((state.vel**2).mean()), np.sqrt((moved.vel**2).mean())
    assert after == pytest.approx(before, rel=0.15)
    assert moved.clock_s == state.clock_s


def test_a_runaway_is_refused_not_answered():
    scene = scene_for(Grid(0.02, 8, 8, 8))
    drive = drive_for(scene, jet(place_m=(0.02, 0.08, 0.08)), Sink((0.14, 0.08, 0.02)))
    broken = dataclasses.replace(drive, push=tuple(np.full_like(p, np.nan) for p in drive.push))
    with pytest.raises(NotConverged):
        settle_flow(scene, broken, spell=Spell(2.0, 0.0, 0))


def test_somebody_watching_can_end_it():
    scene = scene_for(Grid(0.02, 8, 8, 8))
    drive = drive_for(scene, jet(place_m=(0.02, 0.08, 0.08)), Sink((0.14, 0.08, 0.02)))
    shares = []

    def watch(share):
        shares.append(share)
        return False

    assert settle_flow(scene, drive, spell=Spell(60.0, 5.0, 2), settings=(Box(), watch)) == ()
    assert len(shares) == 1
