"""Compiled loops of the flow solver; importing this module imports the compiler.

Arrays are flat and padded by two layers of ghosts on the low side and three on the high side. A cell's
number also names the face on its low side, so one loop serves all three components of the velocity: it is
told how far apart neighbours lie along the component's own direction and along the two others. The inner
loop runs over rows of memory without branches, which is what lets the compiler use wide registers.
"""

from __future__ import annotations

from math import sqrt
from typing import Any

from numba import njit, prange

__all__ = [
    "add_at", "advance_kernel", "blend_kernel", "divergence_kernel", "fastest_kernel", "ghost_kernel",
    "project_kernel", "tendency_kernel", "viscosity_kernel",
]  # fmt: skip

_SETTINGS: dict[str, Any] = {"cache": True, "fastmath": True, "nogil": True, "error_model": "numpy"}


@njit(**_SETTINGS)
def _flux_rows(out, a, v, place, count, step, own, sign):  # type: ignore[no-untyped-def]
    """Add what the stream across the low edge carries, third-order upwind-biased; sign 1 gains, -1 loses."""
    c = a[place : place + count]
    b = a[place - step : place - step + count]
    z = a[place - 2 * step : place - 2 * step + count]
    d = a[place + step : place + step + count]
    v0 = v[place : place + count]
    v1 = v[place - own : place - own + count]
    for i in range(count):
        speed = sign * (v0[i] + v1[i])
        bias = abs(v0[i] + v1[i]) * sign
        out[i] += speed * (7 * (b[i] + c[i]) - (z[i] + d[i])) + bias * ((d[i] - z[i]) - 3 * (c[i] - b[i]))


@njit(**_SETTINGS)
def _drag_rows(out, a, v, nu, place, count, step, own, sign):  # type: ignore[no-untyped-def]
    """Add the pull of the water across the low edge: viscosity of the four cells round it times the shear."""
    c = a[place : place + count]
    b = a[place - step : place - step + count]
    v0 = v[place : place + count]
    v1 = v[place - own : place - own + count]
    n0 = nu[place : place + count]
    n1 = nu[place - own : place - own + count]
    n2 = nu[place - step : place - step + count]
    n3 = nu[place - step - own : place - step - own + count]
    for i in range(count):
        out[i] += sign * (n0[i] + n1[i] + n2[i] + n3[i]) * ((c[i] - b[i]) + (v0[i] - v1[i]))


@njit(**_SETTINGS)
def _component(out, a, b, c, nu, place, count, steps, carry, pull, flux, shear):  # type: ignore[no-untyped-def]
    """Rate of change of one component along one row, without pressure."""
    s0, s1, s2 = steps
    flux[:count] = 0
    shear[:count] = 0
    # Along itself the streams meet in the cell on either side of the face.
    _flux_rows(flux, a, a, place, count, s0, s0, 1)
    _flux_rows(flux, a, a, place + s0, count, s0, s0, -1)
    _flux_rows(flux, a, b, place, count, s1, s0, 1)
    _flux_rows(flux, a, b, place + s1, count, s1, s0, -1)
    _flux_rows(flux, a, c, place, count, s2, s0, 1)
    _flux_rows(flux, a, c, place + s2, count, s2, s0, -1)
    _drag_rows(shear, a, b, nu, place, count, s1, s0, -1)
    _drag_rows(shear, a, b, nu, place + s1, count, s1, s0, 1)
    _drag_rows(shear, a, c, nu, place, count, s2, s0, -1)
    _drag_rows(shear, a, c, nu, place + s2, count, s2, s0, 1)
    mid = a[place : place + count]
    low = a[place - s0 : place - s0 + count]
    high = a[place + s0 : place + s0 + count]
    near = nu[place : place + count]
    far = nu[place - s0 : place - s0 + count]
    row = out[place : place + count]
    for i in range(count):
        along = 8 * (near[i] * (high[i] - mid[i]) - far[i] * (mid[i] - low[i]))
        row[i] = carry * flux[i] + pull * (shear[i] + along)


@njit(parallel=True, **_SETTINGS)
def _tendency_kernel(out, vel, nu, scratch, shape, carry, pull):  # type: ignore[no-untyped-def]
    """Rates of all three components (x, y, z rows of `vel`); carry is 1/(24 h), pull is 1/(4 h^2).

    Several rows are done in one run, ghosts between them included: what comes out there is never used.
    """
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    rows = max(scratch.shape[2] // sy, 1)
    for k in prange(2, nz + 2):
        flux, shear = scratch[k, 0], scratch[k, 1]
        for j in range(2, ny + 2, rows):
            place = k * sz + j * sy + 2
            count = (min(rows, ny + 2 - j) - 1) * sy + nx
            _component(
                out[0], vel[0], vel[1], vel[2], nu, place, count, (1, sy, sz), carry, pull, flux, shear
            )
            _component(
                out[1], vel[1], vel[0], vel[2], nu, place, count, (sy, 1, sz), carry, pull, flux, shear
            )
            _component(
                out[2], vel[2], vel[0], vel[1], nu, place, count, (sz, 1, sy), carry, pull, flux, shear
            )


@njit(parallel=True, **_SETTINGS)
def _viscosity_kernel(nu, slow, vel, length, leaves, shape, calm, cap):  # type: ignore[no-untyped-def]
    """Eddy viscosity and leaf drag of every cell from its own speed.

    `length` is the mixing length times its constant, `leaves` half the drag coefficient times the frontal
    area in a volume; both are zero outside the water.
    """
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    for k in prange(2, nz + 2):
        place, count = k * sz + 2 * sy + 2, (ny - 1) * sy + nx
        u0, u1 = vel[0, place : place + count], vel[0, place + 1 : place + 1 + count]
        v0, v1 = vel[1, place : place + count], vel[1, place + sy : place + sy + count]
        w0, w1 = vel[2, place : place + count], vel[2, place + sz : place + sz + count]
        mix, leaf = length[place : place + count], leaves[place : place + count]
        row, drag = nu[place : place + count], slow[place : place + count]
        for i in range(count):
            u, v, w = u0[i] + u1[i], v0[i] + v1[i], w0[i] + w1[i]
            drag[i] = sqrt(u * u + v * v + w * w) / 2
        for i in range(count):
            eddy = mix[i] * drag[i]
            row[i] = calm + (eddy if eddy < cap else cap)
        for i in range(count):
            drag[i] *= leaf[i]


@njit(**_SETTINGS)
def _fastest_kernel(vel, shape):  # type: ignore[no-untyped-def]
    """The largest sum of the three speeds at one cell's low faces."""
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    top = abs(vel[0, 0])
    for k in range(2, nz + 3):
        for j in range(2, ny + 3):
            place = k * sz + j * sy + 2
            u, v, w = (
                vel[0, place : place + nx + 1],
                vel[1, place : place + nx + 1],
                vel[2, place : place + nx + 1],
            )
            for i in range(nx + 1):
                speed = abs(u[i]) + abs(v[i]) + abs(w[i])
                top = speed if speed > top else top
    return top


@njit(parallel=True, **_SETTINGS)
def _advance_kernel(vel, now, before, slow, free, shape, step, keep):  # type: ignore[no-untyped-def]
    """Move all components on by one step of second order, faces in solids held still.

    Leaf drag joins the rates kept for the next step: taken implicitly it would bend the balance with the
    pressure by the step times itself.
    """
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    ahead = step * (1 + keep)
    back = step * keep
    for k in prange(2, nz + 2):
        for axis in range(3):
            own = 1 if axis == 0 else sy if axis == 1 else sz
            for j in range(2, ny + 2):
                place = k * sz + j * sy + 2
                a = vel[axis, place : place + nx]
                f, g = now[axis, place : place + nx], before[axis, place : place + nx]
                d0, d1 = slow[place : place + nx], slow[place - own : place - own + nx]
                m = free[axis, place : place + nx]
                for i in range(nx):
                    f[i] -= (d0[i] + d1[i]) / 2 * a[i]
                for i in range(nx):
                    a[i] = m[i] * (a[i] + ahead * f[i] - back * g[i])


@njit(parallel=True, **_SETTINGS)
def _divergence_kernel(rhs, vel, feed, shape, scale, per_step):  # type: ignore[no-untyped-def]
    """What each cell gives out less what it is fed, times a scale; `scale` is 1/h over the step."""
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    for k in prange(nz):
        for j in range(ny):
            place = (k + 2) * sz + (j + 2) * sy + 2
            u0, u1 = vel[0, place : place + nx], vel[0, place + 1 : place + 1 + nx]
            v0, v1 = vel[1, place : place + nx], vel[1, place + sy : place + sy + nx]
            w0, w1 = vel[2, place : place + nx], vel[2, place + sz : place + sz + nx]
            row, fed = rhs[k, j], feed[k, j]
            for i in range(nx):
                row[i] = scale * ((u1[i] - u0[i]) + (v1[i] - v0[i]) + (w1[i] - w0[i])) - per_step * fed[i]


@njit(parallel=True, **_SETTINGS)
def _project_kernel(vel, pressure, free, shape, push):  # type: ignore[no-untyped-def]
    """Take the slope of pressure out of the velocity; `push` is the step over h."""
    nz, ny, nx = shape
    sy = nx + 5
    sz = (ny + 5) * sy
    for k in prange(nz):
        for j in range(ny):
            place = (k + 2) * sz + (j + 2) * sy + 2
            p = pressure[k, j]
            u = vel[0, place + 1 : place + nx]
            fu = free[0, place + 1 : place + nx]
            for i in range(nx - 1):
                u[i] = (u[i] - push * (p[i + 1] - p[i])) * fu[i]
            if j > 0:
                q = pressure[k, j - 1]
                v, fv = vel[1, place : place + nx], free[1, place : place + nx]
                for i in range(nx):
                    v[i] = (v[i] - push * (p[i] - q[i])) * fv[i]
            if k > 0:
                r = pressure[k - 1, j]
                w, fw = vel[2, place : place + nx], free[2, place : place + nx]
                for i in range(nx):
                    w[i] = (w[i] - push * (p[i] - r[i])) * fw[i]


@njit(**_SETTINGS)
def _ghost_kernel(vel, nu, shape, slip, lid):  # type: ignore[no-untyped-def]
    """Fill the layers outside the glass: no slip at bottom and sides, `slip` 1 or -1 on top, lid along x."""
    nz, ny, nx = shape
    u, v, w = (
        vel[0].reshape((nz + 5, ny + 5, nx + 5)),
        vel[1].reshape((nz + 5, ny + 5, nx + 5)),
        vel[2].reshape((nz + 5, ny + 5, nx + 5)),
    )
    n = nu.reshape((nz + 5, ny + 5, nx + 5))
    for k in range(2, nz + 3):
        for j in range(2, ny + 3):
            u[k, j, 2] = 0
            u[k, j, nx + 2] = 0
            u[k, j, 1] = -u[k, j, 3]
            u[k, j, nx + 3] = -u[k, j, nx + 1]
            v[k, j, 1] = -v[k, j, 2]
            v[k, j, nx + 2] = -v[k, j, nx + 1]
            w[k, j, 1] = -w[k, j, 2]
            w[k, j, nx + 2] = -w[k, j, nx + 1]
            n[k, j, 1] = n[k, j, 2]
            n[k, j, nx + 2] = n[k, j, nx + 1]
    for k in range(2, nz + 3):
        for i in range(1, nx + 4):
            v[k, 2, i] = 0
            v[k, ny + 2, i] = 0
            v[k, 1, i] = -v[k, 3, i]
            v[k, ny + 3, i] = -v[k, ny + 1, i]
            u[k, 1, i] = -u[k, 2, i]
            u[k, ny + 2, i] = -u[k, ny + 1, i]
            w[k, 1, i] = -w[k, 2, i]
            w[k, ny + 2, i] = -w[k, ny + 1, i]
            n[k, 1, i] = n[k, 2, i]
            n[k, ny + 2, i] = n[k, ny + 1, i]
    for j in range(1, ny + 4):
        for i in range(1, nx + 4):
            w[2, j, i] = 0
            w[nz + 2, j, i] = 0
            w[1, j, i] = -w[3, j, i]
            w[nz + 3, j, i] = -w[nz + 1, j, i]
            u[1, j, i] = -u[2, j, i]
            u[nz + 2, j, i] = slip * u[nz + 1, j, i] + 2 * lid
            v[1, j, i] = -v[2, j, i]
            v[nz + 2, j, i] = slip * v[nz + 1, j, i]
            n[1, j, i] = n[2, j, i]
            n[nz + 2, j, i] = n[nz + 1, j, i]


@njit(**_SETTINGS)
def _add_at(out, places, values):  # type: ignore[no-untyped-def]
    """Add values at listed places of a flat array."""
    for i in range(places.size):
        out[places[i]] += values[i]


@njit(parallel=True, **_SETTINGS)
def _blend_kernel(mean, now, part):  # type: ignore[no-untyped-def]
    """Move a running mean a part of the way to what is now."""
    for row in prange(mean.shape[0]):
        m, v = mean[row], now[row]
        for i in range(m.size):
            m[i] += part * (v[i] - m[i])


# A compiled loop takes every array one by one, which no function for people may: these are their names.
add_at = _add_at
advance_kernel = _advance_kernel
blend_kernel = _blend_kernel
divergence_kernel = _divergence_kernel
fastest_kernel = _fastest_kernel
ghost_kernel = _ghost_kernel
project_kernel = _project_kernel
tendency_kernel = _tendency_kernel
viscosity_kernel = _viscosity_kernel
