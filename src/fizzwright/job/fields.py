"""What the model says about its own fields: key in the file, unit, range, words, help.

The refusals, the blank template and the interview all read these notes, so that none of them can drift
from the model.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from pydantic.fields import FieldInfo

from fizzwright.job.model import Part
from fizzwright.units import convert, suffix_of, unit_text

__all__ = ["FieldNote", "Path", "dotted", "notes", "range_text", "words_text"]

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class FieldNote:
    """One field of the file, as the model declares it.

    `suffix` is the unit suffix of a quantity, "" for anything else; `part` is the model of a table,
    None for a plain value; `many` says the table repeats; `limits` are in the unit of `suffix`: "ge" and
    "le" allowed themselves, "gt" not; `clock` is a time of day, `whole` a number without decimals.
    """

    key: str
    attribute: str
    help: str
    required: bool
    default: Any
    part: type[Part] | None
    many: bool
    suffix: str
    limits: Mapping[str, float]
    words: tuple[str, ...]
    clock: bool
    whole: bool
    annotation: Any


def dotted(path: Path) -> str:
    """A path as people write it: `animals[2].mass`, counting tables of one name from 1.

    Examples
    --------
    >>> dotted(("animals", 1, "mass"))
    'animals[2].mass'
    """
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def _plain_number(value: float) -> str:
    """A number as short as it can be written in a file, never in exponent form."""
    text = f"{value:.12f}".rstrip("0").rstrip(".")
    return text if text not in {"", "-0"} else "0"


def range_text(note: FieldNote) -> str:
    """The allowed range in the unit the field is shown in, or "" where there is none."""
    unit = unit_text(note.suffix) if note.suffix else ""
    shown = {
        kind: _plain_number(convert(limit, note.suffix, unit) if unit else limit)
        + (f" {unit}" if unit and note.suffix != "ph" else "")
        for kind, limit in note.limits.items()
    }
    low = shown.get("ge") or (f"over {shown['gt']}" if "gt" in shown else "")
    if "le" not in shown:
        return f"{low} or more" if "ge" in shown else low
    if not low:
        return f"up to {shown['le']}"
    return f"{low} {'up ' if 'gt' in shown else ''}to {shown['le']}"


def words_text(words: tuple[str, ...]) -> str:
    """The words a field takes, each in quotes, since some hold commas of their own.

    Examples
    --------
    >>> words_text(("open", "loose cover"))
    '"open", "loose cover"'
    """
    return ", ".join(f'"{word}"' for word in words)


def notes(model: type[Part]) -> Mapping[str, FieldNote]:
    """The notes of a model's fields by their key in the file, in the model's order."""
    made = (_note(name, info) for name, info in model.model_fields.items())
    return {note.key: note for note in made}


def _note(name: str, info: FieldInfo) -> FieldNote:
    kind, many = _unwrap(info.annotation)
    part = kind if isinstance(kind, type) and issubclass(kind, Part) else None
    number = kind in (int, float)
    clock = kind is int and name.endswith("_min")
    return FieldNote(
        key=info.alias or name,
        attribute=name,
        help=info.description or _first_line(part),
        required=info.is_required(),
        default=None if info.is_required() else info.get_default(call_default_factory=True),
        part=part,
        many=many,
        suffix=(suffix_of(name) or "") if number and not clock else "",
        limits=_limits(info.metadata),
        words=tuple(word.value for word in kind)
        if isinstance(kind, type) and issubclass(kind, StrEnum)
        else (),
        clock=clock,
        whole=kind is int and not clock,
        annotation=typing.Annotated[(info.annotation, *info.metadata)] if info.metadata else info.annotation,
    )


def _first_line(part: type[Part] | None) -> str:
    return (part.__doc__ or "").strip().splitlines()[0].rstrip(".") if part else ""


def _unwrap(annotation: Any) -> tuple[Any, bool]:
    """The kind inside `X | None`, `Annotated[X, ...]` or `tuple[X, ...]`, and whether it repeats."""
    origin = typing.get_origin(annotation)
    inner = typing.get_args(annotation)
    if origin is tuple:
        return _unwrap(inner[0])[0], True
    if origin is typing.Annotated:
        return _unwrap(inner[0])
    if origin in (typing.Union, types.UnionType):
        return _unwrap(next(kind for kind in inner if kind is not type(None)))
    return annotation, False


def _limits(metadata: list[Any]) -> Mapping[str, float]:
    found = {}
    for rule in metadata:
        for bound in ("ge", "gt", "le"):
            if (limit := getattr(rule, bound, None)) is not None:
                found[bound] = float(limit)
    return found
