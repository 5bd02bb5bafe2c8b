"""Keys the model does not know: each refused by name, with the nearest known key beside it.

A key that is clearly a slip of the pen is also read as the key it was meant to be, so that what stands
under it is checked in the same pass. The file is refused either way.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from fizzwright.errors import Fault
from fizzwright.job.fields import FieldNote, Path, dotted, notes
from fizzwright.job.locate import line_of
from fizzwright.job.model import Job, Part

__all__ = ["Respelled", "nearest", "respell", "shown"]

_SURE = 0.75
_LIKELY = 0.5


@dataclass
class Respelled:
    """A file's values under keys the model knows, the faults met, and where the values stand."""

    values: dict[str, Any]
    lines: dict[Path, int]
    faults: list[Fault] = field(default_factory=list)


def nearest(word: str, known: list[str], *, cutoff_ratio: float = _LIKELY) -> str:
    """The known word most like a given one, or "" where none is like it.

    Examples
    --------
    >>> nearest("temprature", ["kh", "temperature"])
    'temperature'
    """
    folded = {key.lower(): key for key in known}
    found = difflib.get_close_matches(word.lower(), list(folded), n=1, cutoff=cutoff_ratio)
    return folded[found[0]] if found else ""


def shown(value: Any) -> str:
    """A value as it stands in the file, cut where it is long; tables and lists are not repeated."""
    if value is None or isinstance(value, dict | list):
        return ""
    text = str(value).lower() if isinstance(value, bool) else str(value)
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:57] + "..."


def respell(data: Mapping[str, Any], lines: Mapping[Path, int]) -> Respelled:
    """The values of a file with every key known to the model, and a fault for every key that was not."""
    result = Respelled({}, dict(lines))
    result.values = _table(data, Job, (), result)
    return result


def _table(data: Mapping[str, Any], model: type[Part], path: Path, result: Respelled) -> dict[str, Any]:
    known = notes(model)
    meant: dict[str, str] = {}
    for key in data:
        if key in known:
            continue
        guess = _guess(key, known)
        sure = bool(guess) and bool(nearest(key, [guess, known[guess].attribute], cutoff_ratio=_SURE))
        step = _next_step(key, path, guess, sure) or f"Known here: {', '.join(known)}"
        result.faults.append(_unknown((*path, key), data[key], step, result.lines))
        if sure and guess not in data and guess not in meant.values():
            meant[key] = guess
            _move(result.lines, (*path, key), (*path, guess))
    kept = {meant.get(key, key): value for key, value in data.items() if key in known or key in meant}
    return {key: _value(value, known[key], (*path, key), result) for key, value in kept.items()}


def _value(value: Any, note: FieldNote, path: Path, result: Respelled) -> Any:
    """A value under a known key; a table where a list of them belongs (or one too many) is put right."""
    if note.part is None:
        return value
    if note.many and isinstance(value, dict):
        text = f"stands in double brackets: [[{dotted(path)}]], once for each"
        result.faults.append(Fault(dotted(path), "", text, "", line_of(result.lines, path)))
        _move(result.lines, path, (*path, 0))
        value = [value]
    if not note.many and isinstance(value, list) and len(value) == 1 and isinstance(value[0], dict):
        text = f"stands once, in single brackets: [{dotted(path)}]"
        result.faults.append(Fault(dotted(path), "", text, "", line_of(result.lines, path)))
        _move(result.lines, (*path, 0), path)
        value = value[0]
    if note.many and isinstance(value, list):
        return [
            _table(row, note.part, (*path, at), result) if isinstance(row, dict) else row
            for at, row in enumerate(value)
        ]
    return _table(value, note.part, path, result) if isinstance(value, dict) else value


def _move(lines: dict[Path, int], old: Path, new: Path) -> None:
    """Let the places of a subtree be found under its new path too."""
    for path in list(lines):
        if path[: len(old)] == old:
            lines[(*new, *path[len(old) :])] = lines[path]


def _guess(key: str, known: Mapping[str, FieldNote]) -> str:
    """The key meant, also where its unit was written into the name."""
    by_attribute = {note.attribute: note.key for note in known.values()}
    found = nearest(key.strip().replace("-", "_").replace(" ", "_"), [*by_attribute, *known])
    return by_attribute.get(found, found)


def _next_step(key: str, path: Path, guess: str, sure: bool) -> str:
    """Where the key belongs: a sure guess first, then the same key in another table, then any guess."""
    elsewhere = [dotted(home) for home in _homes(key, Job, ()) if home[:-1] != path]
    if elsewhere and not sure:
        return f"There is {' and '.join(elsewhere[:3])}"
    return f'The nearest known key is "{guess}"' if guess else ""


def _unknown(where: Path, value: Any, step: str, lines: Mapping[Path, int]) -> Fault:
    place = f"[{dotted(where[:-1])}]" if where[:-1] else "the file's top level"
    text = f"is not a known key of {place}"
    return Fault(dotted(where), shown(value), text, step, line_of(lines, where))


def _homes(key: str, model: type[Part], path: Path) -> Iterator[Path]:
    """Every table of the model that knows a key."""
    for name, note in notes(model).items():
        if name == key:
            yield (*path, name)
        if note.part is not None:
            yield from _homes(key, note.part, (*path, name))
