"""The solenoid valve: what it draws, how warm it gets, and how its warmth moves a needle fixed to it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fizzwright.engines.gasline.gas import Floats
from fizzwright.sources import equation

__all__ = [
    "COIL_RISE_HIGH_K",
    "COIL_RISE_LOW_K",
    "FAILURES",
    "SolenoidFailure",
    "SolenoidState",
    "energy_kwh",
]

# Common practice: rise of a coil over the room at full duty.
COIL_RISE_LOW_K, COIL_RISE_HIGH_K = 30.0, 60.0


@equation("electrical-energy", where="power times time")
def energy_kwh(power_w: Floats, hours_h: Floats, *, time_days: Floats = 365.0) -> Floats:
    """What a coil uses, by default in a year.

    Parameters
    ----------
    power_w : float or array
        Power while it holds. [W]
    hours_h : float or array
        Hours a day it is on. [h]
    time_days : float or array
        Time counted. [days]

    Returns
    -------
    float or array
        Energy. [kWh]

    Examples
    --------
    >>> round(energy_kwh(2.0, 8.0), 2)
    5.84
    """
    return power_w * hours_h * time_days / 1000.0


class SolenoidState(StrEnum):
    """Ways a normally shut valve can be."""

    NO_POWER = "no power"
    STUCK_OPEN = "stuck open"
    LEAKS_BY = "leaks by"
    BACKWARDS = "mounted backwards"
    COIL_GONE = "coil burnt out"
    CHATTERS = "chatters"


@dataclass(frozen=True)
class SolenoidFailure:
    """One state: whether gas flows, what guards against it, how to tell."""

    state: SolenoidState
    gas_flows: bool
    means: str
    guard: str
    check: str


FAILURES: tuple[SolenoidFailure, ...] = (
    SolenoidFailure(
        SolenoidState.NO_POWER,
        False,
        "a power cut shuts it; the tank only gets less",
        "buy it normally shut",
        "pull the plug with gas on: the counter stops within the run-on",
    ),
    SolenoidFailure(
        SolenoidState.STUCK_OPEN,
        True,
        "gas all night and the next day: the one to plan for",
        "a feed the tank bears for a day, a second shut-off, or an alarm on the count at night",
        "bubbles go on at a steady rate an hour after the plug is pulled",
    ),
    SolenoidFailure(
        SolenoidState.LEAKS_BY,
        True,
        "a grain on the seat lets a little through at night",
        "a filter of 10 µm or finer before it",
        "one bubble now and then long after the run-on is over",
    ),
    SolenoidFailure(
        SolenoidState.BACKWARDS,
        True,
        "pressure lifts the seat; it hardly shuts",
        "arrow on the body along the flow",
        "look at the arrow before the power",
    ),
    SolenoidFailure(
        SolenoidState.COIL_GONE,
        False,
        "no gas; plants feel it in days, animals do not",
        "a count every day",
        "no click, cold coil, power at the plug",
    ),
    SolenoidFailure(
        SolenoidState.CHATTERS,
        True,
        "hums and wears: too little voltage or a switch that leaks current",
        "the supply the coil is marked for, direct current with its diode",
        "measure the voltage with the coil on",
    ),
)
