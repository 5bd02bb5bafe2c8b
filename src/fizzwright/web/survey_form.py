"""The survey as a form, drawn from what the model says of its own fields; and what was typed, as changes.

A field shows a number and its unit apart, and puts them together again; whatever else was typed goes to
the reader of job files as it is.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from fizzwright.errors import Fault
from fizzwright.job.fields import FieldNote, notes, range_text
from fizzwright.job.model import Job
from fizzwright.job.template import interview
from fizzwright.job.write import Value, file_value
from fizzwright.units import System, unit_text

__all__ = [
    "MORE_ROWS", "ROWS", "Field", "Section", "by_field", "changes_of", "field_of", "flat", "renumbered",
    "sections",
    "shown_values", "surplus_rows",
]  # fmt: skip

ROWS = ("plants", "animals")
# Marks the end of a list of rows, where another may be asked for.
MORE_ROWS = -1
# Drawn and chosen elsewhere than in the survey.
_LEFT_OUT = ("parts", "layout", "settings")
_TITLES = {
    "job": "The job", "tank": "Tank", "water": "Water", "water_change": "Water change", "surface": "Surface",
    "light": "Light", "plants": "Planted bed", "animals": "Group of animals", "gasline.bottle": "Gas bottle",
    "gasline.regulator": "Regulator", "gasline.counter": "Bubble counter", "gasline.tube": "Tube",
    "gasline.diffuser": "Diffuser", "room": "Room", "target": "Target in the light",
}  # fmt: skip
_NAMES = {
    "co2": "CO2",
    "kh": "KH",
    "ec": "EC",
    "tds": "TDS",
    "ph": "pH",
    "par": "PAR",
    "tint_doc": "tint, DOC",
    "kh_step": "KH step",
}
_QUANTITY = re.compile(r"([-+−]?[0-9]+(?:[.,][0-9]+)?)\s*(.*)", re.DOTALL)
_ROW = re.compile(r"(\w+)\[(\d+)\]\.(\w+)")


@dataclass(frozen=True)
class Field:
    """One field as the form shows it."""

    key: str
    label: str
    value: str
    unit: str
    help: str
    words: tuple[str, ...]
    number: bool
    required: bool
    placeholder: str
    fault: str

    @property
    def id(self) -> str:
        """A name for the page, without dots and brackets."""
        return "f-" + re.sub(r"[^a-z0-9]+", "-", self.key).strip("-")


@dataclass(frozen=True)
class Section:
    """One table of the file: what everybody fills in, and what only some need."""

    key: str
    title: str
    help: str
    main: tuple[Field, ...]
    more: tuple[Field, ...]
    row: int = 0

    @property
    def opened(self) -> bool:
        """Whether the lesser fields should stand open: one of them is at fault."""
        return any(field.fault for field in self.more)


def flat(text: str) -> dict[str, Any]:
    """The values of a job file by their key with dots; rows of a list are counted from 1."""

    def walk(prefix: str, value: Any) -> Iterator[tuple[str, Any]]:
        if isinstance(value, dict):
            for key, inner in value.items():
                yield from walk(f"{prefix}.{key}" if prefix else key, inner)
        elif isinstance(value, list) and value and all(isinstance(row, dict) for row in value):
            for at, row in enumerate(value, 1):
                yield from walk(f"{prefix}[{at}]", row)
        else:
            yield prefix, value

    return dict(walk("", tomllib.loads(text)))


def _tables() -> Iterator[tuple[str, FieldNote]]:
    """The tables a survey fills in, by key, in the order of the file."""
    for key, note in notes(Job).items():
        if key in _LEFT_OUT or note.part is None:
            continue
        inner = [(k, n) for k, n in notes(note.part).items() if n.part is not None]
        if inner:
            yield from ((f"{key}.{k}", n) for k, n in inner)
        else:
            yield key, note


def _note_of(key: str) -> FieldNote | None:
    """What the model says of a key with dots, or None where the survey has no such key."""
    table, _, name = re.sub(r"\[\d+\]", "", key).rpartition(".")
    for known, note in _tables():
        if known == table and note.part is not None:
            return notes(note.part).get(name)
    return None


def _split(raw: Any, note: FieldNote, system: System) -> tuple[str, str]:
    """What stands in the field, and the unit beside it."""
    unit = "" if note.suffix in {"", "ph"} else unit_text(note.suffix, system)
    if raw is None:
        return "", unit
    if isinstance(raw, list):
        return ", ".join(map(str, raw)), ""
    text = str(raw)
    match = _QUANTITY.fullmatch(text.strip()) if unit else None
    return (match[1], match[2] or unit) if match else (text, unit)


def _system(values: Mapping[str, Any]) -> System:
    return System.US if values.get("job.units") == "us" else System.METRIC


def shown_values(values: Mapping[str, Any]) -> dict[str, str]:
    """What stands in each field for the values of a file."""
    found = {}
    for key, raw in values.items():
        note = _note_of(key)
        if note is not None:
            found[key] = _split(raw, note, _system(values))[0]
    return found


def _read(text: str, raw: Any, note: FieldNote, system: System) -> Value:
    """What was typed, as the file spells it."""
    text = text.strip()
    if not text:
        return None
    if note.annotation is not None and isinstance(note.default, tuple):
        return [part.strip() for part in text.split(",") if part.strip()]
    if note.suffix == "ph":
        return _plain_number(text)
    if note.whole and re.fullmatch(r"\d{1,9}", text):
        return int(text)
    unit = _split(raw, note, system)[1]
    if unit and re.fullmatch(r"[-+−]?[0-9]+(?:[.,][0-9]+)?", text):
        return f"{text.replace('−', '-')} {unit}"
    return text


def _plain_number(text: str) -> str | float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text


def changes_of(values: Mapping[str, Any], typed: Mapping[str, str]) -> dict[str, Value]:
    """What differs between a file and what was typed, by key; None takes a key out."""
    system, shown, found = _system(values), shown_values(values), dict[str, Value]()
    for key, text in typed.items():
        note = _note_of(key)
        if note is None or text.strip() == shown.get(key, "").strip():
            continue
        found[key] = _read(text, values.get(key), note, system)
    return found


def renumbered(typed: Mapping[str, str], *, without: str = "") -> dict[str, str]:
    """What was typed with the rows of each list counted from 1 without a gap, one of them left out."""
    found, numbers = dict[str, str](), dict[str, dict[int, int]]()
    for key, text in typed.items():
        match = _ROW.fullmatch(key)
        if match is None:
            found[key] = text
            continue
        table, old = match[1], int(match[2])
        if f"{table}[{old}]" == without:
            continue
        count = numbers.setdefault(table, {})
        found[f"{table}[{count.setdefault(old, len(count) + 1)}].{match[3]}"] = text
    return found


def _rows(keys: Iterable[str], table: str) -> int:
    """How many rows of a list there are."""
    return max((int(m[2]) for key in keys if (m := _ROW.fullmatch(key)) and m[1] == table), default=0)


def surplus_rows(values: Mapping[str, Any], typed: Mapping[str, str]) -> list[str]:
    """Rows of the file that the form no longer has."""
    return [
        f"{table}[{at}]" for table in ROWS for at in range(_rows(typed, table) + 1, _rows(values, table) + 1)
    ]


def by_field(faults: Iterable[Fault], keys: Iterable[str]) -> tuple[dict[str, str], tuple[Fault, ...]]:
    """Each fault beside its field, and those that belong to none."""
    known, found, left = set(keys), dict[str, str](), list[Fault]()
    for fault in faults:
        table, _, name = fault.field.rpartition(".")
        key = fault.field if fault.field in known else f"{table}[1].{name}"
        if key not in known:
            left.append(fault)
            continue
        said = f"{fault.allowed[:1].upper()}{fault.allowed[1:]}"
        step = f". {fault.next_step}" if fault.next_step else ""
        found[key] = " ".join(filter(None, (found.get(key, ""), f"{said}{step}.")))
    return found, tuple(left)


def field_of(
    key: str, values: Mapping[str, Any], typed: Mapping[str, str], faults: Mapping[str, str]
) -> Field | None:
    """One field of the survey by its key, or None where there is no such key."""
    note = _note_of(key)
    if note is None:
        return None
    value, unit = _split(values.get(key), note, _system(values))
    default = (
        ""
        if note.default in (None, "", ())
        else _split(file_value(note.default, note), note, System.METRIC)[0]
    )
    empty = note.default in (None, ())
    limits = "" if note.words else range_text(note)
    return Field(
        key=key,
        label=_NAMES.get(note.key, note.key.replace("_", " ")),
        value=typed.get(key, value),
        unit=unit,
        help="; ".join(
            filter(None, (note.help, limits, "" if note.required or not empty else "may stay empty"))
        ),
        words=note.words,
        number=bool(note.suffix) or note.whole,
        required=note.required,
        placeholder=default if not note.words else (f"usual: {default}" if default else ""),
        fault=faults.get(key, ""),
    )


def sections(
    values: Mapping[str, Any], typed: Mapping[str, str], faults: Mapping[str, str]
) -> tuple[Section, ...]:
    """The whole form, what was typed standing over what is kept."""
    asked = {question.field for question in interview()}
    found = []
    for table, note in _tables():
        count = max(_rows(values, table), _rows(typed, table)) if table in ROWS else 0
        if typed and table in ROWS:
            count = _rows(typed, table)
        for row in range(1, count + 1) if table in ROWS else (0,):
            place = f"{table}[{row}]" if row else table
            main: list[Field] = []
            more: list[Field] = []
            for name, inner in notes(note.part).items() if note.part else ():
                made = field_of(f"{place}.{name}", values, typed, faults)
                if made is not None:
                    (main if inner.required or f"{table}.{name}" in asked else more).append(made)
            found.append(Section(place, _TITLES[table], note.help, tuple(main), tuple(more), row))
        if table in ROWS:
            found.append(Section(table, _TITLES[table], "", (), (), MORE_ROWS))
    return tuple(found)
