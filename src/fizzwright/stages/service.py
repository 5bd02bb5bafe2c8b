"""The stage `service`: what is due when for one tank, and the same as a calendar.

Intervals are common practice; the bottle's test date follows its stamp and the region. Dates count from
when a thing was last done, else from the day asked.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.catalogue.bottles import RETESTS
from fizzwright.errors import Fault, InputError
from fizzwright.job.model import Job
from fizzwright.result import Assumption, Finding, Level, Trail, make_trail

__all__ = ["TASKS", "Due", "ServiceResult", "ServiceTask", "calendar_text", "service"]

RETEST_AHEAD_DAYS = 60
MOST_OCTETS = 73


@dataclass(frozen=True)
class ServiceTask:
    """One task of the round: key, what to do, and its interval in days."""

    key: str
    name: str
    every_days: float
    do: str


TASKS = (
    ServiceTask("weekly-look", "Weekly look", 7, "Weigh the bottle or read the gauge, count "
    "bubbles, titrate KH, "
                "read pH at lights-on, wipe the checker."),
    ServiceTask("checker-water", "New checker water and dye", 28, "Fresh reference water of known "
    "hardness, new dye."),
    ServiceTask("diffuser", "Diffuser cleaned", 28, "Soak, rinse, remove every trace of bleach, "
    "dry; set the feed "
                "again from below."),
    ServiceTask("probe", "Probe calibrated in 7 and 4", 42, "At tank temperature; accept a slope of "
    "85 to 105 % and "
                "an offset within 30 mV."),
    ServiceTask("counter-fluid", "Counter fluid, skimmer, pump, valve closing", 75, "Refill, clean, "
    "and time how "
                "long bubbles go on after shutting."),
    ServiceTask("check-valves", "Check valves renewed or blown back", 270, "Arrow towards the tank; "
    "lift the tube's "
                "end and blow back."),
    ServiceTask("loss-night", "Loss rate logged again", 270, "One night of pH with gas and lamp "
    "off; compare."),
    ServiceTask("alarm", "Alarm, power cut and first aid walked through", 270, "Shut-off in hand, "
    "air pump at hand."),
    ServiceTask("tubing", "Tube, disc and valve plunger", 540, "Renew tube and disc, clean the plunger."),
    ServiceTask("electrode", "Electrode renewed", 540, "Twelve to twenty-four months is their life."),
    ServiceTask("regulator", "Regulator serviced", 1460, "By a workshop for gas regulators."),
)  # fmt: skip


@dataclass(frozen=True)
class Due:
    """One date: what, when, how often after that, what to do; `overdue` where the date has passed."""

    key: str
    name: str
    on: str
    every_days: float | None
    do: str
    overdue: bool


@dataclass(frozen=True)
class ServiceResult:
    """Everything due, the earliest first; `calendar` is an iCalendar file (RFC 5545)."""

    name: str
    region: str
    due: tuple[Due, ...]
    calendar: str
    trail: Trail


def service(
    job: Job, *, today: dt.date, region: str = "Europe and UK", done: Mapping[str, dt.date] | None = None,
    swap_on: dt.date | None = None,
) -> ServiceResult:  # fmt: skip
    """What is due when.

    Parameters
    ----------
    job : Job
    today : date
    region : str
        Where the bottle is tested; decides the interval of its test.
    done : mapping of str to date, optional
        When tasks were last done, by key.
    swap_on : date or None
        The day a bottle swap is foreseen.

    Raises
    ------
    InputError
        Where region or task is not known.
    """
    done = done or {}
    retest = _retest(region)
    strange = [Fault("--done", key, f"one of {', '.join(t.key for t in TASKS)}") for key in done
               if key not in {t.key for t in TASKS}]  # fmt: skip
    if strange:
        raise InputError(strange)
    rows = []
    for task in TASKS:
        on = done.get(task.key, today) + dt.timedelta(days=task.every_days)
        rows.append(Due(task.key, task.name, on.isoformat(), task.every_days, task.do, on < today))
    findings = []
    test = job.gasline.bottle.tested
    if test is None:
        findings.append(Finding(Level.NOTE, (
            "The bottle's test date is not noted. Read the stamp: a filler refuses a bottle past "
            "it."), "bottle"))  # fmt: skip
    else:
        rows.append(_test_due(test, retest, today))
        if rows[-1].overdue:
            findings.append(Finding(Level.CARE, (
                "The bottle is due for its periodic test, or nearly. The stamp, your filler and "
                "local law decide."),
                "bottle"))  # fmt: skip
    if swap_on is not None:
        rows.append(Due("swap", "Bottle swapped", swap_on.isoformat(), None, (
            "Needle shut, new flat washer, upright and chained, weigh it full, open slowly, soap "
            "after ten minutes and "
            "a day; count bubbles after an hour and a day."), swap_on < today))  # fmt: skip
    rows.sort(key=lambda due: due.on)
    calendar = calendar_text(job.job.name, tuple(rows), today)
    return ServiceResult(
        name=job.job.name,
        region=region,
        due=tuple(rows),
        calendar=calendar,
        trail=make_trail(
            (),
            inputs={"job": job.job.name, "today": today.isoformat(), "region": region},
            assumptions=(
                Assumption("service intervals", "as listed"),
                Assumption(f"bottle test in {region}", f"{retest:g} years", source="from memory"),
            ),
            findings=findings,
        ),
    )


def _retest(region: str) -> float:
    for row in RETESTS:
        if row.region.lower() == region.lower():
            return row.every_years
    raise InputError([Fault("--region", region, f"one of {', '.join(row.region for row in RETESTS)}")])


def _test_due(tested: str, every_years: float, today: dt.date) -> Due:
    """The bottle's next test, with two months to act in."""
    year, month = (int(piece) for piece in tested.split("-"))
    due = dt.date(year + int(every_years), month, 1)
    remind = due - dt.timedelta(days=RETEST_AHEAD_DAYS)
    do = f"Stamped {tested}; due in {due:%Y-%m}. The stamp, your filler and local law decide."
    return Due("bottle-test", "Bottle's periodic test", remind.isoformat(), None, do, remind < today)


def calendar_text(name: str, due: tuple[Due, ...], today: dt.date) -> str:
    """The dates as an iCalendar file (RFC 5545): one all-day event each, repeating where the task does.

    Parameters
    ----------
    name : str
        What the tank is called.
    due : tuple of Due
    today : date
        The stamp of the file.
    """
    stamp = f"{today:%Y%m%d}T000000Z"
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Fizzwright//service//EN", "CALSCALE:GREGORIAN"]
    slug = "".join(c if c.isalnum() and c.isascii() else "-" for c in name.lower())
    for row in due:
        day = dt.date.fromisoformat(row.on)
        lines += [
            "BEGIN:VEVENT",
            f"UID:{row.key}-{slug}@fizzwright.invalid",
            f"DTSTAMP:{stamp}",
            f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
            f"DTEND;VALUE=DATE:{day + dt.timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{_escaped(f'{name}: {row.name}')}",
            f"DESCRIPTION:{_escaped(row.do)}",
            "TRANSP:TRANSPARENT",
        ]
        if row.every_days is not None:
            lines.append(f"RRULE:FREQ=DAILY;INTERVAL={row.every_days:.0f}")
        lines.append("END:VEVENT")
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _escaped(text: str) -> str:
    """Text as a property value: backslash, semicolon, comma and line break escaped."""
    for old, new in (
        ("\\", "\\\\"),
        (";", "\\;"),
        (",", "\\,"),
        ("\r\n", "\\n"),
        ("\n", "\\n"),
        ("\r", "\\n"),
    ):
        text = text.replace(old, new)
    return text


def _folded(line: str) -> list[str]:
    """A line in pieces of at most 75 octets, each after the first led by a blank; no character is split."""
    pieces, now, octets = [], "", 0
    for character in line:
        size = len(character.encode("utf-8"))
        if octets + size > MOST_OCTETS:
            pieces.append(now)
            now, octets = " ", 1
        now += character
        octets += size
    return [*pieces, now]
