"""Sensor Measurement Lists in JSON (RFC 8428), with secondary units (RFC 8798) where a pack says so.

A record's name, time, unit and value are its own plus the base ones met before it in the pack. Times
below 2^28 are seconds from now; a file that does not say when it was received has no now, so such
records are set aside. Feature bits in the version follow RFC 9100.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from fizzwright.errors import Fault, InputError
from fizzwright.readings.log import Decision, Log
from fizzwright.readings.points import Point, Told, gather
from fizzwright.readings.sheet import text_of
from fizzwright.result import Level

__all__ = ["Pack", "read_pack", "read_senml"]

BASE_VERSION = 10
SECONDARY_UNITS_BIT = 16
RELATIVE_BELOW_S = 2**28
# Unit symbols of the registry that our table of units spells otherwise.
UNITS = {
    "Cel": "degC", "K": "K", "pH": "pH", "/": "frac", "%": "%", "1/s": "/s", "Hz": "hz", "1/min": "/min",
    "kg": "kg", "g": "g", "kg/m3": "g/l", "S/m": "S/m", "Pa": "Pa", "hPa": "mbar", "bar": "bar", "ppm": "ppm",
    "deg": "deg", "mS/m": "mS/m", "mg/l": "mg/l",
}  # fmt: skip
# Units of the registry that must be turned into one our table knows, with the factor.
TURNED = {"S/m": ("mS/cm", 10.0), "Pa": ("mbar", 0.01)}


@dataclass
class _Base:
    """The base fields met so far."""

    name: str = ""
    time_s: float = 0.0
    unit: str = ""
    value: float | None = None
    version: float = BASE_VERSION


@dataclass
class Pack:
    """The points of one pack, and the records set aside by reason; `line` numbers count from 1."""

    points: list[Point] = field(default_factory=list)
    aside: dict[str, list[int]] = field(default_factory=dict)


def read_senml(
    path_or_text: str | Path | bytes, *, timezone: str, channels: Mapping[str, str] | None = None
) -> Log:
    """The readings of a SenML pack in JSON, every record kept or set aside with the reason.

    Parameters
    ----------
    path_or_text : str, pathlib.Path or bytes
        A file; a string with a line break in it is taken as the text itself.
    timezone : str
        IANA zone of the tank; stamps of a pack are UTC.
    channels : mapping of str to str, optional
        What names mean where they do not say so.

    Returns
    -------
    Log
        `raw_rows` holds one record each.

    Raises
    ------
    InputError
        Where the text is no pack, or no reading can be got from it.
    """
    text, name, decisions = text_of(path_or_text)
    try:
        records = json.loads(text)
    except (ValueError, RecursionError) as error:
        where = getattr(error, "lineno", None)
        raise InputError([Fault(name, "", f"is no JSON: {error}", "", where)]) from error
    if not isinstance(records, list) or not records:
        raise InputError([Fault(name, "", "needs a JSON array of records", "See RFC 8428")])
    pack = read_pack(records)
    raw = tuple(json.dumps(record, ensure_ascii=False) for record in records)
    told = f"SenML pack of {len(records)} records, times in UTC"
    made = (*decisions, Decision("form", 1, (), told, Level.NOTE))
    return gather(pack.points, Told(name, timezone, raw, pack.aside, made), channels)


def read_pack(
    records: list[Any], *, received_ms: int | None = None, line: int | None = None, topic: str = ""
) -> Pack:
    """The points of a pack; `line` is the line of a captured message, else each record counts as one.

    `received_ms` is when a message came in, which gives relative times their now. [ms since 1970]
    """
    pack, base = Pack(), _Base()
    for number, record in enumerate(records, start=1):
        at = number if line is None else line
        reason = _take(record, base, (pack, at, received_ms, topic))
        if reason:
            pack.aside.setdefault(reason, []).append(at)
    return pack


def _take(  # noqa: PLR0911 - one return for each reason
    record: Any, base: _Base, into: tuple[Pack, int, int | None, str]
) -> str:
    """Read one record into the pack; the reason where it cannot be."""
    pack, line, received_ms, topic = into
    if not isinstance(record, dict):
        return "no record of name and value"
    strange = [key for key in record if isinstance(key, str) and key.endswith("_")]
    if strange:
        return f'the field "{strange[0][:20]}" must be understood and is not'
    if not _new_base(record, base):
        return "a base field that is no number or text"
    if int(base.version) & ~(BASE_VERSION | SECONDARY_UNITS_BIT):
        return f"SenML version {base.version:g} has features that are not known here"
    text, event = _said(record, base)
    if text is None:
        only_base = not any(key in record for key in ("v", "vs", "vb", "vd", "s"))
        return "base values only" if only_base else "a sum, raw data or no finite number, not a reading"
    time_s = _number(record.get("t", 0.0))
    if time_s is None or not math.isfinite(base.time_s + time_s):
        return "a time that is no number"
    stamp_ms = _stamp_ms(base.time_s + time_s, received_ms)
    if stamp_ms is None:
        return "a time counted from now, and the file does not say when now was"
    name = f"{base.name}{record.get('n', '')}"
    unit = str(record.get("u", base.unit))
    text, unit = _turned(text, UNITS.get(unit, unit)) if not event else (text, unit)
    pack.points.append(
        Point(line, stamp_ms, "/".join(p for p in (topic, name) if p), _quiet(unit), text, event)
    )
    return ""


def _new_base(record: dict[Any, Any], base: _Base) -> bool:
    """Take over the base fields of a record; false where one is of the wrong kind."""
    numbers = {"bt": "time_s", "bv": "value", "bver": "version"}
    for key, place in numbers.items():
        if key in record:
            value = _number(record[key])
            if value is None:
                return False
            setattr(base, place, value)
    for key, place in {"bn": "name", "bu": "unit"}.items():
        if key in record:
            if not isinstance(record[key], str):
                return False
            setattr(base, place, record[key])
    return 0 <= base.version < 2**31


def _said(record: dict[Any, Any], base: _Base) -> tuple[str | None, bool]:
    """What a record says as text, and whether it is something done."""
    if "v" in record:
        value = _number(record["v"])
        total = None if value is None else value + (base.value or 0.0)
        return (None if total is None or not math.isfinite(total) else repr(total)), False
    named = str(record.get("n", "")) or base.name
    last = named.replace(":", "/").rstrip("/").rpartition("/")[2].lower()
    if isinstance(record.get("vb"), bool) and last in {"gas", "light", "lamp", "valve", "co2"}:
        word = "light" if last in {"light", "lamp"} else "gas"
        return f"{word} {'on' if record['vb'] else 'off'}", True
    if isinstance(record.get("vs"), str):
        return record["vs"], last in {"event", "note", "events", "notes"}
    return None, False


def _number(value: Any) -> float | None:
    """A JSON number as a float; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        return float(value)
    except OverflowError:
        return None


def _stamp_ms(time_s: float, received_ms: int | None) -> int | None:
    if time_s >= RELATIVE_BELOW_S:
        return round(min(time_s * 1000.0, 9e15))
    return None if received_ms is None else received_ms + round(time_s * 1000.0)


def _turned(text: str, unit: str) -> tuple[str, str]:
    """A number in a unit our table lacks, in one it has."""
    if unit not in TURNED:
        return text, unit
    new, factor = TURNED[unit]
    try:
        return repr(float(text) * factor), new
    except ValueError:
        return text, unit


def _quiet(unit: str) -> str:
    """pH carries no unit in a heading."""
    return "" if unit == "pH" else unit
