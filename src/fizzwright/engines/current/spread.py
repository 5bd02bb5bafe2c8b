"""How fast marked water leaves a bed, and how fast a mark spreads through the tank, in implicit steps."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.scalar import Solver, Transport

__all__ = ["after_step", "mixing_time_s", "renewal_time_s", "streams_in_per_s"]

# A mark: any amount of anything.
Field = NDArray[np.float64]
Cells = NDArray[np.bool_]

# A step is this part of the time that has passed, so that every age is seen equally finely.
GROWTH_FRAC = 0.25
MIXED_COV_FRAC = 0.05
MOST_STEPS = 60


def after_step(transport: Transport, marked: Field, step_s: float, *, tolerance_frac: float = 1e-7) -> Field:
    """A field one implicit step later, with nothing lost.

    Parameters
    ----------
    transport : Transport
    marked : array
        Concentration now.
    step_s : float
        Length of the step. [s]
    tolerance_frac : float
        How closely the balance of the step is met.
    """
    solver = Solver(transport, np.full(marked.shape, 1.0 / step_s))
    return solver.field(marked / step_s, guess=marked, tolerance_frac=tolerance_frac)


def streams_in_per_s(transport: Transport, cells: Cells) -> float:
    """How many times a second water and eddies bring in a set of cells' own volume from outside it. [1/s]"""
    inner = (slice(1, -1),) * 3
    outside = np.zeros(transport.leaves.shape)
    outside[inner] = transport.water & ~cells
    total = 0.0
    for row in range(6):
        # Rows come in pairs, from the low side and from the high side along x, y and z.
        beside = np.roll(outside, -1 if row % 2 else 1, axis=2 - row // 2)
        total += float((transport.near[row] * beside)[inner][cells].sum())
    total += transport.filter_per_s * float(transport.give[cells].sum())
    return total / max(int(cells.sum()), 1)


def renewal_time_s(transport: Transport, cells: Cells) -> float:
    """How long until all but 1/e of a bed's water has been replaced by water from elsewhere in the tank. [s]

    The bed's water is marked; the time is that at which its excess over the tank's mean has fallen to 1/e.
    """
    rate = streams_in_per_s(transport, cells)
    share = float(cells.sum()) / float(transport.water.sum())
    if share > 0.999 or rate <= 0.0:
        return math.inf
    marked = cells.astype(float)
    clock, step, before = 0.0, 0.15 / rate, 1.0
    for _ in range(MOST_STEPS):
        marked = after_step(transport, marked, step, tolerance_frac=1e-5)
        excess = (float(marked[cells].mean()) - share) / (1.0 - share)
        if excess <= math.exp(-1.0):
            # Between the last two looks the excess falls like an exponential.
            part = (math.log(before) + 1.0) / max(math.log(before) - math.log(max(excess, 1e-12)), 1e-12)
            return clock + part * step
        clock, before = clock + step, excess
        step = max(step, GROWTH_FRAC * clock)
    return math.inf


def mixing_time_s(transport: Transport, start: Field) -> float:
    """How long until a mark put in somewhere is even to 5 % all through the tank. [s]

    `start` is where it was put in, any amount.
    """
    water = transport.water
    marked = start * water / max(float((start * water).sum()), 1e-300) * float(water.sum())
    clock, step = 0.0, 0.1 / max(transport.filter_per_s / float(water.sum()) * 10.0, 1e-4)
    before = float(marked[water].std())
    for _ in range(MOST_STEPS):
        marked = after_step(transport, marked, step, tolerance_frac=1e-5)
        uneven = float(marked[water].std() / marked[water].mean())
        if uneven <= MIXED_COV_FRAC:
            span = max(math.log(before / max(uneven, 1e-12)), 1e-12)
            return clock + step * math.log(max(before / MIXED_COV_FRAC, 1.0)) / span
        clock, before = clock + step, uneven
        step = max(step, GROWTH_FRAC * clock)
    return math.inf
