"""What a job card says: the answer of the stage `fit`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fizzwright.catalogue.part_kinds import Place
from fizzwright.engines.gasline.solenoid import SolenoidFailure
from fizzwright.result import Estimate, Trail

__all__ = ["BottleEnd", "BranchTalk", "CardStep", "EndRow", "FitResult", "FormVerdict", "LeakLimits"]


@dataclass(frozen=True)
class CardStep:
    """One step of the card: where, what to do, and the check that ends it."""

    number: int
    place: Place
    do: str
    check: str


@dataclass(frozen=True)
class LeakLimits:
    """What a leak test of this line must show, and how long it takes.

    `dial_watch_min` is for a dial that shows 0.1 bar, `digital_watch_min` for one that shows 0.02 bar, each
    with the wait for an even temperature in it. `high_watch_h` is for the bottle side.
    """

    low_limit_ml_min_n: float
    low_limit_g_day: float
    feed_share_frac: Estimate
    wall_loss_ml_min_n: Estimate
    dial_watch_min: float
    digital_watch_min: float
    dial_fall_barg: float
    high_watch_h: float
    weighing_limit_g: float
    weighing_days: float


@dataclass(frozen=True)
class EndRow:
    """One moment of the bottle's last part; peaks are those of the day with the clock as planned."""

    left_frac: float
    left_g: float
    gauge_barg: float
    outlet_barg: Estimate
    flow_factor: Estimate
    co2_peak_mg_l: Estimate
    p_over_ceiling_frac: float


@dataclass(frozen=True)
class BottleEnd:
    """The end of the bottle for this regulator, pressure and tank.

    `swap_on` is the day the gauge first falls at the middle of use, `swap_on_early` at high use; None where
    no date was given. `last_part_days` is how long the liquid-free part lasts.
    """

    knee_frac: float
    swap_days: Estimate
    swap_on: date | None
    swap_on_early: date | None
    last_part_days: Estimate
    rows: tuple[EndRow, ...]
    verdict: str


@dataclass(frozen=True)
class BranchTalk:
    """What one tank on the manifold gets, and what it gets when all the others are shut."""

    name: str
    feed_mg_h: Estimate
    others_shut_factor: Estimate


@dataclass(frozen=True)
class FormVerdict:
    """One test out of the form: pass, fail or wait longer, and the sentence for it."""

    test: str
    verdict: str
    leak_g_day: Estimate | None
    said: str


@dataclass(frozen=True)
class FitResult:
    """The job card of one line.

    `bottle_heat_w` is the heat the feed draws from the bottle; `solenoid` the ways its valve can be.
    """

    name: str
    steps: tuple[CardStep, ...]
    line_volume_ml: float
    set_barg: float
    counter_barg: Estimate
    bubbles_per_s: Estimate
    startup_min: Estimate
    run_on_min: Estimate
    run_on_mg: Estimate
    overnight_bara: float
    siphon_lift_m: float
    coil_kwh: Estimate
    bottle_heat_w: Estimate
    solenoid: tuple[SolenoidFailure, ...]
    leak: LeakLimits
    end: BottleEnd
    manifold: tuple[BranchTalk, ...]
    tests: tuple[FormVerdict, ...]
    trail: Trail
