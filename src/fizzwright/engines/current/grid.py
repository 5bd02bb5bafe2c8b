"""The tank as cubes of water: where there is water, stone and leaf, and which cubes belong to which bed.

Lengths run from the left glass (x), from the front glass (y) and up from the ground the water stands on (z),
in metres. Arrays of cells have shape (layers, rows, columns), bottom and front and left first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.closures import room_viscosity_m2_s

__all__ = ["Block", "Grid", "Planting", "Scene", "grid_for", "mixing_length_m", "scene_for"]

Array = NDArray[np.float64]
Cells = NDArray[np.bool_]

# A mixing length never outgrows this, however far the glass: eddies are as large as the jet that makes them.
LONGEST_MIXING_M = 0.10
# Between leaves eddies are no larger than the gaps.
LEAF_GAP_M = 0.01


@dataclass(frozen=True)
class Block:
    """A box in tank coordinates. [m]"""

    left_m: float
    right_m: float
    front_m: float
    back_m: float
    low_m: float
    high_m: float


@dataclass(frozen=True)
class Planting:
    """One bed: its name, the box its leaves fill, and their frontal area in a cubic metre of it.

    `front_m2` is what the current sees of the leaves: area across the stream for each cubic metre. [m²]
    """

    name: str
    block: Block
    front_m2: float


@dataclass(frozen=True)
class Grid:
    """A box of water cut into equal cubes: their edge and how many along x, y and z."""

    cell_m: float
    columns: int
    rows: int
    layers: int

    @property
    def shape(self) -> tuple[int, int, int]:
        """Layers, rows, columns: the shape of every array of cells."""
        return self.layers, self.rows, self.columns

    @property
    def cells(self) -> int:
        """How many cubes there are."""
        return self.columns * self.rows * self.layers

    def centres_m(self) -> tuple[Array, Array, Array]:
        """Middles of the cells along x, y and z. [m]"""

        def middles(count: int) -> Array:
            found: Array = self.cell_m * (np.arange(count, dtype=np.float64) + 0.5)
            return found

        return middles(self.columns), middles(self.rows), middles(self.layers)

    def inside(self, block: Block) -> Cells:
        """Which cells have their middle in a box."""
        x, y, z = self.centres_m()
        across = (x > block.left_m) & (x < block.right_m)
        along = (y > block.front_m) & (y < block.back_m)
        up = (z > block.low_m) & (z < block.high_m)
        found: Cells = up[:, None, None] & along[None, :, None] & across[None, None, :]
        return found

    def cell_at(self, place_m: tuple[float, float, float]) -> tuple[int, int, int]:
        """The cell (layer, row, column) that holds a place x, y, z, kept inside the tank."""
        x, y, z = (int(value / self.cell_m) for value in place_m)
        return (
            min(max(z, 0), self.layers - 1),
            min(max(y, 0), self.rows - 1),
            min(max(x, 0), self.columns - 1),
        )


@dataclass(frozen=True, eq=False)
class Scene:
    """A tank ready for its current: water, leaves and mixing length in every cell.

    `water` is False in stone. `front_m2` is the frontal area of leaves in a cubic metre, `mixing_m2_s` the
    eddy viscosity that water moving at 1 m/s would have there, and `beds` the cells of each bed.
    """

    grid: Grid
    water: Cells
    front_m2: Array
    mixing_m2_s: Array
    beds: tuple[Cells, ...]
    names: tuple[str, ...]

    @property
    def volume_m3(self) -> float:
        """Water in all cells. [m³]"""
        return float(self.water.sum()) * self.grid.cell_m**3

    def cells_of(self, block: Block) -> Cells:
        """The water cells in a box; where it is thinner than a cell, the layer its middle lies in."""
        cells = self.grid.inside(block) & self.water
        if cells.any():
            return cells
        middle = (
            0.5 * (block.left_m + block.right_m),
            0.5 * (block.front_m + block.back_m),
            0.5 * (block.low_m + block.high_m),
        )
        layer = self.grid.cell_at(middle)[0]
        tall = (layer * self.grid.cell_m, (layer + 1) * self.grid.cell_m)
        wide = Block(block.left_m, block.right_m, block.front_m, block.back_m, tall[0], tall[1])
        return self.grid.inside(wide) & self.water


def grid_for(size_m: tuple[float, float, float], cell_m: float) -> Grid:
    """The grid of cubes that fits a box of water best, its length exactly.

    Parameters
    ----------
    size_m : tuple of float
        Length, width and depth of the water. [m]
    cell_m : float
        Wished edge of a cube. [m]

    Examples
    --------
    >>> grid_for((0.60, 0.30, 0.36), 0.01).shape
    (36, 30, 60)
    """
    columns = max(round(size_m[0] / cell_m), 4)
    edge = size_m[0] / columns
    rows, layers = (max(round(length / edge), 4) for length in size_m[1:])
    return Grid(edge, columns, rows, layers)


def mixing_length_m(water: Cells, leafy: Cells, cell_m: float) -> Array:
    """How far eddies reach in each cell: to the nearest glass, ground or stone, or the gap between leaves.

    The surface is no wall to them. [m]
    """
    from scipy.ndimage import distance_transform_edt

    layers, rows, columns = water.shape
    walled = np.zeros((2 * layers + 2, rows + 2, columns + 2), dtype=bool)
    walled[1 : layers + 1, 1:-1, 1:-1] = water
    # Mirrored at the surface, so that the surface itself is no wall.
    walled[layers + 1 : -1, 1:-1, 1:-1] = water[::-1]
    far = distance_transform_edt(walled)[1 : layers + 1, 1:-1, 1:-1]
    reach = np.minimum(cell_m * np.maximum(far - 0.5, 0.0), LONGEST_MIXING_M)
    length: Array = np.where(leafy, np.minimum(reach, LEAF_GAP_M), reach) * water
    return length


def scene_for(grid: Grid, stones: Sequence[Block] = (), plantings: Sequence[Planting] = ()) -> Scene:
    """A tank on a grid with its stones and beds; where beds overlap their leaves add up."""
    water = np.ones(grid.shape, dtype=bool)
    for stone in stones:
        water &= ~grid.inside(stone)
    bare = Scene(grid, water, np.zeros(grid.shape), np.zeros(grid.shape), (), ())
    beds = tuple(bare.cells_of(planting.block) for planting in plantings)
    front = np.zeros(grid.shape)
    for cells, planting in zip(beds, plantings, strict=True):
        # A bed on a coarse grid may be thinner or thicker than the cells it got: its leaves are all there.
        block = planting.block
        true_m3 = (
            (block.right_m - block.left_m) * (block.back_m - block.front_m) * (block.high_m - block.low_m)
        )
        given_m3 = max(float(cells.sum()), 1.0) * grid.cell_m**3
        front[cells] += planting.front_m2 * min(true_m3 / given_m3, 1.5)
    length = mixing_length_m(water, front > 0.0, grid.cell_m)
    mixing = room_viscosity_m2_s(1.0, length)
    return Scene(grid, water, front, mixing, beds, tuple(planting.name for planting in plantings))
