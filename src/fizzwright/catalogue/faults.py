"""What goes wrong with CO2 on a tank: symptoms, causes, and the check that tells causes apart.

The table stands in `faults.toml` beside this file, in shares of judgement with a mark of evidence each.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

__all__ = ["Cause", "FaultTable", "Symptom", "fault_table"]


@dataclass(frozen=True)
class Cause:
    """One cause: `often_ratio` weighs it against others before anything is seen; `do` is what mends it."""

    key: str
    name: str
    often_ratio: float
    do: str


@dataclass(frozen=True)
class Symptom:
    """One symptom, how often each cause shows it, and the check with the causes each answer favours.

    `distress` is "animals" or "people" where somebody may be in danger, else "".
    """

    key: str
    says: str
    shows_frac: Mapping[str, float]
    check: str
    answers: Mapping[str, tuple[str, ...]]
    mark: str
    distress: str


@dataclass(frozen=True)
class FaultTable:
    """All causes and symptoms by their keys."""

    causes: Mapping[str, Cause]
    symptoms: Mapping[str, Symptom]


@cache
def fault_table() -> FaultTable:
    """The table, read once."""
    text = resources.files("fizzwright.catalogue").joinpath("faults.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    causes = {
        key: Cause(key, row["name"], float(row["often"]), row["do"]) for key, row in table["cause"].items()
    }
    symptoms = {
        key: Symptom(
            key,
            row["says"],
            {cause: float(share) for cause, share in row["causes"].items()},
            row["check"],
            {answer: tuple(favoured) for answer, favoured in row["answers"].items()},
            row["mark"],
            row.get("distress", ""),
        )
        for key, row in table["symptom"].items()
    }
    return FaultTable(causes, symptoms)
