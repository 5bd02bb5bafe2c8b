"""A log of readings as it came, what was kept of it, and every decision taken on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fizzwright.errors import Fault, InputError
from fizzwright.result import Level

__all__ = ["Decision", "Log", "LogEvent", "counted", "night_readings"]

Floats = NDArray[np.float64]
Moments = NDArray[np.datetime64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Decision:
    """One rule applied while reading a log, to how much of it, and in which lines.

    `count` is rows or cells, as the text says; `rows` holds line numbers of the file counted from 1,
    and is empty where a rule concerns the whole file. With `sets_aside` each counted row was left out
    of the log's columns; a row is set aside by one decision only.
    """

    rule: str
    count: int
    rows: tuple[int, ...]
    text: str
    level: Level = Level.NOTE
    sets_aside: bool = False


@dataclass(frozen=True)
class LogEvent:
    """Something that was done: `kind` is a word of the short list, or "other"; `text` is as written.

    `share_frac` is the share of a water change where the text gives one.
    """

    elapsed_h: float
    kind: str
    text: str
    share_frac: float | None = None


@dataclass(frozen=True, eq=False)
class Log:
    """Readings in order of time, one row for each stamp, blanks as nan.

    Attributes
    ----------
    name : str
        File name, or what the text was called.
    timezone : str
        IANA zone the stamps without offset were read in.
    utc : ndarray of datetime64[ms], shape (rows,)
        Stamps in UTC, rising.
    elapsed_h : ndarray, shape (rows,)
        Hours since the first row. [h]
    columns : mapping of str to ndarray, shape (rows,)
        Readings by name; the unit is in the name.
    events : tuple of LogEvent
        In order of time.
    raw_rows : tuple of str
        Every line below the headings, as it stands in the file.
    first_line : int
        Line number of the first of them, counted from 1.
    lines : ndarray of int, shape (rows,)
        Line of the file each kept row came from.
    decisions : tuple of Decision
        Everything decided while reading; rows kept and rows set aside add up to the raw rows.
    """

    name: str
    timezone: str
    utc: Moments
    elapsed_h: Floats
    columns: Mapping[str, Floats]
    events: tuple[LogEvent, ...]
    raw_rows: tuple[str, ...]
    first_line: int
    lines: Ints
    decisions: tuple[Decision, ...] = field(default=())

    @property
    def set_aside_count(self) -> int:
        """How many raw rows are not among the kept ones."""
        return sum(decision.count for decision in self.decisions if decision.sets_aside)


def counted(count: int, thing: str) -> str:
    """A count with its noun, such as "1 row" or "3 rows"."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def night_readings(log: Log) -> tuple[Floats, Floats, Floats | None]:
    """The pH readings of a gas-off night: hours from the first, pH, and water temperature if logged.

    Where the log notes gas events, the readings are those from the first "gas off" up to the next
    "gas on"; otherwise all of them. Temperature is drawn straight between its readings.

    Parameters
    ----------
    log : Log
        A log with a pH column.

    Returns
    -------
    tuple of (ndarray, ndarray, ndarray or None)
        Hours [h], pH, and water temperature [°C] or None, all of one shape (readings,).
    """
    ph = log.columns.get("ph")
    if ph is None:
        raise InputError(
            [Fault("ph", "", f"{log.name} has no pH column", "A gas-off night needs pH readings")]
        )
    start_h, end_h = _gas_off_span(log)
    use = np.isfinite(ph) & (log.elapsed_h >= start_h) & (log.elapsed_h < end_h)
    if not use.any():
        step = 'Look at the "gas off" and "gas on" events' if log.events else "Look at the pH column"
        raise InputError([Fault("ph", "", f"{log.name} has no pH reading with the gas off", step)])
    hours = log.elapsed_h[use]
    warm = log.columns.get("temperature_c")
    known = np.isfinite(warm) if warm is not None else np.zeros(0, dtype=bool)
    water_c = None
    if warm is not None and known.any():
        water_c = np.interp(hours, log.elapsed_h[known], warm[known])
    return hours - hours[0], ph[use], water_c


def _gas_off_span(log: Log) -> tuple[float, float]:
    off = [event.elapsed_h for event in log.events if event.kind == "gas off"]
    start_h = off[0] if off else -np.inf
    on = [event.elapsed_h for event in log.events if event.kind == "gas on" and event.elapsed_h > start_h]
    return start_h, (on[0] if on else np.inf)
