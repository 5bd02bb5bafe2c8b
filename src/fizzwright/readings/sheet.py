"""From bytes to rows of cells: encoding, separator, headings, and rows that are no readings at all."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from fizzwright.errors import Fault, InputError
from fizzwright.readings.columns import COLUMNS, UNKNOWN, Heading, map_heading, own_heading
from fizzwright.readings.log import Decision, counted
from fizzwright.result import Level

__all__ = ["ColumnsTold", "Sheet", "lay_out", "text_of"]

ColumnsTold = Mapping[str, str] | Sequence[str] | None

_SEPARATORS = (";", "\t", "|", ",")
_NAMES = {";": "semicolons", "\t": "tabs", "|": "bars", ",": "commas"}
_HEAD_LINES = 80
_LONGEST_HEAD = 4000
_ROLES = ("time", "date", "clock", "event")


@dataclass(frozen=True)
class Sheet:
    """Rows of cells under headings whose meaning is known.

    `cells` holds the rows that may be readings, each as long as `headings`; `lines` their line numbers.
    """

    headings: tuple[Heading, ...]
    cells: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    raw_rows: tuple[str, ...]
    first_line: int
    separator: str
    decisions: tuple[Decision, ...]

    def column(self, at: int) -> list[str]:
        """The cells under one heading."""
        return [row[at] for row in self.cells]


def text_of(source: str | Path | bytes) -> tuple[str, str, list[Decision]]:
    """Text, name and what was decided about the encoding, of a path, of bytes or of text itself.

    A string with a line break in it is the text of a log; any other string is a path.
    """
    if isinstance(source, str) and ("\n" in source or "\r" in source):
        return source.removeprefix("\ufeff"), "log", []
    name = "log"
    if isinstance(source, bytes):
        data = source
    else:
        path = Path(source)
        name = path.name
        try:
            data = path.read_bytes()
        except (OSError, ValueError) as error:
            reason = "is not there" if isinstance(error, FileNotFoundError) else "cannot be read"
            raise InputError([Fault(str(path), "", reason, "Give the path of a CSV file")]) from error
    text, encoding = _decode(data)
    told = f"read as {encoding}"
    return text.removeprefix("\ufeff"), name, [Decision("encoding", 1, (), told)]


def _decode(data: bytes) -> tuple[str, str]:
    """Text and the name of its encoding: by its mark, by its zero bytes, or what fits."""
    if data[:3] == b"\xef\xbb\xbf":
        return data.decode("utf-8-sig", errors="replace"), "UTF-8 with a byte order mark"
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace"), "UTF-16"
    head = data[:2000]
    if len(head) > 3 and head[1::2].count(0) > 0.4 * len(head) / 2 > head[0::2].count(0):
        return data.decode("utf-16-le", errors="replace"), "UTF-16 without its mark"
    if len(head) > 3 and head[0::2].count(0) > 0.4 * len(head) / 2 > head[1::2].count(0):
        return data.decode("utf-16-be", errors="replace"), "UTF-16 without its mark"
    try:
        return data.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        return data.decode("latin-1"), "Latin-1, not being UTF-8"


def lay_out(text: str, name: str, told: ColumnsTold) -> Sheet:
    """The rows of a log under their headings; InputError where no headings can be made out."""
    lines = re.split(r"\r\n|\n|\r", text)
    cut_off = bool(lines) and lines[-1] != ""
    if lines and lines[-1] == "":
        lines.pop()
    if isinstance(told, Sequence):
        at, separator, headings = -1, _separator_by_count(lines, len(told)), _named(told)
    else:
        at, separator, headings = _find_headings(lines, told or {}, name)
    completed = _with_units_row(headings, lines[at + 1 : at + 2], separator)
    title = "\n".join(lines[at : at + 1 + (completed != headings)]) if at >= 0 else ""
    headings = completed
    decisions = [Decision("separator", 1, (), f"cells parted by {_NAMES[separator]}")]
    if at > 0:
        rows = tuple(range(1, at + 1))
        decisions.append(Decision("preamble", at, rows, f"{counted(at, 'line')} above the headings not read"))
    decisions.extend(_heading_decisions(headings))
    return _rows(lines, at, (separator, headings, title), (cut_off, decisions))


def _split(line: str, separator: str) -> list[str]:
    """The cells of one line; a quote never reaches past the line's end."""
    if '"' not in line:
        return list(map(str.strip, line.split(separator)))
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return [cell.strip() for cell in line.split(separator)]


def _named(told: Sequence[str]) -> tuple[Heading, ...]:
    """Headings for a file that has none, by the names the caller gives; "" is a column not read."""
    wrong = [called for called in told if called and called not in COLUMNS and called not in _ROLES]
    if wrong:
        raise InputError([_unknown_column(called) for called in wrong])
    return tuple(
        own_heading("", called) if called else Heading("", "", reason="not asked for") for called in told
    )


def _unknown_column(called: str) -> Fault:
    return Fault("columns", called, f"one of {', '.join((*_ROLES, *COLUMNS))}")


def _separator_by_count(lines: list[str], count: int) -> str:
    def fits(separator: str) -> int:
        return sum(len(_split(line, separator)) == count for line in lines[:_HEAD_LINES])

    return max(_SEPARATORS, key=fits)


def _find_headings(
    lines: list[str], told: Mapping[str, str], name: str
) -> tuple[int, str, tuple[Heading, ...]]:
    """The line of the headings, the separator, and what the headings mean."""
    wrong = [_unknown_column(c) for c in told.values() if c and c not in COLUMNS and c not in _ROLES]
    if wrong:
        raise InputError(wrong)
    best: tuple[int, int, str, tuple[Heading, ...]] = (-1, 0, ",", ())
    for at, line in enumerate(lines[:_HEAD_LINES]):
        for separator in _SEPARATORS if len(line) < _LONGEST_HEAD else ():
            cells = _split(line, separator)
            headings = _first_of_each(
                [_told_heading(cell, told) if cell in told else map_heading(cell) for cell in cells]
            )
            found = {heading.column for heading in headings} - {""}
            timed = bool(found & {"time", "date"})
            score = 2 * len(found) + (100 if timed and len(found - {"time", "date", "clock"}) else 0)
            if score > best[0]:
                best = (score, at, separator, headings)
    score, at, separator, headings = best
    if score < 100:
        raise InputError(_no_headings(lines, headings, at, name))
    missing = [
        Fault("columns", key, "no heading reads so") for key in told if key not in {h.text for h in headings}
    ]
    if missing:
        raise InputError(missing)
    return at, separator, headings


def _told_heading(cell: str, told: Mapping[str, str]) -> Heading:
    column = told[cell]
    return own_heading(cell, column) if column else Heading(cell, "", reason="not asked for")


def _first_of_each(headings: list[Heading]) -> tuple[Heading, ...]:
    """Every column of ours once: the first heading that means it; "time" beside a date is a clock."""
    seen: set[str] = set()
    roles = {heading.column for heading in headings}
    kept = []
    for heading in headings:
        column = heading.column
        if column == "time" and "date" in roles and "clock" not in roles:
            column = "clock"
        elif column == "clock" and not roles & {"time", "date"}:
            column = "time"
        if column and column in seen:
            reason = f"another heading already gives {column}; name the one you mean with columns"
            kept.append(Heading(heading.text, "", reason=reason))
            continue
        seen.add(column)
        kept.append(
            heading
            if column == heading.column
            else Heading(heading.text, column, offset_s=heading.offset_s, day_first=heading.day_first)
        )
    return tuple(kept)


def _no_headings(lines: list[str], headings: tuple[Heading, ...], at: int, name: str) -> list[Fault]:
    """Why no line of the file can be its headings, heading by heading."""
    if not any(line.strip() for line in lines):
        return [Fault(name, "", "holds no text")]
    found = {heading.column for heading in headings}
    faults = []
    if not found & {"time", "date"}:
        faults.append(
            Fault("time", "", f"{name} has no column of times", 'Head it "time", or give columns', at + 1)
        )
    if not found - {"", "time", "date", "clock"}:
        step = f"Known: {', '.join(COLUMNS)}, event"
        faults.append(Fault("headings", "", f"{name} has no column we know", step, at + 1))
    faults.extend(
        Fault(heading.text[:40] or "(blank)", "", heading.reason, "", at + 1)
        for heading in headings
        if not heading.column and heading.text
    )
    return faults


def _with_units_row(
    headings: tuple[Heading, ...], following: list[str], separator: str
) -> tuple[Heading, ...]:
    """Headings completed by a row of units right below them, where there is one."""
    cells = _split(following[0], separator) if following else []
    if len(cells) != len(headings) or any(char.isdigit() for char in following[0]):
        return headings
    made = []
    for heading, cell in zip(headings, cells, strict=True):
        again = map_heading(f"{heading.text} ({cell.strip('()[]')})") if cell else heading
        usable = again.column in COLUMNS and (heading.assumed or heading.column == "")
        made.append(again if usable else heading)
    return _first_of_each(made)


def _heading_decisions(headings: tuple[Heading, ...]) -> list[Decision]:
    decisions = []
    for heading in headings:
        shown = heading.text or "(no heading)"
        if heading.column in COLUMNS:
            unit = f" in {heading.unit}" if heading.unit and heading.column != "ph" else ""
            guess = ", unit not given and taken as that" if heading.assumed else ""
            told = f'"{shown}" read as {heading.column}{unit}{guess}'
            level = Level.CARE if heading.assumed else Level.NOTE
            decisions.append(Decision("heading", 1, (), told, level))
        elif heading.column:
            decisions.append(Decision("heading", 1, (), f'"{shown}" read as {heading.column}'))
        elif heading.text:
            level = Level.NOTE if heading.reason == UNKNOWN else Level.CARE
            decisions.append(Decision("not read", 1, (), f'"{shown}" not read: {heading.reason}', level))
    return decisions


def _rows(
    lines: list[str],
    at: int,
    form: tuple[str, tuple[Heading, ...], str],
    so_far: tuple[bool, list[Decision]],
) -> Sheet:
    """The rows below the headings, those that are no readings set aside with the reason."""
    separator, headings, title = form
    cut_off, decisions = so_far
    width = len(headings)
    titles = frozenset(row.strip("\x00 \t") for row in title.split("\n"))
    aside: dict[str, list[int]] = {}
    short: list[int] = []
    cells: list[tuple[str, ...]] = []
    numbers: list[int] = []
    # Nearly every line of a long log is a plain row; the questions below are for the others.
    plain = not any(row[:1].isdigit() for row in titles)
    for number, line in enumerate(lines[at + 1 :], start=at + 2):
        if plain and line[:1].isdigit() and '"' not in line:
            quick = tuple(map(str.strip, line.split(separator)))
            if len(quick) == width:
                cells.append(quick)
                numbers.append(number)
                continue
        reason = _no_reading(line, titles, separator)
        row = [] if reason else _split(line, separator)
        if not reason and len(row) != width:
            while len(row) > width and row[-1] == "":
                row.pop()
            last = cut_off and number == len(lines)
            reason = "wide" if len(row) > width else "cut off" if len(row) < width and last else ""
            if not reason and len(row) < width:
                short.append(number)
                row.extend([""] * (width - len(row)))
        if reason:
            aside.setdefault(reason, []).append(number)
        else:
            cells.append(tuple(row))
            numbers.append(number)
    decisions.extend(_aside(aside, width))
    if short:
        told = f"{counted(len(short), 'row')} ending early, the missing cells taken as blank"
        decisions.append(Decision("short rows", len(short), tuple(short), told))
    return Sheet(
        headings, tuple(cells), tuple(numbers), tuple(lines[at + 1 :]), at + 2, separator, tuple(decisions)
    )


def _no_reading(line: str, titles: frozenset[str], separator: str) -> str:
    """Why a line cannot be a reading, by its look alone, or ""."""
    bare = line.strip("\x00 \t")
    if bare.replace(separator, "").strip("\x00 \t\"'") == "":
        return "blank"
    if bare in titles:
        return "title"
    return "remark" if bare.startswith("#") else ""


def _aside(found: Mapping[str, list[int]], width: int) -> list[Decision]:
    words = {
        "blank": ("blank lines", "blank", Level.NOTE),
        "title": ("headings", "headings once more, as a restarted logger writes, or their units", Level.NOTE),
        "remark": ("remarks", 'a remark after "#"', Level.NOTE),
        "wide": ("too many cells", f"more cells than the {width} headings", Level.CARE),
        "cut off": ("cut off", "the last row, cut off while it was written", Level.NOTE),
    }
    made = []
    for key, rows in found.items():
        rule, text, level = words[key]
        told = f"{counted(len(rows), 'row')} set aside: {text}"
        made.append(Decision(rule, len(rows), tuple(rows), told, level, sets_aside=True))
    return made
