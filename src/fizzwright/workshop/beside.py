"""What a phone beside the tank shows: estimate and age, today's readings, what comes, when to read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from fizzwright.errors import Fault, FizzwrightError, InputError
from fizzwright.papers.dial_curve import DialDay
from fizzwright.result import Estimate
from fizzwright.store import Reading
from fizzwright.units import parse
from fizzwright.workshop.bench import Workshop

if TYPE_CHECKING:
    from fizzwright.stages.dial_result import DialResult
    from fizzwright.stages.plan_result import PlanResult
    from fizzwright.store import JobKept

__all__ = ["Beside", "Given", "ReadRow", "beside_of", "readings_from"]

# What a reading beside a tank can be, with the least and the most anybody will read.
_REACH = {
    "ph": (3.0, 11.0),
    "temperature_c": (1.0, 45.0),
    "kh_dkh": (0.0, 40.0),
    "bubbles_per_s": (0.0, 40.0),
    "bottle_gross_g": (10.0, 200_000.0),
}
_EVENTS = ("gas on", "gas off", "light on", "light off", "water change", "fed", "trimmed")
MOST_AHEAD_S = 300.0


@dataclass(frozen=True)
class ReadRow:
    """One moment with what was read then, and the CO2 its pH says."""

    taken: datetime
    clock: str
    ph: float | None
    temperature_c: float | None
    bubbles_per_s: float | None
    event: str
    co2_mg_l: Estimate | None


@dataclass(frozen=True)
class Beside:
    """Everything the page beside the tank shows; `refused` says why there is no plan."""

    kept: JobKept
    name: str
    timezone: str
    plan: PlanResult | None
    refused: str
    result: DialResult | None
    today: tuple[ReadRow, ...]
    last: ReadRow | None
    day: DialDay
    next_read: datetime | None


@dataclass(frozen=True)
class Given:
    """One thing a phone sent: a quantity with its value as typed, the moments of taps, or an event."""

    uid: str
    taken: datetime
    quantity: str = ""
    value: str = ""
    taps_s: tuple[float, ...] = ()
    event: str = ""


def beside_of(workshop: Workshop, slug: str) -> Beside:
    """The page beside the tank, for this moment."""
    kept = workshop.kept(slug)
    job = workshop.job(kept)
    zone, now = ZoneInfo(job.job.timezone), workshop.now()
    local = now.astimezone(zone)
    plan: PlanResult | None = None
    result: DialResult | None = None
    refused = ""
    try:
        plan = workshop.planned(kept).plan
        result = workshop.dial(kept)
    except FizzwrightError as why:
        refused = str(why)
    rows = _rows(workshop, kept, workshop.readings(slug, days=3), zone)
    today = tuple(row for row in rows if row.taken.astimezone(zone).date() == local.date())
    with_ph = [row for row in rows if row.co2_mg_l is not None]
    last = with_ph[-1] if with_ph else None
    return Beside(
        kept=kept,
        name=job.job.name,
        timezone=job.job.timezone,
        plan=plan,
        refused=refused,
        result=result,
        today=tuple(reversed(today)),
        last=last,
        day=_day(today, local, result, last),
        next_read=_next_read(result, last, now, zone),
    )


def _minute(moment: datetime) -> float:
    return 60.0 * moment.hour + moment.minute + moment.second / 60.0


def _day(
    today: Sequence[ReadRow], local: datetime, result: DialResult | None, last: ReadRow | None
) -> DialDay:
    """Today's dots on the tank's clock, and the course from the last reading on."""
    zone = local.tzinfo
    dots = tuple(
        (_minute(row.taken.astimezone(zone)), row.co2_mg_l) for row in today if row.co2_mg_l is not None
    )
    if result is None or last is None:
        return DialDay(dots, _minute(local))
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    since = (last.taken - midnight).total_seconds() / 60.0
    return DialDay(dots, _minute(local), result.ahead, since)


def _next_read(
    result: DialResult | None, last: ReadRow | None, now: datetime, zone: ZoneInfo
) -> datetime | None:
    """The first of the moments to read at that is still to come after the last reading."""
    if result is None or last is None:
        return None
    local = last.taken.astimezone(zone)
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    coming = []
    for minute in result.step.read_at_min:
        at = midnight + timedelta(minutes=minute)
        coming.append(at if at > local else at + timedelta(days=1))
    later = sorted(coming)
    return next((at for at in later if at > now), later[-1] if later else None)


def _rows(workshop: Workshop, kept: JobKept, readings: Sequence[Reading], zone: ZoneInfo) -> list[ReadRow]:
    """Readings of one moment in one row, in order of time."""
    moments: dict[datetime, list[Reading]] = {}
    for reading in readings:
        moments.setdefault(reading.taken_utc, []).append(reading)
    rows = []
    for taken, found in sorted(moments.items()):
        values = {r.quantity: r.value for r in found if r.quantity}
        ph, warm = values.get("ph"), values.get("temperature_c")
        level: Estimate | None = None
        if ph is not None:
            try:
                level = workshop.co2_of(kept, ph, temperature_c=warm).co2_mg_l
            except FizzwrightError:
                level = None
        events = "; ".join(r.event for r in found if r.event)
        clock = f"{taken.astimezone(zone):%H:%M}"
        rows.append(ReadRow(taken, clock, ph, warm, values.get("bubbles_per_s"), events, level))
    return rows


def readings_from(
    workshop: Workshop, given: Sequence[Given], reading: Reading
) -> tuple[tuple[Reading, ...], dict[str, str]]:
    """What was sent as readings, each like the pattern in zone, name and device; and what was refused, why.

    One that cannot be used never holds up the others.
    """
    good, refused = [], dict[str, str]()
    for one in given:
        try:
            good.append(_reading(workshop, one, reading))
        except InputError as wrong:
            refused[one.uid] = "; ".join(f"{f.allowed}" for f in wrong.faults)
    return tuple(good), refused


def _reading(workshop: Workshop, one: Given, pattern: Reading) -> Reading:
    if (one.taken - workshop.now()).total_seconds() > MOST_AHEAD_S:
        raise InputError([Fault("taken", one.taken.isoformat(), "lies ahead of this workshop's clock")])
    made = replace(pattern, uid=one.uid, taken_utc=one.taken)
    if one.event:
        if not one.event.startswith(_EVENTS):
            raise InputError([Fault("event", one.event[:40], f"is none of {', '.join(_EVENTS)}")])
        return replace(made, quantity="", value=None, event=one.event[:120])
    if one.taps_s:
        rate = workshop.taps(list(one.taps_s)).bubbles_per_s.value
        return replace(made, quantity="bubbles_per_s", value=round(rate, 4))
    if one.quantity not in _REACH:
        raise InputError([Fault("quantity", one.quantity[:40], f"is none of {', '.join(_REACH)}")])
    low, high = _REACH[one.quantity]
    value = _number(one)
    if not low <= value <= high:
        raise InputError([Fault(one.quantity, one.value[:20], f"{value:g} is beyond {low:g}…{high:g}")])
    return replace(made, quantity=one.quantity, value=value)


def _number(one: Given) -> float:
    text = one.value.strip()
    if one.quantity == "ph":
        return parse(text, "ph", field="pH")
    try:
        return float(text.replace(",", "."))
    except ValueError as err:
        raise InputError([Fault(one.quantity, text[:20], "needs to be a number")]) from err
