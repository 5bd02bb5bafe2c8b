"""docs/reference/equations.md and docs/sources.md, from the records that hang on the equations."""

from __future__ import annotations

import importlib
import pkgutil
from itertools import groupby

import fizzwright
from fizzwright.sources import Equation, Source, all_sources

MARKS = {
    "seen": "text or digits of the source seen",
    "second hand": "seen as quoted or coded by others",
    "memory": "not seen",
    "derived": "worked out here from other sources",
    "practice": "common practice, no source",
}


def all_equations() -> list[Equation]:
    """Every equation in the package, by name."""
    found = {}
    for info in pkgutil.walk_packages(fizzwright.__path__, "fizzwright."):
        if info.name.endswith("__main__"):
            continue
        for thing in vars(importlib.import_module(info.name)).values():
            record = getattr(thing, "__equation__", None)
            if isinstance(record, Equation):
                found[record.name] = record
    return [found[name] for name in sorted(found)]


def equations_page() -> str:
    """Every equation: what it gives, where it is published, the range its source supports."""
    lines = [
        "# Equations",
        "",
        "*Made by `make docs` from the records in the code; do not edit.* Sources: [sources](../sources.md).",
        "",
    ]
    for room, equations in groupby(all_equations(), key=lambda e: e.name.rpartition(".")[0]):
        lines += [f"## {room}", "", "| function | gives | source | range |", "|---|---|---|---|"]
        lines += [_equation_row(equation) for equation in equations]
        lines.append("")
    return "\n".join(lines)


def _equation_row(equation: Equation) -> str:
    place = f", {equation.where}" if equation.where else ""
    span = "; ".join(f"{name} {low:g} to {high:g}" for name, (low, high) in equation.valid.items())
    name = equation.name.rpartition(".")[2]
    cells = (f"`{name}`", equation.says, f"{equation.source}{place}", span)
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def sources_page() -> str:
    """Every source, how well it is known, and the equations that stand on it."""
    uses: dict[str, list[str]] = {}
    for equation in all_equations():
        uses.setdefault(equation.source, []).append(equation.name)
    lines = [
        "# Sources",
        "",
        "*Made by `make docs` from the files in `src/fizzwright/data/sources`; do not edit.*",
        "",
        "How well each is known: " + "; ".join(f"**{mark}**, {text}" for mark, text in MARKS.items()) + ".",
        "",
    ]
    for key, source in sorted(all_sources().items()):
        lines += [_source_entry(key, source, uses.get(key, ()))]
    return "\n".join(lines)


def _source_entry(key: str, source: Source, used_by: list[str] | tuple[str, ...]) -> str:
    note = f" {source.note[0].upper()}{source.note[1:].rstrip('.')}." if source.note else ""
    used = f" Equations: {', '.join(f'`{name}`' for name in used_by)}." if used_by else ""
    return f"- **{key}** ({source.mark}). {source.citation.rstrip('.')}.{note}{used}"
