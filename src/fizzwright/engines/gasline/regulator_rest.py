"""The regulator at rest: what it locks up at, whether it creeps, and what it must be set to.

When the flow stops the outlet rises a little before the seat shuts (lock-up); a dirty or worn seat then
lets it go on rising (creep).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fizzwright.engines.gasline.gas import Floats
from fizzwright.sources import equation

__all__ = [
    "CREEP_LIMIT_BAR_H",
    "LOCK_UP_HIGH_BARG",
    "LOCK_UP_LOW_BARG",
    "LOCK_UP_MID_BARG",
    "LOCK_UP_MOST_RATIO",
    "RestVerdict",
    "RestWatch",
    "closing_rise_ratio",
    "creep_bar_h",
    "judge_rest",
    "two_stage_effect_frac",
    "working_pressure_barg",
]

# Common practice: rise of the outlet at the first closing, and the creep that means a service.
LOCK_UP_LOW_BARG, LOCK_UP_MID_BARG, LOCK_UP_HIGH_BARG = 0.1, 0.2, 0.3
CREEP_LIMIT_BAR_H = 0.1
# ISO 2503 allows a rise on closing of less than 30 % of the outlet.
LOCK_UP_MOST_RATIO = 0.3


@equation("regulator-force-balance", where="two reductions in a row")
def two_stage_effect_frac(first_frac: Floats, second_frac: Floats) -> Floats:
    """The outlet rise of a two-stage regulator for each bar the bottle falls.

    Parameters
    ----------
    first_frac : float or array
        Rise of the first stage for each bar of fall. [share]
    second_frac : float or array
        Rise of the second stage for each bar of fall before it. [share]

    Returns
    -------
    float or array
        Rise over fall, of the product's size. [share]

    Examples
    --------
    >>> round(two_stage_effect_frac(0.01, 0.01) * 48, 4)
    0.0048
    """
    return first_frac * second_frac


@equation("iso-2503", where="coefficient R of pressure rise on closing")
def closing_rise_ratio(flowing_barg: Floats, locked_barg: Floats) -> Floats:
    """How far the outlet rises when the flow stops, as a share of the flowing pressure.

    Parameters
    ----------
    flowing_barg : float or array
        Outlet with gas flowing. [bar g]
    locked_barg : float or array
        Outlet a minute after the flow stopped. [bar g]

    Returns
    -------
    float or array
        Rise over outlet; the standard wants less than 0.3. [ratio]

    Examples
    --------
    >>> round(closing_rise_ratio(2.0, 2.2), 2)
    0.1
    """
    return (locked_barg - flowing_barg) / flowing_barg


def creep_bar_h(settled_barg: Floats, later_barg: Floats, *, time_min: Floats) -> Floats:
    """How fast the outlet goes on rising with the needle shut. [bar/h]

    Parameters
    ----------
    settled_barg : float or array
        Outlet a few minutes after the needle was shut. [bar g]
    later_barg : float or array
        Outlet at the end. [bar g]
    time_min : float or array
        Time between, 30 to 60. [min]

    Examples
    --------
    >>> round(creep_bar_h(2.2, 2.3, time_min=30.0), 2)
    0.2
    """
    return (later_barg - settled_barg) * 60.0 / time_min


@dataclass(frozen=True)
class RestWatch:
    """A regulator watched with its needle shut: flowing, a few minutes after, and at the end."""

    flowing_barg: float
    settled_barg: float
    later_barg: float
    time_min: float


class RestVerdict(StrEnum):
    """What a watched regulator is good for."""

    HOLDS = "holds"
    LOCKS_HIGH = "locks up high: service it, or set it lower"
    CREEPS = "creeps: shut the bottle and have the seat serviced"


def judge_rest(watch: RestWatch) -> RestVerdict:
    """Whether a regulator holds its outlet with the flow stopped."""
    if creep_bar_h(watch.settled_barg, watch.later_barg, time_min=watch.time_min) > CREEP_LIMIT_BAR_H:
        return RestVerdict.CREEPS
    if closing_rise_ratio(watch.flowing_barg, watch.settled_barg) >= LOCK_UP_MOST_RATIO:
        return RestVerdict.LOCKS_HIGH
    return RestVerdict.HOLDS


def working_pressure_barg(behind_barg: Floats, *, ratio_number: Floats = 2.0) -> Floats:
    """The outlet to set so that what stands behind the needle matters little. [bar g]

    At twice the absolute pressure behind it a valve passes gas by the pressure before it more than by the
    one behind.

    Parameters
    ----------
    behind_barg : float or array
        Opening pressure, head of water and check valve together. [bar g]
    ratio_number : float or array
        Absolute pressure before over behind the needle. [number]

    Examples
    --------
    >>> round(working_pressure_barg(1.0), 2)
    3.01
    """
    return ratio_number * (behind_barg + 1.01325) - 1.01325
