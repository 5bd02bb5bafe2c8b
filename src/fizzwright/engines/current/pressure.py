"""The pressure that keeps water from piling up: by cosine transform in a bare box, exact round stones."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.errors import NotConverged

__all__ = ["Poisson", "remove_divergence"]

Array = NDArray[np.float64]
# A field of whatever is being solved for.
Field = NDArray[np.floating]
Faces = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]


class Poisson:
    """Solves for pressure in a box of cubes with walls all round, in the kind of number it is given."""

    def __init__(self, shape: tuple[int, int, int], cell_m: float, dtype: type = np.float32) -> None:
        rows = [(2.0 - 2.0 * np.cos(np.pi * np.arange(n) / n)) / cell_m**2 for n in shape]
        total = rows[0][:, None, None] + rows[1][None, :, None] + rows[2][None, None, :]
        total[0, 0, 0] = 1.0
        inverse: Array = -1.0 / total
        inverse[0, 0, 0] = 0.0
        self.inverse: NDArray[np.floating] = inverse.astype(dtype)

    def solve(self, rhs: Field, threads: int = 1) -> Field:
        """Pressure whose Laplacian is the right-hand side, which is written over; its mean is nil."""
        from scipy.fft import dctn, idctn

        waves = dctn(rhs, type=2, workers=threads, overwrite_x=True)
        waves *= self.inverse
        pressure: NDArray[np.floating] = idctn(waves, type=2, workers=threads, overwrite_x=True)
        return pressure


def _spread(faces: Faces) -> Array:
    """What each cell gives out through its faces."""
    u, v, w = faces
    total: Array = u[:, :, 1:] - u[:, :, :-1] + v[:, 1:, :] - v[:, :-1, :] + w[1:, :, :] - w[:-1, :, :]
    return total


def _slopes(p: Array, free: Faces) -> Faces:
    """Differences of a field across the open faces."""
    u, v, w = (np.zeros(f.shape) for f in free)
    u[:, :, 1:-1] = p[:, :, 1:] - p[:, :, :-1]
    v[:, 1:-1, :] = p[:, 1:, :] - p[:, :-1, :]
    w[1:-1, :, :] = p[1:, :, :] - p[:-1, :, :]
    return u * free[0], v * free[1], w * free[2]


def remove_divergence(
    faces: Faces, free: Faces, *, feed: Field, tolerance_frac: float = 1e-12
) -> tuple[Faces, int]:
    """Velocities through open faces changed least so that every cell gives out just what it is fed.

    Conjugate gradients on the faces that are open, with the bare box as first guess of each step.

    Parameters
    ----------
    faces : three arrays
        Velocities on the faces across x, y and z, in units of a cell's edge for each second.
    free : three arrays
        1 where a face is open, 0 on glass and stone.
    feed : array
        What each cell is fed, in volumes of a cell for each second; adds up to nil.
    tolerance_frac : float
        Largest remaining divergence over the largest at the start or fed.

    Returns
    -------
    faces, int
        The corrected velocities, and how many steps it took.
    """
    wet = (
        free[0][:, :, 1:] + free[0][:, :, :-1] + free[1][:, 1:] + free[1][:, :-1] + free[2][1:] + free[2][:-1]
    ) > 0
    start = (faces[0] * free[0], faces[1] * free[1], faces[2] * free[2])
    residual = (_spread(start) - feed) * wet
    residual -= residual[wet].mean() * wet
    goal = tolerance_frac * max(float(np.abs(residual).max()), float(np.abs(feed).max()), 1e-300)
    guess = Poisson(residual.shape, 1.0, np.float64)
    pressure, direction, before = np.zeros_like(residual), np.zeros_like(residual), 1.0
    for step in range(400):
        if np.abs(residual).max() <= goal:
            slope = _slopes(pressure, free)
            return (start[0] - slope[0], start[1] - slope[1], start[2] - slope[2]), step
        near = np.asarray(guess.solve(residual.copy())) * wet
        now = float((residual * near).sum())
        direction = near + (now / before if step else 0.0) * direction
        moved = _spread(_slopes(direction, free)) * wet
        length = now / float((direction * moved).sum())
        pressure += length * direction
        residual -= length * moved
        residual -= residual[wet].mean() * wet
        before = now
    raise NotConverged("the pressure round the stones did not settle; try another cell size")
