"""What a source costs over five years and for each gram, out of the user's own prices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fizzwright.job.part_words import PartKind
from fizzwright.result import Estimate
from fizzwright.stages.parts_prices import Cost, Prices

__all__ = ["FIVE_YEARS_DAYS", "LINE_PARTS", "Bill", "Costs", "Spend", "costs_of"]

FIVE_YEARS_DAYS = 5 * 365.0
LINE_PARTS: tuple[PartKind, ...] = (
    PartKind.SOLENOID, PartKind.TIMER, PartKind.NEEDLE, PartKind.PLAIN_COUNTER, PartKind.GAS_CHECK_VALVE,
    PartKind.TUBE, PartKind.DIFFUSER, PartKind.ROOM_ALARM,
)  # fmt: skip


@dataclass(frozen=True)
class Spend:
    """A running price, by its key in the price file, and how many of them five years take."""

    key: str
    uses_count: Estimate


@dataclass(frozen=True)
class Bill:
    """Everything five years of a source take: parts that wear, spends, hours of work in a year, gas given.

    A spend that is not needed at all is left out of the bill.
    """

    parts: tuple[PartKind, ...]
    spends: tuple[Spend, ...]
    work_h: Estimate
    given_g_day: Estimate
    tube_m: float = 1.0
    owned: tuple[PartKind, ...] = ()


@dataclass(frozen=True)
class Costs:
    """Cost of a gram and of five years; None where nothing could be priced."""

    per_g: Cost | None
    five_years: Cost | None
    not_priced: tuple[str, ...]


def costs_of(bill: Bill, prices: Prices | None) -> Costs:
    """The costs of a bill; what the file does not price is named and counts nothing."""
    if prices is None:
        return Costs(None, None, ())
    missing: list[str] = []
    amounts: list[tuple[float, float, float]] = []
    for kind in bill.parts:
        if kind not in prices.buy:
            missing.append(kind.value)
            continue
        each = float(prices.buy[kind]) * (bill.tube_m if kind is PartKind.TUBE else 1.0)
        times = max(5.0 / prices.lasts_years(kind), 1.0) - (1.0 if kind in bill.owned else 0.0)
        amounts.append((each * times,) * 3)
    for spend in bill.spends:
        price = prices.runs_number(spend.key)
        if price is None:
            missing.append(spend.key)
        else:
            amounts.append(
                (price * spend.uses_count.value, price * spend.uses_count.low, price * spend.uses_count.high)
            )
    hour = prices.runs_number("hour")
    if hour is not None:
        work = bill.work_h
        amounts.append((5 * hour * work.value, 5 * hour * work.low, 5 * hour * work.high))
    if not amounts:
        return Costs(None, None, tuple(missing))
    middle, low, high = _summed(amounts)
    given = bill.given_g_day.value * FIVE_YEARS_DAYS
    per_g = None
    if given > 0.0:
        per_g = Cost.of((middle / given, low / given, high / given), prices.currency)
    return Costs(per_g, Cost.of((middle, low, high), prices.currency), tuple(missing))


def _summed(amounts: Sequence[tuple[float, float, float]]) -> tuple[float, float, float]:
    """Middles add; what is in doubt goes with the same use, so low and high add too."""
    middle, low, high = (sum(amount[at] for amount in amounts) for at in range(3))
    return middle, low, high
