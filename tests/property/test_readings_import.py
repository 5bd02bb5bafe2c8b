"""Whatever a file holds, reading it ends in a log that accounts for every row, or in a refusal."""

from __future__ import annotations

import datetime as dt
from functools import cache
from zoneinfo import ZoneInfo

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fizzwright.errors import InputError
from fizzwright.readings import Log, read_log

BERLIN = "Europe/Berlin"
STAMPS = [
    "2025-03-01 21:00", "2025-03-01T21:05:00Z", "01.03.2025 21:10", "03/14/2025 9:00 PM", "2025-10-26 02:30",
    "2025-03-30 02:30", "1970-01-01 00:00", "2000-01-01 00:10", "9999-12-31 23:59", "0001-01-01 00:00",
    "1740859200", "1740859200000", "2025-03-01", "24:00", "", "later", "2025-02-30 10:00",
    "2025-03-01 21:00 CET", "99999999999999999", "2025-03-01 21:00:60", "0",
]  # fmt: skip
CELLS = [
    "6.8", "6,8", "14.00", "0", "-127", "85", "65535", "nan", "", "err", "1,234.5", "1.234,5", "25 °C", "77F",
    "1e999", "-", "٣", "6_8", "1e308", "inf", "−5", '"', '"6,8"', "\x00", "a;b", "gas off",
    "water change 300%",
]  # fmt: skip
HEADINGS = [
    "time", "Date", "Time", "pH", "Temp (°C)", "temp", "KH", "EC mS/cm", "Bottle weight (kg)", "event",
    "CO2 ppm", "Time (UTC)", "", "pH 2", "Room CO2", "Zeit", "Date Time, GMT+14:00", "temp (°F)",
]  # fmt: skip


def sound(log: Log) -> None:
    """What must hold of every log."""
    aside = [row for decision in log.decisions if decision.sets_aside for row in decision.rows]
    assert all(len(d.rows) == d.count for d in log.decisions if d.sets_aside)
    every = [*log.lines.tolist(), *aside]
    first = log.first_line
    assert sorted(every) == list(range(first, first + len(log.raw_rows)))
    assert (np.diff(log.elapsed_h) > 0).all()
    assert log.elapsed_h[0] == 0
    assert np.isfinite(log.elapsed_h).all()
    assert all(values.shape == log.elapsed_h.shape for values in log.columns.values())
    assert all(not np.isinf(values).any() for values in log.columns.values())
    assert all(0 <= event.elapsed_h <= log.elapsed_h[-1] for event in log.events)


def read_or_refuse(source: str | bytes) -> None:
    faults = None
    try:
        sound(read_log(source, timezone=BERLIN))
    except InputError as refused:
        faults = refused.faults
    assert faults is None or len(faults) > 0


@settings(deadline=None)
@given(st.binary(max_size=400))
@example(b"")
@example(b"\xff\xfe")
@example(b"\xef\xbb\xbf\n")
def test_any_bytes(data):
    read_or_refuse(data)


@settings(deadline=None)
@given(st.text(max_size=400))
def test_any_text_below_headings(text):
    read_or_refuse("time;pH;event\n" + text)


def rows(separator: str, width: int) -> st.SearchStrategy[str]:
    cells = st.lists(st.sampled_from(CELLS) | st.text(max_size=6), min_size=0, max_size=width)
    made = st.tuples(st.sampled_from(STAMPS), cells).map(lambda row: separator.join([row[0], *row[1]]))
    return made | st.sampled_from(["", "#", "time;pH", separator * 9, "\x00\x00"])


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_any_mix_of_defects(data):
    separator = data.draw(st.sampled_from([";", ",", "\t", "|"]))
    headings = data.draw(st.lists(st.sampled_from(HEADINGS), min_size=1, max_size=5))
    head = separator.join(["time", *headings] if data.draw(st.booleans()) else headings)
    body = data.draw(st.lists(rows(separator, len(headings) + 1), max_size=12))
    ends = data.draw(st.sampled_from(["\n", "\r\n", "\r"]))
    read_or_refuse(ends.join([head, *body]) + data.draw(st.sampled_from(["", ends])))


@settings(max_examples=60, deadline=None)
@given(
    start=st.datetimes(dt.datetime(2010, 1, 1), dt.datetime(2035, 1, 1)).map(
        lambda t: t.replace(second=0, microsecond=0)
    ),
    step_min=st.sampled_from([1, 5, 15, 30]),
    values=st.lists(st.floats(4.0, 9.0).map(lambda x: round(x, 2)), min_size=2, max_size=40),
    zone=st.sampled_from(["Europe/Berlin", "Australia/Sydney", "America/New_York", "Asia/Kolkata", "UTC"]),
    mark=st.sampled_from([".", ","]),
    form=st.sampled_from(["%Y-%m-%dT%H:%M:%S%z", "%Y-%m-%d %H:%M:%S %z", "%d %b %Y %H:%M %z"]),
)
def test_what_was_written_is_read(start, step_min, values, zone, mark, form):
    first = start.replace(tzinfo=dt.UTC)
    stamps = [
        (first + dt.timedelta(minutes=step_min * at)).astimezone(ZoneInfo(zone)) for at in range(len(values))
    ]
    body = [
        f"{stamp.strftime(form)};{value:.2f}".replace(".", mark)
        for stamp, value in zip(stamps, values, strict=True)
    ]
    log = read_log("\n".join(["time;pH", *body]) + "\n", timezone=zone)
    sound(log)
    assert log.columns["ph"].tolist() == values
    assert log.utc[0] == np.datetime64(start)
    assert np.allclose(log.elapsed_h * 60, step_min * np.arange(len(values)))


@cache
def change(year: int, zone: str, autumn: bool) -> dt.datetime:
    """The moment at which a zone's clocks are put back, or on, in a year; to the hour."""
    moment = dt.datetime(year, 1, 1, tzinfo=dt.UTC)
    while True:
        after = moment + dt.timedelta(hours=1)
        old, new = (t.astimezone(ZoneInfo(zone)).utcoffset() for t in (moment, after))
        if (new < old) if autumn else (new > old):
            return after
        moment = after


@settings(max_examples=60, deadline=None)
@given(
    year=st.integers(2015, 2037),
    zone=st.sampled_from(["Europe/Berlin", "Australia/Sydney", "America/New_York", "Europe/London"]),
    lead_min=st.integers(80, 400),
    step_min=st.sampled_from([1, 2, 5, 10, 15, 20]),
    autumn=st.booleans(),
)
def test_a_log_over_the_change_keeps_its_steps(year, zone, lead_min, step_min, autumn):
    where = ZoneInfo(zone)
    start = change(year, zone, autumn) - dt.timedelta(minutes=lead_min)
    count = (lead_min + 200) // step_min
    stamps = [(start + dt.timedelta(minutes=step_min * at)).astimezone(where) for at in range(count)]
    text = "time;pH\n" + "".join(f"{stamp:%Y-%m-%d %H:%M};6.8\n" for stamp in stamps)
    log = read_log(text, timezone=zone)
    sound(log)
    assert np.allclose(np.diff(log.elapsed_h) * 60, step_min)
    assert log.utc[0] == np.datetime64(start.replace(tzinfo=None))
