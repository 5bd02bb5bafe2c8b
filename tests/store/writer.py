"""What other processes do to a record in the tests: write until they are killed, open all at once."""

from __future__ import annotations

import functools
import os
from datetime import UTC, datetime
from multiprocessing.connection import Connection
from pathlib import Path

from fizzwright.store import Reading, Store

NOW = functools.partial(datetime.now, UTC)


def reading(uid: str) -> Reading:
    """A reading that is all its uid."""
    return Reading(uid, NOW(), "Europe/Berlin", "ph", 6.8, "", "me", "phone")


def write_until_killed(where: dict[str, object], label: str, acknowledged: Connection) -> None:
    """Add readings and revisions one after another, each told only once it is acknowledged."""
    store = Store.open(**where, now=NOW)  # type: ignore[arg-type]
    number, revision = 0, store.job("shelf").revision_count
    while True:
        batch = [f"{label}-{number}-{part}" for part in range(1 + number % 5)]
        store.add_readings("shelf", [reading(uid) for uid in batch])
        acknowledged.send(("readings", batch))
        if number % 3 == 0:
            text = f"{label} {number}"
            store.save_job("shelf", text, expected_revision=revision, by=label, device=str(os.getpid()))
            revision += 1
            acknowledged.send(("revision", revision, text))
        number += 1


def open_and_add(folder: str) -> str:
    """Open a record that others open at the same moment, and keep a job in it."""
    store = Store.open(folder=Path(folder), now=NOW)
    slug = store.add_job("", by="", device="").slug
    store.close()
    return slug
