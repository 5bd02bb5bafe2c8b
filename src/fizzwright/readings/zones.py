"""Local clock readings to UTC, over the two nights of the year when clocks change.

A clock that follows the change shows one hour twice in autumn and skips one in spring; which of the two
hours a row belongs to is told by the order of rows. A clock that is never changed runs straight through,
and is then read with one offset for the whole log.
"""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from fizzwright.readings.log import Decision, counted
from fizzwright.readings.stamps import DAY_MS, NO_STAMP, Stamps
from fizzwright.result import Level

__all__ = ["to_utc"]

Ints = NDArray[np.int64]
_EPOCH = dt.datetime(1970, 1, 1)


def to_utc(stamps: Stamps, zone: ZoneInfo, lines: list[int]) -> tuple[Ints, list[Decision]]:
    """UTC milliseconds of every row, NO_STAMP where there is none, and what was decided.

    Parameters
    ----------
    stamps : Stamps
        Clock readings in order of rows.
    zone : ZoneInfo
        Where the clock hung.
    lines : list of int
        Line of the file of each row.

    Returns
    -------
    tuple of (ndarray, list of Decision)
        UTC [ms since 1970], shape (rows,); decisions with counts.
    """
    utc_ms = np.full(stamps.clock_ms.shape, NO_STAMP, dtype=np.int64)
    read = stamps.clock_ms != NO_STAMP
    offset_s = stamps.offset_s.copy()
    decisions = _follow_words(stamps, zone, offset_s)
    named = read & np.isfinite(offset_s)
    utc_ms[named] = stamps.clock_ms[named] - (1000 * offset_s[named]).astype(np.int64)
    local = np.flatnonzero(read & ~np.isfinite(offset_s))
    if local.size:
        told = f"{counted(int(local.size), 'time')} without a zone read as {zone.key} clock time"
        decisions.append(Decision("local time", int(local.size), (), told))
        utc_ms[local] = _local(stamps.clock_ms[local], zone, ([lines[at] for at in local], decisions))
    return utc_ms, decisions


def _follow_words(stamps: Stamps, zone: ZoneInfo, offset_s: NDArray[np.float64]) -> list[Decision]:
    """Zones named by an abbreviation: followed where the tank's zone goes by it, else ignored and said."""
    words = set(stamps.zone_word) - {""}
    if not words:
        return []
    known: dict[str, float] = {}
    middle_ms = float(np.median(stamps.clock_ms[stamps.clock_ms != NO_STAMP]))
    year = min(max(1970 + int(middle_ms // (365.25 * DAY_MS)), 1971), 2100)
    for month in range(1, 13):
        moment = dt.datetime(year, month, 15, tzinfo=zone)
        known[str(moment.tzname()).upper()] = (moment.utcoffset() or dt.timedelta()).total_seconds()
    for word in words & known.keys():
        offset_s[np.array([said == word for said in stamps.zone_word])] = known[word]
    strange = sorted(words - known.keys())
    if not strange:
        return []
    told = f"zone {', '.join(strange)} is not one of {zone.key} and was not followed"
    return [Decision("zone word", len(strange), (), told, Level.CARE)]


def _offset_ms(clock_ms: int, zone: ZoneInfo, fold: int) -> int:
    moment = (_EPOCH + dt.timedelta(milliseconds=int(clock_ms))).replace(tzinfo=zone, fold=fold)
    return int((moment.utcoffset() or dt.timedelta()).total_seconds() * 1000)


def _local(clock_ms: Ints, zone: ZoneInfo, told: tuple[list[int], list[Decision]]) -> Ints:
    """UTC of clock readings in one zone, in order of rows; centuries off stay as they are."""
    lines, decisions = told
    sane = (clock_ms > -70 * 366 * DAY_MS) & (clock_ms < 200 * 366 * DAY_MS)
    utc_ms = clock_ms.copy()
    early = np.zeros(clock_ms.shape, dtype=np.int64)
    late = np.zeros(clock_ms.shape, dtype=np.int64)
    day = clock_ms // DAY_MS
    for date in np.unique(day[sane]):
        rows = sane & (day == date)
        start, end = (_offset_ms(int(date + step) * DAY_MS, zone, 0) for step in (0, 1))
        early[rows] = late[rows] = start
        if start != end:
            early[rows] = [_offset_ms(ms, zone, 0) for ms in clock_ms[rows]]
            late[rows] = [_offset_ms(ms, zone, 1) for ms in clock_ms[rows]]
    twice = sane & (early > late)
    skipped = sane & (early < late)
    utc_ms[sane] = clock_ms[sane] - early[sane]
    step_ms = _usual_step_ms(clock_ms[sane])
    straight = _runs_through(clock_ms, twice, skipped, step_ms)
    if straight:
        fixed = int(early[np.flatnonzero(sane)[0]])
        utc_ms[sane] = clock_ms[sane] - fixed
        text = "the logger's clock was not changed with the season; one offset used for the whole log"
        decisions.append(Decision("clock not changed", int(sane.sum()), (), text, Level.CARE))
        return utc_ms
    if twice.any():
        second = _second_pass(clock_ms, twice, step_ms)
        utc_ms[second] = clock_ms[second] - late[second]
        rows = tuple(lines[at] for at in np.flatnonzero(twice))
        text = (
            f"{counted(len(rows), 'row')} in the hour that comes twice in autumn, told apart by their order"
        )
        decisions.append(Decision("autumn hour", len(rows), rows, text))
    if skipped.any():
        utc_ms[skipped] = NO_STAMP
        rows = tuple(lines[at] for at in np.flatnonzero(skipped))
        text = f"{counted(len(rows), 'row')} set aside: times in the hour that spring skips"
        decisions.append(Decision("spring hour", len(rows), rows, text, Level.CARE, sets_aside=True))
    return utc_ms


def _usual_step_ms(clock_ms: Ints) -> float:
    steps = np.diff(clock_ms)
    steps = steps[steps > 0]
    return float(np.median(steps)) if steps.size else 0.0


def _runs_of(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last row of every run of marked rows."""
    edges = np.diff(np.concatenate(([0], mask.astype(np.int8), [0])))
    return list(zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1, strict=True))


def _joined(clock_ms: Ints, span: tuple[int, int], step_ms: float) -> tuple[bool, bool]:
    """Whether a run of rows follows the row before it, and is followed by the row after it, in step."""
    first, last = span
    near = 2.5 * step_ms
    before = first > 0 and 0 <= clock_ms[first] - clock_ms[first - 1] <= near
    after = last + 1 < clock_ms.size and 0 <= clock_ms[last + 1] - clock_ms[last] <= near
    return bool(before), bool(after)


def _switch(clock_ms: Ints, span: tuple[int, int], step_ms: float) -> int | None:
    """The row at which the second of the two autumn hours starts within a run, or None."""
    first, last = span
    falls = -np.diff(clock_ms[first : last + 1])
    if falls.size and falls.max() > max(1.5 * step_ms if step_ms < 1_200_000 else 0, 0):
        return int(first + 1 + falls.argmax())
    if step_ms >= 1_800_000 and (falls == 0).any():
        return int(first + 1 + np.flatnonzero(falls == 0)[0])
    return None


def _runs_through(
    clock_ms: Ints, twice: NDArray[np.bool_], skipped: NDArray[np.bool_], step_ms: float
) -> bool:
    """Whether the rows show a clock nobody changed: in step through an hour no changed clock shows so."""
    autumn = _runs_of(twice)
    if any(_switch(clock_ms, span, step_ms) is not None for span in autumn):
        return False
    if step_ms >= 3_600_000:
        return False
    last = clock_ms.size - 1
    for span in _runs_of(skipped):
        before, after = _joined(clock_ms, span, step_ms)
        if (before or after) and (before or span[0] == 0) and (after or span[1] == last):
            return True
    return any(all(_joined(clock_ms, span, step_ms)) for span in autumn)


def _second_pass(clock_ms: Ints, twice: NDArray[np.bool_], step_ms: float) -> NDArray[np.bool_]:
    """The rows of the second of the two autumn hours."""
    second = np.zeros(clock_ms.shape, dtype=bool)
    for span in _runs_of(twice):
        first, last = span
        start = _switch(clock_ms, span, step_ms)
        if start is not None:
            second[start : last + 1] = True
            continue
        before, after = _joined(clock_ms, span, step_ms)
        second[first : last + 1] = after and not before
    return second
