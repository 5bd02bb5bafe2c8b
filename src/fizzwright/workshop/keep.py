"""Files into the record: a job file as a new job or a further revision, a readings file once, not twice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fizzwright.readings import Log
    from fizzwright.store import AddedReadings, JobKept, Store

__all__ = ["Hand", "keep_job", "keep_readings"]


@dataclass(frozen=True)
class Hand:
    """Who keeps something, and from which device."""

    by: str
    device: str


def keep_job(
    record: Store, path: Path, *, hand: Hand, slug: str | None = None, onto: int | None = None
) -> JobKept:
    """Keep a job file, refused where it has faults; `onto` is the revision of the job there it continues.

    Without a slug the job's own name makes one.
    """
    from fizzwright.job.file import file_text, read_job
    from fizzwright.store import slug_of

    text = file_text(path)
    job = read_job(text, name=path.name)
    called = slug or slug_of(job.job.name)
    zone, note = job.job.timezone, f"from {path.name}"[:200]
    if onto is None:
        return record.add_job(text, by=hand.by, device=hand.device, slug=called, timezone=zone, note=note)
    return record.save_job(
        called, text, expected_revision=onto, by=hand.by, device=hand.device, timezone=zone, note=note
    )


def keep_readings(record: Store, slug: str, path: Path, *, hand: Hand) -> tuple[AddedReadings, Log]:
    """Keep the readings and events of a file; those kept before are not doubled."""
    from fizzwright.job.file import read_job
    from fizzwright.readings import read_readings
    from fizzwright.store import events_and_readings

    zone = read_job(record.job(slug).text, name=slug).job.timezone
    log = read_readings(path, timezone=zone)
    moments = [moment.replace(tzinfo=UTC) for moment in log.utc.tolist()]
    noted = [
        (moments[0] + timedelta(milliseconds=round(event.elapsed_h * 3_600_000)), event.text)
        for event in log.events
    ]
    found = events_and_readings(
        moments, log.columns, events=noted, timezone=zone, by=hand.by, device=hand.device
    )
    return record.add_readings(slug, found), log
