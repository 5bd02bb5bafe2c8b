"""Readings to and from the rows of a readings file, which has one column for each quantity."""

from __future__ import annotations

import csv
import hashlib
import io
import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from fizzwright.store.records import Reading

__all__ = ["events_and_readings", "readings_csv"]

# The order of the readings file; what is not in this list follows by name.
_ORDER = (
    "ph", "temperature_c", "kh_dkh", "ec_us_cm", "o2_mg_l", "room_co2_ppm", "bubbles_per_s",
    "checker_hue_deg", "bottle_gross_g", "bottle_gauge_barg", "low_gauge_barg",
)  # fmt: skip
# A table program takes a cell that begins so for a formula.
_STARTS_A_FORMULA = ("=", "+", "-", "@")


def readings_csv(readings: Iterable[Reading]) -> str:
    """Readings as a readings file: `time` with its offset, one column for each quantity, `event`.

    Readings of one moment share a row. Text that a table program would run gets an apostrophe before it.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> at = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)
    >>> print(readings_csv([Reading("a", at, "Europe/Berlin", "ph", 6.8)]), end="")
    time,ph,event
    2026-01-05T21:00:00+01:00,6.8,
    """
    ordered = sorted(readings, key=lambda r: r.taken_utc)
    used = {r.quantity for r in ordered if r.quantity}
    columns = [name for name in _ORDER if name in used] + sorted(used - set(_ORDER))
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["time", *columns, "event"])
    for row in _rows(ordered):
        values = [_number(row.get(name)) for name in columns]
        writer.writerow([row["time"], *values, _guarded(str(row.get("event", "")))])
    return text.getvalue()


def _rows(ordered: Sequence[Reading]) -> list[dict[str, str | float]]:
    rows: list[dict[str, str | float]] = []
    for reading in ordered:
        time = reading.taken_utc.astimezone(ZoneInfo(reading.timezone)).isoformat()
        fresh: dict[str, str | float] = {}
        if reading.quantity and reading.value is not None:
            fresh[reading.quantity] = reading.value
        if reading.event:
            fresh["event"] = reading.event
        if rows and rows[-1]["time"] == time and not fresh.keys() & rows[-1].keys():
            rows[-1].update(fresh)
        else:
            rows.append({"time": time, **fresh})
    return rows


def _number(value: str | float | None) -> str:
    return "" if value is None else repr(value).removesuffix(".0")


def _guarded(text: str) -> str:
    """Text on one line that no table program runs."""
    text = " ".join(text.split())
    return "'" + text if text.startswith(_STARTS_A_FORMULA) else text


def _unguarded(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith(_STARTS_A_FORMULA) else text


def events_and_readings(
    moments: Sequence[datetime],
    columns: Mapping[str, Iterable[float]],
    *,
    events: Iterable[tuple[datetime, str]] = (),
    timezone: str,
    by: str = "",
    device: str = "",
) -> tuple[Reading, ...]:
    """The readings of a log, one for each number that is there and each event.

    Each gets a uid made from what it says, so that a log kept twice, or longer the second time, doubles
    nothing.
    """
    found = [
        Reading(_uid(at, name, repr(value)), at, timezone, name, value, by=by, device=device)
        for name, values in columns.items()
        for at, value in zip(moments, map(float, values), strict=True)
        if math.isfinite(value)
    ]
    noted = [(at, _unguarded(text)) for at, text in events]
    found += [
        Reading(_uid(at, "event", text), at, timezone, "", None, text, by=by, device=device)
        for at, text in noted
    ]
    return tuple(sorted(found, key=lambda r: (r.taken_utc, r.quantity)))


def _uid(at: datetime, name: str, said: str) -> str:
    return "log-" + hashlib.sha256(f"{at.isoformat()} {name} {said}".encode()).hexdigest()[:32]
