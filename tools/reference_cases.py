"""The reference cases: one row of a CSV is one number published elsewhere and the function that must give it.

The tests run them, the validation page prints them; both read them here.
"""

from __future__ import annotations

import csv
import importlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[1] / "tests" / "reference" / "cases"
MARKS = ("seen", "second hand", "memory", "derived", "practice")
HEADER = (
    "id", "call", "inputs", "pick", "expected", "unit", "tolerance", "kind", "why", "source", "where", "mark",
)  # fmt: skip


@dataclass(frozen=True)
class Case:
    """One reference case, as its row says it."""

    id: str
    call: str
    inputs: dict[str, Any]
    pick: str
    expected: float
    unit: str
    tolerance: float
    kind: str
    why: str
    source: str
    where: str
    mark: str
    file: str

    @property
    def allowed(self) -> float:
        """How far ours may be from theirs, in the unit of the case."""
        return self.tolerance * (abs(self.expected) if self.kind == "rel" else 1.0)

    def ours(self) -> float:
        """The number our function gives for the inputs of the case."""
        module, _, name = self.call.rpartition(".")
        found = getattr(importlib.import_module(f"fizzwright.{module}"), name)(**self.inputs)
        for part in filter(None, self.pick.split(".")):
            found = found[int(part)] if part.lstrip("-").isdigit() else getattr(found, part)
        return float(found)


def load_cases(folder: Path = FOLDER) -> list[Case]:
    """All cases, file by file in the order of their names; ValueError names a row that cannot be read."""
    cases = []
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as stream:
            reader = csv.DictReader(stream)
            if tuple(reader.fieldnames or ()) != HEADER:
                raise ValueError(f"{path.name}: the header must be {','.join(HEADER)}")
            for row in reader:
                try:
                    cases.append(_case(row, path.name))
                except (ValueError, TypeError, AttributeError) as err:
                    raise ValueError(f"{path.name} line {reader.line_num}: {err}") from err
    return cases


def _case(row: dict[str, str], file: str) -> Case:
    row = {key: value.strip() for key, value in row.items()}
    if row["kind"] not in ("abs", "rel"):
        raise ValueError(f"kind must be abs or rel, not {row['kind']!r}")
    numbers = {"expected": float(row["expected"]), "tolerance": float(row["tolerance"])}
    return Case(**{**row, **numbers, "inputs": json.loads(row["inputs"] or "{}")}, file=file)
