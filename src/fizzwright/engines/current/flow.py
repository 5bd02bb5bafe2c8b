"""The current: water pushed by an outlet, stirred by eddies, held back by glass, stone and leaf.

Incompressible flow on staggered cubes: third-order upwind-biased fluxes, second-order steps, pressure by
cosine transform. Inside the loop stones are held still by closing their faces; each mean that is handed on
has been made free of divergence round them exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.closures import leaf_drag_per_s
from fizzwright.engines.current.drive import Drive
from fizzwright.engines.current.grid import Scene
from fizzwright.engines.current.pressure import Faces, Poisson, remove_divergence
from fizzwright.errors import NotConverged
from fizzwright.sources import equation

__all__ = [
    "Box", "Flow", "Spell", "State", "Watch", "carry_over", "open_faces", "settle_flow", "start_state",
    "with_plume",
]  # fmt: skip

Array = NDArray[np.float64]
Watch = Callable[[float], bool]
# A padded field laid out flat; its unit is that of the field it came from.
Flat = NDArray[np.float32]

# Largest sum of speeds times step over cell, and largest viscosity times step over cell squared.
COURANT_NUMBER = 0.42
VISCOUS_NUMBER = 0.075
# Largest leaf drag times step.
DRAG_NUMBER = 0.25
CALM_M2_S = 0.9e-6
FIRST_STEP_S, GROWTH_FACTOR = 1e-3, 1.5
# Steps between looks at the fastest water.
LOOK = 8
GHOSTS = 5
THREADS_KEY = "NUMBA_NUM_THREADS"


@dataclass(frozen=True)
class Box:
    """How the water's edges behave: a free surface on top, or a lid that drags it along x."""

    free_top: bool = True
    lid_m_s: float = 0.0
    calm_m2_s: float = CALM_M2_S
    threads: int = 1


@dataclass(frozen=True)
class Spell:
    """How long to run: first to settle, then as windows whose means are kept."""

    settle_s: float
    window_s: float
    windows: int = 2


@dataclass(eq=False)
class State:
    """The moving water on a padded grid, changed in place while it runs.

    `vel` holds the three components flat; `fresh` says that there is no earlier rate to lean on.
    """

    vel: Flat
    rate: Flat
    before: Flat
    eddy: Flat
    slow: Flat
    scratch: Flat
    fresh: bool = True
    last_step_s: float = 0.0
    clock_s: float = 0.0


@dataclass(frozen=True, eq=False)
class Flow:
    """A current averaged over a window, free of divergence, and the eddy viscosity that went with it.

    Speeds sit on the faces of cells: `u_m_s` has one column more than there are, `v_m_s` one row, `w_m_s`
    one layer. `diverging_ratio` is the largest remaining divergence times a cell's edge over the top speed.
    """

    scene: Scene
    drive: Drive
    u_m_s: Array
    v_m_s: Array
    w_m_s: Array
    eddy_m2_s: Array
    diverging_ratio: float

    @property
    def faces(self) -> Faces:
        """The three arrays of face speeds."""
        return self.u_m_s, self.v_m_s, self.w_m_s

    def at_centres_m_s(self) -> tuple[Array, Array, Array]:
        """Velocity in the middle of each cell. [m/s]"""
        u, v, w = self.faces
        return (
            0.5 * (u[:, :, 1:] + u[:, :, :-1]),
            0.5 * (v[:, 1:] + v[:, :-1]),
            0.5 * (w[1:] + w[:-1]),
        )

    def speed_m_s(self) -> Array:
        """How fast the water moves in each cell. [m/s]"""
        u, v, w = self.at_centres_m_s()
        speed: Array = np.sqrt(u * u + v * v + w * w)
        return speed


def start_state(scene: Scene) -> State:
    """Water at rest."""
    layers, rows, columns = scene.grid.shape
    size = (layers + GHOSTS) * (rows + GHOSTS) * (columns + GHOSTS)
    stripe = max(1024, columns + GHOSTS)
    fields = (np.zeros((3, size), np.float32) for _ in range(3))
    vel, rate, before = fields
    return State(
        vel, rate, before, np.full(size, CALM_M2_S, np.float32), np.zeros(size, np.float32),
        np.zeros((layers + GHOSTS, 2, stripe), np.float32),
    )  # fmt: skip


def _padded(cells: Array) -> NDArray[np.float32]:
    """An array of cells inside its ghosts, flat."""
    full = np.pad(cells.astype(np.float32), ((2, 3), (2, 3), (2, 3)))
    flat: NDArray[np.float32] = full.ravel()
    return flat


def open_faces(scene: Scene) -> Faces:
    """1 on faces between two water cells, 0 on glass and stone."""
    wet = scene.water.astype(float)
    layers, rows, columns = scene.grid.shape
    u, v, w = np.zeros((layers, rows, columns + 1)), np.zeros((layers, rows + 1, columns)), np.zeros(
        (layers + 1, rows, columns)
    )  # fmt: skip
    u[:, :, 1:-1] = wet[:, :, 1:] * wet[:, :, :-1]
    v[:, 1:-1] = wet[:, 1:] * wet[:, :-1]
    w[1:-1] = wet[1:] * wet[:-1]
    return u, v, w


def _to_flat(scene: Scene, faces: Faces) -> NDArray[np.float32]:
    """Face arrays as the three padded flat rows of the solver."""
    layers, rows, columns = scene.grid.shape
    flat = np.zeros((3, layers + GHOSTS, rows + GHOSTS, columns + GHOSTS), np.float32)
    for row, field in zip(flat, faces, strict=True):
        k, j, i = field.shape
        row[2 : 2 + k, 2 : 2 + j, 2 : 2 + i] = field
    return flat.reshape(3, -1)


def _from_flat(scene: Scene, flat: NDArray[np.float32]) -> Faces:
    """The three padded flat rows as face arrays in full precision."""
    layers, rows, columns = scene.grid.shape
    full = flat.reshape(3, layers + GHOSTS, rows + GHOSTS, columns + GHOSTS)
    more = ((0, 0, 1), (0, 1, 0), (1, 0, 0))
    u, v, w = (
        full[axis, 2 : 2 + layers + dk, 2 : 2 + rows + dj, 2 : 2 + columns + di].astype(float)
        for axis, (dk, dj, di) in enumerate(more)
    )
    return u, v, w


class _Run:
    """One scene being stepped: everything that does not change, and the state that does."""

    def __init__(self, scene: Scene, drive: Drive, box: Box, state: State) -> None:
        import numba

        from fizzwright.engines.current import flow_kernels

        numba.set_num_threads(max(1, min(box.threads, int(getattr(numba.config, THREADS_KEY)))))
        self.kernels = flow_kernels
        self.scene, self.drive, self.box, self.state = scene, drive, box, state
        self.shape = scene.grid.shape
        self.h = scene.grid.cell_m
        self.poisson = Poisson(self.shape, self.h)
        self.free = _to_flat(scene, open_faces(scene))
        self.mixing = _padded(scene.mixing_m2_s)
        self.leaves = _padded(np.asarray(leaf_drag_per_s(1.0, scene.front_m2)))
        self.feed = drive.feed_per_s.astype(np.float32)
        self.rhs = np.zeros(self.shape, np.float32)
        self.step_s, self.careful = 0.0, True

    def length_of_step(self) -> float:
        """The longest step the fastest water and the largest eddies allow."""
        fastest = float(self.kernels.fastest_kernel(self.state.vel, self.shape))
        # Compiled comparisons may pass over what is no number; a sum does not.
        if not np.isfinite(fastest + float(self.state.vel.sum())):
            raise NotConverged("the current ran away; try a coarser preset or a gentler outlet")
        eddy = self.box.calm_m2_s + self.drive.cap_m2_s
        pushed = max((float(np.abs(p).max()) for p in self.drive.push if p.size), default=0.0)
        # A push met for the first time may not carry water further than a cell either.
        by_speed = COURANT_NUMBER * self.h / max(fastest, np.sqrt(pushed * self.h), 1e-9)
        by_leaves = DRAG_NUMBER / max(float(self.state.slow.max()), 1e-9)
        return float(min(by_speed, by_leaves, VISCOUS_NUMBER * self.h**2 / eddy, 0.5))

    def step(self, count: int) -> None:
        """One step forward; every eighth looks anew how long it may be, and the first ones each."""
        state, k, f = self.state, self.kernels, np.float32
        if count % LOOK == 0 or self.careful:
            # Steps grow from a short first one, for what an outlet or a leaf will do is not seen at rest.
            grown = GROWTH_FACTOR * state.last_step_s if state.last_step_s > 0.0 else FIRST_STEP_S
            allowed = self.length_of_step()
            self.step_s, self.careful = min(allowed, grown), allowed > grown
        dt = self.step_s
        keep = 0.0 if state.fresh else 0.5 * dt / state.last_step_s
        slip = f(1.0 if self.box.free_top else -1.0)
        calm, cap = f(self.box.calm_m2_s), f(self.drive.cap_m2_s)
        k.ghost_kernel(state.vel, state.eddy, self.shape, slip, f(self.box.lid_m_s))
        k.viscosity_kernel(state.eddy, state.slow, state.vel, self.mixing, self.leaves, self.shape, calm, cap)
        k.ghost_kernel(state.vel, state.eddy, self.shape, slip, f(self.box.lid_m_s))
        state.rate, state.before = state.before, state.rate
        carry, pull = f(1.0 / (24.0 * self.h)), f(1.0 / (4.0 * self.h**2))
        k.tendency_kernel(state.rate, state.vel, state.eddy, state.scratch, self.shape, carry, pull)
        for axis in range(3):
            if self.drive.faces[axis].size:
                k.add_at(state.rate[axis], self.drive.faces[axis], self.drive.push[axis])
        k.advance_kernel(
            state.vel, state.rate, state.before, state.slow, self.free, self.shape, f(dt), f(keep)
        )
        k.divergence_kernel(self.rhs, state.vel, self.feed, self.shape, f(1.0 / (self.h * dt)), f(1.0 / dt))
        pressure = self.poisson.solve(self.rhs, self.box.threads)
        k.project_kernel(state.vel, pressure, self.free, self.shape, f(dt / self.h))
        state.fresh, state.last_step_s = False, dt
        state.clock_s += dt


def carry_over(state: State, scene: Scene, finer: Scene) -> State:
    """The moving water of one grid put on another of the same tank, to go on from there."""
    from scipy.ndimage import map_coordinates

    fresh = start_state(finer)
    made = []
    for axis, field in enumerate(_from_flat(scene, state.vel)):
        shape = [n + (2 - axis == d) for d, n in enumerate(finer.grid.shape)]
        places = []
        for d, count in enumerate(shape):
            ratio = scene.grid.shape[d] / finer.grid.shape[d]
            at = np.arange(count) * ratio if 2 - axis == d else (np.arange(count) + 0.5) * ratio - 0.5
            places.append(at)
        grid = np.meshgrid(*places, indexing="ij")
        made.append(map_coordinates(field, grid, order=1, mode="nearest"))
    free = open_faces(finer)
    fresh.vel = _to_flat(finer, (made[0] * free[0], made[1] * free[1], made[2] * free[2]))
    fresh.clock_s = state.clock_s
    return fresh


@equation("projection-method", where="staggered grid, flux form, Adams-Bashforth, exact pressure projection")
def settle_flow(
    scene: Scene, drive: Drive, *, spell: Spell, state: State | None = None,
    settings: tuple[Box, Watch] | None = None,
) -> tuple[Flow, ...]:  # fmt: skip
    """The current an outlet drives through a tank, as means over a few windows of time.

    Parameters
    ----------
    scene : Scene
    drive : Drive
    spell : Spell
        How long to let it settle and how long to average.
    state : State or None
        Where to start from, changed in place; water at rest where not given.
    settings : tuple of Box and Watch, or None
        The edges of the water and the number of threads; who is told the share done and may end it early.

    Returns
    -------
    tuple of Flow
        One for each window that was finished.
    """
    box, watch = settings or (Box(), _nobody)
    run = _Run(scene, drive, box, state if state is not None else start_state(scene))
    return tuple(_windows(run, spell, watch))


def _nobody(share_frac: float) -> bool:  # noqa: ARG001 - the form of a watcher
    return True


def _windows(run: _Run, spell: Spell, watch: Watch) -> list[Flow]:
    begin, total = run.state.clock_s, spell.settle_s + spell.window_s * spell.windows
    count = 0
    found: list[Flow] = []
    for window in range(spell.windows + 1):
        length = spell.window_s if window else spell.settle_s
        end = begin + spell.settle_s + window * spell.window_s
        mean, eddy = run.state.vel.copy(), run.state.eddy.copy()
        gathered, since = 0.0, 0.0
        while run.state.clock_s < end - 1e-9 * total and length > 0.0:
            run.step(count)
            count += 1
            since += run.step_s
            if window and (count % 4 == 0 or run.state.clock_s >= end - 1e-9 * total):
                part = np.float32(since / (gathered + since))
                run.kernels.blend_kernel(mean, run.state.vel, part)
                run.kernels.blend_kernel(eddy.reshape(1, -1), run.state.eddy.reshape(1, -1), part)
                gathered, since = gathered + since, 0.0
            if count % 32 == 0 and not watch((run.state.clock_s - begin) / total):
                return found
        if window and gathered > 0.0:
            found.append(_averaged(run, mean, eddy))
    return found


def _averaged(run: _Run, mean: NDArray[np.float32], eddy: NDArray[np.float32]) -> Flow:
    """A window's mean made free of divergence round the stones, in full precision."""
    scene, h = run.scene, run.h
    u, v, w = _from_flat(scene, mean)
    (u, v, w), _ = remove_divergence(
        (u / h, v / h, w / h), open_faces(scene), feed=run.drive.feed_per_s * scene.water
    )
    out = u[:, :, 1:] - u[:, :, :-1] + v[:, 1:] - v[:, :-1] + w[1:] - w[:-1] - run.drive.feed_per_s
    top = max(float(np.abs(u).max()), float(np.abs(v).max()), float(np.abs(w).max()), 1e-30)
    layers, rows, columns = scene.grid.shape
    cells = eddy.reshape(layers + GHOSTS, rows + GHOSTS, columns + GHOSTS)[2:-3, 2:-3, 2:-3].astype(float)
    return Flow(scene, run.drive, u * h, v * h, w * h, cells, float(np.abs(out).max()) / top)


def with_plume(drive: Drive, places: NDArray[np.int64], push_m_s_number: NDArray[np.float32]) -> Drive:
    """The same drive with an upward push on listed faces added, as rising bubbles give it. [m/s²]"""
    faces = (drive.faces[0], drive.faces[1], np.concatenate([drive.faces[2], places]))
    push = (drive.push[0], drive.push[1], np.concatenate([drive.push[2], push_m_s_number]))
    return replace(drive, faces=faces, push=push)
