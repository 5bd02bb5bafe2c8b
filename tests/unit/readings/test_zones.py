"""The two nights of the year when clocks change, in a zone of each half of the world.

Europe/Berlin: summer time ended 2025-10-26 at 01:00 UTC and began 2025-03-30 at 01:00 UTC.
Australia/Sydney: summer time ended 2025-04-05 at 16:00 UTC and began 2025-10-04 at 16:00 UTC.
(IANA time zone database.)
"""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from fizzwright.readings import read_log
from fizzwright.result import Level

NIGHTS = {
    "Europe/Berlin": {"autumn": dt.datetime(2025, 10, 26, 1), "spring": dt.datetime(2025, 3, 30, 1)},
    "Australia/Sydney": {"autumn": dt.datetime(2025, 4, 5, 16), "spring": dt.datetime(2025, 10, 4, 16)},
}


def wall(zone, start, count, step_min, *, changed=True):
    """Stamps of a clock in a zone, that was set to the new time or was not."""
    first = start.replace(tzinfo=dt.UTC)
    offset = first.astimezone(ZoneInfo(zone)).utcoffset()
    for at in range(count):
        moment = first + dt.timedelta(minutes=step_min * at)
        local = moment.astimezone(ZoneInfo(zone)) if changed else moment + offset
        yield local.strftime("%Y-%m-%d %H:%M:%S")


def read(stamps, zone):
    return read_log("time;pH\n" + "".join(f"{stamp};6.8\n" for stamp in stamps), timezone=zone)


def rules(log):
    return {decision.rule: decision for decision in log.decisions}


@pytest.mark.parametrize("zone", NIGHTS)
@pytest.mark.parametrize("season", ["autumn", "spring"])
@pytest.mark.parametrize("step_min", [1, 5, 10, 30, 60])
def test_a_clock_that_follows_the_change(zone, season, step_min):
    start = NIGHTS[zone][season] - dt.timedelta(hours=3)
    log = read(wall(zone, start, 8 * 60 // step_min, step_min), zone)
    assert np.allclose(np.diff(log.elapsed_h) * 60, step_min)
    assert log.utc[0] == np.datetime64(start)
    assert ("autumn hour" in rules(log)) == (season == "autumn")


@pytest.mark.parametrize("zone", NIGHTS)
@pytest.mark.parametrize("season", ["autumn", "spring"])
def test_a_clock_nobody_changed_runs_through(zone, season):
    start = NIGHTS[zone][season] - dt.timedelta(hours=3)
    log = read(wall(zone, start, 48, 10, changed=False), zone)
    assert np.allclose(np.diff(log.elapsed_h) * 60, 10)
    assert log.utc[0] == np.datetime64(start)
    assert rules(log)["clock not changed"].level == Level.CARE


@pytest.mark.parametrize("zone", NIGHTS)
def test_a_log_that_starts_in_the_second_of_the_two_hours(zone):
    start = NIGHTS[zone]["autumn"] + dt.timedelta(minutes=20)
    log = read(wall(zone, start, 12, 10), zone)
    assert log.utc[0] == np.datetime64(start)
    assert np.allclose(np.diff(log.elapsed_h) * 60, 10)


@pytest.mark.parametrize("zone", NIGHTS)
def test_a_log_that_ends_in_the_first_of_the_two_hours(zone):
    start = NIGHTS[zone]["autumn"] - dt.timedelta(hours=2)
    log = read(wall(zone, start, 10, 10), zone)
    assert log.utc[0] == np.datetime64(start)
    assert np.allclose(np.diff(log.elapsed_h) * 60, 10)


def test_a_time_that_does_not_exist_is_set_aside():
    stamps = ["2025-03-30 00:10:00", "2025-03-30 00:20:00", "2025-03-30 02:30:00", "2025-03-30 05:00:00"]
    log = read(stamps, "Europe/Berlin")
    assert rules(log)["spring hour"].rows == (4,)
    assert log.lines.tolist() == [2, 3, 5]


def test_abbreviations_tell_the_two_hours_apart():
    stamps = ["2025-10-26 02:30:00 CEST", "2025-10-26 02:30:00 CET"]
    log = read(stamps, "Europe/Berlin")
    assert log.elapsed_h.tolist() == [0.0, 1.0]


def test_an_abbreviation_of_another_zone_is_said():
    log = read(["2025-07-01 02:30:00 EST"], "Europe/Berlin")
    assert log.utc[0] == np.datetime64("2025-07-01T00:30")
    assert rules(log)["zone word"].level == Level.CARE


def test_stamps_with_offset_pay_no_heed_to_the_zone():
    stamps = ["2025-10-26T02:30:00+02:00", "2025-10-26T02:30:00+01:00", "2025-03-30T02:30:00+01:00"]
    log = read(stamps[:2], "Europe/Berlin")
    assert log.elapsed_h.tolist() == [0.0, 1.0]
    assert log.utc[0] == np.datetime64("2025-10-26T00:30")
