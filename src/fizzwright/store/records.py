"""What the record holds, as frozen data: jobs, readings, ticks. Every moment is aware and in UTC."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

__all__ = ["AddedReadings", "JobHead", "JobKept", "Reading", "Tick"]


@dataclass(frozen=True)
class JobHead:
    """One line in the list of jobs: its name in the record, how often it was kept, when last."""

    slug: str
    revision_count: int
    changed_utc: datetime
    archived: bool


@dataclass(frozen=True)
class JobKept:
    """A job as it was kept once: the text of its file, who kept it, when, where, from which device.

    `revision_count` numbers the revision, from 1; `timezone` is the zone of whoever made it. `carries`
    is the number of the earlier revision whose text this one brought back, None for a text of its own.
    """

    slug: str
    text: str
    revision_count: int
    changed_utc: datetime
    by: str
    device: str
    note: str = ""
    timezone: str = "UTC"
    archived: bool = False
    carries: int | None = None


@dataclass(frozen=True)
class Reading:
    """One quantity read once, or one thing done, with its moment, zone, reader and device.

    `uid` is given by whoever took it, so that sending it twice keeps it once. The unit ends the name of
    the quantity: `ph`, `kh_dkh`. Where only an event is noted, `quantity` is "" and `value` is None.
    `client_clock_utc` is what the device's clock said when it sent; `received_utc` is filled in when kept.
    """

    uid: str
    taken_utc: datetime
    timezone: str
    quantity: str
    value: float | None
    event: str = ""
    by: str = ""
    device: str = ""
    client_clock_utc: datetime | None = None
    received_utc: datetime | None = None


@dataclass(frozen=True)
class AddedReadings:
    """What became of readings sent: how many are new, how many were kept before.

    All of them are in the record now. `differing` lists the uids kept before with another content: the
    first one stands.
    """

    added: int
    already_there: int
    differing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Tick:
    """One line of a job card, ticked or unticked, by whom, when and from which device."""

    item: str
    done: bool
    ticked_utc: datetime
    by: str
    device: str
    timezone: str = "UTC"
