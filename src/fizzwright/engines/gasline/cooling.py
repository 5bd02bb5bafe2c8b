"""What drawing gas does to the warmth of bottle and regulator.

A feed of a planted tank draws milliwatts; what freezes is a purge, or liquid drawn by mistake. These sums
need the full equation of state, loaded when first asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fizzwright.engines.gasline.gas import KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "FastDraw",
    "drawn_end_c",
    "evaporation_j_kg",
    "heat_drawn_w",
    "rewarming_j_kg",
    "steady_draw_g",
    "throttled_c",
]

# Common practice: heat a bottle takes from still air, W/m2/K.
_AIR_W_M2_K = 7.0
_STEPS = 40


def _state() -> Any:
    from CoolProp.CoolProp import AbstractState

    return AbstractState("HEOS", "CO2")


@equation("span-wagner-1996", where="enthalpies of both phases at saturation")
def evaporation_j_kg(temperature_c: float) -> float:
    """The heat a bottle must take up for each kilogram of vapour drawn off its liquid.

    Parameters
    ----------
    temperature_c : float
        Temperature of the bottle, under 31. [°C]

    Returns
    -------
    float
        Heat of vaporisation. [J/kg]
    """
    import CoolProp

    state = _state()
    enthalpies = []
    for quality in (0.0, 1.0):
        state.update(CoolProp.QT_INPUTS, quality, temperature_c + KELVIN)
        enthalpies.append(float(state.hmass()))
    return enthalpies[1] - enthalpies[0]


def heat_drawn_w(flow_mg_h: Floats, heat_j_kg: Floats) -> Floats:
    """The power a flow draws from bottle or regulator. [W]

    Examples
    --------
    >>> round(heat_drawn_w(551.8, 152_000.0), 4)
    0.0233
    """
    return flow_mg_h * 1e-6 / 3600.0 * heat_j_kg


def steady_draw_g(area_m2: Floats, *, drop_k: Floats, heat_j_kg: Floats) -> Floats:
    """The vapour a bottle in still air gives in an hour while it stands this much colder than the room. [g]

    Examples
    --------
    >>> round(steady_draw_g(0.17, drop_k=10.0, heat_j_kg=152_000.0))
    282
    """
    return _AIR_W_M2_K * area_m2 * drop_k * 3600.0 / heat_j_kg * 1000.0


@equation("span-wagner-1996", where="equal enthalpy before and after a throttle")
def throttled_c(before_bara: float, before_c: float, *, after_bara: float) -> float:
    """The temperature of gas behind a seat or a needle before it takes heat from the metal.

    Parameters
    ----------
    before_bara : float
        Pressure before. [bar abs]
    before_c : float
        Temperature before, as gas. [°C]
    after_bara : float
        Pressure behind; under 5.18 bar abs dry ice can form. [bar abs]

    Returns
    -------
    float
        Temperature behind. [°C]
    """
    import CoolProp

    state = _state()
    state.update(CoolProp.PT_INPUTS, before_bara * 1e5, before_c + KELVIN)
    state.update(CoolProp.HmassP_INPUTS, float(state.hmass()), after_bara * 1e5)
    return float(state.T()) - KELVIN


@equation("span-wagner-1996", where="enthalpies of saturated vapour and of gas at outlet pressure")
def rewarming_j_kg(temperature_c: float, *, outlet_bara: float) -> float:
    """The heat a regulator must give each kilogram of vapour to send it on as warm as it came.

    Parameters
    ----------
    temperature_c : float
        Temperature of bottle and room. [°C]
    outlet_bara : float
        Outlet of the regulator. [bar abs]

    Returns
    -------
    float
        Heat. [J/kg]
    """
    import CoolProp

    state = _state()
    state.update(CoolProp.QT_INPUTS, 1.0, temperature_c + KELVIN)
    vapour = float(state.hmass())
    state.update(CoolProp.PT_INPUTS, outlet_bara * 1e5, temperature_c + KELVIN)
    return float(state.hmass()) - vapour


@dataclass(frozen=True)
class FastDraw:
    """A bottle emptied in a hurry: what it holds, what is let go, and the metal that cools with it."""

    start_c: float
    charge_g: float
    drawn_g: float
    water_capacity_l: float
    wall_kg: float
    wall_j_kg_k: float = 900.0


@equation("span-wagner-1996", where="energy of bottle and gas, vapour drawn off in small steps")
def drawn_end_c(draw: FastDraw) -> float:
    """How cold a bottle gets when vapour is let go faster than the room can warm it.

    Parameters
    ----------
    draw : FastDraw
        Liquid must be left at the end. [g, L, kg, J/kg for each kelvin]

    Returns
    -------
    float
        Temperature right after; the gauge falls with it and comes back with the warmth. [°C]
    """
    import CoolProp

    state = _state()
    volume_m3, mass_kg, kelvin = draw.water_capacity_l * 1e-3, draw.charge_g * 1e-3, draw.start_c + KELVIN
    step_kg = draw.drawn_g * 1e-3 / _STEPS

    def energy(kg: float, warm_k: float) -> float:
        state.update(CoolProp.DmassT_INPUTS, kg / volume_m3, warm_k)
        return kg * float(state.umass()) + draw.wall_kg * draw.wall_j_kg_k * warm_k

    for _ in range(_STEPS):
        state.update(CoolProp.QT_INPUTS, 1.0, kelvin)
        target = energy(mass_kg, kelvin) - step_kg * _vapour_j_kg(state, kelvin)
        mass_kg -= step_kg
        low, high = kelvin - 5.0, kelvin
        for _ in range(24):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if energy(mass_kg, middle) > target else (middle, high)
        kelvin = 0.5 * (low + high)
    return kelvin - KELVIN


def _vapour_j_kg(state: Any, kelvin: float) -> float:
    import CoolProp

    state.update(CoolProp.QT_INPUTS, 1.0, kelvin)
    return float(state.hmass())
