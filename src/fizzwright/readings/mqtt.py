"""Captured MQTT messages: one JSON object a line, with the time received, the topic and the payload.

A payload may be a bare number, a JSON object of readings, an object of value and unit, or a SenML pack.
A retained message that is the first of its topic was stored before the capture began: its time is not
the time of the reading, so it is set aside.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from fizzwright.errors import Fault, InputError
from fizzwright.readings.importer import zone_of
from fizzwright.readings.log import Decision, Log, counted
from fizzwright.readings.points import Point, Told, gather
from fizzwright.readings.senml import read_pack
from fizzwright.readings.sheet import text_of
from fizzwright.readings.stamps import NO_STAMP, read_stamps
from fizzwright.readings.zones import to_utc

__all__ = ["read_mqtt_lines"]

TIMES = ("received", "received_at", "time", "timestamp", "ts", "tst", "date")
PAYLOADS = ("payload", "message", "msg", "value")
VALUES = ("value", "v", "val", "reading", "state")
UNITS = ("unit", "u", "units", "unit_of_measurement")
MOST_DEEP = 3


def read_mqtt_lines(
    path_or_text: str | Path | bytes, *, timezone: str, channels: Mapping[str, str] | None = None
) -> Log:
    """The readings in captured MQTT messages, every line kept or set aside with the reason.

    Parameters
    ----------
    path_or_text : str, pathlib.Path or bytes
        A file of lines such as {"received": ..., "topic": ..., "retain": ..., "payload": ...}.
    timezone : str
        IANA zone of times that name none.
    channels : mapping of str to str, optional
        What topics mean where they do not say so.

    Returns
    -------
    Log

    Raises
    ------
    InputError
        Where no line is a message, or no reading can be got from them.
    """
    zone = zone_of(timezone)
    text, name, decisions = text_of(path_or_text)
    lines = re.split(r"\r\n|\n|\r", text)
    if lines and lines[-1] == "":
        lines.pop()
    aside: dict[str, list[int]] = {}
    messages: list[tuple[int, dict[str, Any]]] = []
    for number, line in enumerate(lines, start=1):
        found = _message(line)
        if isinstance(found, str):
            aside.setdefault(found, []).append(number)
        else:
            messages.append((number, found))
    if not messages:
        raise InputError([Fault(name, "", "holds no message: one JSON object a line with topic and payload")])
    stamps = read_stamps([_first_text(message, TIMES) for _, message in messages])
    utc_ms, zoned = to_utc(stamps, zone, [number for number, _ in messages])
    # A time in the hour that spring skips is already accounted for by the zone's own decision.
    told_by_zone = {row for decision in zoned if decision.sets_aside for row in decision.rows}
    points: list[Point] = []
    seen: set[str] = set()
    for (number, message), stamp in zip(messages, utc_ms, strict=True):
        if number in told_by_zone:
            continue
        topic = str(message.get("topic", ""))
        reason, found_points = _read(message, topic, (number, int(stamp), topic in seen))
        seen.add(topic)
        if reason:
            aside.setdefault(reason, []).append(number)
        points.extend(found_points)
    told = f"{counted(len(messages), 'message')} captured from MQTT"
    made = (*decisions, Decision("form", 1, (), told), *stamps.decisions, *zoned)
    return gather(points, Told(name, timezone, tuple(lines), aside, made), channels)


def _message(line: str) -> dict[str, Any] | str:
    """The message of a line, or why it is none."""
    if not line.strip("\x00 \t"):
        return "blank"
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return "no JSON, or cut off"
    if not isinstance(found, dict) or "topic" not in found:
        return "no message with a topic"
    return found


def _first_text(message: Mapping[str, Any], names: tuple[str, ...]) -> str:
    found = next((message[name] for name in names if name in message), "")
    return "" if isinstance(found, bool) or found is None else str(found)


def _read(message: Mapping[str, Any], topic: str, at: tuple[int, int, bool]) -> tuple[str, list[Point]]:
    """The points of a message, or the reason there are none; `at` is line, stamp and topic seen before."""
    line, stamp_ms, seen = at
    if message.get("retain") in (1, True) and not seen:
        return "a retained message from before the capture", []
    payload = next((message[name] for name in PAYLOADS if name in message), None)
    if isinstance(payload, str):
        payload = _unwrapped(payload)
    if isinstance(payload, list):
        known_ms = None if stamp_ms == NO_STAMP else stamp_ms
        pack = read_pack(payload, received_ms=known_ms, line=line, topic=topic)
        return ("" if pack.points else "a SenML payload without a reading"), pack.points
    if stamp_ms == NO_STAMP:
        return "no time that can be read", []
    points = _points(payload, topic, (line, stamp_ms), 0)
    return ("" if points else "a payload without a reading"), points


def _unwrapped(payload: str) -> Any:
    """A payload sent as text, read as JSON where it is some."""
    try:
        return json.loads(payload)
    except (ValueError, RecursionError):
        return payload.strip()


def _points(  # noqa: PLR0911 - one return for each form of payload
    payload: Any, topic: str, at: tuple[int, int], depth: int
) -> list[Point]:
    """The points of a payload: a number, a value with a unit, or readings by name."""
    line, stamp_ms = at
    last = topic.rstrip("/").rpartition("/")[2].lower()
    if isinstance(payload, bool) or (isinstance(payload, str) and payload.lower() in {"on", "off"}):
        if last not in {"gas", "valve", "co2", "light", "lamp"}:
            return []
        is_on = payload is True or (isinstance(payload, str) and payload.lower() == "on")
        word = "light" if last in {"light", "lamp"} else "gas"
        return [Point(line, stamp_ms, topic, "", f"{word} {'on' if is_on else 'off'}", event=True)]
    if isinstance(payload, str) and last in {"event", "note", "events", "notes"}:
        return [Point(line, stamp_ms, topic, "", payload, event=True)]
    if isinstance(payload, (int, float, str)) and payload != "":
        return [Point(line, stamp_ms, topic, "", str(payload))]
    if not isinstance(payload, dict) or depth > MOST_DEEP:
        return []
    if value := next((name for name in VALUES if name in payload), None):
        unit = _first_text(payload, UNITS)
        return [
            Point(p.line, p.utc_ms, p.channel, unit if not p.event else "", p.text, p.event)
            for p in _points(payload[value], topic, at, depth + 1)
        ]
    found: list[Point] = []
    for name, value in payload.items():
        if name not in TIMES:
            found += _points(value, f"{topic}/{name}", at, depth + 1)
    return found
