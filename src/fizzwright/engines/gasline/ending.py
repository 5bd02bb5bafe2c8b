"""The last of a bottle: once its liquid is gone the gauge falls, and the outlet and the feed creep up.

The rise is a drift over weeks, from the knee at a quarter to a third of the charge down to the last tenth
of it, and not a burst. This is a result of the model, checked against no bottle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.gasline.bottle import knee_barg, knee_g, vapour_only_g, virial_pressure_bara
from fizzwright.engines.gasline.contents import STOP_USE_BARG
from fizzwright.engines.gasline.gas import ATM_BARA, Floats
from fizzwright.engines.gasline.needle_fit import NeedleLaw, blend_flow_mg_h
from fizzwright.engines.gasline.regulator import outlet_barg

__all__ = ["Ending", "EndingSetup", "last_of_the_bottle"]

Array = NDArray[np.float64]
# Over the critical point a bottle has no knee; the sums stop just under it.
WARMEST_C = 30.5


@dataclass(frozen=True)
class EndingSetup:
    """A bottle, its regulator and the valve behind it, as they were set while liquid was left.

    `supply_effect_frac` is the whole regulator's, the product for two stages. Arrays of draws fit each other.
    """

    water_capacity_l: float
    bottle_c: float
    set_barg: Floats
    back_barg: Floats
    supply_effect_frac: Floats
    needle: NeedleLaw
    room_c: float = 20.0
    ambient_bara: float = ATM_BARA


@dataclass(frozen=True)
class Ending:
    """The course from the knee to the last gas used; rows are masses left, the largest first.

    `left_g` and `gauge_barg` have shape (rows,), the others (rows, draws) or (rows, 1).
    """

    left_g: Array
    gauge_barg: Array
    outlet_barg: Array
    flow_factor: Array


def last_of_the_bottle(setup: EndingSetup, rows_count: int = 8) -> Ending:
    """How outlet and flow rise while a bottle goes from its knee to 10 bar g.

    Parameters
    ----------
    setup : EndingSetup
    rows_count : int
        How many masses to look at, knee and end among them.

    Returns
    -------
    Ending
        `flow_factor` is the flow over that at the knee.
    """
    warm_c = min(setup.bottle_c, WARMEST_C)
    knee = float(knee_g(warm_c, water_capacity_l=setup.water_capacity_l))
    last = float(
        vapour_only_g(
            STOP_USE_BARG, warm_c, water_capacity_l=setup.water_capacity_l, ambient_bara=setup.ambient_bara
        )
    )
    left = np.linspace(knee, last, rows_count)
    full = float(knee_barg(warm_c, setup.ambient_bara))
    gauge = np.asarray(virial_pressure_bara(left / setup.water_capacity_l, warm_c)) - setup.ambient_bara
    gauge = np.minimum(gauge, full)
    outlet = np.stack(
        [
            np.atleast_1d(
                outlet_barg(
                    setup.set_barg,
                    float(at),
                    set_inlet_barg=full,
                    supply_effect_frac=setup.supply_effect_frac,
                )
            )
            for at in gauge
        ]
    )
    behind = np.atleast_1d(np.asarray(setup.back_barg, dtype=float)) + setup.ambient_bara
    before = outlet + setup.ambient_bara
    flow = np.asarray(
        blend_flow_mg_h(
            setup.needle, before, after_bara=np.minimum(behind, before), temperature_c=setup.room_c
        )
    )
    start = np.asarray(
        blend_flow_mg_h(
            setup.needle,
            np.asarray(setup.set_barg) + setup.ambient_bara,
            after_bara=behind,
            temperature_c=setup.room_c,
        )
    )
    return Ending(left, gauge, outlet, flow / np.maximum(start, 1e-12))
