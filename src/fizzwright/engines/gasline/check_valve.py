"""The check valve: what it costs in pressure, and what it has to hold back."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import ATM_BARA, Floats
from fizzwright.sources import equation

__all__ = ["REVERSE_TEST_H", "REVERSE_TEST_HEAD_M", "in_series_barg", "pull_barg"]

# Common practice: half a metre of water on the tank side, no drop past in a day.
REVERSE_TEST_HEAD_M = 0.5
REVERSE_TEST_H = 24.0


def in_series_barg(cracking_barg: Floats, valves_count: int = 1) -> Floats:
    """What check valves one after another cost in pressure. [bar]"""
    return cracking_barg * valves_count


@equation("gasline-hydrostatics", where="column of water and suction of the line")
def pull_barg(lift_m: Floats, line_bara: Floats, *, ambient_bara: Floats = ATM_BARA) -> Floats:
    """What drives tank water back into a line, and so what a check valve must hold.

    Parameters
    ----------
    lift_m : float or array
        How far the tank's surface stands over the valve; negative where the valve stands higher. [m]
    line_bara : float or array
        Absolute pressure in the line behind the valve. [bar abs]
    ambient_bara : float or array
        Air pressure. [bar abs]

    Returns
    -------
    float or array
        Pressure the valve must hold; nil where nothing pushes. [bar g]

    Examples
    --------
    >>> round(float(pull_barg(0.5, 1.01325)), 3)
    0.049
    """
    push: Floats = np.maximum(ambient_bara - line_bara + 998.2 * 9.80665e-5 * lift_m, 0.0)
    return push
