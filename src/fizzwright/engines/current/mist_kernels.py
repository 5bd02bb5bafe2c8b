"""Compiled paths of bubbles: carried by the water, rising through it, wandering with its eddies, dissolving.

Importing this module imports the compiler. One thread, so that sums come out the same every time.
"""

from __future__ import annotations

from math import exp, log, sqrt
from typing import Any

import numpy as np
from numba import njit

__all__ = ["track_kernel"]

_SETTINGS: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}


@njit(**_SETTINGS)
def _chance(state):  # type: ignore[no-untyped-def]
    """The next number of a stream, evenly spread with mean 0 and variance 1, and the stream's new state."""
    state ^= (state << np.uint64(13)) & np.uint64(0xFFFFFFFFFFFFFFFF)
    state ^= state >> np.uint64(7)
    state ^= (state << np.uint64(17)) & np.uint64(0xFFFFFFFFFFFFFFFF)
    even = float(state >> np.uint64(11)) / 9007199254740992.0
    return 3.4641016151377544 * (even - 0.5), state


@njit(**_SETTINGS)
def _between(field, x, y, z):  # type: ignore[no-untyped-def]
    """A field read between its points; places in units of the points' own spacing, kept inside."""
    layers, rows, columns = field.shape
    x = min(max(x, 0.0), columns - 1.000001)
    y = min(max(y, 0.0), rows - 1.000001)
    z = min(max(z, 0.0), layers - 1.000001)
    i, j, k = int(x), int(y), int(z)
    a, b, c = x - i, y - j, z - k
    low = (field[k, j, i] * (1 - a) + field[k, j, i + 1] * a) * (1 - b) + (
        field[k, j + 1, i] * (1 - a) + field[k, j + 1, i + 1] * a
    ) * b
    high = (field[k + 1, j, i] * (1 - a) + field[k + 1, j, i + 1] * a) * (1 - b) + (
        field[k + 1, j + 1, i] * (1 - a) + field[k + 1, j + 1, i + 1] * a
    ) * b
    return low * (1 - c) + high * c


@njit(**_SETTINGS)
def _width(dry, stiff, gas_factor, skin, near):  # type: ignore[no-untyped-def]
    """Diameter of a bubble from its dry gas, by Newton from a guess."""
    gas = gas_factor * max(dry, 1e-18)
    d = near
    for _ in range(4):
        push = stiff * d
        d = (d * d * (2.0 * push + skin) + gas) / (d * (3.0 * push + 2.0 * skin))
    return d


@njit(**_SETTINGS)
def _track_kernel(  # type: ignore[no-untyped-def]  # noqa: PLR0915 - one path is one story
    places, gas, width, seeds, carried, u, v, w, eddy, water, cell, laws, table, grid, source, held, longest
):
    """Follow bubbles one by one; adds to `source` and `held`, and gives what each has left when it ends.

    `laws` holds surface pressure less vapour, head for a metre, 6RT/pi, 4 sigma, then for each gas 6RT H and
    pi C; `grid` the first logarithm and the pitch of the table's diameters. `carried` is how many bubbles a
    second each path stands for. Paths end at the surface (1), by dissolving (2) or by their age (3).
    """
    layers, rows, columns = water.shape
    top = layers * cell
    outcome = np.zeros(len(places), np.int64)
    for b in range(len(places)):
        x, y, z = places[b, 0], places[b, 1], places[b, 2]
        n0, n1, n2 = gas[b, 0], gas[b, 1], gas[b, 2]
        d, seed, clock = width[b], seeds[b], 0.0
        while True:
            i, j, k = int(x / cell), int(y / cell), min(int(z / cell), layers - 1)
            depth = max(top - z, 0.0)
            d = _width(n0 + n1 + n2, laws[0] + laws[1] * depth, laws[2], laws[3], d)
            if d < 3e-6 or n0 + n1 + n2 < 1e-17:
                outcome[b] = 2
                source[k, j, i] += carried[b] * n0
                n0 = 0.0
                break
            if clock > longest:
                outcome[b] = 3
                break
            at = min(max((log(d) - grid[0]) / grid[1], 0.0), table.shape[1] - 1.000001)
            node = int(at)
            part = at - node
            rise = table[0, node] + part * (table[0, node + 1] - table[0, node])
            fx, fy, fz = x / cell, y / cell, z / cell
            su = _between(u, fx, fy - 0.5, fz - 0.5)
            sv = _between(v, fx - 0.5, fy, fz - 0.5)
            sw = _between(w, fx - 0.5, fy - 0.5, fz)
            swift = abs(su) + abs(sv) + abs(sw + rise)
            step = min(0.02, 0.5 * cell / max(swift, 1e-9))
            held[k, j, i] += carried[b] * 0.5235987755982988 * d * d * d * step
            lost = 0.0
            for g in range(3):
                film = table[1 + g, node] + part * (table[1 + g, node + 1] - table[1 + g, node])
                rate = film * laws[4 + 2 * g] / d * step
                gain = film * laws[5 + 2 * g] * d * d * step
                fade = exp(-rate)
                steady = (1.0 - fade) / rate if rate > 1e-9 else 1.0
                if g == 0:
                    after = n0 * fade + gain * steady
                    lost = n0 - after
                    n0 = after
                elif g == 1:
                    n1 = n1 * fade + gain * steady
                else:
                    n2 = n2 * fade + gain * steady
            source[k, j, i] += carried[b] * lost
            wander = sqrt(2.0 * eddy[k, j, i] * step)
            c0, seed = _chance(seed)
            c1, seed = _chance(seed)
            c2, seed = _chance(seed)
            nx, ny = x + su * step + wander * c0, y + sv * step + wander * c1
            nz = z + (sw + rise) * step + wander * c2
            clock += step
            if nz >= top:
                outcome[b] = 1
                break
            # Glass and ground turn a bubble back; stone stops it in the direction that leads into it.
            nx = min(max(nx, 1e-6), columns * cell - 1e-6)
            ny = min(max(ny, 1e-6), rows * cell - 1e-6)
            nz = max(nz, 1e-6)
            if water[int(nz / cell), int(ny / cell), int(nx / cell)]:
                x, y, z = nx, ny, nz
            elif water[k, int(ny / cell), int(nx / cell)]:
                x, y = nx, ny
            elif water[int(nz / cell), j, i]:
                z = nz
        gas[b, 0], gas[b, 1], gas[b, 2] = n0, n1, n2
        width[b] = d
    return outcome


# A compiled loop takes every array one by one, which no function for people may: these are their names.
track_kernel = _track_kernel
