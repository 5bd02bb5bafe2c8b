"""Single readings with a stamp of their own, as messages bring them, gathered into one Log."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fizzwright.errors import Fault, InputError
from fizzwright.readings.columns import COLUMNS, UNKNOWN, Heading, map_heading, own_heading
from fizzwright.readings.events import event_of
from fizzwright.readings.log import Decision, Log, LogEvent, counted
from fizzwright.readings.numbers import read_column
from fizzwright.readings.tidy import Rows, drop_resets, in_order, joined, note_gaps
from fizzwright.result import Level

__all__ = ["Point", "Told", "gather"]

MOST_NAMED = 6


@dataclass(frozen=True)
class Point:
    """One reading: the line it came in, its stamp, what was measured in which unit, and what it said.

    `channel` is the whole name, such as "foyer/tank/ph"; `event` marks something done instead of read.
    """

    line: int
    utc_ms: int
    channel: str
    unit: str
    text: str
    event: bool = False


@dataclass(frozen=True)
class Told:
    """What is known about a file beside its points: its names, raw lines and what was set aside so far.

    `aside` maps a reason in words to the lines set aside for it.
    """

    name: str
    timezone: str
    raw_rows: tuple[str, ...]
    aside: Mapping[str, list[int]]
    decisions: tuple[Decision, ...]


def gather(points: Sequence[Point], told: Told, channels: Mapping[str, str] | None = None) -> Log:
    """One log of many points: a row for each stamp, every line kept or set aside with the reason.

    Parameters
    ----------
    points : sequence of Point
    told : Told
    channels : mapping of str to str, optional
        What channels mean where their names do not say so: whole name, or its end after a slash or
        colon, to a column of ours ("" to leave it out).

    Returns
    -------
    Log

    Raises
    ------
    InputError
        Where no reading can be got from the file.
    """
    decisions = list(told.decisions)
    headings = _headings([point for point in points if not point.event], channels or {}, decisions)
    read = [point for point in points if not point.event and headings[point.channel, point.unit].column]
    rows = _rows(read, headings, decisions)
    kept = {int(line) for line in rows.lines}
    aside = {reason: list(lines) for reason, lines in told.aside.items()}
    spoken = {point.line for point in points if point.event}
    lost = sorted({point.line for point in points} - kept - spoken)
    if lost:
        aside["no reading of ours in it"] = [*aside.get("no reading of ours in it", []), *lost]
    silent = sorted(spoken - kept)
    if silent:
        aside["an event and no reading; the event is kept"] = silent
    for reason, lines in aside.items():
        level = Level.NOTE if "kept" in reason or "base" in reason else Level.CARE
        text = f"{counted(len(lines), 'row')} set aside: {reason}"
        decisions.append(Decision("set aside", len(lines), tuple(sorted(lines)), text, level, True))
    for step in (drop_resets, in_order, joined):
        rows, made = step(rows)
        decisions.extend(_as_messages(decision) for decision in made)
    decisions.extend(note_gaps(rows))
    if rows.utc_ms.size == 0:
        raise InputError(_nothing(told, decisions))
    events = [event_of(point.utc_ms, point.text) for point in points if point.event]
    return _log(rows, told, events, decisions)


def _headings(
    points: Sequence[Point], channels: Mapping[str, str], decisions: list[Decision]
) -> dict[tuple[str, str], Heading]:
    """What every channel means, said once for each."""
    found: dict[tuple[str, str], Heading] = {}
    taken: dict[str, str] = {}
    for point in points:
        key = (point.channel, point.unit)
        if key in found:
            continue
        heading = _meaning(*key, channels)
        first = taken.setdefault(heading.column, point.channel) if heading.column else point.channel
        if first != point.channel:
            reason = f"{first} already gives {heading.column}; name the one you mean"
            heading = Heading(point.channel, "", reason=reason)
        found[key] = heading
    for (channel, _), heading in found.items():
        if heading.column:
            unit = f" in {heading.unit}" if heading.unit and heading.column != "ph" else ""
            guess = ", unit not given and taken as that" if heading.assumed else ""
            level = Level.CARE if heading.assumed else Level.NOTE
            told = f'"{channel}" read as {heading.column}{unit}{guess}'
            decisions.append(Decision("channel", 1, (), told, level))
        else:
            told = f'"{channel}" not read: {heading.reason}'
            decisions.append(Decision("not read", 1, (), told))
    return found


def _meaning(channel: str, unit: str, channels: Mapping[str, str]) -> Heading:
    """A channel by the user's table, else by the last parts of its name."""
    parts = [part for part in re.split(r"[/:.]", channel) if part]
    for name in (channel, *(parts[-1:])):
        if name in channels:
            column = channels[name]
            if column == "":
                return Heading(channel, "", reason="not asked for")
            if column not in COLUMNS:
                raise InputError([Fault("channels", column, f"one of {', '.join(COLUMNS)}")])
            return own_heading(f"{channel} [{unit}]" if unit else channel, column)
    heading = Heading(channel, "", reason=UNKNOWN)
    for count in (1, 2):
        words = " ".join(parts[-count:])
        heading = map_heading(f"{words} ({unit})" if unit else words)
        if heading.column in COLUMNS:
            return heading
    return Heading(channel, "", reason=heading.reason or UNKNOWN)


def _rows(
    points: Sequence[Point], headings: Mapping[tuple[str, str], Heading], decisions: list[Decision]
) -> Rows:
    """One row for each line and stamp, with the columns its points fill."""
    places: dict[tuple[int, int], int] = {}
    for point in points:
        places.setdefault((point.line, point.utc_ms), len(places))
    columns: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]] = {}
    groups: dict[tuple[str, str], list[Point]] = {}
    for point in points:
        groups.setdefault((point.channel, point.unit), []).append(point)
    for key, group in groups.items():
        heading = headings[key]
        values, made = read_column([p.text for p in group], heading, [p.line for p in group])
        decisions.extend(made)
        column = columns.setdefault(heading.column, np.full(len(places), np.nan))
        at = [places[p.line, p.utc_ms] for p in group]
        column[at] = np.where(np.isfinite(values), values, column[at])
    stamps = np.array([utc_ms for _, utc_ms in places], dtype=np.int64)
    return Rows(stamps, columns, np.array([line for line, _ in places], dtype=np.int64))


def _as_messages(decision: Decision) -> Decision:
    """Messages of one moment share a stamp as a matter of course; that is a note, not a caution."""
    if decision.rule != "same stamp" or "differ" in decision.text:
        return decision
    text = f"{counted(decision.count, 'record')} of a moment that has a row already joined to that row"
    return Decision(decision.rule, decision.count, decision.rows, text, Level.NOTE, True)


def _nothing(told: Told, decisions: Sequence[Decision]) -> list[Fault]:
    """Why nothing could be kept, reason by reason."""
    faults = [Fault(told.name, "", d.text, "", d.rows[0] if d.rows else None)
              for d in decisions if d.sets_aside or d.rule == "not read"][:MOST_NAMED]  # fmt: skip
    step = f"Known: {', '.join(COLUMNS)}"
    return faults or [Fault(told.name, "", "holds no reading", step)]


def _log(
    rows: Rows, told: Told, events: Sequence[tuple[int, LogEvent]], decisions: Sequence[Decision]
) -> Log:
    start_ms, end_ms = int(rows.utc_ms[0]), int(rows.utc_ms[-1])
    placed = [
        replace(event, elapsed_h=(utc_ms - start_ms) / 3_600_000)
        for utc_ms, event in sorted(events, key=lambda pair: pair[0])
        if start_ms <= utc_ms <= end_ms
    ]
    return Log(
        name=told.name,
        timezone=told.timezone,
        utc=rows.utc_ms.astype("datetime64[ms]"),
        elapsed_h=(rows.utc_ms - start_ms) / 3_600_000,
        columns=rows.columns,
        events=tuple(placed),
        raw_rows=told.raw_rows,
        first_line=1,
        lines=rows.lines,
        decisions=tuple(decisions),
    )
