"""What the comparison of sources says: the answer of the stage `source`."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fizzwright.result import Estimate, Trail
from fizzwright.stages.parts_prices import Cost

__all__ = ["CoursePoint", "SourceKind", "SourceOption", "SourceResult", "Steadiness"]


class SourceKind(StrEnum):
    """Where carbon for the plants may come from."""

    BOTTLE = "pressurised bottle"
    CARTRIDGE = "disposable cartridge"
    YEAST = "yeast and sugar"
    ACID = "acid and bicarbonate"
    LIQUID_CARBON = "liquid carbon"
    TABLETS = "tablets"
    NOTHING = "nothing"


class Steadiness(StrEnum):
    """How even a source gives through a day and over weeks."""

    HELD = "held by a regulator, shut at night by a clock"
    DRIFTS = "held, but drifts in the last quarter"
    SET_BY_HAND = "set by hand, falls as the charge is used"
    RISES_AND_FALLS = "rises and falls over two weeks, day and night alike"
    ONCE = "once a day, gone within hours"
    NONE = "nothing to hold"


@dataclass(frozen=True)
class CoursePoint:
    """What a source gives on one day after it was started or mixed."""

    time_days: float
    gas_g_day: float


@dataclass(frozen=True)
class SourceOption:
    """One source against this tank's need.

    `share_frac` is the part of the need it can cover in the hours of gas. Costs are None without prices;
    `not_priced` names what was missing.
    """

    kind: SourceKind
    gives_g_day: Estimate
    course: tuple[CoursePoint, ...]
    share_frac: Estimate
    steadiness: Steadiness
    work_h: Estimate
    renew_days: Estimate | None
    cost_per_g: Cost | None
    cost_five_years: Cost | None
    not_priced: tuple[str, ...]
    hazards: tuple[str, ...]
    suits: bool
    why: str


@dataclass(frozen=True)
class SourceResult:
    """All sources for one tank, in a fixed order, and which to take.

    `work_h` of each option is hours of work in a year.
    """

    name: str
    need_g_day: Estimate
    gas_hours_h: float
    options: tuple[SourceOption, ...]
    take: SourceKind
    recommendation: str
    trail: Trail
