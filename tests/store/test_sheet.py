"""Readings as rows of a file and back; a table program runs nothing it finds there."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime, timedelta
from pathlib import PurePosixPath
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fizzwright.store import Reading, data_folder, events_and_readings, readings_csv, slug_of
from fizzwright.store.names import check_slug, free_slug

AT = datetime(2026, 1, 5, 20, 0, tzinfo=UTC)


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_readings_of_one_moment_share_a_row():
    found = rows(
        readings_csv(
            [
                Reading("1", AT, "Europe/Berlin", "kh_dkh", 4.0),
                Reading("2", AT, "Europe/Berlin", "ph", 6.62),
                Reading("3", AT, "Europe/Berlin", "", None, "gas on"),
                Reading("4", AT, "Europe/Berlin", "ph", 6.64),
                Reading("5", AT + timedelta(minutes=5), "Europe/Berlin", "odd_l", 1.0),
            ]
        )
    )
    first = {"time": "2026-01-05T21:00:00+01:00", "ph": "6.62", "kh_dkh": "4", "odd_l": "", "event": "gas on"}
    assert found[0] == first
    assert list(found[0]) == ["time", "ph", "kh_dkh", "odd_l", "event"]
    assert [row["ph"] for row in found] == ["6.62", "6.64", ""]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r\n=1"])
def test_no_text_starts_a_formula_and_it_comes_back(text):
    found = rows(readings_csv([Reading("1", AT, "UTC", "", None, text)]))[0]["event"]
    assert found == "'" + text.strip()
    assert [r.event for r in events_and_readings([], {}, events=[(AT, found)], timezone="UTC")] == [
        text.strip()
    ]


def test_a_number_below_nought_stays_a_number():
    assert rows(readings_csv([Reading("1", AT, "UTC", "temperature_c", -1.5)]))[0]["temperature_c"] == "-1.5"


@given(
    value=st.floats(allow_nan=False, allow_infinity=False),
    at=st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1)),
    zone=st.sampled_from(["UTC", "Europe/Berlin", "Asia/Kathmandu", "America/St_Johns"]),
)
def test_a_row_says_the_moment_and_the_number_exactly(value, at, zone):
    moment = at.replace(tzinfo=UTC)
    row = rows(readings_csv([Reading("1", moment, zone, "ph", value)]))[0]
    assert float(row["ph"]) == value
    assert datetime.fromisoformat(row["time"]) == moment
    offset = datetime.fromisoformat(row["time"]).utcoffset()
    assert offset == moment.astimezone(ZoneInfo(zone)).utcoffset()


def test_a_log_makes_the_same_uids_again():
    nan = float("nan")
    log = ([AT, AT + timedelta(minutes=5)], {"ph": [6.8, nan], "kh_dkh": [nan, 4.0]})
    first = events_and_readings(*log, events=[(AT, "fed")], timezone="UTC")
    again = events_and_readings(*log, events=[(AT, "fed")], timezone="UTC", by="you")
    assert [r.uid for r in first] == [r.uid for r in again]
    assert len({r.uid for r in first}) == 3
    assert [(r.quantity, r.value) for r in first] == [("", None), ("ph", 6.8), ("kh_dkh", 4.0)]


@given(st.text())
def test_every_name_makes_a_slug_that_is_taken(name):
    check_slug(slug_of(name))
    check_slug(free_slug(slug_of(name), [slug_of(name)]))


def test_the_folder_follows_each_system():
    """XDG Base Directory Specification 0.8; a relative path there counts as none."""

    def folder(env, system):
        return PurePosixPath(data_folder(env, system=system).as_posix())

    assert folder({"HOME": "/h/me"}, "linux") == PurePosixPath("/h/me/.local/share/fizzwright")
    assert folder({"HOME": "/h/me", "XDG_DATA_HOME": "rel"}, "linux").is_relative_to("/h/me")
    assert folder({"HOME": "/h/me", "XDG_DATA_HOME": "/x"}, "linux") == PurePosixPath("/x/fizzwright")
    mac = PurePosixPath("/h/me/Library/Application Support/fizzwright")
    assert folder({"HOME": "/h/me"}, "darwin") == mac
    assert folder({"HOME": "/h/me", "LOCALAPPDATA": "/l"}, "win32") == PurePosixPath("/l/fizzwright")
