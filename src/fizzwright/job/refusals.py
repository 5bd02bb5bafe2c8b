"""Every reason a job file is refused, in the words of the file: field, value, range, line, next step."""

from __future__ import annotations

import zoneinfo
from collections.abc import Iterator, Mapping
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any

from pydantic import TypeAdapter, ValidationError

from fizzwright.errors import Fault, InputError
from fizzwright.job.contradictions import contradictions
from fizzwright.job.fields import FieldNote, Path, dotted, notes, range_text, words_text
from fizzwright.job.locate import line_of
from fizzwright.job.model import Job, Part
from fizzwright.job.spelling import nearest, shown
from fizzwright.units import unit_text

__all__ = ["faults_of", "note_at", "standing_faults", "value_faults"]

Lines = Mapping[Path, int]


def faults_of(error: ValidationError, values: Mapping[str, Any], lines: Lines) -> Iterator[Fault]:
    """The faults a validation found, and the contradictions among the values that were fine."""
    whole = False
    for row in error.errors(include_url=False):
        if row["loc"]:
            yield from _field_faults(row, values, lines)
        else:
            whole = True
            yield from _contradiction_faults(str(row["ctx"]["error"]).split("\u0000"), lines)
    if not whole:
        yield from _contradiction_faults(list(contradictions(_partial(Job, values), partial=True)), lines)


def value_faults(path: Path, value: Any) -> list[Fault]:
    """What is wrong with one value for one field, judged alone; nothing where it will do."""
    values: Any = value
    for step in reversed(path):
        values = {step: values}
    try:
        TypeAdapter(note_at(path).annotation).validate_python(value)
    except ValidationError as error:
        rows = ({**row, "loc": (*path, *row["loc"])} for row in error.errors(include_url=False))
        return [fault for row in rows for fault in _field_faults(row, values, {})]
    return list(standing_faults(values, {}, name=""))


def standing_faults(values: Mapping[str, Any], lines: Lines, *, name: str) -> Iterator[Fault]:
    """What the model cannot judge: the time zone, and the names of files beside this one."""
    zone = _at(values, ("job", "timezone"))
    if isinstance(zone, str) and not _zone_exists(zone):
        yield _zone_fault(zone, line_of(lines, ("job", "timezone")))
    path: Path = ("gasline", "bottle", "shared_with")
    names = _at(values, path)
    for at, sibling in enumerate(names if isinstance(names, list) else []):
        reason = _sibling_reason(sibling, name, names[:at]) if isinstance(sibling, str) else ""
        if reason:
            where = (*path, at)
            yield Fault(dotted(where), shown(sibling), reason, "", line_of(lines, where))


def _at(values: Any, path: Path) -> Any:
    for step in path:
        inside = (
            values
            if isinstance(values, dict)
            else dict(enumerate(values if isinstance(values, list) else ()))
        )
        values = inside.get(step)
    return values


def _zone_exists(zone: str) -> bool:
    try:
        zoneinfo.ZoneInfo(zone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _zone_fault(zone: str, line: int | None) -> Fault:
    zones = sorted(zoneinfo.available_timezones())
    cities = {known.rsplit("/", 1)[-1]: known for known in zones}
    guess = nearest(zone, zones) or cities.get(nearest(zone, list(cities)), "")
    step = f'The nearest is "{guess}"' if guess else 'For example "Europe/Berlin"'
    return Fault("job.timezone", shown(zone), "needs the name of an IANA time zone", step, line)


def _sibling_reason(sibling: str, own: str, before: list[Any]) -> str:
    """Why the name of a job file beside this one cannot be used, or ""."""
    forms = (PurePosixPath(sibling), PureWindowsPath(sibling))
    outside = any(form.anchor or form.drive or ".." in form.parts for form in forms)
    if outside or "\\" in sibling or not sibling.isprintable():
        return "must name a file in the same folder, without .. or a drive or a leading slash"
    if not sibling.endswith(".toml"):
        return "must name a job file, ending in .toml"
    if sibling == own:
        return "names this file itself; list the other tanks only"
    return "is listed twice" if sibling in before else ""


def _field_faults(row: Any, values: Mapping[str, Any], lines: Lines) -> Iterator[Fault]:
    path: Path = tuple(row["loc"])
    note = note_at(path)
    line = line_of(lines, path)
    given = shown(_at(values, path))
    inner = row.get("ctx", {}).get("error")
    if isinstance(inner, InputError):
        for fault in inner.faults:
            yield Fault(dotted(path), given, fault.allowed, fault.next_step, line)
        return
    if row["type"] == "missing":
        yield Fault(dotted(path), "", f"is missing: {note.help or 'it has no default'}", _add(note), line)
        return
    if row["type"] == "enum":
        yield Fault(dotted(path), given, f"one of {words_text(note.words)}", _nearest_word(given, note), line)
        return
    yield Fault(dotted(path), given, _allowed(row, note, path), "", line)


def _allowed(row: Any, note: FieldNote, path: Path) -> str:
    """What a field takes, in words for each kind of refusal."""
    kind = row["type"]
    limits = range_text(note)
    tail = f", allowed {limits}" if limits else ""
    brackets = f"[[{dotted(path[:-1])}]]" if isinstance(path[-1], int) else f"[{dotted(path)}]"
    words = {
        "greater": f"allowed {limits}",
        "less": f"allowed {limits}",
        "int": f"needs a whole number{tail}",
        "float": f"needs a number with a unit{tail}",
        "string_type": "needs text in quotes",
        "string_pattern": f"needs {note.help}",
        "string_too": "needs 1 to 80 characters",
        "model": f"needs a table {brackets} with its keys on the lines below",
        "tuple": f"needs [[{dotted(path)}]] tables" if note.part else "needs a list of texts in [ ]",
    }
    said = str(row.get("ctx", {}).get("error") or row["msg"])
    return next((text for start, text in words.items() if kind.startswith(start)), said)


def _add(note: FieldNote) -> str:
    """How a missing field is written."""
    if note.part is not None:
        return f"Add a table for it with {', '.join(k for k, n in notes(note.part).items() if n.required)}"
    if note.words:
        return f"Add {note.key}, one of {words_text(note.words)}"
    if note.clock:
        return f'Add {note.key} = "hh:mm"'
    limits = range_text(note)
    unit = f" in {unit_text(note.suffix)}" if note.suffix and unit_text(note.suffix) else ""
    return f"Add {note.key}{unit}" + (f", allowed {limits}" if limits else "")


def _nearest_word(given: str, note: FieldNote) -> str:
    inside = [word for word in note.words if given.lower().strip() and given.lower().strip() in word]
    guess = nearest(given, list(note.words)) or (inside[0] if len(inside) == 1 else "")
    return f'The nearest is "{guess}"' if guess else ""


def note_at(path: Path) -> FieldNote:
    """The note of a field, whichever row of a list it stands in."""
    model: type[Part] = Job
    keys = [step for step in path if isinstance(step, str)]
    note = notes(model)[keys[0]]
    for key in keys[1:]:
        if note.part is None:
            break
        note = notes(note.part)[key]
    return note


def _contradiction_faults(texts: list[str], lines: Lines) -> Iterator[Fault]:
    for text in texts:
        field, _, reason = text.partition("\u0001")
        yield Fault(field, "", reason, "", line_of(lines, tuple(field.split("."))))


def _partial(model: type[Part], values: Mapping[str, Any]) -> Any:
    """A part built from the fields that are fine; the faulty and the missing ones are not there at all."""
    part = model.model_construct()
    for key, note in notes(model).items():
        if key in values:
            part.__dict__.pop(note.attribute, None)
            value = values[key]
            if note.part is not None and not note.many and isinstance(value, dict):
                part.__dict__[note.attribute] = _partial(note.part, value)
                continue
            try:
                part.__dict__[note.attribute] = TypeAdapter(note.annotation).validate_python(value)
            except ValidationError:
                continue
    return part
