"""Dissolved matter carried by a settled current: where it stands in the end, and how old water is.

Steady fields are solved at once, not waited for. The filter is part of the tank: what its intake takes comes
back at the outlet, which ties every cell to one number that is solved for exactly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.flow import Flow
from fizzwright.errors import NotConverged
from fizzwright.sources import equation

__all__ = ["Solver", "Transport", "age_of_water_s", "transport_for"]

Array = NDArray[np.float64]
# What is dissolved may be anything: its unit comes with the call.
Field = NDArray[np.float64]

# Eddies carry matter a little better than momentum; 0.7 is common practice for free streams.
TURBULENT_SCHMIDT_NUMBER = 0.7
MOLECULAR_M2_S = 1.9e-9
TOLERANCE_FRAC = 1e-7


@dataclass(frozen=True, eq=False)
class Transport:
    """What each cell sends to its six neighbours, in volumes of a cell for each second.

    `near` has shape (6, layers + 2, rows + 2, columns + 2): what comes from west, east, front, back, below
    and above; `leaves` what goes out through all faces. `give` and `take` share out the filter's flow.
    """

    near: Field
    leaves: Field
    give: Field
    take: Field
    filter_per_s: float
    water: NDArray[np.bool_]
    cell_m: float


def _power_law(peclet: Array) -> Array:
    """How much of its exchange a face keeps when matter is also carried through it."""
    left: Array = np.maximum(0.0, 1.0 - 0.1 * np.abs(peclet)) ** 5
    return left


@equation("patankar-1980", where="power law on the faces of cells")
def transport_for(flow: Flow, *, mixing_m2_s: float = MOLECULAR_M2_S) -> Transport:
    """How a current and its eddies hand dissolved matter from cell to cell.

    Parameters
    ----------
    flow : Flow
    mixing_m2_s : float
        Diffusivity besides that of the eddies. [m²/s]

    Returns
    -------
    Transport
    """
    scene, h = flow.scene, flow.scene.grid.cell_m
    spread = (mixing_m2_s + flow.eddy_m2_s / TURBULENT_SCHMIDT_NUMBER) / h**2
    wet = scene.water
    size = tuple(n + 2 for n in wet.shape)
    near, leaves = np.zeros((6, *size)), np.zeros(size)
    inner = (slice(1, -1),) * 3
    for axis, (speed, pair) in enumerate(zip(flow.faces, ((0, 1), (2, 3), (4, 5)), strict=True)):
        along = 2 - axis
        low = tuple(slice(None, -1) if d == along else slice(None) for d in range(3))
        high = tuple(slice(1, None) if d == along else slice(None) for d in range(3))
        middle = tuple(slice(1, -1) if d == along else slice(None) for d in range(3))
        open_face = wet[low] & wet[high]
        carried = np.where(open_face, speed[middle] / h, 0.0)
        exchange = np.where(open_face, 0.5 * (spread[low] + spread[high]), 0.0)
        exchange = exchange * _power_law(carried / np.maximum(exchange, 1e-300))
        near[pair[0]][inner][high] += exchange + np.maximum(carried, 0.0)
        near[pair[1]][inner][low] += exchange + np.maximum(-carried, 0.0)
        leaves[inner][low] += exchange + np.maximum(carried, 0.0)
        leaves[inner][high] += exchange + np.maximum(-carried, 0.0)
    drive = flow.drive
    per_s = float(np.maximum(drive.feed_per_s, 0.0).sum())
    return Transport(near, leaves, drive.give, drive.take, per_s, wet, h)


class Solver:
    """The steady balance of one transport with one set of losses, ready for many sources.

    `loss_per_s` is what each cell loses of itself besides what it sends on. With `returned` the filter gives
    back what it takes; without, its outlet brings none.
    """

    def __init__(self, transport: Transport, loss_per_s: Array, *, returned: bool = True) -> None:
        from fizzwright.engines.current import scalar_kernels

        self.kernels, self.transport = scalar_kernels, transport
        inner = (slice(1, -1),) * 3
        own = transport.leaves.copy()
        own[inner] += transport.filter_per_s * transport.take + loss_per_s
        dry = np.ones(own.shape, dtype=bool)
        dry[inner] = ~transport.water
        own[dry] = 1.0
        self.own = own
        self.leaving_per_s = float((own - transport.leaves)[inner][transport.water].sum())
        self.pivot = np.zeros_like(own)
        self.kernels.factor_kernel(self.pivot, own, transport.near)
        self.returned = returned
        self.echo: Array | None = None
        self.echo_frac = 1.0

    def field(
        self, source_per_s: Array, *, guess: Field | None = None, tolerance_frac: float = TOLERANCE_FRAC
    ) -> Field:
        """The steady field of a source, given for each cell as concentration gained in a second.

        Raises NotConverged where the balance does not settle.
        """
        transport = self.transport
        even = np.ones(transport.water.shape)
        if guess is None:
            # All that comes in must leave: a first guess as even as mixed water.
            guess = even * float(source_per_s[transport.water].sum()) / max(self.leaving_per_s, 1e-300)
        first = self._solve(source_per_s, guess, tolerance_frac)
        if not self.returned or transport.filter_per_s == 0.0:
            return first
        if self.echo is None or tolerance_frac < self.echo_frac:
            self.echo = self._solve(transport.filter_per_s * transport.give, even, tolerance_frac)
            self.echo_frac = tolerance_frac
        take = transport.take
        inflow = float((take * first).sum()) / (1.0 - float((take * self.echo).sum()))
        found: Array = first + inflow * self.echo
        return found

    def _times(self, field: Array) -> Array:
        out = np.zeros_like(field)
        self.kernels.apply_kernel(out, field, self.own, self.transport.near)
        return out

    def _near_inverse(self, field: Array) -> Array:
        out = np.zeros_like(field)
        self.kernels.precondition_kernel(out, field, self.pivot, self.transport.near)
        return out

    def _solve(self, source: Array, guess: Array | None, tolerance: float) -> Array:
        """Stabilised biconjugate gradients; the residual is held against the source."""
        inner = (slice(1, -1),) * 3
        right, x = np.zeros_like(self.own), np.zeros_like(self.own)
        right[inner] = source * self.transport.water
        if guess is not None:
            x[inner] = guess * self.transport.water
        goal = tolerance * float(np.linalg.norm(right))
        r = right - self._times(x)
        shadow, p, v = r.copy(), np.zeros_like(r), np.zeros_like(r)
        rho, alpha, omega = 1.0, 1.0, 1.0
        for _ in range(3000):
            if float(np.linalg.norm(r)) <= goal:
                # A shift of the whole field by what is left over: then all that comes in leaves, to
                # round-off.
                found: Array = (
                    x[inner] + float(r.sum()) / max(self.leaving_per_s, 1e-300) * self.transport.water
                )
                return found
            rho, last = float(np.vdot(shadow, r)), rho
            if abs(rho) < 1e-290:
                shadow, rho, last, p, v = (
                    r.copy(),
                    float(np.vdot(r, r)),
                    1.0,
                    np.zeros_like(r),
                    np.zeros_like(r),
                )
                alpha = omega = 1.0
            beta = rho / last * alpha / omega
            p = r + beta * (p - omega * v)
            y = self._near_inverse(p)
            v = self._times(y)
            alpha = rho / float(np.vdot(shadow, v))
            s = r - alpha * v
            z = self._near_inverse(s)
            t = self._times(z)
            omega = float(np.vdot(t, s)) / max(float(np.vdot(t, t)), 1e-300)
            x += alpha * y + omega * z
            r = s - omega * t
        raise NotConverged("the dissolved gas did not settle on this current; try another preset")


@equation("sandberg-1981", where="steady balance of age: one second gained in a second everywhere")
def age_of_water_s(transport: Transport) -> Array:
    """How long the water in each cell has been in the tank since it last came out of the filter.

    Parameters
    ----------
    transport : Transport

    Returns
    -------
    array, shape (layers, rows, columns)
        Mean age; nil in stone. [s]
    """
    solver = Solver(transport, np.zeros(transport.water.shape), returned=False)
    return solver.field(transport.water.astype(float), tolerance_frac=1e-6)
