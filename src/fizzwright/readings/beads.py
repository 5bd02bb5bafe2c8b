"""A table of beads timed on a video, as a person types it: CSV, one bead a row."""

from __future__ import annotations

import csv
import dataclasses
import io
from pathlib import Path

from fizzwright.errors import Fault, InputError
from fizzwright.inference.beads import Bead
from fizzwright.readings.sheet import text_of
from fizzwright.units import parse, suffix_of, unit_text

__all__ = ["BEAD_COLUMNS", "read_beads"]

BEAD_COLUMNS: tuple[str, ...] = tuple(field.name for field in dataclasses.fields(Bead))
# Columns for the person alone.
_REMARKS = frozenset({"bead", "number", "no", "note", "remark", "video"})


def read_beads(path_or_text: str | Path | bytes) -> tuple[Bead, ...]:
    """The beads of a file; a blank cell was not read, a cell may carry its own unit.

    Parameters
    ----------
    path_or_text : str, pathlib.Path or bytes
        A file; a string with a line break in it is taken as the text itself.

    Returns
    -------
    tuple of Bead
        One for each row that holds a reading.

    Raises
    ------
    InputError
        For headings and cells that are not understood, with their line; all at once.

    Examples
    --------
    >>> read_beads("diameter_mm,vanish_s\\n1.1,4.6\\n")[0].vanish_s
    4.6
    """
    text, name, _ = text_of(path_or_text)
    first = text.lstrip().split("\n", 1)[0]
    mark = ";" if first.count(";") > first.count(",") else "\t" if "\t" in first else ","
    rows = list(csv.reader(io.StringIO(text.strip()), delimiter=mark))
    headings = [_folded(cell) for cell in rows[0]] if rows else []
    faults = _heading_faults(headings, name)
    beads = []
    for number, row in enumerate(rows[1:], 2):
        cells = dict(zip(headings, row, strict=False))
        read = {}
        for column in BEAD_COLUMNS:
            try:
                read[column] = _number(cells.get(column, ""), column)
            except InputError as refused:
                faults += [
                    dataclasses.replace(fault, field=f"{name}, {column}", line=number)
                    for fault in refused.faults
                ]
        if any(value is not None for value in read.values()):
            beads.append(Bead(**read))
    if not faults and not beads:
        faults = [Fault(name, "", "holds no bead", f"Columns: {', '.join(BEAD_COLUMNS)}")]
    if faults:
        raise InputError(faults)
    return tuple(beads)


def _folded(heading: str) -> str:
    return heading.strip().lower().replace(" ", "_").replace("-", "_")


def _heading_faults(headings: list[str], name: str) -> list[Fault]:
    step = f"Columns: {', '.join(BEAD_COLUMNS)}; a column named note is passed over"
    strange = [h for h in headings if h and h not in BEAD_COLUMNS and h not in _REMARKS]
    twice = sorted({h for h in headings if h and headings.count(h) > 1})
    faults = [Fault(f"{name}, {h}", "", "is no reading of a bead", step) for h in strange]
    faults += [Fault(f"{name}, {h}", "", "stands in two columns", "Keep one") for h in twice]
    if not set(headings) & set(BEAD_COLUMNS):
        faults.append(Fault(name, "", "has no heading this understands", step))
    return faults


def _number(cell: str, column: str) -> float | None:
    """A cell in its column's unit; a bare number is taken to be in it."""
    cell = cell.strip()
    if not cell:
        return None
    suffix = suffix_of(column)
    assert suffix is not None
    try:
        parse(cell, "number")
    except InputError:
        return parse(cell, suffix)
    return parse(f"{cell} {unit_text(suffix)}", suffix)
