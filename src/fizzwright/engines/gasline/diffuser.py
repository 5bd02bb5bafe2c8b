"""The diffuser as the line feels it: the pressure its pores ask for before they pass gas."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import Floats
from fizzwright.sources import equation

__all__ = ["capillary_opening_barg"]


@equation("capillary-pressure", where="4 sigma cos(theta) / d", valid={"pore_um": (0.2, 500.0)})
def capillary_opening_barg(
    pore_um: Floats, tension_n_m: Floats = 0.0727, *, wetting_deg: Floats = 0.0
) -> Floats:
    """The pressure over the water around it at which a pore of a diffuser starts to pass gas.

    Parameters
    ----------
    pore_um : float or array
        Diameter of the widest open pores. [µm]
    tension_n_m : float or array
        Surface tension of the water. [N/m]
    wetting_deg : float or array
        Contact angle; 0 where water wets the body fully, as clean ceramic and glass. [°]

    Returns
    -------
    float or array
        Opening pressure, to which the depth of water adds. [bar g]

    Examples
    --------
    >>> round(float(capillary_opening_barg(10.0)), 3)
    0.291
    """
    pressure: Floats = 4.0 * tension_n_m * np.cos(np.deg2rad(wetting_deg)) / (np.asarray(pore_um) * 1e-6)
    return pressure * 1e-5
