"""Cells to numbers: decimal marks, units in cells, error words, and readings that are none."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.readings.columns import COLUMNS, FILL_INS, Heading, unit_scale
from fizzwright.readings.log import Decision, counted
from fizzwright.result import Level
from fizzwright.units import unit_text

__all__ = ["read_column"]

Floats = NDArray[np.float64]

_ERROR_WORDS = re.compile(
    r"#?n/?a|nan|null|none|nil|err|error|fehler|fail|failed|fault|ov[rf]|over|overrange|under|[+\-]?inf"
    r"|disconnected|offline|unavailable|unknown|off|open|short|-+|\.+|\?+|x|#value!|#div/0!",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"([+\-−]?(?:\d[\d.,' \u00a0\u202f]*|[.,]\d+)(?:[eE][+\-]?\d+)?)\s*(.*)", re.DOTALL)
_GROUPED = re.compile(r"[+\-]?\d{1,3}(?:,\d{3})+")


@dataclass(frozen=True)
class _Cell:
    """What one cell says: a number, or the reason there is none."""

    value: float
    why: str = ""


def read_column(cells: list[str], heading: Heading, lines: list[int]) -> tuple[Floats, list[Decision]]:
    """The readings of one column in our unit, nan where there is none, and what was decided.

    Parameters
    ----------
    cells : list of str
        One cell for each row.
    heading : Heading
        What the column means; `column` is a name of ours.
    lines : list of int
        Line of the file each cell stands in.

    Returns
    -------
    tuple of (ndarray, list of Decision)
        Readings, shape (rows,), in the unit the column's name ends in; decisions with counts.
    """
    distinct = set(cells)
    grouped = _commas_group(distinct)
    scale, offset, guess = _scale(heading, distinct, grouped)
    meant = {cell: _judge(cell, heading.column, (scale, offset), grouped) for cell in distinct}
    values = np.array([meant[cell].value for cell in cells], dtype=np.float64)
    decisions = list(guess)
    faulty = {cell for cell, said in meant.items() if said.why not in {"", "blank", "comma", "unit"}}
    for why in dict.fromkeys(meant[cell].why for cell in cells if cell in faulty):
        where = [at for at, cell in enumerate(cells) if meant[cell].why == why]
        shown = ", ".join(f'"{cell[:20]}"' for cell in list(dict.fromkeys(cells[at] for at in where))[:4])
        told = f"{counted(len(where), 'cell')} of {heading.column} taken as no reading, {why}: {shown}"
        decisions.append(Decision("no reading", len(where), tuple(lines[at] for at in where), told))
    decisions.extend(_style_decisions(meant, heading, grouped))
    return values, decisions


def _style_decisions(meant: dict[str, _Cell], heading: Heading, grouped: bool) -> list[Decision]:
    made = []
    if any(said.why == "comma" for said in meant.values()):
        made.append(Decision("decimal comma", 1, (), f"{heading.column} is written with a decimal comma"))
    if grouped:
        told = f"{heading.column}: commas between thousands, since points mark the decimals"
        made.append(Decision("thousands", 1, (), told, Level.CARE))
    if any(said.why == "unit" for said in meant.values()):
        told = f"{heading.column}: units inside the cells were followed"
        made.append(Decision("units in cells", 1, (), told))
    return made


def _commas_group(cells: set[str]) -> bool:
    """Whether commas part thousands in this column: some cells use points, and every comma groups."""
    commas = [cell for cell in cells if "," in cell and "." not in cell]
    points = [cell for cell in cells if "." in cell and "," not in cell and _plain_float(cell) is not None]
    return bool(commas) and bool(points) and all(_GROUPED.fullmatch(cell) for cell in commas)


def _scale(heading: Heading, cells: set[str], grouped: bool) -> tuple[float, float, list[Decision]]:
    """The conversion of a column; a temperature without a unit is judged by its size, and said."""
    if heading.column != "temperature_c" or not heading.assumed:
        return *heading.turn, []
    numbers = [
        said.value for cell in cells if not (said := _number(cell, grouped)).why or said.why == "comma"
    ]
    real = [number for number in numbers if 0 < number < 120 and number != 85]
    if not real or not 55 <= float(np.median(real)) <= 115:
        return 1.0, 0.0, []
    told = "temperature without a unit lies where only °F makes water: read as °F"
    scale, offset = unit_scale("°F", "c") or (1.0, 0.0)
    return scale, offset, [Decision("unit by size", 1, (), told, Level.CARE)]


def _judge(cell: str, column: str, turn: tuple[float, float], grouped: bool) -> _Cell:
    """What a cell says in our unit, or why it says nothing."""
    row = COLUMNS[column]
    read = _number(cell, grouped)
    if read.why not in {"", "comma"}:
        read = _with_unit(cell, row.suffix, grouped, read)
        value = read.value
    else:
        if (
            any(abs(read.value - fill) < 1e-9 for fill in FILL_INS)
            and not row.span[0] <= turn[0] * read.value + turn[1] <= row.span[1]
        ):
            return _Cell(np.nan, "a logger's fill-in")
        value = turn[0] * read.value + turn[1]
    if read.why not in {"", "comma", "unit"}:
        return read
    if any(abs(value - fake) < 0.05 * max(abs(turn[0]), 0.1) for fake in row.fakes):
        return _Cell(np.nan, "what the instrument shows when it fails")
    if not row.span[0] <= value <= row.span[1]:
        limits = f"{row.span[0]:g} to {row.span[1]:g} {unit_text(row.suffix)}".strip()
        return _Cell(np.nan, f"outside {limits}")
    return _Cell(value, read.why)


def _number(cell: str, grouped: bool) -> _Cell:
    """A plain number, with decimal point or comma, or why it is none."""
    if cell == "":
        return _Cell(np.nan, "blank")
    value = _plain_float(cell)
    if value is not None:
        return _Cell(value)
    if _ERROR_WORDS.fullmatch(cell):
        return _Cell(np.nan, "an error word")
    text = re.sub(r"[\s'\u00a0\u202f]", "", cell).replace("−", "-")
    if grouped and _GROUPED.fullmatch(text):
        text = text.replace(",", "")
    elif "," in text and "." in text:
        thousands, mark = (".", ",") if text.rindex(",") > text.rindex(".") else (",", ".")
        text = text.replace(thousands, "").replace(mark, ".")
    elif text.count(",") == 1:
        value = _plain_float(text.replace(",", "."))
        return _Cell(value, "comma") if value is not None else _Cell(np.nan, "unreadable")
    value = _plain_float(text)
    return _Cell(value) if value is not None else _Cell(np.nan, "unreadable")


def _plain_float(text: str) -> float | None:
    """A finite number in plain spelling; words such as "nan" and digits parted by _ are none."""
    if "_" in text or not text.isascii():
        return None
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _with_unit(cell: str, suffix: str, grouped: bool, otherwise: _Cell) -> _Cell:
    """A cell that carries its own unit, such as "25.1 °C"."""
    match = _NUMBER.fullmatch(cell)
    if match is None or not match[2]:
        return otherwise
    turn = unit_scale(match[2], suffix)
    read = _number(match[1].strip(), grouped)
    if turn is None or read.why not in {"", "comma"}:
        return otherwise
    return _Cell(turn[0] * read.value + turn[1], "unit")
