"""What a sum asks for: fields with a unit, a range and one line of help, checked all at once.

A question is a frozen dataclass whose fields are made with `asked`. The command line turns each field
into an option and the web into a form line; both call `check` so that every fault is reported together.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fizzwright.errors import Fault, InputError
from fizzwright.units import show, suffix_of

__all__ = ["Asked", "asked", "asked_fields", "check"]


@dataclass(frozen=True)
class Asked:
    """How one field of a question is asked: option name, help, limits, allowed words, flag or not."""

    option: str
    help: str
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    why: str = ""


_MISSING = dataclasses.MISSING


def asked(
    option: str,
    help: str,
    *,
    low: float | None = None,
    high: float | None = None,
    choices: tuple[str, ...] = (),
    why: str = "",
    default: Any = _MISSING,
) -> Any:
    """A dataclass field that knows how it is asked for.

    `low` and `high` are inclusive limits in the field's own unit; `why` says where they come from;
    `choices` lists the words a text field takes. A field without `default` must be answered.
    """
    note = Asked(option, help, low, high, choices, why)
    if default is _MISSING:
        return dataclasses.field(metadata={"asked": note})
    return dataclasses.field(default=default, metadata={"asked": note})


def asked_fields(question: Any) -> Mapping[str, Asked]:
    """The asked fields of a question (class or instance) by field name, in order."""
    return {f.name: f.metadata["asked"] for f in dataclasses.fields(question) if "asked" in f.metadata}


def check(question: Any) -> None:
    """Raise one InputError with every field that is out of range or not among its words."""
    faults = []
    for name, note in asked_fields(question).items():
        value = getattr(question, name)
        if value is None:
            continue
        if note.choices and value not in note.choices:
            faults.append(Fault(note.option, str(value), f"one of {', '.join(note.choices)}"))
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            faults.extend(_range_fault(name, float(value), note))
    if faults:
        raise InputError(faults)


def _range_fault(name: str, value: float, note: Asked) -> list[Fault]:
    low, high = note.low, note.high
    if not math.isnan(value) and (low is None or value >= low) and (high is None or value <= high):
        return []
    suffix = suffix_of(name)

    def shown(x: float) -> str:
        return show(x, suffix) if suffix else str(x)

    limits = f"{'any' if low is None else shown(low)} to {'any' if high is None else shown(high)}"
    given = "not a number" if math.isnan(value) else shown(value)
    return [Fault(note.option, given, f"allowed {limits}", note.why)]
