"""A full bottle that gets warm: once its liquid fills it, pressure climbs 3 to 5 bar for each kelvin.

These sums need the full equation of state; it is loaded when first asked, which takes a second or two.
"""

from __future__ import annotations

from typing import Any

from fizzwright.engines.gasline.gas import ATM_BARA, KELVIN
from fizzwright.errors import NoAnswer
from fizzwright.sources import equation

__all__ = ["dense_density_kg_m3", "isochore_bara", "relief_c"]


def _state() -> Any:
    from CoolProp.CoolProp import AbstractState

    return AbstractState("HEOS", "CO2")


@equation(
    "gasline-isochore",
    where="pressure at density and temperature",
    valid={"fill_kg_l": (0.05, 1.05), "temperature_c": (-20.0, 120.0)},
)
def isochore_bara(fill_kg_l: float, temperature_c: float) -> float:
    """The pressure in a shut bottle at a temperature, from how full it is.

    Parameters
    ----------
    fill_kg_l : float
        Gas over water capacity. [kg/L]
    temperature_c : float
        Temperature of the bottle. [°C]

    Returns
    -------
    float
        Pressure: saturation while liquid and vapour share the bottle, far more once one fills it. [bar abs]
    """
    import CoolProp

    state = _state()
    state.update(CoolProp.DmassT_INPUTS, fill_kg_l * 1000.0, temperature_c + KELVIN)
    return float(state.p()) * 1e-5


@equation("gasline-isochore", where="density at pressure and temperature")
def dense_density_kg_m3(pressure_bara: float, temperature_c: float) -> float:
    """The gas in each litre of a bottle that stands over saturation or over the critical temperature.

    Parameters
    ----------
    pressure_bara : float
        Pressure. [bar abs]
    temperature_c : float
        Temperature. [°C]

    Returns
    -------
    float
        Density. [kg/m³, which is g/L]
    """
    import CoolProp

    state = _state()
    state.update(CoolProp.PT_INPUTS, pressure_bara * 1e5, temperature_c + KELVIN)
    return float(state.rhomass())


@equation("gasline-isochore", where="temperature at pressure and density")
def relief_c(fill_kg_l: float, relief_barg: float) -> float:
    """The bottle temperature at which its relief disc lets the whole charge go.

    Parameters
    ----------
    fill_kg_l : float
        Gas over water capacity, 0.47 or more: less gas would need a fire. [kg/L]
    relief_barg : float
        Pressure at which the disc bursts. [bar g]

    Returns
    -------
    float
        Temperature. [°C]

    Raises
    ------
    NoAnswer
        If the pressure is not reached below 150 °C.
    """
    target = relief_barg + ATM_BARA
    low, high = -20.0, 150.0
    if isochore_bara(fill_kg_l, high) < target:
        raise NoAnswer(
            f"A bottle filled to {fill_kg_l:.2f} kg/L stays under {relief_barg:.0f} bar g up to "
            f"{high:.0f} °C; ask about a fuller bottle or a lower disc pressure."
        )
    for _ in range(26):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if isochore_bara(fill_kg_l, middle) > target else (middle, high)
    return 0.5 * (low + high)
