"""Service dates, and a calendar file that follows RFC 5545."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.service import Due, calendar_text, service

JOB = read_job(example_text("library-foyer-120.toml"), name="library-foyer-120.toml")
TODAY = dt.date(2025, 6, 1)


def test_dates_count_from_when_a_thing_was_done():
    due = {row.key: row for row in service(JOB, today=TODAY, done={"probe": dt.date(2025, 3, 1)}).due}
    assert due["probe"].on == "2025-04-12"  # 42 days on
    assert due["probe"].overdue
    assert due["weekly-look"].on == "2025-06-08"


def test_the_bottles_test_follows_the_region():
    # Stamped 2021-03. Ten years in Europe (ADR P200, memory), five in the US (49 CFR 180.209, seen); the
    # reminder comes 60 days before the first of that month.
    europe = {row.key: row for row in service(JOB, today=TODAY).due}["bottle-test"]
    us = {row.key: row for row in service(JOB, today=TODAY, region="US").due}["bottle-test"]
    assert europe.on == "2030-12-31"
    assert us.on == "2025-12-31"


def test_what_is_not_known_is_refused():
    with pytest.raises(InputError):
        service(JOB, today=TODAY, region="Atlantis")
    with pytest.raises(InputError):
        service(JOB, today=TODAY, done={"polish": TODAY})


def unfolded(text: str) -> list[str]:
    return text.replace("\r\n ", "").split("\r\n")


def test_the_calendar_is_icalendar():
    # RFC 5545: CRLF ends (3.1), at most 75 octets a line (3.1), UID and DTSTAMP in each event (3.6.1),
    # DATE as eight digits (3.3.4), text escapes (3.3.11). From memory.
    text = service(JOB, today=TODAY).calendar
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert all(len(line.encode("utf-8")) <= 75 for line in text.split("\r\n"))
    lines = unfolded(text)
    count = lines.count("BEGIN:VEVENT")
    assert count == lines.count("END:VEVENT") == len([x for x in lines if x.startswith("UID:")])
    assert len({x for x in lines if x.startswith("UID:")}) == count
    assert all(re.fullmatch(r"DTSTART;VALUE=DATE:\d{8}", x) for x in lines if x.startswith("DTSTART"))


def test_long_words_are_folded_between_characters_and_escaped():
    row = Due("k", "wäsche; grün, " + "ü" * 90, "2025-07-01", None, "a\\b\nc", False)
    lines = unfolded(calendar_text("tank, one", (row,), TODAY))
    summary = next(line for line in lines if line.startswith("SUMMARY:"))
    assert summary == "SUMMARY:tank\\, one: wäsche\\; grün\\, " + "ü" * 90
    assert "DESCRIPTION:a\\\\b\\nc" in lines
