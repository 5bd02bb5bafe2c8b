"""Back into the file: a whole job as TOML text, or a few values changed with every comment kept."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, MutableMapping
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Table

from fizzwright.errors import Fault, InputError
from fizzwright.job.fields import FieldNote, notes
from fizzwright.job.file import read_job
from fizzwright.job.model import Job, Part
from fizzwright.units import SUFFIXES, convert, parse, unit_text

__all__ = ["edited_text", "file_value", "update_job", "write_job"]

_STEP = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)(?:\[(\d+)\])?")

Value = str | int | float | list[str] | None


def update_job(text: str, changes: Mapping[str, Value]) -> str:
    """The text of a job file with some values changed; comments, order and all else stay as they are.

    Parameters
    ----------
    text : str
        A job file's text.
    changes : mapping of str to value
        Keys as in the file with dots, `surface.loss` or `animals[2].count`; values as the file spells
        them, `"0.25 /h"`. None takes a key out. A table that is not there yet is added at the end.

    Returns
    -------
    str
        The new text, already read back: InputError lists everything wrong with it, and nothing changes.

    Examples
    --------
    >>> from fizzwright.job.examples import example_text
    >>> old = example_text("kitchen-nano.toml")
    >>> new = update_job(old, {"surface.loss": "0.31 /h"})
    >>> [row for row in new.splitlines() if row not in old.splitlines()]
    ['loss = "0.31 /h"']
    """
    changed = edited_text(text, changes)
    read_job(changed)
    return changed


def edited_text(text: str, changes: Mapping[str, Value], *, dropped: Collection[str] = ()) -> str:
    """The text of a job file with some values changed, not read back: it may be unfinished.

    Parameters
    ----------
    text : str
        A job file's text.
    changes : mapping of str to value
        As `update_job` takes them; the row after the last of a list of tables starts a new one.
    dropped : collection of str
        Rows to take out once all else is done, such as `plants[2]`.

    Returns
    -------
    str
        The new text; InputError where a path leads nowhere or the text is no TOML.
    """
    text = text.removeprefix("\ufeff")
    try:
        document = tomlkit.parse(text)
    except TOMLKitError:
        read_job(text)
        raise
    faults = [fault for key, value in changes.items() for fault in _change(document, key, value)]
    faults += [fault for key in sorted(dropped, key=_place, reverse=True) for fault in _drop(document, key)]
    if faults:
        raise InputError(faults)
    return tomlkit.dumps(document)


def _place(key: str) -> tuple[str, int]:
    """Rows in order, so that the last goes first and the others keep their number."""
    match = _STEP.fullmatch(key)
    return (match[1], int(match[2] or 0)) if match is not None else (key, 0)


def _drop(document: Any, key: str) -> list[Fault]:
    """Take out one row of a list of tables at the top; the table goes with its last row."""
    match = _STEP.fullmatch(key)
    rows = document.get(match[1]) if match is not None else None
    if match is None or match[2] is None or not isinstance(rows, list) or not 0 < int(match[2]) <= len(rows):
        return [Fault(key, "", "there is no such row")]
    rows.pop(int(match[2]) - 1)
    if not rows:
        document.pop(match[1])
    return []


def _change(document: Any, key: str, value: Value) -> list[Fault]:
    """Set or take out one value; a path that leads nowhere is a fault."""
    steps = []
    for piece in key.split("."):
        match = _STEP.fullmatch(piece)
        if match is None:
            return [Fault(key, "", "needs a key as in the file, such as surface.loss or animals[2].count")]
        steps.append((match[1], int(match[2]) - 1 if match[2] else None))
    table = document
    for name, at in steps[:-1]:
        if name not in table:
            if value is None:
                return []
            table[name] = _new_table(document, steps[0][0], rows=at is not None)
        table = table[name]
        if at is not None and isinstance(table, AoT) and at == len(table) and value is not None:
            table.append(tomlkit.table())
        if (at is not None) != isinstance(table, list) or (at is not None and not 0 <= at < len(table)):
            return [Fault(key, "", f"there is no such table; [[{name}]] stands {_times(table)}")]
        table = table[at] if at is not None else table
        if not isinstance(table, MutableMapping):
            return [Fault(key, "", f"{name} is no table")]
    last = steps[-1][0]
    if value is None:
        table.pop(last, None)
        top = steps[0][0]
        if len(steps) == 2 and isinstance(table, Table) and not table and not notes(Job)[top].required:
            document.pop(top)
    else:
        _put(table, last, value)
    return []


def _new_table(document: Any, top: str, *, rows: bool) -> Any:
    """A table that was not there yet, or the list its first row will stand in."""
    if rows:
        return tomlkit.aot()
    return tomlkit.inline_table() if _is_dotted(document, top) else tomlkit.table()


def _is_dotted(document: Any, name: str) -> bool:
    """Whether a table at the top is written as dotted keys, among which no header may stand."""
    return any(key is not None and key.key == name and key.is_dotted() for key, _ in document.body)


def _times(table: Any) -> str:
    return f"{len(table)} times" if isinstance(table, list) else "once"


def _put(table: Any, key: str, value: Any) -> None:
    """Set a key; a new one goes right under the last key of its table, above any blank lines."""
    if key in table or not isinstance(table, Table | InlineTable):
        table[key] = value
        return
    tail = []
    body = table.value.body
    while body and body[-1][0] is None and not str(body[-1][1].as_string()).strip():
        tail.append(body.pop())
    table[key] = value
    body.extend(reversed(tail))


def write_job(job: Job) -> str:
    """A job as the text of a new file; defaults nobody stated are left out.

    Reading the text gives back the same job, number for number.
    """
    document = tomlkit.document()
    _fill(document, job)
    return tomlkit.dumps(document)


def _fill(table: Any, part: Part) -> None:
    for key, note in notes(type(part)).items():
        value = getattr(part, note.attribute)
        stated = note.attribute in part.model_fields_set
        if value is None or (not stated and value == note.default):
            continue
        if note.part is None:
            table.add(key, file_value(value, note))
        elif note.many:
            rows = tomlkit.aot()
            for row in value:
                rows.append(_filled(row))
            table.add(key, rows)
        else:
            table.add(key, _filled(value))


def _filled(part: Part) -> Any:
    table = tomlkit.table()
    _fill(table, part)
    return table


def file_value(value: Any, note: FieldNote) -> str | int | float | list[str]:
    """One value as the file spells it: text with a unit, a time of day, a word or a plain number.

    Examples
    --------
    >>> from fizzwright.job.fields import notes
    >>> from fizzwright.job.model import Water
    >>> file_value(4.5, notes(Water)["kh"])
    '4.5 dKH'
    """
    if note.clock:
        return f"{value // 60:02d}:{value % 60:02d}"
    if isinstance(value, tuple):
        return list(value)
    if isinstance(value, bool | int):
        return int(value)
    if isinstance(value, float):
        return _quantity_text(value, note.suffix)
    return str(value)


def _quantity_text(value: float, suffix: str) -> str | float:
    """A number with the unit it is shown in, or the nearest spelling that reads back to the same number."""
    if suffix == "ph":
        return value
    row = SUFFIXES[suffix]
    same = [unit for unit, (scale, offset) in row.accepts.items() if unit and (scale, offset) == (1.0, 0.0)]
    for unit in (unit_text(suffix), *same):
        number = round(convert(value, suffix, unit), 12)
        for digits in (number, convert(value, suffix, unit)):
            text = f"{repr(digits).removesuffix('.0')} {unit}"
            if parse(text, suffix) == value:
                return text
    return value
