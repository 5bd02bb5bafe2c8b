"""Fifty readers and ten writers at once: no error, nothing lost, nobody waits long."""

from __future__ import annotations

import threading
import time
from datetime import timedelta

import pytest

from fizzwright.store import Store
from tests.store.writer import NOW, reading

READERS, WRITERS = 50, 10
# What the pages are held to; they ask of the record about as often as fifty people who leaf through them.
P95_S = 0.3


class Crowd:
    """Threads that do one thing over and over until told to stop."""

    def __init__(self, store, seconds):
        self.store, self.until = store, time.monotonic() + seconds
        self.errors, self.acknowledged = [], []
        self.took = {"read": [], "write": []}

    def over_and_over(self, kind, act, pause_s):
        try:
            while time.monotonic() < self.until:
                begun = time.monotonic()
                act()
                self.took[kind].append(time.monotonic() - begun)
                time.sleep(pause_s)
        except Exception as error:
            self.errors.append(error)

    def read(self):
        """What a page asks: the list, one job, its latest readings."""
        slug = self.store.jobs()[0].slug
        assert self.store.job(slug).revision_count == 1
        found = self.store.readings(slug, since=NOW() - timedelta(seconds=1))
        assert len({r.uid for r in found}) == len(found)

    def writes(self, label):
        numbers = iter(range(1_000_000))

        def write():
            uid = f"{label}-{next(numbers)}"
            assert self.store.add_readings(f"job-{label % 3}", [reading(uid)]).added == 1
            self.acknowledged.append((f"job-{label % 3}", uid))

        return write

    def run(self):
        readers = [
            threading.Thread(target=self.over_and_over, args=("read", self.read, 0.25))
            for _ in range(READERS)
        ]
        writers = [
            threading.Thread(target=self.over_and_over, args=("write", self.writes(label), 0.1))
            for label in range(WRITERS)
        ]
        for thread in readers + writers:
            thread.start()
        for thread in readers + writers:
            thread.join()


def looked(store: Store, seconds: float) -> Crowd:
    for number in range(3):
        store.add_job("", by="", device="", slug=f"job-{number}")
    crowd = Crowd(store, seconds)
    crowd.run()
    assert crowd.errors == []
    kept = {(slug, r.uid) for slug in ("job-0", "job-1", "job-2") for r in store.readings(slug)}
    assert kept == set(crowd.acknowledged)
    assert min(map(len, crowd.took.values())) > 50
    return crowd


def p95(times):
    return sorted(times)[int(0.95 * len(times))]


def test_a_few_seconds(store):
    looked(store, 3.0)


@pytest.mark.slow
def test_longer_and_quick_enough(store):
    crowd = looked(store, 15.0)
    assert p95(crowd.took["write"]) < P95_S
    assert p95(crowd.took["read"]) < P95_S


def test_several_programs_write_one_record(opened):
    """Stores of their own share no lock but the database's."""
    stores = [opened() for _ in range(4)]
    stores[0].add_job("", by="", device="", slug="shelf")
    errors = []

    def write(number):
        try:
            for n in range(25):
                stores[number].add_readings("shelf", [reading(f"{number}-{n}")])
        except Exception as error:
            errors.append(error)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert len(stores[0].readings("shelf")) == 100
