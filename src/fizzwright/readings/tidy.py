"""Rows in order of time: clocks that fell back to their first day, order, stamps used twice, gaps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.readings.log import Decision, counted
from fizzwright.readings.stamps import DAY_MS, NO_STAMP
from fizzwright.result import Level

__all__ = ["Rows", "drop_resets", "in_order", "joined", "note_gaps"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Chosen = NDArray[np.bool_] | NDArray[np.int64]

# A clock without a battery starts in 1970 or 2000; no log of ours is older than that or from next century.
_OLDEST_MS = 12784 * DAY_MS  # 2005-01-01
_NEWEST_MS = 47482 * DAY_MS  # 2100-01-01


@dataclass(frozen=True)
class Rows:
    """Stamps, readings and line numbers, row by row."""

    utc_ms: Ints
    columns: Mapping[str, Floats]
    lines: Ints

    def take(self, keep: Chosen) -> Rows:
        """The rows chosen by a mask or by their numbers."""
        columns = {name: values[keep] for name, values in self.columns.items()}
        return Rows(self.utc_ms[keep], columns, self.lines[keep])


def drop_resets(rows: Rows) -> tuple[Rows, list[Decision]]:
    """The rows whose clock had been set; the others are set aside."""
    unset = (rows.utc_ms != NO_STAMP) & ((rows.utc_ms < _OLDEST_MS) | (rows.utc_ms >= _NEWEST_MS))
    if not unset.any():
        return rows, []
    lines = tuple(int(line) for line in rows.lines[unset])
    text = f"{counted(len(lines), 'row')} set aside: before 2005 or after 2099, a clock that lost its setting"
    return rows.take(~unset), [Decision("clock reset", len(lines), lines, text, Level.CARE, sets_aside=True)]


def in_order(rows: Rows) -> tuple[Rows, list[Decision]]:
    """Rows in order of time; rows that stood out of order are counted."""
    if rows.utc_ms.size == 0:
        return rows, []
    late = rows.utc_ms < np.maximum.accumulate(rows.utc_ms)
    if not late.any():
        return rows, []
    lines = tuple(int(line) for line in rows.lines[late])
    text = f"{counted(len(lines), 'row')} standing after later ones, put in order of time"
    ordered = rows.take(np.argsort(rows.utc_ms, kind="stable"))
    return ordered, [Decision("out of order", len(lines), lines, text)]


def joined(rows: Rows) -> tuple[Rows, list[Decision]]:
    """One row for each stamp: readings of one stamp are joined by their mean, blanks filled."""
    if rows.utc_ms.size == 0:
        return rows, []
    starts = np.flatnonzero(np.concatenate(([True], np.diff(rows.utc_ms) != 0)))
    if starts.size == rows.utc_ms.size:
        return rows, []
    columns = {}
    unequal = np.zeros(starts.size, dtype=bool)
    for name, values in rows.columns.items():
        known = np.isfinite(values)
        count = np.add.reduceat(known.astype(np.int64), starts)
        total = np.add.reduceat(np.where(known, values, 0.0), starts)
        low = np.minimum.reduceat(np.where(known, values, np.inf), starts)
        high = np.maximum.reduceat(np.where(known, values, -np.inf), starts)
        differ = (count > 1) & (high > low)
        mean = np.divide(total, count, out=np.full(starts.size, np.nan), where=count > 0)
        columns[name] = np.where(differ, mean, np.where(count > 0, low, np.nan))
        unequal |= differ
    again = np.ones(rows.utc_ms.size, dtype=bool)
    again[starts] = False
    lines = tuple(int(line) for line in rows.lines[again])
    differing = int(unequal.sum())
    same = (
        "all alike" if not differing else f"{counted(differing, 'stamp')} with readings that differ, averaged"
    )
    text = f"{counted(len(lines), 'row')} set aside: stamp used before, readings joined to its row; {same}"
    level = Level.CARE if len(lines) > 0.1 * rows.utc_ms.size else Level.NOTE
    made = Decision("same stamp", len(lines), lines, text, level, sets_aside=True)
    return Rows(rows.utc_ms[starts], columns, rows.lines[starts]), [made]


def note_gaps(rows: Rows) -> list[Decision]:
    """Where the log pauses for more than three of its usual steps; nothing is filled in."""
    steps = np.diff(rows.utc_ms)
    if steps.size < 3:
        return []
    usual = float(np.median(steps))
    wide = np.flatnonzero(steps > max(3 * usual, usual + 60_000))
    if not wide.size:
        return []
    longest = float(steps[wide].max()) / 3_600_000
    text = (
        f"{counted(int(wide.size), 'pause')} of more than three usual steps of {usual / 60_000:.3g} min, "
        f"the longest {longest:.3g} h; not filled in"
    )
    lines = tuple(int(rows.lines[at + 1]) for at in wide)
    return [Decision("gaps", int(wide.size), lines, text)]
