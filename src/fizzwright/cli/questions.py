"""From a question dataclass to command-line options, and from what was typed back to a question."""

from __future__ import annotations

import dataclasses
import re
import types
import typing
from collections.abc import Mapping
from enum import Enum
from typing import Any

import click

from fizzwright import form
from fizzwright.errors import Fault, InputError
from fizzwright.units import SUFFIXES, convert, parse, suffix_of, unit_text

__all__ = ["Slot", "options_of", "question_from", "slots_of"]


@dataclasses.dataclass(frozen=True)
class Slot:
    """One field of a question as the command line sees it: its kind, its unit, how it is asked."""

    name: str
    kind: type
    suffix: str | None
    optional: bool
    default: Any
    note: form.Asked

    @property
    def required(self) -> bool:
        """Whether the field must be answered."""
        return self.default is dataclasses.MISSING

    @property
    def option(self) -> str:
        """The option without its dashes, as a column of a file of cases names it."""
        return self.note.option.lstrip("-").replace("-", "_")

    @property
    def words(self) -> tuple[str, ...]:
        """The words the field takes, where it takes words."""
        if issubclass(self.kind, Enum):
            return tuple(str(member.value) for member in self.kind)
        return self.note.choices

    def read(self, text: str) -> Any:
        """What a person wrote, as the value of the field; InputError says what would do."""
        text = text.strip()
        if self.words:
            return self._word(text)
        if self.kind is bool:
            return self._yes_or_no(text)
        if self.kind is float and self.suffix is not None:
            return self._quantity(text, self.suffix)
        if self.kind is int:
            return self._whole(text)
        return text

    def _quantity(self, text: str, suffix: str) -> float:
        """A quantity; an error is a difference, so 1 °F of it is 0.56 °C wherever the scales begin."""
        value = parse(text, suffix, field=self.note.option)
        if "error" not in self.name.split("_"):
            return value
        return value - parse(re.sub(r"\d[\d.,]*", "0", text, count=1), suffix)

    def _word(self, text: str) -> Any:
        folded = {word.casefold(): word for word in self.words}
        if text.casefold() not in folded:
            raise InputError([Fault(self.note.option, text, f"one of: {', '.join(self.words)}")])
        word = folded[text.casefold()]
        return self.kind(word) if issubclass(self.kind, Enum) else word

    def _yes_or_no(self, text: str) -> bool:
        if text.casefold() in ("yes", "true", "1", "y"):
            return True
        if text.casefold() in ("no", "false", "0", "n", ""):
            return False
        raise InputError([Fault(self.note.option, text, "yes or no")])

    def _whole(self, text: str) -> int:
        if not text.removeprefix("-").isdigit():
            raise InputError([Fault(self.note.option, text, "a whole number")])
        return int(text)


def slots_of(question: type) -> tuple[Slot, ...]:
    """The fields of a question in the order they are asked."""
    kinds = typing.get_type_hints(question)
    notes = form.asked_fields(question)
    slots = []
    for field in dataclasses.fields(question):
        if field.name not in notes:
            continue
        kind, optional = _unwrapped(kinds[field.name])
        suffix = suffix_of(field.name) if kind is float else None
        if kind is float and suffix is None:
            raise TypeError(f"{question.__name__}.{field.name} has no unit in its name")
        slots.append(Slot(field.name, kind, suffix, optional, field.default, notes[field.name]))
    return tuple(slots)


def _unwrapped(kind: Any) -> tuple[type, bool]:
    """The type behind `X | None`, and whether None was allowed."""
    if isinstance(kind, types.UnionType) or typing.get_origin(kind) is typing.Union:
        inner = [k for k in typing.get_args(kind) if k is not type(None)]
        return inner[0], True
    return kind, False


def options_of(slots: tuple[Slot, ...]) -> list[click.Parameter]:
    """One option for each field. Each takes text and none is required: we report all faults ourselves."""
    return [_option(slot) for slot in slots]


def _option(slot: Slot) -> click.Option:
    if slot.kind is bool:
        flags = f"{slot.note.option}/--no-{slot.note.option.lstrip('-')}"
        return click.Option([flags, slot.name], default=None, help=slot.note.help + _tail(slot))
    return click.Option(
        [slot.note.option, slot.name], metavar=_metavar(slot), help=slot.note.help + _tail(slot)
    )


def _metavar(slot: Slot) -> str:
    if slot.words:
        return "WORD"
    if slot.suffix is not None:
        return _unit(slot).replace(" ", "\u00a0") or "NUMBER"
    return "NUMBER" if slot.kind is int else "TEXT"


def _unit(slot: Slot) -> str:
    """The unit as help prints it, without the reference state in brackets."""
    return "" if slot.suffix is None or slot.suffix == "ph" else unit_text(slot.suffix).split(" (")[0]


def _tail(slot: Slot) -> str:
    """Limits, words and default, in brackets after the help line."""
    parts = ["required"] if slot.required else []
    if slot.words:
        parts.append(", ".join(slot.words))
    low, high = slot.note.low, slot.note.high
    if low is not None and high is not None:
        parts.append(f"{_tidy(low, slot)} to {_tidy(high, slot)} {_unit(slot)}".strip())
    if not slot.required and slot.default is not None and slot.kind is not bool:
        parts.append(f"default {_tidy(slot.default, slot)} {_unit(slot)}".strip())
    return f" [{'; '.join(parts)}]" if parts else ""


def _tidy(value: Any, slot: Slot) -> str:
    """A limit or a default as it was written in the code, in the unit that is shown."""
    if isinstance(value, Enum):
        return str(value.value)
    if slot.suffix is None:
        return str(value)
    unit = unit_text(slot.suffix)
    return f"{convert(float(value), slot.suffix, unit) if unit else value:g}".replace("-", "−")


def question_from(question: type, given: Mapping[str, Any]) -> Any:
    """The question with the answers given (text by field name; None or blank where nothing was given).

    Raises one InputError with every fault: what cannot be read, what is missing, what is out of range.
    """
    faults: list[Fault] = []
    values: dict[str, Any] = {}
    for slot in slots_of(question):
        answer = given.get(slot.name)
        if answer is None or answer == "":
            if slot.required:
                faults.append(_missing(slot))
            values[slot.name] = None if slot.required else slot.default
            continue
        try:
            values[slot.name] = slot.read(answer) if isinstance(answer, str) else answer
        except InputError as wrong:
            faults.extend(wrong.faults)
            values[slot.name] = None
    made = question(**values)
    try:
        form.check(made)
    except InputError as wrong:
        faults.extend(wrong.faults)
    if faults:
        raise InputError(faults)
    return made


def _missing(slot: Slot) -> Fault:
    """The fault of an answer that was not given, with an example of one from the middle of its range."""
    if slot.words:
        example = slot.words[0]
    elif slot.suffix is not None:
        low, high = slot.note.low, slot.note.high
        middle = (low + high) / 2 if low is not None and high is not None else 1.0
        example = f"{middle:.2g} {SUFFIXES[slot.suffix].shown if slot.suffix != 'ph' else ''}".strip()
    else:
        example = slot.kind.__name__
    step = f'For example {slot.note.option} "{example}"'
    return Fault(slot.note.option, "", f"is needed: {slot.note.help}", step)
