"""A logger's CSV to a Log, with nothing lost on the way without saying so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from fizzwright.errors import Fault, InputError
from fizzwright.readings.columns import COLUMNS
from fizzwright.readings.events import event_of
from fizzwright.readings.log import Decision, Log, counted
from fizzwright.readings.numbers import read_column
from fizzwright.readings.sheet import ColumnsTold, Sheet, lay_out, text_of
from fizzwright.readings.stamps import NO_STAMP, Stamps, read_stamps
from fizzwright.readings.tidy import Rows, drop_resets, in_order, joined, note_gaps
from fizzwright.readings.zones import to_utc
from fizzwright.result import Level

__all__ = ["read_log", "zone_of"]

# Enough rows to see whether a log runs backwards.
_PROBE_ROWS = 2000


def read_log(
    path_or_text: str | Path | bytes,
    *,
    timezone: str,
    columns: ColumnsTold = None,
    day_first: bool | None = None,
) -> Log:
    """The readings in a CSV file as a logger or a person wrote it, with every decision counted.

    Parameters
    ----------
    path_or_text : str, pathlib.Path or bytes
        A file; a string with a line break in it is taken as the text itself.
    timezone : str
        IANA zone of the tank; stamps that name no zone are clock time there.
    columns : mapping or sequence of str, optional
        What headings mean, where they do not say so themselves: heading to a column of ours ("" to
        leave it out); or, for a file without headings, our names in order.
    day_first : bool, optional
        Whether 05/03 is the fifth of March, where the dates cannot tell.

    Returns
    -------
    Log
        Rows in order of time; `decisions` says what was done and to how many rows.

    Raises
    ------
    InputError
        With all faults, where no reading can be got from the file.

    Examples
    --------
    >>> log = read_log("time;pH\\n2025-03-01 21:00;6,8\\n2025-03-01 21:10;6,9\\n", timezone="Europe/Berlin")
    >>> log.columns["ph"].tolist()
    [6.8, 6.9]
    """
    zone = zone_of(timezone)
    text, name, decisions = text_of(path_or_text)
    sheet = lay_out(text, name, columns)
    decisions.extend(sheet.decisions)
    sheet, turned = _oldest_first(sheet)
    stamps = _stamps(sheet, day_first)
    decisions.extend([*turned, *stamps.decisions])
    utc_ms, zoned = to_utc(stamps, zone, list(sheet.lines))
    decisions.extend(zoned)
    readings = {}
    for at, heading in enumerate(sheet.headings):
        if heading.column in COLUMNS:
            readings[heading.column], made = read_column(sheet.column(at), heading, list(sheet.lines))
            decisions.extend(made)
    rows = Rows(utc_ms, readings, np.array(sheet.lines, dtype=np.int64))
    events = _raw_events(sheet, utc_ms)
    rows, tidied = _tidy(rows, stamps)
    decisions.extend(tidied)
    if rows.utc_ms.size == 0:
        raise InputError(_nothing_kept(name, sheet, decisions))
    return _log((name, timezone), rows, sheet, (events, decisions))


def zone_of(timezone: str) -> ZoneInfo:
    """The zone of that IANA name; InputError where there is none."""
    try:
        return ZoneInfo(timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        step = 'For example "Europe/Berlin"'
        raise InputError(
            [Fault("timezone", timezone, "needs the name of an IANA time zone", step)]
        ) from error


def _stamp_texts(sheet: Sheet) -> list[str]:
    """Date and time of every row, from one column or from two."""
    at = {heading.column: index for index, heading in enumerate(sheet.headings)}
    whole = at.get("time", at.get("date"))
    if whole is None:
        return [""] * len(sheet.cells)
    if "date" in at and "clock" in at:
        return [f"{row[at['date']]} {row[at['clock']]}" for row in sheet.cells]
    return sheet.column(whole)


def _stamps(sheet: Sheet, day_first: bool | None) -> Stamps:
    """The stamps of every row; a zone named in the heading goes for stamps that name none."""
    timed = [heading for heading in sheet.headings if heading.column in {"time", "date", "clock"}]
    told = next((heading.day_first for heading in timed if heading.day_first is not None), None)
    stamps = read_stamps(_stamp_texts(sheet), day_first=told if day_first is None else day_first)
    zone_s = next((heading.offset_s for heading in timed if heading.offset_s is not None), None)
    if zone_s is None:
        return stamps
    offset_s = np.where(np.isfinite(stamps.offset_s), stamps.offset_s, float(zone_s))
    told_zone = Decision(
        "zone in heading", 1, (), f"times are UTC{zone_s / 3600:+g} h, as their heading says"
    )
    return Stamps(stamps.clock_ms, offset_s, ("",) * len(stamps.zone_word), (*stamps.decisions, told_zone))


def _oldest_first(sheet: Sheet) -> tuple[Sheet, list[Decision]]:
    """Rows turned round where the newest stands at the top, so that their order tells the time."""
    probe = read_stamps(_stamp_texts(sheet)[:_PROBE_ROWS]).clock_ms
    steps = np.diff(probe[probe != NO_STAMP])
    if steps.size < 2 or (steps < 0).sum() <= 0.6 * steps.size:
        return sheet, []
    turned = Sheet(
        sheet.headings,
        sheet.cells[::-1],
        sheet.lines[::-1],
        sheet.raw_rows,
        sheet.first_line,
        sheet.separator,
        (),
    )
    return turned, [
        Decision("newest first", len(sheet.cells), (), "the newest row stands first; turned round")
    ]


def _tidy(rows: Rows, stamps: Stamps) -> tuple[Rows, list[Decision]]:
    """Rows with a stamp, in order, one for each stamp; whatever is left out is said."""
    decisions = []
    unread = stamps.clock_ms == NO_STAMP
    if unread.any():
        lines = tuple(int(line) for line in rows.lines[unread])
        text = f"{counted(len(lines), 'row')} set aside: no date and time that can be read"
        decisions.append(Decision("no stamp", len(lines), lines, text, Level.CARE, sets_aside=True))
    rows = rows.take(rows.utc_ms != NO_STAMP)
    for step in (drop_resets, in_order, joined):
        rows, made = step(rows)
        decisions.extend(made)
    decisions.extend(note_gaps(rows))
    return rows, decisions


def _raw_events(sheet: Sheet, utc_ms: np.ndarray[tuple[int], np.dtype[np.int64]]) -> list[tuple[int, str]]:
    """Stamp and text of every event, also of rows that are later set aside for their stamp."""
    at = next((index for index, heading in enumerate(sheet.headings) if heading.column == "event"), None)
    if at is None:
        return []
    texts = sheet.column(at)
    return [(int(utc_ms[row]), text) for row, text in enumerate(texts) if text and utc_ms[row] != NO_STAMP]


def _nothing_kept(name: str, sheet: Sheet, decisions: list[Decision]) -> list[Fault]:
    """Why no row of a file could be kept, reason by reason."""
    if not sheet.raw_rows:
        return [Fault(name, "", "has headings but no rows below them", "", sheet.first_line - 1)]
    faults = []
    for made in decisions:
        if made.sets_aside and made.rows:
            line = made.rows[0]
            row = sheet.raw_rows[line - sheet.first_line]
            faults.append(Fault(name, row.strip("\x00")[:60], made.text, "", line))
    return faults


def _log(
    about: tuple[str, str],
    rows: Rows,
    sheet: Sheet,
    found: tuple[list[tuple[int, str]], list[Decision]],
) -> Log:
    raw_events, decisions = found
    start_ms = int(rows.utc_ms[0])
    end_ms = int(rows.utc_ms[-1])
    events = [
        replace(event_of(stamp, text)[1], elapsed_h=(stamp - start_ms) / 3_600_000)
        for stamp, text in sorted(raw_events, key=lambda pair: pair[0])
        if start_ms <= stamp <= end_ms
    ]
    return Log(
        name=about[0],
        timezone=about[1],
        utc=rows.utc_ms.astype("datetime64[ms]"),
        elapsed_h=(rows.utc_ms - start_ms) / 3_600_000,
        columns=rows.columns,
        events=tuple(events),
        raw_rows=sheet.raw_rows,
        first_line=sheet.first_line,
        lines=rows.lines,
        decisions=tuple(decisions),
    )
