"""Readings in the record: once each, in order of time, with zone, reader and device."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from fizzwright.errors import InputError, NotFound
from fizzwright.store import AddedReadings, Reading

AT = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)
READING = Reading("u1", AT, "Europe/Berlin", "ph", 6.8, "gas on", "me", "phone", AT + timedelta(seconds=2))


@pytest.fixture
def shelf(store):
    store.add_job("", by="me", device="desk", slug="shelf")
    return store


def test_a_reading_comes_back_whole(shelf, clock):
    assert shelf.add_readings("shelf", [READING]) == AddedReadings(1, 0)
    assert shelf.readings("shelf") == (replace(READING, received_utc=clock.moment),)


def test_values_keep_every_digit(shelf):
    values = [0.1 + 0.2, 1e-300, -0.0, 1.7976931348623157e308, 6.62]
    shelf.add_readings("shelf", [replace(READING, uid=str(n), value=v) for n, v in enumerate(values)])
    assert {r.uid: r.value for r in shelf.readings("shelf")} == {str(n): v for n, v in enumerate(values)}


def test_sent_three_times_is_kept_once(shelf):
    batch = [READING, replace(READING, uid="u2")]
    assert shelf.add_readings("shelf", batch) == AddedReadings(2, 0)
    assert shelf.add_readings("shelf", batch) == AddedReadings(0, 2)
    assert shelf.add_readings("shelf", [*batch, replace(READING, uid="u3")]) == AddedReadings(1, 2)
    assert len(shelf.readings("shelf")) == 3


def test_one_uid_with_two_contents_is_told(shelf):
    other = replace(READING, value=7.0)
    assert shelf.add_readings("shelf", [READING, other]) == AddedReadings(1, 1, ("u1",))
    assert shelf.add_readings("shelf", [other]).differing == ("u1",)
    assert shelf.readings("shelf")[0].value == 6.8


def test_the_same_uid_may_stand_in_two_jobs(shelf):
    shelf.add_job("", by="me", device="desk", slug="bench")
    shelf.add_readings("shelf", [READING])
    assert shelf.add_readings("bench", [READING]).added == 1


def test_order_and_since(shelf):
    later = [replace(READING, uid=str(h), taken_utc=AT + timedelta(hours=h)) for h in (3, 1, 2)]
    shelf.add_readings("shelf", later)
    assert [r.uid for r in shelf.readings("shelf")] == ["1", "2", "3"]
    since = datetime(2026, 1, 5, 23, 0, tzinfo=ZoneInfo("Europe/Berlin"))
    assert [r.uid for r in shelf.readings("shelf", since=since)] == ["2", "3"]


def test_both_hours_of_the_autumn_night_are_told_apart(shelf):
    """In Berlin 02:30 came twice on 25 October 2026, an hour apart."""
    zone = ZoneInfo("Europe/Berlin")
    twice = [datetime(2026, 10, 25, 2, 30, fold=fold, tzinfo=zone) for fold in (0, 1)]
    shelf.add_readings("shelf", [replace(READING, uid=str(at.fold), taken_utc=at) for at in twice])
    first, second = (r.taken_utc for r in shelf.readings("shelf"))
    assert second - first == timedelta(hours=1)
    assert first == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert first.utcoffset() == timedelta(0)


def test_any_zone_is_turned_into_utc_with_its_microseconds(shelf):
    at = datetime(2026, 7, 1, 1, 2, 3, 456789, tzinfo=timezone(timedelta(hours=5, minutes=45)))
    shelf.add_readings("shelf", [replace(READING, taken_utc=at)])
    assert shelf.readings("shelf")[0].taken_utc == at


def test_an_event_alone(shelf):
    noted = Reading("e", AT, "UTC", "", None, "fed")
    shelf.add_readings("shelf", [noted])
    found = shelf.readings("shelf")[0]
    assert (found.quantity, found.value, found.event) == ("", None, "fed")


FAULTY = {
    "taken_utc": replace(READING, taken_utc=AT.replace(tzinfo=None)),
    "client_clock_utc": replace(READING, client_clock_utc=AT.replace(tzinfo=None)),
    "timezone": replace(READING, timezone="../etc/passwd"),
    "uid": replace(READING, uid=" "),
    "quantity": replace(READING, quantity="acidity"),
    "value": replace(READING, value=math.nan),
    "event": replace(READING, event="\0"),
}


def test_every_fault_of_every_reading_is_told_and_none_is_kept(shelf):
    with pytest.raises(InputError) as refused:
        shelf.add_readings("shelf", [READING, *FAULTY.values()])
    expected = [f"reading {at}, {name}" for at, name in enumerate(FAULTY, 2)]
    assert [fault.field for fault in refused.value.faults] == expected
    assert shelf.readings("shelf") == ()


@pytest.mark.parametrize(
    "changed",
    [
        {"value": None}, {"quantity": ""}, {"quantity": "", "value": None, "event": ""}, {"value": math.inf},
    ],
)  # fmt: skip
def test_half_readings_are_refused(shelf, changed):
    with pytest.raises(InputError):
        shelf.add_readings("shelf", [replace(READING, **changed)])


def test_a_naive_since_is_refused(shelf):
    with pytest.raises(InputError):
        shelf.readings("shelf", since=AT.replace(tzinfo=None))


def test_no_job_no_reading(shelf):
    with pytest.raises(NotFound):
        shelf.add_readings("nowhere", [READING])


def test_a_long_log_at_once(shelf):
    log = [replace(READING, uid=f"l{n}", taken_utc=AT + timedelta(seconds=n)) for n in range(12_000)]
    assert shelf.add_readings("shelf", log) == AddedReadings(12_000, 0)
    assert shelf.add_readings("shelf", log) == AddedReadings(0, 12_000)


def test_the_same_batch_from_eight_threads_is_kept_once(shelf):
    batch = [replace(READING, uid=f"b{n}") for n in range(200)]
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: shelf.add_readings("shelf", batch), range(8)))
    assert sum(added.added for added in found) == 200
    assert sum(added.already_there for added in found) == 7 * 200
    assert len(shelf.readings("shelf")) == 200
