"""Published sources, and the record that ties an equation to one of them.

`@equation` only hangs a record on the function: same function object, no cost at a call. The records
feed the trail of every answer, the sources page and the validation page.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, TypeVar

__all__ = ["Equation", "Source", "all_sources", "equation", "equation_of", "named", "source"]

F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True)
class Source:
    """One published source (or a named absence of one) and how well we know it.

    `mark` is "seen" (text or digits seen), "second hand" (seen as quoted or coded by others),
    "memory" (not seen), "derived" (worked out here from other sources) or "practice" (common
    practice, no source).
    """

    key: str
    citation: str
    mark: str
    note: str = ""

    @property
    def short(self) -> str:
        """First author and year where the citation starts with one, else its first clause.

        Examples
        --------
        >>> Source("x", "Weiss, R. F. (1974). Carbon dioxide in water and seawater", "seen").short
        'Weiss 1974'
        """
        name = re.split(r",| \(|\. ", self.citation)[0]
        year = re.search(r"\b(1[5-9]\d\d|20\d\d)\b", self.citation)
        if year and len(name) <= 30 and year.start() < 160:
            return f"{re.sub(r' [A-Z]{1,3}$', '', name)} {year.group()}"
        clause = re.split(r"[.;:,] ", self.citation.rstrip("."))[0]
        if clause.count("(") > clause.count(")"):
            clause = clause[: clause.rindex("(")].rstrip()
        return clause if len(clause) <= 70 else f"{clause[:68].rsplit(' ', 1)[0]}…"


@dataclass(frozen=True)
class Equation:
    """The record of one equation: its dotted name, first docstring line, source, place in it, range.

    `valid` maps parameter names to the inclusive range the source supports.
    """

    name: str
    says: str
    source: str
    where: str
    valid: Mapping[str, tuple[float, float]]


def equation(
    source: str, *, where: str = "", valid: Mapping[str, tuple[float, float]] | None = None
) -> Callable[[F], F]:
    """Hang the record of a published equation on the function below it.

    `source` is a key in `data/sources/*.toml`; `where` is the place in that source (equation, table,
    page); `valid` gives the range of each parameter the source supports.
    """

    def attach(function: F) -> F:
        says = (function.__doc__ or "").strip().splitlines()[0] if function.__doc__ else ""
        name = f"{function.__module__.removeprefix('fizzwright.')}.{function.__qualname__}"
        record = Equation(name, says, source, where, dict(valid or {}))
        function.__equation__ = record  # type: ignore[attr-defined]
        return function

    return attach


def equation_of(function: Callable[..., Any]) -> Equation:
    """The record hung on a function; TypeError where there is none."""
    record = getattr(function, "__equation__", None)
    if not isinstance(record, Equation):
        raise TypeError(f"{function!r} carries no equation record")
    return record


@cache
def all_sources() -> Mapping[str, Source]:
    """Every source we know, by key, read once from the files in `data/sources`."""
    found: dict[str, Source] = {}
    for entry in sorted(
        resources.files("fizzwright.data").joinpath("sources").iterdir(), key=lambda p: p.name
    ):
        if not entry.name.endswith(".toml"):
            continue
        for key, row in tomllib.loads(entry.read_text(encoding="utf-8")).items():
            if key in found:
                raise ValueError(f"source {key} is listed twice, again in {entry.name}")
            found[key] = Source(key, row["citation"], row["mark"], row.get("note", ""))
    return found


def source(key: str) -> Source:
    """The source kept under a key; KeyError names the key where there is none."""
    return all_sources()[key]


def named(text: str) -> str:
    """A source's short name where `text` is its key; any other words come back as they are.

    Examples
    --------
    >>> named("common practice, no source")
    'common practice, no source'
    """
    found = all_sources().get(text)
    return found.short if found is not None else text
