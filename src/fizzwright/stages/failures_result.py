"""What a tank does when something fails: courses over hours, ready to be printed or drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Estimate, Level, Trail

__all__ = ["FailureCourse", "FailuresResult", "RoomRelease"]

Curve = NDArray[np.float64]


@dataclass(frozen=True)
class FailureCourse:
    """One fault from the moment it happens, with 90 % bands; curves have the shape of `hours_h`.

    `begins_min` is the tank's clock at that moment, `usual_co2_mg_l` the middle of the day as it would have
    been. `to_ceiling_h` and `to_hard_h` are the times of those draws that pass the level; `p_..._frac` says
    how many do. The ceiling is that of the course: heat lowers it. `sees` is what the keeper would notice,
    `first` what to do first.
    """

    name: str
    happens: str
    begins_min: int
    hours_h: Curve
    co2_low_mg_l: Curve
    co2_mg_l: Curve
    co2_high_mg_l: Curve
    usual_co2_mg_l: Curve
    o2_low_mg_l: Curve
    o2_mg_l: Curve
    o2_high_mg_l: Curve
    ceiling_mg_l: float
    co2_peak_mg_l: Estimate
    co2_least_mg_l: Estimate
    o2_least_mg_l: Estimate
    risk_peak_number: Estimate
    to_ceiling_h: Estimate | None
    p_ceiling_frac: float
    to_hard_h: Estimate | None
    p_hard_frac: float
    level: Level
    sees: str
    first: str


@dataclass(frozen=True)
class RoomRelease:
    """The whole bottle let go in the room, mixed through it; the floor is worse.

    `over_8_hour_h` is how long the mixed room stays over the 8-hour workplace figure of 5000 ppm.
    """

    release_g: float
    hours_h: Curve
    room_ppm: Curve
    peak_ppm: float
    over_8_hour_h: float
    verdict: str
    sees: str
    first: str


@dataclass(frozen=True)
class FailuresResult:
    """Every fault tried on one tank with its plan's own draws.

    `p_usual_ceiling_frac` and `p_usual_hard_frac` are the shares of draws whose ordinary day passes the
    starting ceiling and the hard stop.
    """

    name: str
    ceiling_mg_l: float
    hard_mg_l: float
    set_by: str
    p_usual_ceiling_frac: float
    p_usual_hard_frac: float
    courses: tuple[FailureCourse, ...]
    room: RoomRelease
    draws_count: int
    trail: Trail
