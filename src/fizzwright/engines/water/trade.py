"""Rules of the trade for CO2 in a tank, kept to be compared with and never used for a plan."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = ["trade_rule_co2_mg_l"]

Array = NDArray[np.float64]


@equation("trade-rule-co2", where="KH, pH and CO2 charts of the trade", valid={"ph": (6.0, 8.0)})
def trade_rule_co2_mg_l(ph: ArrayLike, kh_dkh: ArrayLike) -> Array:
    """CO2 as the usual chart reads it; it fits salty water at 32 °C and reads low in cool soft water.

    Parameters
    ----------
    ph : pH [activity scale]
    kh_dkh : reading of the KH kit [dKH]

    Returns
    -------
    CO2 [mg/L], shape of the inputs broadcast

    Examples
    --------
    >>> float(trade_rule_co2_mg_l(7.0, 4.0))
    12.0
    """
    acid: Array = 10.0 ** (7.0 - np.asarray(ph, dtype=np.float64))
    return 3.0 * np.asarray(kh_dkh, dtype=np.float64) * acid
