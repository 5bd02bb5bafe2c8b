"""The largest bubble that still gives up its CO2 before the surface."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.bubbles.closures import Closure
from fizzwright.engines.bubbles.fate import Release, Stepping, bubble_fate
from fizzwright.engines.bubbles.medium import BubbleWater

__all__ = ["critical_size_mm"]

# The dissolved share settles long before the last of an old air bubble does.
ENOUGH = Stepping(error_frac=1e-3, enough_frac=1e-3)


def critical_size_mm(
    water: BubbleWater, depth_m: float, *, closure: Closure, dissolved_frac: float = 0.99
) -> float:
    """Largest bubble that dissolves to a share on its way up in still water.

    Parameters
    ----------
    water : water round it
    depth_m : depth of the diffuser [m]
    closure : state of the skin
    dissolved_frac : share of its CO2 that must dissolve [-]

    Returns
    -------
    bubble diameter [mm]
    """
    low, high = 0.2e-3, 12e-3
    for count in (25, 9):
        sizes = np.geomspace(low, high, count)
        release = Release(sizes, depth_m)
        share = bubble_fate(water, release, closure=closure, stepping=ENOUGH).dissolved_frac
        last = int(np.searchsorted(-share, -dissolved_frac, side="right")) - 1
        if last < 0 or last == count - 1:
            return 1e3 * float(sizes[max(last, 0)])
        low, high = float(sizes[last]), float(sizes[last + 1])
    between = (share[last] - dissolved_frac) / (share[last] - share[last + 1])
    return 1e3 * (low + float(between) * (high - low))
