"""Readings and ticks as rows: each kept once, none ever changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime
from itertools import islice

from sqlalchemy import Connection, func, insert, select

from fizzwright.store.job_rows import locked, must_exist
from fizzwright.store.records import AddedReadings, Reading, Tick
from fizzwright.store.schema import readings, ticks

__all__ = ["add_readings", "add_tick", "all_ticks", "some_readings"]

_UIDS_AT_ONCE = 500
_ROWS_AT_ONCE = 5000
_FIELDS = tuple(field.name for field in fields(Reading))
_READING = tuple(readings.c[name] for name in _FIELDS)
_TICK = tuple(ticks.c[field.name] for field in fields(Tick))


def add_readings(
    connection: Connection, slug: str, sent: Sequence[Reading], *, received_utc: datetime
) -> AddedReadings:
    """Keep what is not there yet; what has come before stands as it came first."""
    # Nobody else adds to this job meanwhile, so what is found missing here is missing.
    locked(connection, slug)
    unique: dict[str, Reading] = {}
    differing = {
        reading.uid: None for reading in sent if _differs(unique.setdefault(reading.uid, reading), reading)
    }
    there = _kept_before(connection, slug, tuple(unique))
    new = [reading for uid, reading in unique.items() if uid not in there]
    differing |= {uid: None for uid, kept in there.items() if _differs(kept, unique[uid])}
    rows = iter([_row(slug, reading, received_utc) for reading in new])
    while chunk := list(islice(rows, _ROWS_AT_ONCE)):
        connection.execute(insert(readings), chunk)
    return AddedReadings(len(new), len(sent) - len(new), tuple(differing))


def _kept_before(connection: Connection, slug: str, uids: Sequence[str]) -> dict[str, Reading]:
    found: dict[str, Reading] = {}
    for at in range(0, len(uids), _UIDS_AT_ONCE):
        some = readings.c.uid.in_(uids[at : at + _UIDS_AT_ONCE])
        for row in connection.execute(select(*_READING).where(readings.c.slug == slug, some)):
            found[row.uid] = Reading(*row)
    return found


def _differs(kept: Reading, sent: Reading) -> bool:
    """Whether two readings of one uid say different things; when and how they were sent is no matter."""
    return any(
        getattr(kept, name) != getattr(sent, name) for name in ("taken_utc", "quantity", "value", "event")
    )


def _row(slug: str, reading: Reading, received_utc: datetime) -> dict[str, object]:
    row: dict[str, object] = {name: getattr(reading, name) for name in _FIELDS}
    return {**row, "slug": slug, "received_utc": reading.received_utc or received_utc}


def some_readings(connection: Connection, slug: str, *, since: datetime | None) -> tuple[Reading, ...]:
    """A job's readings in order of the moment they were taken."""
    query = select(*_READING).where(readings.c.slug == slug)
    if since is not None:
        query = query.where(readings.c.taken_utc >= since)
    found = connection.execute(query.order_by(readings.c.taken_utc, readings.c.received_utc, readings.c.uid))
    kept = tuple(Reading(*row) for row in found)
    if not kept:
        must_exist(connection, slug)
    return kept


def add_tick(connection: Connection, slug: str, tick: Tick) -> Tick:
    """One more line in the log of what was ticked and unticked."""
    locked(connection, slug)
    last = connection.scalar(select(func.max(ticks.c.number)).where(ticks.c.slug == slug))
    row = {column.name: getattr(tick, column.name) for column in _TICK}
    connection.execute(insert(ticks).values(slug=slug, number=(last or 0) + 1, **row))
    return tick


def all_ticks(connection: Connection, slug: str) -> tuple[Tick, ...]:
    """Everything ticked and unticked, in order."""
    found = connection.execute(select(*_TICK).where(ticks.c.slug == slug).order_by(ticks.c.number))
    kept = tuple(Tick(*row) for row in found)
    if not kept:
        must_exist(connection, slug)
    return kept
