"""The filled-in form of a leak test, test by test: passes, fails, or wait longer."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fizzwright.engines.gasline.leak import WEIGHING_LIMIT_G_DAY, weighed_leak_g_day
from fizzwright.engines.gasline.regulator_rest import CREEP_LIMIT_BAR_H, creep_bar_h
from fizzwright.errors import Fault, InputError
from fizzwright.job.model import Job
from fizzwright.result import Estimate, Trail
from fizzwright.stages.bench.gas_leak import LeakQuestion, LeakVerdict, Side, leak
from fizzwright.stages.fit_leak import FORM_COLUMNS, HIGH_SPACE_ML, line_volume_ml
from fizzwright.stages.fit_result import FormVerdict, LeakLimits
from fizzwright.units import number_text

__all__ = ["Readings", "judged"]

TESTS = ("low side", "high side", "weighing", "regulator")
# 90 % errors of a kitchen scale under a bottle, of a small dial, and of a bottle's dial.
_SCALE_G, _DIAL_BARG, _HIGH_DIAL_BARG = 3.0, 0.05, 1.0


@dataclass(frozen=True)
class Readings:
    """What a form said: a verdict for each test, and what stands behind it."""

    tests: tuple[FormVerdict, ...]
    trails: tuple[Trail, ...]
    ran: tuple[Callable[..., Any], ...]


@dataclass(frozen=True)
class _Row:
    """One filled-in row; None where nothing was written."""

    line: int
    test: str
    time_min: float
    start_barg: float | None
    end_barg: float | None
    start_c: float | None
    end_c: float | None
    start_g: float | None
    end_g: float | None


def judged(text: str, job: Job, limits: LeakLimits) -> Readings:
    """The verdicts of a filled-in form; InputError lists everything wrong with it.

    Rows left blank are passed over. The tube's own loss is taken off the low side.
    """
    faults: list[Fault] = []
    rows = _rows(text, faults)
    if not rows and not faults:
        faults.append(Fault("readings", "", "no test is filled in", "Write start and end of at least one"))
    found = [] if faults else [_judge(row, job, limits, faults) for row in rows]
    if faults:
        raise InputError(faults)
    tests = [test for test, _ in found]
    trails = tuple(trail for _, trail in found if trail is not None)
    weighed = any(row.test == "weighing" for row in rows)
    return Readings(tuple(tests), trails, (weighed_leak_g_day,) if weighed else ())


def _rows(text: str, faults: list[Fault]) -> list[_Row]:
    """The rows with anything in them, each with its line."""
    lines = [(n, row) for n, row in enumerate(text.removeprefix("\ufeff").splitlines(), 1) if row.strip()]
    lines = [(n, row) for n, row in lines if not row.lstrip().startswith("#")]
    if not lines:
        faults.append(Fault("readings", "", "the file is empty", "Make a form with fit JOB --form FILE"))
        return []
    named = [name.strip().lower() for name in next(csv.reader([lines[0][1]]))]
    missing = [name for name in FORM_COLUMNS[:3] if name not in named]
    strange = [name for name in named if name and name not in FORM_COLUMNS]
    if missing or strange:
        wrong = ", ".join(
            [*(f"{m} is missing" for m in missing), *(f"{s} is none of the form" for s in strange)]
        )
        faults.append(Fault("columns", "", wrong, f"Columns: {', '.join(FORM_COLUMNS)}", lines[0][0]))
        return []
    found = []
    for number, row in lines[1:]:
        cells = dict(zip(named, (cell.strip() for cell in next(csv.reader([row]))), strict=False))
        if any(value for name, value in cells.items() if name not in {"test", "note"}):
            made = _row(number, cells, faults)
            if made is not None:
                found.append(made)
    return found


def _row(number: int, cells: dict[str, str], faults: list[Fault]) -> _Row | None:
    before = len(faults)
    test = cells.get("test", "").lower()
    if test not in TESTS:
        faults.append(Fault("test", test, f"one of {', '.join(TESTS)}", "", number))
    times = [_time(cells.get(name, ""), name, number, faults) for name in ("start", "end")]
    values = {name: _number(cells.get(name, ""), name, number, faults) for name in FORM_COLUMNS[3:-1]}
    wanted = ("start_g", "end_g") if test == "weighing" else ("start_gauge_barg", "end_gauge_barg")
    faults += [
        Fault(name, "", f"is needed for the {test}", "", number)
        for name in wanted
        if test in TESTS and not cells.get(name, "")
    ]
    minutes = 0.0
    if times[0] is not None and times[1] is not None:
        minutes = _minutes(times[0], times[1], number, faults, test == "weighing")
    if len(faults) > before:
        return None
    return _Row(
        number, test, minutes, values["start_gauge_barg"], values["end_gauge_barg"], values["start_c"],
        values["end_c"], values["start_g"], values["end_g"],
    )  # fmt: skip


def _time(text: str, name: str, line: int, faults: list[Fault]) -> datetime | None:
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        faults.append(Fault(name, text, "needs a date and time", "For example 2026-03-01T18:30", line))
        return None


def _minutes(start: datetime, end: datetime, line: int, faults: list[Fault], weighing: bool) -> float:
    if (start.tzinfo is None) != (end.tzinfo is None):
        faults.append(
            Fault("end", end.isoformat(), "start and end must both have an offset, or neither", "", line)
        )
        return 0.0
    minutes = (end - start).total_seconds() / 60.0
    longest = 525_600.0 if weighing else 20_000.0
    if not 0.5 <= minutes <= longest:
        faults.append(
            Fault(
                "end",
                end.isoformat(),
                f"must be half a minute to {longest / 1440:.0f} days after start",
                "",
                line,
            )
        )
    return minutes


def _number(text: str, name: str, line: int, faults: list[Fault]) -> float | None:
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not -1e6 < value < 1e6:
        faults.append(
            Fault(name, text, "needs a plain number; its unit stands in the column's name", "", line)
        )
        return None
    return value


def _judge(row: _Row, job: Job, limits: LeakLimits, faults: list[Fault]) -> tuple[FormVerdict, Trail | None]:
    if row.test == "weighing":
        return _weighing(row), None
    if row.test == "regulator":
        return _regulator(row), None
    return _decay(row, job, limits, faults)


def _decay(row: _Row, job: Job, limits: LeakLimits, faults: list[Fault]) -> tuple[FormVerdict, Trail | None]:
    """Low or high side, by the sum of the leak bench."""
    high = row.test == "high side"
    assert row.start_barg is not None
    assert row.end_barg is not None
    question = LeakQuestion(
        volume_ml=HIGH_SPACE_ML if high else line_volume_ml(job),
        drop_barg=row.start_barg - row.end_barg,
        time_min=row.time_min,
        gauge_barg=row.start_barg,
        side=Side.HIGH if high else Side.LOW,
        start_c=job.room.temperature_c if row.start_c is None else row.start_c,
        end_c=row.end_c,
        tube_loss_mg_h=0.0 if high else 110.36 * limits.wall_loss_ml_min_n.value,
        limit_ml_min_n=limits.low_limit_ml_min_n,
        drop_error_barg=_HIGH_DIAL_BARG if high else _DIAL_BARG,
        temperature_error_c=0.5 if row.end_c is not None else 1.5,
        volume_error_frac=0.4 if high else 0.15,
        altitude_m=job.room.altitude_m,
    )
    try:
        answer = leak(question)
    except InputError as refused:
        faults += [Fault(f.field, f.value, f.allowed, f.next_step, row.line) for f in refused.faults]
        return FormVerdict(row.test, "", None, ""), None
    watch = f"{answer.watch_min / 60:.0f} h" if answer.watch_min > 180 else f"{answer.watch_min:.0f} min"
    found = answer.leak_ml_min_n
    said = {
        LeakVerdict.PASSES: f"at most {number_text(found.high, 2)} mL/min"
        if found.high > 0.0
        else "nothing beyond the tube's own wall",
        LeakVerdict.FAILS: f"about {number_text(found.value, 2)} mL/min: find it with liquid and test again",
        LeakVerdict.WAIT: f"not shown either way: watch {watch} or more at an even temperature",
    }[answer.verdict]
    return FormVerdict(row.test, answer.verdict.value, answer.cost_g_day, said), answer.trail


def _weighing(row: _Row) -> FormVerdict:
    """Valve open and needle shut: what the bottle lost, it leaked."""
    assert row.start_g is not None
    assert row.end_g is not None
    days = row.time_min / 1440.0
    middle = float(weighed_leak_g_day(row.start_g, row.end_g, time_days=days))
    error = 1.4142 * _SCALE_G / days
    found = Estimate(middle, "g_day", middle - error, middle + error)
    if found.low > WEIGHING_LIMIT_G_DAY:
        return FormVerdict(
            row.test, LeakVerdict.FAILS.value, found,
            f"{365 * middle:.0f} g a year: new washer at the nut, test liquid on every joint, weigh again",
        )  # fmt: skip
    if found.high <= WEIGHING_LIMIT_G_DAY:
        return FormVerdict(
            row.test, LeakVerdict.PASSES.value, found, f"at most {365 * found.high:.0f} g a year"
        )
    wait = 1.4142 * _SCALE_G / max(WEIGHING_LIMIT_G_DAY - max(middle, 0.0), 0.25 * WEIGHING_LIMIT_G_DAY)
    return FormVerdict(
        row.test, LeakVerdict.WAIT.value, found,
        f"the scale cannot tell yet: weigh again after {wait:.0f} days in all, or use one good to 0.5 g",
    )  # fmt: skip


def _regulator(row: _Row) -> FormVerdict:
    """Outlet with the needle shut: still, or creeping."""
    assert row.start_barg is not None
    assert row.end_barg is not None
    creep = float(creep_bar_h(row.start_barg, row.end_barg, time_min=row.time_min))
    doubt = 60.0 * _DIAL_BARG / row.time_min
    if creep - doubt > CREEP_LIMIT_BAR_H:
        said = f"{creep:.2f} bar/h: the seat creeps. Shut the bottle and have it serviced"
        return FormVerdict(row.test, LeakVerdict.FAILS.value, None, said)
    if creep + doubt <= CREEP_LIMIT_BAR_H:
        return FormVerdict(row.test, LeakVerdict.PASSES.value, None, f"{creep:.2f} bar/h: it holds")
    said = f"{creep:.2f} bar/h, not shown either way: watch an hour"
    return FormVerdict(row.test, LeakVerdict.WAIT.value, None, said)
