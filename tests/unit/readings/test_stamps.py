"""Stamps in the forms loggers and people write them, and rows whose stamp cannot be read."""

from __future__ import annotations

import pytest

from fizzwright.readings import read_log
from fizzwright.result import Level

BERLIN = "Europe/Berlin"


def rules(log):
    return {decision.rule: decision for decision in log.decisions}


def utc(log):
    return [str(stamp)[:16] for stamp in log.utc]


@pytest.mark.parametrize(
    ("stamp", "expected"),
    [
        ("2025-03-01T21:00:00+01:00", "2025-03-01T20:00"),
        ("2025-03-01T20:00Z", "2025-03-01T20:00"),
        ("2025-03-01 21:00:00 -0530", "2025-03-02T02:30"),
        ("20250301T210000", "2025-03-01T20:00"),
        ("202503012100", "2025-03-01T20:00"),
        ("2025/3/1 21:00", "2025-03-01T20:00"),
        ("01.03.2025 21:00", "2025-03-01T20:00"),
        ("1.3.25 21.00", "2025-03-01T20:00"),
        ("13/03/2025 09:05 pm", "2025-03-13T20:05"),
        ("03/13/2025 12:05 a.m.", "2025-03-12T23:05"),
        ("1 Mar 2025 21:00", "2025-03-01T20:00"),
        ("Sat, 01-Mar-2025 21:00:00", "2025-03-01T20:00"),
        ("March 1, 2025 9:00 PM", "2025-03-01T20:00"),
        ("Sat Mar  1 21:00:00 2025", "2025-03-01T20:00"),
        ("1. März 2025 21:00", "2025-03-01T20:00"),
        ("2025-03-01 21:00 CET", "2025-03-01T20:00"),
        ("1740859200", "2025-03-01T20:00"),
        ("1740859200.5", "2025-03-01T20:00"),
        ("1740859200000", "2025-03-01T20:00"),
        ("2025-03-01 24:00", "2025-03-01T23:00"),
        ("2025-03-01", "2025-03-01T11:00"),  # noon in winter time
    ],
)
def test_stamps(stamp, expected):
    # 1740859200 s after 1970-01-01 is 2025-03-01 20:00 UTC: 20148 days and 20 h.
    assert 20148 * 86400 + 20 * 3600 == 1740859200
    log = read_log(f"time;pH\n{stamp};6.8\n", timezone=BERLIN)
    assert utc(log) == [expected]


@pytest.mark.parametrize(
    "stamp",
    [
        "",
        "soon",
        "2025-13-01 10:00",
        "2025-02-30 10:00",
        "2025-03-01 25:00",
        "10:00",
        "12",
        "2025-03-01 13:00 pm",
    ],
)
def test_stamps_that_cannot_be_read_set_the_row_aside(stamp):
    log = read_log(f"time;pH\n2025-03-01 21:00;6.8\n{stamp};6.9\n", timezone=BERLIN)
    assert log.columns["ph"].tolist() == [6.8]
    assert rules(log)["no stamp"].rows == (3,)
    assert len(log.raw_rows) == log.lines.size + log.set_aside_count


def test_date_and_time_in_two_columns():
    log = read_log("Date;Time;pH\n28.02.2025;23:55;6,8\n01.03.2025;00:05;6,9\n", timezone=BERLIN)
    assert log.elapsed_h.tolist() == pytest.approx([0, 1 / 6])


def test_zone_named_in_the_heading():
    text = "Date Time, GMT+02:00;pH\n2025-03-01 21:00;6.8\n"
    assert utc(read_log(text, timezone=BERLIN)) == ["2025-03-01T19:00"]
    assert utc(read_log("Time (UTC);pH\n2025-07-01 21:00;6.8\n", timezone=BERLIN)) == ["2025-07-01T21:00"]


@pytest.mark.parametrize(
    ("rows", "told", "first", "level"),
    [
        (["05/03/2025 10:00", "13/03/2025 10:00"], None, "2025-03-05T09:00", Level.NOTE),
        (["03/05/2025 10:00", "03/13/2025 10:00"], None, "2025-03-05T09:00", Level.NOTE),
        (["05/03/2025 10:00", "06/03/2025 10:00"], None, "2025-03-05T09:00", Level.NOTE),
        (["03/05/2025 10:00", "03/06/2025 10:00"], None, "2025-03-05T09:00", Level.NOTE),
        (["05/03/2025 10:00", "05/03/2025 11:00"], None, "2025-03-05T09:00", Level.CARE),
        (["05/03/2025 10:00 AM", "05/03/2025 11:00 AM"], None, "2025-05-03T08:00", Level.CARE),
        (["05.03.2025 10:00", "05.03.2025 11:00"], None, "2025-03-05T09:00", Level.CARE),
        (["05/03/2025 10:00", "05/03/2025 11:00"], False, "2025-05-03T08:00", Level.NOTE),
    ],
)
def test_day_or_month_first(rows, told, first, level):
    text = "time;pH\n" + "".join(f"{row};6.8\n" for row in rows)
    log = read_log(text, timezone=BERLIN, day_first=told)
    assert utc(log)[0] == first
    assert rules(log)["date order"].level == level


def test_order_of_dates_named_in_the_heading():
    log = read_log("Time (MM/DD/YYYY);pH\n05/03/2025 10:00;6.8\n", timezone=BERLIN)
    assert utc(log) == ["2025-05-03T08:00"]
