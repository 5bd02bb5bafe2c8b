"""Compiled loops for dissolved matter: the matrix of seven neighbours and its preconditioner.

Importing this module imports the compiler. Arrays have a layer of nothing round them, so that loops need
no edges.
"""

from __future__ import annotations

from typing import Any

from numba import njit

__all__ = ["apply_kernel", "factor_kernel", "precondition_kernel"]

_SETTINGS: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy"}


@njit(**_SETTINGS)
def apply_kernel(out, c, own, near):  # type: ignore[no-untyped-def]
    """What the matrix makes of a field; `near` is what comes from west, east, front, back, below, above."""
    layers, rows, columns = own.shape
    for k in range(1, layers - 1):
        for j in range(1, rows - 1):
            for i in range(1, columns - 1):
                out[k, j, i] = own[k, j, i] * c[k, j, i] - (
                    near[0, k, j, i] * c[k, j, i - 1]
                    + near[1, k, j, i] * c[k, j, i + 1]
                    + near[2, k, j, i] * c[k, j - 1, i]
                    + near[3, k, j, i] * c[k, j + 1, i]
                    + near[4, k, j, i] * c[k - 1, j, i]
                    + near[5, k, j, i] * c[k + 1, j, i]
                )


@njit(**_SETTINGS)
def factor_kernel(pivot, own, near):  # type: ignore[no-untyped-def]
    """One over the pivots of the incomplete factors that keep the matrix's own pattern."""
    layers, rows, columns = own.shape
    for k in range(1, layers - 1):
        for j in range(1, rows - 1):
            for i in range(1, columns - 1):
                left = (
                    own[k, j, i]
                    - near[0, k, j, i] * near[1, k, j, i - 1] * pivot[k, j, i - 1]
                    - near[2, k, j, i] * near[3, k, j - 1, i] * pivot[k, j - 1, i]
                    - near[4, k, j, i] * near[5, k - 1, j, i] * pivot[k - 1, j, i]
                )
                pivot[k, j, i] = 1.0 / left


@njit(**_SETTINGS)
def precondition_kernel(out, r, pivot, near):  # type: ignore[no-untyped-def]
    """A field close to the solution for a right-hand side: one sweep up, one sweep down."""
    layers, rows, columns = r.shape
    for k in range(1, layers - 1):
        for j in range(1, rows - 1):
            for i in range(1, columns - 1):
                out[k, j, i] = pivot[k, j, i] * (
                    r[k, j, i]
                    + near[0, k, j, i] * out[k, j, i - 1]
                    + near[2, k, j, i] * out[k, j - 1, i]
                    + near[4, k, j, i] * out[k - 1, j, i]
                )
    for k in range(layers - 2, 0, -1):
        for j in range(rows - 2, 0, -1):
            for i in range(columns - 2, 0, -1):
                out[k, j, i] += pivot[k, j, i] * (
                    near[1, k, j, i] * out[k, j, i + 1]
                    + near[3, k, j, i] * out[k, j + 1, i]
                    + near[5, k, j, i] * out[k + 1, j, i]
                )
