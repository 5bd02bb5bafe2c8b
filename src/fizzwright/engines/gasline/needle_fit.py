"""A needle valve known by points measured on it: its law of flow, between a fine gap and a nozzle.

The pressure a feed costs is part slow friction in the gap, which grows with the flow, and part speed in
the throat, which grows with its square. Two points at two pressures tell the two apart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fizzwright.engines.gasline.gas import KELVIN, Floats
from fizzwright.engines.gasline.needle import HEAT_RATIO_FACTOR
from fizzwright.errors import Fault, InputError
from fizzwright.sources import equation

__all__ = [
    "NeedleLaw",
    "NeedlePoint",
    "blend_flow_mg_h",
    "needle_law",
    "needle_law_from_one_point",
    "warmed_flow_factor",
]

# Friction goes with viscosity times temperature, and viscosity of CO2 with T to the 0.9 near 20 degC.
_LAMINAR_EXPONENT = 1.9
_CHOKED_SHARE = 1.0 - HEAT_RATIO_FACTOR * 0.7


@dataclass(frozen=True)
class NeedlePoint:
    """One measured point of a valve left as it is: pressures before and behind it, flow, warmth."""

    before_bara: Floats
    after_bara: Floats
    flow_mg_h: Floats
    temperature_c: Floats = 20.0


@dataclass(frozen=True)
class NeedleLaw:
    """What a valve at one setting costs in pressure: p1² - p2² = friction W + speed W².

    `friction_factor` is in bar² for each mg/h, `speed_factor` in bar² for each (mg/h)², both at
    `temperature_c`. `clamped` marks two points that no such law goes through exactly.
    """

    friction_factor: Floats
    speed_factor: Floats
    temperature_c: Floats = 20.0
    clamped: bool = False


@equation("needle-forchheimer", where="two points give both coefficients")
def needle_law(first: NeedlePoint, second: NeedlePoint) -> NeedleLaw:
    """The law of a valve from two points measured without touching it, at two pressures.

    Parameters
    ----------
    first, second : NeedlePoint
        Points at clearly different flows; plain numbers.

    Returns
    -------
    NeedleLaw
        Where the two points ask for a negative part, that part is nil and the other goes through the mean.

    Raises
    ------
    InputError
        Where the flows are within 2 %, or a point has no pressure to flow by.
    """
    flows = np.array([float(first.flow_mg_h), float(second.flow_mg_h)])
    costs = np.array([_cost(first), _cost(second)])
    faults = []
    if np.any(costs <= 0.0) or np.any(flows <= 0.0):
        faults.append(Fault("needle points", "", "each needs a flow and more pressure before than behind"))
    elif abs(np.log(flows[1] / flows[0])) < 0.02:
        faults.append(
            Fault("needle points", "", "the two flows must differ by more than 2 %", "Change the regulator")
        )
    if faults:
        raise InputError(faults)
    friction, speed = np.linalg.solve(np.column_stack([flows, flows**2]), costs)
    clamped = bool(friction < 0.0 or speed < 0.0)
    if friction < 0.0:
        friction, speed = 0.0, float(np.exp(np.mean(np.log(costs / flows**2))))
    elif speed < 0.0:
        friction, speed = float(np.exp(np.mean(np.log(costs / flows)))), 0.0
    return NeedleLaw(float(friction), float(speed), first.temperature_c, clamped)


def _cost(point: NeedlePoint) -> float:
    behind = max(float(point.after_bara), _CHOKED_SHARE * float(point.before_bara))
    return float(point.before_bara) ** 2 - behind**2


@equation("needle-forchheimer", where="one point and a judged share of friction")
def needle_law_from_one_point(point: NeedlePoint, friction_share_frac: Floats) -> NeedleLaw:
    """The law of a valve from its present flow alone, with the share of friction judged.

    Parameters
    ----------
    point : NeedlePoint
        Pressures and flow now; numbers or arrays.
    friction_share_frac : float or array
        Share of the pressure cost that is slow friction: 0 a nozzle, 1 a fine gap. [share]

    Returns
    -------
    NeedleLaw
    """
    behind = np.maximum(point.after_bara, _CHOKED_SHARE * np.asarray(point.before_bara))
    cost = np.square(point.before_bara) - np.square(behind)
    return NeedleLaw(
        friction_share_frac * cost / point.flow_mg_h,
        (1.0 - friction_share_frac) * cost / np.square(point.flow_mg_h),
        point.temperature_c,
    )


@equation("needle-forchheimer", where="solved for the flow, held at its choked value")
def blend_flow_mg_h(
    law: NeedleLaw, before_bara: Floats, *, after_bara: Floats, temperature_c: Floats = 20.0
) -> Floats:
    """The flow a fitted valve passes between two pressures.

    Parameters
    ----------
    law : NeedleLaw
        The valve at its present setting.
    before_bara : float or array
        Pressure before the valve. [bar abs]
    after_bara : float or array
        Pressure behind it. [bar abs]
    temperature_c : float or array
        Temperature of valve and gas. [°C]

    Returns
    -------
    float or array
        Flow; nil where nothing drives it. [mg/h]

    Examples
    --------
    >>> law = needle_law(NeedlePoint(3.0, 1.5, 500.0), NeedlePoint(4.0, 1.5, 800.0))
    >>> round(float(blend_flow_mg_h(law, 4.0, after_bara=1.5)), 6)
    800.0
    """
    warm = (np.asarray(temperature_c, dtype=float) + KELVIN) / (np.asarray(law.temperature_c) + KELVIN)
    friction, speed = law.friction_factor * warm**_LAMINAR_EXPONENT, law.speed_factor * warm
    behind = np.maximum(after_bara, _CHOKED_SHARE * np.asarray(before_bara))
    cost = np.maximum(np.square(before_bara) - np.square(behind), 0.0)
    root = np.sqrt(np.square(friction) + 4.0 * speed * cost)
    flow: Floats = 2.0 * cost / np.maximum(friction + root, 1e-300)
    return flow


@equation("needle-forchheimer", where="temperature of both coefficients")
def warmed_flow_factor(friction_share_frac: Floats, *, start_c: Floats, end_c: Floats) -> Floats:
    """How a valve's flow changes when it warms, pressures and gap held.

    The metal's own growth comes on top: 2 to 6 % for a warm-up of 15 K, either way.

    Parameters
    ----------
    friction_share_frac : float or array
        Share of the pressure cost that is slow friction. [share]
    start_c : float or array
        Temperature when set. [°C]
    end_c : float or array
        Temperature now. [°C]

    Returns
    -------
    float or array
        Flow now over flow then. [factor]

    Examples
    --------
    >>> round(float(warmed_flow_factor(0.0, start_c=20.0, end_c=30.0)), 3)
    0.983
    """
    warm = (np.asarray(end_c, dtype=float) + KELVIN) / (np.asarray(start_c, dtype=float) + KELVIN)
    friction = friction_share_frac * warm**_LAMINAR_EXPONENT
    speed = (1.0 - friction_share_frac) * warm
    factor: Floats = 2.0 / (friction + np.sqrt(np.square(friction) + 4.0 * speed))
    return factor
