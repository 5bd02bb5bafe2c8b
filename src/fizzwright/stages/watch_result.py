"""What a watch answers: what changed and how sure, how steady the tank is, when the bottle is empty."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.result import Estimate, Trail

__all__ = ["BottleOutlook", "Steadiness", "WatchResult", "Watching"]


@dataclass(frozen=True)
class Watching:
    """One thing found in the log.

    `since` and `seen_on` are dates: when it set in, and when the log first told it from a quiet tank.
    `size` is in words; `score_number` how many deviations it stands over a quiet tank; `confidence` is
    "likely", "probable" or "possible"; `others` names what fits nearly as well.
    """

    key: str
    name: str
    size: str
    since: str
    seen_on: str
    evidence: str
    confidence: str
    score_number: float
    check: str
    do: str
    others: tuple[str, ...]


@dataclass(frozen=True)
class Steadiness:
    """How steady a stretch of days was; daily figures as their median over the days.

    `days_count` days count; CO2 is what pH means at the tank's fitted alkalinity. Trends are a week's.
    """

    first_day: str
    last_day: str
    days_count: int
    lit_median_mg_l: float
    lights_on_mg_l: float
    swing_frac: float
    in_band_h: float
    lights_off_mg_l: float
    night_low_mg_l: float
    fastest_rise_mg_l_h: float
    over_ceiling_mg_h_l: float
    longest_over_h: float
    day_to_day_frac: float
    trend_ph: float
    trend_bubbles_frac: float | None


@dataclass(frozen=True)
class BottleOutlook:
    """What the bottle holds and when it runs out; dates are ISO, None where it cannot be told.

    `leak_g_day` is what the scale misses over the counted feed; a leak under `detectable_leak_g_day` would
    not show. `swap_on` comes before the gauge falls and a single-stage regulator rises.
    """

    left_g: Estimate | None
    use_g_day: Estimate | None
    empty_on: str | None
    empty_earliest: str | None
    empty_latest: str | None
    swap_on: str | None
    leak_g_day: Estimate | None
    detectable_leak_g_day: float | None
    weighings_count: int
    says: str


@dataclass(frozen=True)
class WatchResult:
    """A log set against the tank of its first week."""

    name: str
    verdict: str
    first_day: str
    last_day: str
    days_count: int
    base_days_count: int
    watchings: tuple[Watching, ...]
    stability: Steadiness
    months: tuple[Steadiness, ...]
    bottle: BottleOutlook
    trail: Trail
