"""What a plan says: the answer of the stage `plan`, ready to be printed, drawn or typeset."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Estimate, Trail

__all__ = [
    "CeilingSet",
    "DayCurves",
    "DayRisk",
    "FrontPoint",
    "InputShare",
    "Ledger",
    "LedgerLine",
    "Lever",
    "NextReading",
    "NightFit",
    "PlanResult",
    "RampDay",
    "Stability",
    "Station",
    "Trade",
]

Curve = NDArray[np.float64]


@dataclass(frozen=True)
class DayCurves:
    """One repeating day with 90 % bands; every array has the shape of `clock_min`.

    `clock_min` runs from 0 to 1440 in tank time. [min]
    """

    clock_min: Curve
    co2_low_mg_l: Curve
    co2_mg_l: Curve
    co2_high_mg_l: Curve
    low_ph: Curve
    ph: Curve
    high_ph: Curve
    o2_low_mg_l: Curve
    o2_mg_l: Curve
    o2_high_mg_l: Curve
    o2_saturation_mg_l: float


@dataclass(frozen=True)
class LedgerLine:
    """One stream of a day's carbon: `side` is "in" or "out"; middle of the spread plus its band."""

    name: str
    side: str
    carbon_g_day: Estimate


@dataclass(frozen=True)
class Ledger:
    """Where a day's CO2 goes, for the day at the middle of every input.

    The middles of the lines balance: in = out + change in store, to `residual_frac` of the sum in.
    """

    lines: tuple[LedgerLine, ...]
    residual_frac: float

    def total_g_day(self, side: str) -> float:
        """The sum of the middles on one side. [g/day]"""
        return sum(line.carbon_g_day.value for line in self.lines if line.side == side)


@dataclass(frozen=True)
class Station:
    """One station of the gas line, bottle to leaf, in the order the gas passes.

    Pressures are after the station; `None` where the quantity has no meaning there.
    """

    number: int
    name: str
    detail: str
    sets_it: str
    pressure_barg: Estimate | None
    flow_mg_h: Estimate | None
    lost_mg_h: Estimate | None


@dataclass(frozen=True)
class CeilingSet:
    """The animals' starting ceiling: who sets it, the hard stop above it, and how sure that is."""

    soft_mg_l: float
    hard_mg_l: float
    set_by: str
    confidence: str


@dataclass(frozen=True)
class NightFit:
    """What a gas-off night of pH readings told about the surface, or why it told nothing."""

    usable: bool
    verdict: str
    loss_per_h: Estimate | None
    settles_mg_l: Estimate | None
    hours_h: float
    readings_count: int
    set_aside_count: int
    prior_low_per_h: float
    prior_high_per_h: float


@dataclass(frozen=True)
class Trade:
    """What the choice of feed and clock gave up for what."""

    share_in_band_frac: float
    lead_h: float
    swing_frac: float
    sentence: str


@dataclass(frozen=True)
class NextReading:
    """One reading worth taking, and how wide the day's peak would be after it (90 %)."""

    name: str
    settles: str
    effort: str
    low_mg_l: float
    high_mg_l: float


@dataclass(frozen=True)
class DayRisk:
    """CO2 and oxygen as one risk over the day: 1 at the animals' starting ceiling with oxygen in plenty.

    Curves have the shape of `clock_min`, with 90 % bands; `p_over_frac` is the share of draws whose day
    passes 1, `peak_at_min` when the middle of the spread is highest.
    """

    clock_min: Curve
    low_number: Curve
    risk_number: Curve
    high_number: Curve
    peak_number: Estimate
    peak_at_min: float
    p_over_frac: float


@dataclass(frozen=True)
class Stability:
    """How steady the day is, the first half hour of light left out.

    `swing_frac` is (P95 - P5)/median of CO2 over the lit time; `in_band_h` the lit hours in the target
    band; `lights_on_ratio` CO2 at lights-on over the middle of the target; `reaches_90_h` the time from
    gas-on to nine tenths of the lit median; `overdose_mg_h_l` the area of CO2 over the starting ceiling
    [mg h/L] and `longest_over_h` the longest run above it.
    """

    swing_frac: Estimate
    in_band_h: Estimate
    lit_h: float
    lights_on_ratio: Estimate
    reaches_90_h: Estimate
    lights_off_mg_l: Estimate
    night_low_mg_l: Estimate
    overdose_mg_h_l: Estimate
    longest_over_h: Estimate


@dataclass(frozen=True)
class FrontPoint:
    """One gas clock that brings the same CO2 to the lit hours: what steadiness costs in gas."""

    gas_on_min: int
    gas_off_min: int
    feed_mg_h: float
    swing_frac: Estimate
    gas_g_day: Estimate
    share_in_band_frac: float
    p_over_ceiling_frac: float
    chosen: bool


@dataclass(frozen=True)
class Lever:
    """Something else about the tank that could be changed, and the day the plan would then come to."""

    name: str
    change: str
    feed_mg_h: float
    swing_frac: Estimate
    share_in_band_frac: float
    co2_peak_mg_l: Estimate
    p_over_ceiling_frac: float
    gas_g_day: Estimate
    o2_dawn_mg_l: Estimate
    stuck_open_24h_mg_l: Estimate
    sentence: str


@dataclass(frozen=True)
class InputShare:
    """How much of the spread of the day's peak one unknown carries."""

    name: str
    share_frac: float


@dataclass(frozen=True)
class RampDay:
    """One day on the way up: the feed to set in the morning and what its peak should then be.

    `look_at_min` is when the day peaks: the hour to stand at the tank.
    """

    day_count: int
    feed_mg_h: float
    bubbles_per_s: float
    co2_peak_mg_l: Estimate
    p_over_ceiling_frac: float
    look_at_min: int


@dataclass(frozen=True)
class PlanResult:
    """The plan for one tank.

    `kind` is "starting" (little measured, the ceiling rules) or "fitted" (the loss was measured). Gas
    and lamp times are minutes after midnight in tank time. `p_over_ceiling_frac` is the share of draws
    whose day passes the soft ceiling. `risk` and `ramp` are for tanks with animals. `bottle_left_frac` is
    the gas left of a full charge, where the job gives it.
    """

    name: str
    kind: str
    verdict: str
    feed_mg_h: Estimate
    expected_feed_mg_h: Estimate
    bubbles_per_s: Estimate
    mg_per_bubble_mg: Estimate
    flow_ml_min_n: Estimate
    gas_on_min: int
    gas_off_min: int
    light_on_min: int
    light_off_min: int
    target_low_mg_l: float
    target_high_mg_l: float
    ceiling: CeilingSet
    co2_at_lights_on_mg_l: Estimate
    co2_peak_mg_l: Estimate
    p_over_ceiling_frac: float
    share_in_band_frac: float
    rise_mg_l_h: Estimate
    o2_dawn_mg_l: Estimate
    stuck_open_24h_mg_l: Estimate
    p_stuck_over_hard_frac: float
    gas_g_day: Estimate
    bottle_days: Estimate
    swap_days: Estimate
    loss_per_h: Estimate
    dissolved_frac: Estimate
    net_volume_l: Estimate
    day: DayCurves
    ledger: Ledger
    stations: tuple[Station, ...]
    night: NightFit | None
    trade: Trade
    next_readings: tuple[NextReading, ...]
    draws_count: int
    trail: Trail
    stability: Stability | None = None
    risk: DayRisk | None = None
    front: tuple[FrontPoint, ...] = ()
    levers: tuple[Lever, ...] = ()
    input_shares: tuple[InputShare, ...] = ()
    ramp: tuple[RampDay, ...] = ()
    bottle_left_frac: float | None = None
