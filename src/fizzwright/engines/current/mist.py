"""The mist: where a diffuser's bubbles go in a given current, where their gas dissolves, what they lift."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import LN_SMALLEST, PITCH, between, contaminated_closure, tap_closure
from fizzwright.engines.bubbles.cloud import ML_MIN_MOL_S
from fizzwright.engines.bubbles.diffusers import DiffuserSpread, volume_median_mm
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.medium import CO2, BubbleWater
from fizzwright.engines.bubbles.population import LARGEST_BUBBLE_M, skin_mix_frac
from fizzwright.engines.bubbles.properties import GRAVITY
from fizzwright.engines.current.drive import Drive
from fizzwright.engines.current.flow import Flow, with_plume
from fizzwright.engines.current.scalar import TURBULENT_SCHMIDT_NUMBER
from fizzwright.sources import equation

__all__ = ["Mist", "Release", "at_size", "follow_mist", "plume_drive", "push_ratio", "share_in_frac"]

Array = NDArray[np.float64]
LONGEST_S = 240.0


@dataclass(frozen=True)
class Release:
    """A diffuser at work: where, how wide, how much gas, what sizes, in what water.

    `size_z_number` moves the Sauter mean through its doubt: 0 the middle, ±1.645 the 90 % limits. `tracks`
    is how many paths stand for the whole cloud.
    """

    place_m: tuple[float, float, float]
    flow_ml_min_n: float
    disc_mm: float
    spread: DiffuserSpread
    water: BubbleWater
    size_z_number: float = 0.0
    tracks: int = 2000


@dataclass(frozen=True, eq=False)
class Mist:
    """What became of the gas of a diffuser.

    `source_frac` is the share of all CO2 let go that dissolves in each cell, `held_frac` the share of a
    cell's volume that is gas. `escaped_frac` is the share of CO2 that reached the surface; `lost_frac` what
    was still under way when the longest path was cut off.
    """

    source_frac: Array
    held_frac: Array
    dissolved_frac: float
    escaped_frac: float
    lost_frac: float


def _starts(release: Release, flow: Flow, rng: np.random.Generator) -> Array:
    """Where bubbles leave: evenly over the disc, kept in the water."""
    grid = flow.scene.grid
    radius = 0.5e-3 * release.disc_mm * np.sqrt(rng.random(release.tracks))
    turn = 2.0 * np.pi * rng.random(release.tracks)
    middle = np.asarray(release.place_m)
    spots: Array = np.stack(
        [
            middle[0] + radius * np.cos(turn),
            middle[1] + radius * np.sin(turn),
            np.full(release.tracks, middle[2]),
        ],
        axis=1,
    )  # fmt: skip
    ends = grid.cell_m * np.array([grid.columns, grid.rows, grid.layers])
    spots = np.clip(spots, 1e-4, ends - 1e-4)
    cells = (spots / grid.cell_m).astype(int)
    dry = ~flow.scene.water[cells[:, 2], cells[:, 1], cells[:, 0]]
    spots[dry] = _nearest_water(flow, release.place_m)
    return spots


def _nearest_water(flow: Flow, place_m: tuple[float, float, float]) -> Array:
    x, y, z = flow.scene.grid.centres_m()
    away = (z[:, None, None] - place_m[2]) ** 2 + (y[None, :, None] - place_m[1]) ** 2 + (x - place_m[0]) ** 2
    k, j, i = np.unravel_index(
        int(np.argmin(np.where(flow.scene.water, away, np.inf))), flow.scene.grid.shape
    )
    found: Array = np.array([x[i], y[j], z[k]])
    return found


@equation("bubble-tracks", where="paths of bubbles in a given current, gas left on the way")
def follow_mist(flow: Flow, release: Release, rng: np.random.Generator) -> Mist:
    """Where a diffuser's mist drifts and where its gas dissolves.

    Parameters
    ----------
    flow : Flow
    release : Release
    rng : numpy.random.Generator
        Chance for starting points and for the wandering with eddies.

    Returns
    -------
    Mist
    """
    from scipy.special import ndtri

    from fizzwright.engines.current.mist_kernels import track_kernel

    water, grid = release.water, flow.scene.grid
    d32_mm = float(release.spread.d32_at_mm(release.size_z_number))
    gsd = release.spread.gsd_ratio
    # Every path carries the same share of the gas: sizes at even quantiles of the volume.
    score = ndtri((np.arange(release.tracks) + 0.5) / release.tracks)
    middle_m = 1e-3 * float(volume_median_mm(np.array([d32_mm]), gsd)[0])
    width = np.minimum(middle_m * np.exp(np.log(gsd) * score), LARGEST_BUBBLE_M)
    rng.shuffle(width)
    places = _starts(release, flow, rng)
    top_m = grid.layers * grid.cell_m
    gas = np.zeros((release.tracks, 3))
    gas[:, CO2] = bubble_amount_mol(width, top_m - places[:, 2], water=water)
    first = gas[:, CO2].copy()
    each_mol_s = release.flow_ml_min_n * ML_MIN_MOL_S / release.tracks
    carried = each_mol_s / first
    skin = between(
        contaminated_closure(water), tap_closure(water), part_frac=float(skin_mix_frac(0.5, d32_mm))
    )
    source, held = np.zeros(grid.shape), np.zeros(grid.shape)
    seeds = rng.integers(1, 2**63, size=release.tracks, dtype=np.uint64)
    outcome = track_kernel(
        places, gas, width, seeds, carried, *flow.faces, flow.eddy_m2_s / TURBULENT_SCHMIDT_NUMBER,
        flow.scene.water, grid.cell_m, _laws(water), skin.table_m_s, np.array([LN_SMALLEST, PITCH]),
        source, held, LONGEST_S,
    )  # fmt: skip
    total = each_mol_s * release.tracks
    left = carried * gas[:, CO2]
    return Mist(
        source_frac=source / total,
        held_frac=held / grid.cell_m**3,
        dissolved_frac=float(source.sum() / total),
        escaped_frac=float(left[outcome == 1].sum() / total),
        lost_frac=float(left[outcome == 3].sum() / total),
    )


def _laws(water: BubbleWater) -> Array:
    """The constants of the film laws in the order the compiled loop reads them."""
    heat = water.thermal_j_mol
    pairs = np.stack([6.0 * heat * water.solubility_mol_m3_pa, np.pi * water.bulk_mol_m3], axis=1)
    head = [water.surface_pa - water.vapour_pa, water.head_pa_m, 6.0 * heat / np.pi, 4.0 * water.tension_n_m]
    return np.concatenate([head, pairs.ravel()])


def push_ratio(flow: Flow, mist: Mist, jet_push_number: float) -> float:
    """How hard the bubbles lift the water, over how hard the outlet pushes it (flow times speed, m⁴/s²)."""
    lift = GRAVITY * float(mist.held_frac.sum()) * flow.scene.grid.cell_m**3
    return lift / max(jet_push_number, 1e-12)


def plume_drive(drive: Drive, flow: Flow, mist: Mist) -> Drive:
    """The drive with the lift of the mist added: weight of the water the gas displaces, on both faces."""
    grid = flow.scene.grid
    where = np.argwhere(mist.held_frac > 1e-9)
    if not len(where):
        return drive
    strides = np.array([(grid.columns + 5) * (grid.rows + 5), grid.columns + 5, 1])
    home = ((where + 2) * strides).sum(axis=1)
    lift = 0.5 * GRAVITY * mist.held_frac[tuple(where.T)]
    places = np.concatenate([home, home + strides[0]]).astype(np.int64)
    return with_plume(drive, places, np.concatenate([lift, lift]).astype(np.float32))


def share_in_frac(mist: Mist, cells: NDArray[np.bool_]) -> float:
    """The share of all gas under way that hangs in a set of cells."""
    return float(mist.held_frac[cells].sum() / max(float(mist.held_frac.sum()), 1e-300))


def at_size(release: Release, size_z_number: float) -> Release:
    """The same release with its Sauter mean moved through its doubt."""
    return replace(release, size_z_number=size_z_number)
