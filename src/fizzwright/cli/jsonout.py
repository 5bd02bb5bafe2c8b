"""An answer as one JSON object: `result`, `findings`, `trail`, `version`."""

from __future__ import annotations

import dataclasses
import json
import math
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import Any

from fizzwright.result import Estimate, Finding, Trail
from fizzwright.units import suffix_of

__all__ = ["answer_object", "chosen", "dumps", "finding_objects", "number", "plain", "quantity"]

DIGITS = 6


def dumps(found: Any) -> str:
    """JSON text: Unicode as it is, keys in the order they were put."""
    return json.dumps(found, ensure_ascii=False, allow_nan=False, indent=1)


def answer_object(result: Any, trail: Trail) -> dict[str, Any]:
    """The object printed for an answer; `result` is a dataclass or plain data already made."""
    from fizzwright import __version__

    body = plain(result) if dataclasses.is_dataclass(result) else dict(result)
    body.pop("trail", None)
    return {
        "result": body,
        "findings": finding_objects(trail.findings),
        "trail": {
            "equations": [plain(equation) for equation in trail.equations],
            "sources": [plain(source) for source in trail.sources],
            "assumptions": [plain(assumption) for assumption in trail.assumptions],
            "inputs_digest": trail.inputs_digest,
        },
        "version": __version__,
    }


def finding_objects(findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    """Findings as plain data, in the order they were found."""
    return [plain(finding) for finding in findings]


def quantity(estimate: Estimate) -> dict[str, Any]:
    """An estimate as plain data; its unit is the suffix its key ends in, whatever units are printed."""
    return {
        "value": number(estimate.value),
        "unit": estimate.unit,
        "low": number(estimate.low),
        "high": number(estimate.high),
        "basis": str(estimate.basis.value),
    }


def chosen(value: float, unit: str) -> dict[str, Any]:
    """A number that was chosen, such as a target: its limits are itself."""
    return {**_bare(value, unit), "low": number(value), "high": number(value), "basis": "judgement"}


def _bare(value: float, unit: str) -> dict[str, Any]:
    """A number whose band is not stated."""
    return {"value": number(value), "unit": unit, "low": None, "high": None, "basis": None}


def number(value: float) -> float | None:
    """A float to six significant digits, far below any band; None where it is no number."""
    return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None


def _key(name: str) -> str:
    """A field's name as a key: `pass_` carries its underscore for Python's sake only."""
    return name.removesuffix("_")


def plain(value: Any, name: str = "") -> Any:  # noqa: PLR0911 - one return for each kind of thing
    """Anything a result holds as plain data; floats with a unit in their name become quantities."""
    if isinstance(value, Estimate):
        return quantity(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Decimal):
        return float(value)
    if isinstance(value, date):
        return value.isoformat()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = dataclasses.fields(value)
        return {_key(f.name): plain(getattr(value, f.name), f.name) for f in fields if f.name != "trail"}
    if isinstance(value, dict) or hasattr(value, "items"):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [plain(item) for item in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist(), name)
    if isinstance(value, float):
        suffix = suffix_of(name) if name else None
        return _bare(value, suffix) if suffix else number(value)
    return value
