"""What moves the water: outlets, intakes and rising bubbles, as flow and push in the cells they lie in.

An outlet gives its true flow and its true push (flow times speed) whatever the size of the cells: a nozzle
finer than a cell is allowed, its push is spread over the cells it gets.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.closures import jet_viscosity_m2_s, line_jet_viscosity_m2_s
from fizzwright.engines.current.grid import Scene
from fizzwright.job.layout import OutletKind

__all__ = ["Drive", "Jet", "Sink", "drive_for", "jet_cap_m2_s", "turnover_s"]

Array = NDArray[np.float64]
Places = NDArray[np.int64]
# Shares and directions: what they are of is said where they stand.
Field = NDArray[np.float64]
Push = NDArray[np.float32]
Vector = tuple[float, float, float]

# Cells this fine give a jet two by two of them, which doubles the step for a tenth of shift in its decay.
FINE_CELL_M = 0.015


@dataclass(frozen=True)
class Jet:
    """One outlet: where it is, where it points, its flow and how fast the water leaves it.

    `toward` is a vector of length one in x, y, z. `bore_mm` is the diameter of its opening, of each hole for
    a spray bar; `length_m` and `along` (x or y) the row of holes, 0 for a single opening.
    """

    kind: OutletKind
    place_m: tuple[float, float, float]
    toward: Vector
    flow_l_h: float
    speed_m_s: float
    bore_mm: float
    length_m: float = 0.0
    along: int = 0

    @property
    def _flow_m3_s(self) -> float:
        """Flow in cubic metres a second."""
        return self.flow_l_h / 3.6e6


@dataclass(frozen=True)
class Sink:
    """Where the filter takes its water: a strainer in the water, or a ring at the surface."""

    place_m: tuple[float, float, float]
    at_surface: bool = False


@dataclass(frozen=True, eq=False)
class Drive:
    """Flow and push on a grid.

    `feed_per_s` is the water given to each cell (taken where negative) over the cell's own volume; `faces`
    and `push` list the faces pushed, by axis, flat place in the padded grid and acceleration in m/s².
    `give` and `take` are the outlet's and intake's share in each cell, each adding up to one.
    """

    feed_per_s: Array
    give: Field
    take: Field
    faces: tuple[Places, Places, Places]
    push: tuple[Push, Push, Push]
    cap_m2_s: float
    flow_per_s: float


def jet_cap_m2_s(jet: Jet, reach_m: float) -> float:
    """The largest eddy viscosity an outlet can make over the reach of its stream. [m²/s]"""
    if jet.length_m > 0.0:
        sheet = line_jet_viscosity_m2_s(jet.flow_l_h, jet.speed_m_s, length_m=jet.length_m, reach_m=reach_m)
        return float(sheet)
    return float(jet_viscosity_m2_s(jet.speed_m_s, jet.bore_mm))


def turnover_s(scene: Scene, jet: Jet) -> float:
    """How long the stream an outlet drives takes to go round the tank once, roughly. [s]"""
    edge_m = scene.volume_m3 ** (1.0 / 3.0)
    return float(edge_m**2 / np.sqrt(jet._flow_m3_s * jet.speed_m_s))


def _patch(scene: Scene, jet: Jet) -> NDArray[np.bool_]:
    """The water cells an outlet gives its water to: a square across its stream, or the row of a bar."""
    grid = scene.grid
    across = int(np.argmax(np.abs(jet.toward)))
    least = 1 if grid.cell_m >= FINE_CELL_M else 2
    wide = max(round(0.886 * 1e-3 * jet.bore_mm / grid.cell_m), least)
    counts = [wide, wide, wide]
    counts[across] = 1
    if jet.length_m > 0.0:
        counts = [1, 1, 1]
        counts[jet.along] = max(round(jet.length_m / grid.cell_m), 1)
    limits = (grid.columns, grid.rows, grid.layers)
    cells = np.zeros(grid.shape, dtype=bool)
    ranges = []
    for place, count, limit in zip(jet.place_m, counts, limits, strict=True):
        first = min(max(round(place / grid.cell_m - 0.5 * count), 0), max(limit - count, 0))
        ranges.append(slice(first, first + count))
    cells[ranges[2], ranges[1], ranges[0]] = True
    return _in_water(scene, cells, jet.place_m)


def _in_water(
    scene: Scene, cells: NDArray[np.bool_], place_m: tuple[float, float, float]
) -> NDArray[np.bool_]:
    """Those cells that hold water; the nearest one that does where none of them is."""
    wet = cells & scene.water
    if wet.any():
        return wet
    x, y, z = scene.grid.centres_m()
    away = (z[:, None, None] - place_m[2]) ** 2 + (y[None, :, None] - place_m[1]) ** 2 + (x - place_m[0]) ** 2
    wet = np.zeros_like(cells)
    wet.flat[int(np.argmin(np.where(scene.water, away, np.inf)))] = True
    return wet


def _mouth(scene: Scene, sink: Sink) -> NDArray[np.bool_]:
    """The cells water is taken from: a strainer's block, or a ring of the top layer."""
    grid = scene.grid
    x, y, z = grid.centres_m()
    reach = max(0.015, 0.9 * grid.cell_m)
    flat = ((y[:, None] - sink.place_m[1]) ** 2 + (x[None, :] - sink.place_m[0]) ** 2) ** 0.5
    cells = np.zeros(grid.shape, dtype=bool)
    if sink.at_surface:
        cells[-1] = flat <= max(0.03, 1.5 * grid.cell_m)
    else:
        cells[:] = (flat[None] <= reach) & (np.abs(z - sink.place_m[2]) <= reach)[:, None, None]
    return _in_water(scene, cells, sink.place_m)


def drive_for(scene: Scene, jet: Jet, sink: Sink, *, reach_m: float = 0.3) -> Drive:
    """The outlet and intake of a tank on its grid.

    Flow in equals flow out to round-off, and the push adds up to flow times speed in the outlet's direction.
    """
    grid = scene.grid
    out, taken = _patch(scene, jet), _mouth(scene, sink)
    give, take = out / out.sum(), taken / taken.sum()
    per_s = jet._flow_m3_s / grid.cell_m**3
    thrust = jet._flow_m3_s * jet.speed_m_s / grid.cell_m**3
    faces, push = _pushed(scene, out, thrust * np.asarray(jet.toward))
    return Drive(
        feed_per_s=per_s * (give - take),
        give=give,
        take=take,
        faces=faces,
        push=push,
        cap_m2_s=jet_cap_m2_s(jet, reach_m),
        flow_per_s=jet._flow_m3_s / scene.volume_m3,
    )


def _pushed(scene: Scene, cells: NDArray[np.bool_], thrust: Array) -> tuple[
    tuple[Places, Places, Places],
    tuple[Push, Push, Push],
]:  # fmt: skip
    """Half of each cell's push on either face across it; a face on glass or stone hands its half over."""
    grid = scene.grid
    strides = (1, grid.columns + 5, (grid.columns + 5) * (grid.rows + 5))
    where = np.argwhere(cells)
    home = ((where + 2) * np.array([strides[2], strides[1], strides[0]])).sum(axis=1)
    faces: list[Places] = []
    pushes: list[Push] = []
    for axis in range(3):
        step = np.zeros(3, dtype=int)
        step[2 - axis] = 1
        low, high = _open(scene, where - step), _open(scene, where + step)
        share = np.stack([low, high]).astype(float)
        share /= np.maximum(share.sum(axis=0), 1.0)
        push = thrust[axis] / len(where) * share
        faces.append(np.concatenate([home, home + strides[axis]]).astype(np.int64))
        pushes.append(push.ravel().astype(np.float32))
    return (faces[0], faces[1], faces[2]), (pushes[0], pushes[1], pushes[2])


def _open(scene: Scene, where: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Whether cells by number lie in the tank and hold water."""
    inside = np.all((where >= 0) & (where < np.array(scene.grid.shape)), axis=1)
    kept = np.clip(where, 0, np.array(scene.grid.shape) - 1)
    wet: NDArray[np.bool_] = inside & scene.water[tuple(kept.T)]
    return wet
