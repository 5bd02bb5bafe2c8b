"""A bench sum over a file of cases: a CSV of inputs in, the same rows with their answers out."""

from __future__ import annotations

import csv
import dataclasses
import difflib
import io
import sys
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fizzwright.cli.jsonout import answer_object, dumps, number
from fizzwright.cli.questions import Slot, question_from, slots_of
from fizzwright.cli.refusal import error_object
from fizzwright.errors import Fault, FizzwrightError, InputError
from fizzwright.result import Estimate
from fizzwright.units import SUFFIXES, convert, parse

__all__ = ["Column", "columns_of", "run_cases"]

FAILED_ROWS = InputError.exit_code


@dataclass(frozen=True)
class Column:
    """One column of the file: its heading, the field it feeds (None: carried through), its unit."""

    heading: str
    slot: Slot | None
    unit: str

    def text(self, cell: str) -> str:
        """The cell as text with a unit: the column's own unit where the cell is a bare number."""
        cell = cell.strip()
        if not self.unit or not _is_bare(cell):
            return cell
        return f"{cell} {self.unit}"


def _is_bare(cell: str) -> bool:
    try:
        parse(cell, "number")
    except InputError:
        return False
    return True


def columns_of(headings: Sequence[str], slots: Sequence[Slot]) -> list[Column]:
    """What each heading feeds: an option, a field, or an option with its unit (`kh_dkh`, `temp_f`).

    Headings that fit nothing are carried through; one that looks like a slip of the pen is refused.
    """
    columns = [_column(heading, slots) for heading in headings]
    known = [name for slot in slots for name in (slot.option, slot.name)]
    faults = [
        Fault(column.heading, "", "is no input of this sum", f"Did you mean {near[0]}?")
        for column in columns
        if column.slot is None and (near := difflib.get_close_matches(_folded(column.heading), known, 1, 0.8))
    ]
    fed = [column.slot.name for column in columns if column.slot is not None]
    faults += [
        Fault(name, "", "stands in two columns", "Keep one") for name in {f for f in fed if fed.count(f) > 1}
    ]
    if faults:
        raise InputError(faults)
    return columns


def _folded(heading: str) -> str:
    return heading.strip().lstrip("-").replace("-", "_").replace(" ", "_").lower()


def _column(heading: str, slots: Sequence[Slot]) -> Column:
    folded = _folded(heading)
    for slot in slots:
        if folded == slot.name:
            return Column(heading, slot, _own_unit(slot.suffix) if slot.suffix else "")
        if folded == slot.option:
            return Column(heading, slot, "")
        if slot.suffix and folded.startswith(slot.option + "_"):
            unit = _unit_spelled(folded.removeprefix(slot.option + "_"), slot.suffix)
            if unit is not None:
                return Column(heading, slot, unit)
    return Column(heading, None, "")


def _own_unit(suffix: str) -> str:
    """The unit to put behind a bare number of this suffix; none where a bare number says it all."""
    return "" if SUFFIXES[suffix].bare else SUFFIXES[suffix].shown


def _unit_spelled(spelling: str, suffix: str) -> str | None:
    """The unit a heading's tail names, `f` or `mg_l` or `us_cm`; None where it names none of the suffix."""
    if spelling == suffix:
        return _own_unit(suffix)
    for unit in (spelling, spelling.replace("_", "/"), spelling.replace("_", "")):
        try:
            convert(0.0, suffix, unit)
        except KeyError:
            continue
        return unit
    return None


def run_cases(path: str, entry: Any, given: Mapping[str, Any], *, as_json: bool) -> int:
    """Answer every row of the file; the options given on the command line hold for all rows.

    A row that cannot be answered says why in its column `fault` and the run goes on; the exit code then
    is 3 at the end.
    """
    question, function = entry.loaded()
    table = _table(path)
    columns = columns_of(table[0], slots_of(question))
    rows = (_Row(table[0], cells) for cells in table[1:])
    fixed = {name: value for name, value in given.items() if value is not None}
    outcomes = ((row, _outcome(row, columns, fixed, (question, function))) for row in rows)
    return _write_json(outcomes) if as_json else _write_csv(outcomes, table[0], _answer_fields(function))


@dataclass(frozen=True)
class _Row:
    headings: Sequence[str]
    cells: Sequence[str]


_Outcome = Any  # an answer dataclass, or the FizzwrightError that stood in its place


def _table(path: str) -> list[list[str]]:
    """All rows, the headings first; commas, semicolons or tabs, whichever the headings use."""
    try:
        text = sys.stdin.read() if path == "-" else Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as err:
        reason = getattr(err, "strerror", None) or "is not UTF-8 text"
        raise InputError(
            [Fault("--from", path, f"cannot be read: {reason}", "Give a CSV file in UTF-8")]
        ) from err
    head = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=head.count)
    table = [row for row in csv.reader(io.StringIO(text), delimiter=delimiter) if any(c.strip() for c in row)]
    if not table:
        raise InputError(
            [Fault("--from", path, "is empty", "The first row names the inputs, e.g. ph,kh,temp")]
        )
    return table


def _outcome(
    row: _Row, columns: Sequence[Column], fixed: Mapping[str, Any], how: tuple[type, Callable[[Any], Any]]
) -> _Outcome:
    question, function = how
    answers = dict(fixed)
    if len(row.cells) > len(columns):
        return InputError([Fault("row", "", f"has {len(row.cells)} cells, the headings are {len(columns)}")])
    for column, cell in zip(columns, row.cells, strict=False):
        if column.slot is not None and cell.strip():
            answers[column.slot.name] = column.text(cell)
    try:
        return function(question_from(question, answers))
    except FizzwrightError as refusal:
        return refusal


def _answer_fields(function: Callable[[Any], Any]) -> list[tuple[str, bool]]:
    """The fields of the answer and whether each is an estimate, read off the return type of the sum."""
    answer = typing.get_type_hints(function)["return"]
    kinds = typing.get_type_hints(answer)
    return [
        (field.name, kinds[field.name] is Estimate or Estimate in typing.get_args(kinds[field.name]))
        for field in dataclasses.fields(answer)
        if field.name != "trail"
    ]


def _write_csv(
    outcomes: Iterator[tuple[_Row, _Outcome]], headings: Sequence[str], fields: Sequence[tuple[str, bool]]
) -> int:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    taken = {_folded(heading) for heading in headings}
    named = [f"answer_{name}" if name in taken else name for name, _ in fields]
    added = [
        column
        for name, (_, is_estimate) in zip(named, fields, strict=True)
        for column in ([name, f"{name}_low", f"{name}_high"] if is_estimate else [name])
    ]
    writer.writerow([*headings, *added, "findings", "fault"])
    failed = False
    for row, outcome in outcomes:
        cells = [*row.cells, *[""] * (len(headings) - len(row.cells))][: len(headings)]
        if isinstance(outcome, FizzwrightError):
            failed = True
            writer.writerow([*cells, *[""] * len(added), "", " | ".join(str(outcome).splitlines())])
            continue
        found = " | ".join(f"{f.level.value}: {f.text}" for f in outcome.trail.findings)
        writer.writerow(
            [
                *cells,
                *(c for name, is_est in fields for c in _cells(getattr(outcome, name), is_est)),
                found,
                "",
            ]
        )
    return FAILED_ROWS if failed else 0


def _cells(value: Any, is_estimate: bool) -> list[Any]:
    if is_estimate:
        return ["", "", ""] if value is None else [number(value.value), number(value.low), number(value.high)]
    if isinstance(value, (tuple, list)):
        return [" ".join(str(item) for item in value)]
    return ["" if value is None else getattr(value, "value", value)]


def _write_json(outcomes: Iterator[tuple[_Row, _Outcome]]) -> int:
    """One object whose `rows` hold each row's inputs and its answer or error."""
    from fizzwright import __version__

    rows, failed = [], False
    for row, outcome in outcomes:
        inputs = dict(zip(row.headings, row.cells, strict=False))
        if isinstance(outcome, FizzwrightError):
            failed = True
            rows.append({"inputs": inputs, "error": error_object(outcome)})
        else:
            rows.append({"inputs": inputs, **answer_object(outcome, outcome.trail)})
    print(dumps({"rows": rows, "version": __version__}))
    return FAILED_ROWS if failed else 0
