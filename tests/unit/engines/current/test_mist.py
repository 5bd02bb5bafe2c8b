"""The mist against the bubble room's own single bubble in still water, and against its own books."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.diffusers import DiffuserSpread, volume_median_mm
from fizzwright.engines.bubbles.fate import contaminated_bubble, tap_bubble
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.flow import Flow, Spell, settle_flow
from fizzwright.engines.current.grid import Grid, scene_for
from fizzwright.engines.current.mist import Release, follow_mist, plume_drive, push_ratio, share_in_frac
from fizzwright.job.layout import OutletKind
from fizzwright.job.model import Condition, DiffuserKind

# All bubbles of one size, so that a single bubble can stand for them.
ONE_SIZE = DiffuserSpread(DiffuserKind.AIR_STONE, Condition.CLEAN, 1.0, 0.99, 1.01, 1.0001)


def still(grid):
    scene = scene_for(grid)
    layers, rows, columns = grid.shape
    nil = np.zeros(grid.shape)
    drive = Drive(nil, nil, nil, (np.zeros(0, np.int64),) * 3, (np.zeros(0, np.float32),) * 3, 0.0, 0.0)
    return Flow(
        scene, drive, np.zeros((layers, rows, columns + 1)), np.zeros((layers, rows + 1, columns)),
        np.zeros((layers + 1, rows, columns)), nil, 0.0,
    )  # fmt: skip


def release(place=(0.1, 0.1, 0.05), spread=ONE_SIZE, **changes):
    kept = {"flow_ml_min_n": 10.0, "disc_mm": 10.0, "water": bubble_water(25.0), "tracks": 200} | changes
    return Release(place, spread=spread, **kept)


def test_the_books_of_the_gas_close():
    mist = follow_mist(still(Grid(0.02, 10, 10, 18)), release(), np.random.default_rng(3))
    assert abs(mist.dissolved_frac + mist.escaped_frac + mist.lost_frac - 1.0) < 1e-10
    assert mist.source_frac.sum() == pytest.approx(mist.dissolved_frac, abs=1e-12)


def test_in_still_water_it_is_the_single_bubble():
    """A 1 mm bubble let go 31 cm deep: between the share of a stiff skin and that of tap water."""
    mist = follow_mist(still(Grid(0.02, 10, 10, 18)), release(), np.random.default_rng(3))
    stiff = float(contaminated_bubble(1.0, 0.31, water_c=25.0, co2_mg_l=15.0).dissolved_frac)
    tap = float(tap_bubble(1.0, 0.31, water_c=25.0, co2_mg_l=15.0).dissolved_frac)
    low, high = sorted((stiff, tap))
    assert low - 0.02 < mist.dissolved_frac < high + 0.02


def test_bubbles_rise_over_the_place_they_leave():
    mist = follow_mist(still(Grid(0.02, 10, 10, 18)), release(), np.random.default_rng(3))
    over = np.zeros((18, 10, 10), dtype=bool)
    over[2:, 4:6, 4:6] = True
    assert share_in_frac(mist, over) > 0.99
    assert mist.held_frac[:2].sum() == 0.0


def test_smaller_bubbles_dissolve_more():
    spread = DiffuserSpread(DiffuserKind.AIR_STONE, Condition.CLEAN, 1.5, 0.8, 2.5, 1.3)
    flow = still(Grid(0.02, 10, 10, 18))
    shares = [
        follow_mist(flow, release(spread=spread, size_z_number=z), np.random.default_rng(3)).dissolved_frac
        for z in (-1.645, 0.0, 1.645)
    ]
    assert shares[0] > shares[1] > shares[2]


def test_the_same_chance_gives_the_same_mist():
    flow = still(Grid(0.02, 10, 10, 18))
    one, two = (follow_mist(flow, release(), np.random.default_rng(9)) for _ in range(2))
    assert np.array_equal(one.source_frac, two.source_frac)


def test_the_plume_lifts_by_the_weight_of_the_water_it_replaces():
    flow = still(Grid(0.02, 10, 10, 18))
    mist = follow_mist(flow, release(), np.random.default_rng(3))
    lifted = plume_drive(flow.drive, flow, mist)
    # g times gas volume: the push on the faces adds up to it.
    gas_m3 = mist.held_frac.sum() * 0.02**3
    assert lifted.push[2].sum() * 0.02**3 == pytest.approx(9.80665 * gas_m3, rel=1e-3)
    assert push_ratio(flow, mist, 9.80665 * gas_m3) == pytest.approx(1.0, rel=1e-6)


def test_a_current_carries_the_mist_with_it():
    scene = scene_for(Grid(0.02, 20, 12, 12))
    jet = Jet(OutletKind.NOZZLE, (0.01, 0.12, 0.12), (1.0, 0.0, 0.0), 400.0, 0.84, 13.0)
    flow = settle_flow(scene, drive_for(scene, jet, Sink((0.38, 0.05, 0.03))), spell=Spell(4.0, 2.0, 1))[0]
    fine = DiffuserSpread(DiffuserKind.FINE_CERAMIC, Condition.USED, 0.3, 0.2, 0.5, 1.5)
    mist = follow_mist(flow, release((0.10, 0.12, 0.06), fine, tracks=400), np.random.default_rng(3))
    x = scene.grid.centres_m()[0]
    centre = float((mist.held_frac.sum(axis=(0, 1)) * x).sum() / mist.held_frac.sum())
    assert abs(centre - 0.10) > 0.02


def test_sizes_carry_the_gas_evenly():
    # By volume the middle of a lognormal population is d32 times exp(ln(gsd)²/2): 1.0 x exp(0.0346) for 1.3.
    assert float(volume_median_mm(np.array([1.0]), 1.3)[0]) == pytest.approx(
        np.exp(np.log(1.3) ** 2 / 2), rel=1e-3
    )
