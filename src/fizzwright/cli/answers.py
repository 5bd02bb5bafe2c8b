"""Any answer as rows of text: one for each of its fields, in their order."""

from __future__ import annotations

import dataclasses
from enum import Enum
from typing import Any

from fizzwright.cli.output import Row, estimate_row, label_of
from fizzwright.result import Estimate
from fizzwright.units import System, suffix_of

__all__ = ["answer_rows"]


def answer_rows(answer: Any, system: System) -> list[Row]:
    """The fields of an answer as rows, in their order, but for what is not known and groups of fields."""
    rows = []
    for field in dataclasses.fields(answer):
        value = getattr(answer, field.name)
        if field.name == "trail" or value is None:
            continue
        if isinstance(value, Estimate):
            rows.append(estimate_row(label_of(field.name, value.unit), value, system))
        elif not dataclasses.is_dataclass(value):
            rows.append(_plain_row(field.name, value, system))
    return rows


def _plain_row(name: str, value: Any, system: System) -> Row:
    suffix = suffix_of(name) if isinstance(value, float) else None
    if suffix is not None:
        estimate = Estimate.exact(value, suffix)
        return estimate_row(label_of(name, suffix), estimate, system)
    return Row(label_of(name), "", remark=_words(value))


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, (tuple, list)):
        return ", ".join(_words(item) for item in value)
    return str(value)
