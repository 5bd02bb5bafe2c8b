"""A pH probe that shows nothing of the water any more: stuck at one value, or out of the water."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ProbeFault", "probe_faults"]

Array = NDArray[np.float64]

STUCK_H = 5.0
STUCK_PH = 0.011
EXPECTED_PH = 0.10
JUMP_PH = 0.45
JUMP_WITHIN_H = 0.6
AWAY_PH = 0.45
AWAY_H = 1.0


@dataclass(frozen=True)
class ProbeFault:
    """Readings that are none of the water's: kind "stuck" or "dry", and the hours they last. [h]"""

    kind: str
    start_h: float
    end_h: float
    size_ph: float


def probe_faults(hours_h: Array, ph: Array, *, model_ph: Array) -> tuple[ProbeFault, ...]:
    """Stretches where the probe stood still while the water moved, or jumped away and stayed.

    Parameters
    ----------
    hours_h, ph : array, shape (n,)
        Readings. [h, pH]
    model_ph : array, shape (n,)
        What the fitted tank would show at the same hours. [pH]
    """
    if len(hours_h) < 4:
        return ()
    return (*_stuck(hours_h, ph, model_ph), *_dry(hours_h, ph, model_ph))


def _stuck(hours_h: Array, ph: Array, model_ph: Array) -> list[ProbeFault]:
    found = []
    start = 0
    for at in range(1, len(ph) + 1):
        if at < len(ph) and abs(ph[at] - ph[start]) <= STUCK_PH and hours_h[at] - hours_h[at - 1] < 3.0:
            continue
        end = at - 1
        moved = float(np.ptp(model_ph[start : end + 1]))
        if hours_h[end] - hours_h[start] >= STUCK_H and moved > EXPECTED_PH:
            found.append(ProbeFault("stuck", float(hours_h[start]), float(hours_h[end]), moved))
        start = at
    return found


def _dry(hours_h: Array, ph: Array, model_ph: Array) -> list[ProbeFault]:
    off = ph - model_ph
    usual = float(np.median(off))
    found: list[ProbeFault] = []
    step = np.abs(np.diff(off))
    for at in np.flatnonzero((step > JUMP_PH) & (np.diff(hours_h) <= JUMP_WITHIN_H)):
        if found and hours_h[at + 1] <= found[-1].end_h:
            continue
        after = np.abs(off[at + 1 :] - usual) > AWAY_PH
        last = at + (int(np.argmin(after)) if not after.all() else len(after))
        if last > at and hours_h[last] - hours_h[at + 1] >= AWAY_H:
            size = float(np.median(off[at + 1 : last + 1]) - usual)
            found.append(ProbeFault("dry", float(hours_h[at + 1]), float(hours_h[last]), size))
    return found
