"""A writer killed at any moment loses nothing it had acknowledged, and leaves nothing half done."""

from __future__ import annotations

import random
import sqlite3
import time
from contextlib import closing
from multiprocessing import get_context

import pytest

from fizzwright.store import Store, where_kept
from tests.store.writer import NOW, write_until_killed


def killed_rounds(where, rounds):
    """Start a writer, kill it, look; again and again on the same record."""
    context = get_context("forkserver")
    context.set_forkserver_preload(["tests.store.writer"])
    chance = random.Random(4)
    store = Store.open(**where, now=NOW)
    store.add_job("first", by="me", device="desk", slug="shelf")
    uids, told, longest = set(), 0, 0
    for round_ in range(rounds):
        hears, says = context.Pipe(duplex=False)
        writer = context.Process(target=write_until_killed, args=(where, f"r{round_}", says), daemon=True)
        writer.start()
        says.close()
        assert hears.poll(30), "the writer never began"
        time.sleep(chance.uniform(0.0, 0.12))
        writer.kill()
        writer.join()
        said = drained(hears)
        batches = [message[1] for message in said if message[0] == "readings"]
        uids |= {uid for batch in batches for uid in batch}
        told, longest = told + len(said), max(longest, len(said))
        look(store, uids, said)
    assert told > 2 * rounds, "writers were killed before they wrote"
    store.close()


def drained(hears):
    """Everything said before the end; the last message may be torn."""
    said = []
    try:
        while hears.poll(0):
            said.append(hears.recv())
    except (EOFError, OSError):
        pass
    hears.close()
    return said


def look(store, uids, said):
    kept = [reading.uid for reading in store.readings("shelf")]
    assert len(kept) == len(set(kept))
    assert uids <= set(kept)
    history = store.history("shelf")
    assert [job.revision_count for job in history] == list(range(1, len(history) + 1))
    assert store.jobs()[0].revision_count == len(history)
    for _, revision, text in (message for message in said if message[0] == "revision"):
        assert history[revision - 1].text == text
    batches = {}
    for uid in kept:
        batches.setdefault(uid.rpartition("-")[0], set()).add(uid)
    for batch, found in batches.items():
        assert len(found) == 1 + int(batch.rpartition("-")[2]) % 5, "a batch was kept in part"


def test_on_sqlite(tmp_path):
    killed_rounds({"folder": tmp_path}, 8)
    whole(tmp_path)


def test_on_a_server(fresh_address):
    first = Store.open(fresh_address, now=NOW, as_it_is=True)
    first.migrate()
    first.close()
    killed_rounds({"url": fresh_address}, 4)


@pytest.mark.slow
def test_a_hundred_times(tmp_path):
    killed_rounds({"folder": tmp_path}, 100)
    whole(tmp_path)


def whole(folder):
    with closing(sqlite3.connect(where_kept(folder))) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
