"""What a dial-in answers: the tank as learnt so far, what comes next, and when it is done."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Estimate, Trail
from fizzwright.stages.plan_result import CeilingSet

__all__ = ["Ahead", "DialResult", "Learnt", "Step", "StepKind"]

Curve = NDArray[np.float64]
StepKind = str


@dataclass(frozen=True)
class Learnt:
    """How much of the doubt of one unknown is left, and which reading would narrow it.

    `left_frac` is the spread now over the spread before any reading; `identified` is whether the readings
    told it apart from the other unknowns.
    """

    name: str
    left_frac: float
    identified: bool
    reading: str


@dataclass(frozen=True)
class Ahead:
    """The expected CO2 from the last reading on, 90 % band; arrays of one shape. Hours from that reading.

    `clock_min` is the tank's clock, running on past 1440 on the next day. [min]
    """

    hours_h: Curve
    clock_min: Curve
    co2_low_mg_l: Curve
    co2_mg_l: Curve
    co2_high_mg_l: Curve


@dataclass(frozen=True)
class Step:
    """What to do next.

    `kind` is "lower now", "raise at gas on", "lower at gas on", "keep" or "done". The feed and the bubble
    rate are the ones to set, or to keep. Times are minutes after midnight. `held_by` names the limit that
    holds the feed under the one wished for, "" where none does.
    """

    kind: StepKind
    feed_mg_h: float
    bubbles_per_s: float
    change_frac: float
    held_by: str
    read_at_min: tuple[int, ...]
    no_raise_after_min: int
    p_over_frac: float
    p_in_band_frac: float


@dataclass(frozen=True)
class DialResult:
    """The tank after its readings so far.

    `gas_reaching_mg_h` is what dissolves while the valve is open; `last_reading` the stamp the present
    stands for; `days_seen_count` how many lit periods the readings cover.
    """

    name: str
    last_reading: str
    verdict: str
    next_step: str
    co2_now_mg_l: Estimate
    loss_per_h: Estimate
    dissolved_frac: Estimate
    uptake_mg_h: Estimate
    breathing_mg_h: Estimate
    gas_reaching_mg_h: Estimate
    mg_per_bubble_mg: Estimate
    carbonate_kh_dkh: Estimate
    probe_offset_ph: Estimate
    lit_level_mg_l: Estimate
    tomorrow_peak_mg_l: Estimate
    target_low_mg_l: float
    target_high_mg_l: float
    ceiling: CeilingSet
    step: Step
    done: bool
    ahead: Ahead
    learnt: tuple[Learnt, ...]
    readings_count: int
    aside_count: int
    days_seen_count: int
    prior_co2_mg_l: Estimate
    trail: Trail
