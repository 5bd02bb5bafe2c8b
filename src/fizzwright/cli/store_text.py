"""The record as a person reads it in a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from fizzwright.units import System, show, suffix_of

if TYPE_CHECKING:
    from fizzwright.store import JobHead, Reading

__all__ = ["as_json", "jobs_lines", "readings_lines", "size_text"]


def as_json(body: dict[str, Any]) -> str:
    """One object around the body, like every other answer."""
    from fizzwright import __version__
    from fizzwright.cli.jsonout import dumps

    return dumps({"result": _plain(body), "findings": [], "trail": {}, "version": __version__})


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Path):
        return value.as_posix()
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    return _plain(asdict(value)) if hasattr(value, "__dataclass_fields__") else value


def jobs_lines(heads: Sequence[JobHead]) -> list[str]:
    """One line for each job, its name first."""
    if not heads:
        return ["No job is kept yet. Keep one: fizzwright store add JOB.toml"]
    rows = [("job", "kept", "last changed (UTC)", "")]
    for head in heads:
        times = "once" if head.revision_count == 1 else f"{head.revision_count} times"
        away = "put away" if head.archived else ""
        rows.append((head.slug, times, f"{head.changed_utc:%Y-%m-%d %H:%M}", away))
    return _columns(rows)


def readings_lines(readings: Sequence[Reading], system: System) -> list[str]:
    """One line for each reading, on the tank's own clock."""
    if not readings:
        return ["No reading is kept there yet."]
    rows = [("taken", "what", "read", "event", "by", "device")]
    rows += [
        (
            f"{reading.taken_utc.astimezone(ZoneInfo(reading.timezone)):%Y-%m-%d %H:%M %z}",
            *_read(reading, system),
            _one_line(reading.event),
            _one_line(reading.by),
            _one_line(reading.device),
        )
        for reading in readings
    ]
    return _columns(rows)


def _read(reading: Reading, system: System) -> tuple[str, str]:
    from fizzwright.cli.output import label_of

    if reading.value is None:
        return "", ""
    unit = suffix_of(reading.quantity) or ""
    return label_of(reading.quantity, unit), show(reading.value, unit, system=system)


def _one_line(text: str) -> str:
    """Text that cannot draw outside its place in the terminal."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def _columns(rows: Sequence[tuple[str, ...]]) -> list[str]:
    wide = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    return ["  ".join(cell.ljust(wide[at]) for at, cell in enumerate(row)).rstrip() for row in rows]


def size_text(size_count: int) -> str:
    """Bytes as a person says them.

    Examples
    --------
    >>> size_text(4096), size_text(3_200_000)
    ('4 kB', '3.2 MB')
    """
    return f"{size_count / 1e6:.1f} MB" if size_count >= 1e6 else f"{size_count / 1000:.0f} kB"
