"""Answers as plain text: one number per line, its band, its unit; then what to mind and how sure it is."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fizzwright.papers.words import limits, quantity, shown
from fizzwright.result import Assumption, Estimate, Finding, Level, Trail
from fizzwright.sources import named
from fizzwright.units import System

__all__ = [
    "Row", "band_text", "bullet", "estimate_row", "findings_lines", "heading", "label_of", "paragraph",
    "rows_lines", "say", "sure_lines", "value_text", "width", "working_lines",
]  # fmt: skip

WIDEST = 100
_COLOURS = {Level.NOTE: "36", Level.CARE: "33", Level.STOP: "31;1"}
_WORDS = {
    "co2": "CO₂", "o2": "O₂", "kh": "KH", "ph": "pH", "kla": "kLa", "srgb": "sRGB", "ec": "EC", "tds": "TDS",
    "par": "PAR", "1h": "1 h", "24h": "24 h", "n2": "N₂", "5000ppm": "5000 ppm", "mg": "mg",
}  # fmt: skip


def say(lines: Iterable[str]) -> None:
    """Print lines on standard output, without blanks at their ends."""
    for line in lines:
        print(line.rstrip())


def width() -> int:
    """Columns to write in: the terminal's, at most a hundred."""
    return max(40, min(WIDEST, shutil.get_terminal_size((WIDEST, 24)).columns))


def _painted(text: str, code: str) -> str:
    if not sys.stdout.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return text
    return f"\033[{code}m{text}\033[0m"


def heading(text: str) -> list[str]:
    """A blank line and a heading."""
    return ["", _painted(text, "1")]


def paragraph(text: str, indent: str = "") -> list[str]:
    """Running text, wrapped to the terminal."""
    return textwrap.wrap(
        text, width(), initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )


def bullet(text: str, mark: str = "·", indent: str = "  ") -> list[str]:
    """Running text with a mark before its first line and the rest hung under it."""
    return textwrap.wrap(
        text,
        width(),
        initial_indent=f"{indent}{mark} ",
        subsequent_indent=indent + " " * (len(mark) + 1),
        break_on_hyphens=False,
    )


def label_of(name: str, unit: str = "") -> str:
    """A field name as words: `carbonate_kh_dkh` in `dkh` gives "Carbonate KH".

    Examples
    --------
    >>> label_of("carbonate_kh_dkh", "dkh"), label_of("co2_mg_l", "mg_l"), label_of("ph", "ph")
    ('Carbonate KH', 'CO₂', 'pH')
    """
    # pH has no unit to print beside it, so it stays in the words.
    bare = name if name == unit or unit in ("", "ph") else name.removesuffix("_" + unit)
    words = " ".join(_WORDS.get(word, word) for word in bare.split("_"))
    first = bare.split("_")[0]
    return words if first in _WORDS else words[:1].upper() + words[1:]


@dataclass(frozen=True)
class Row:
    """One line of a table of answers: what, the number, its band, its unit, a remark."""

    label: str
    value: str
    band: str = ""
    unit: str = ""
    remark: str = ""


def estimate_row(label: str, estimate: Estimate, system: System, remark: str = "") -> Row:
    """An estimate as a row: the value, then (low…high), then the unit."""
    text = shown(estimate, system)
    band = f"({text.limits})" if text.limits else ""
    return Row(label, text.value, _terminal(band), text.unit, remark)


def band_text(estimate: Estimate, system: System) -> str:
    """An estimate inside a sentence: `24.3 (17.1…33.9) mg/L`."""
    return _terminal(limits(estimate, system))


def value_text(value: float, unit: str, system: System) -> str:
    """A plain number with its unit inside a sentence."""
    return _terminal(quantity(value, unit, system))


def _terminal(text: str) -> str:
    """Text without word joiners, which some terminals draw as boxes."""
    return text.replace("\u2060", "")


def rows_lines(rows: Sequence[Row], indent: str = "  ") -> list[str]:
    """Rows under one another: labels left, numbers flush right, bands and units left."""
    label = max((len(row.label) for row in rows), default=0)
    numbers = [row for row in rows if row.value]
    value, band, unit = (
        max((len(getattr(row, part)) for row in numbers), default=0) for part in ("value", "band", "unit")
    )
    lines: list[str] = []
    for row in rows:
        head = f"{indent}{row.label:<{label}}"
        if not row.value:
            lines += _hung(f"{head}  ", row.remark)
            continue
        spread = f"  {row.band:<{band}}" if band else ""
        lines += _with_remark(f"{head}  {row.value:>{value}}{spread} {row.unit:<{unit}}", row.remark)
    return lines


def _hung(head: str, text: str) -> list[str]:
    """A text answer beside its label, wrapped under its own beginning."""
    return textwrap.wrap(
        text, width(), initial_indent=head, subsequent_indent=" " * len(head), break_on_hyphens=False
    ) or [head]


def _with_remark(head: str, remark: str) -> list[str]:
    """The remark after the row where there is room for it, else wrapped to its right or under it."""
    if not remark:
        return [head]
    room = width() - len(head) - 3
    if len(remark) <= room:
        return [f"{head}   {remark}"]
    return [head, *textwrap.wrap(remark, width(), initial_indent=" " * 6, subsequent_indent=" " * 6)]


def findings_lines(findings: Sequence[Finding]) -> list[str]:
    """What to mind, the gravest first, each after its level word."""
    if not findings:
        return []
    order = [Level.STOP, Level.CARE, Level.NOTE]
    lines = heading("Mind")
    for finding in sorted(findings, key=lambda f: order.index(f.level)):
        word = f"{finding.level.value:<5}"
        wrapped = bullet(finding.text, mark=word)
        lines += [wrapped[0].replace(word, _painted(word, _COLOURS[finding.level]), 1), *wrapped[1:]]
    return lines


def sure_lines(trail: Trail, most: int = 4) -> list[str]:
    """How sure the answer is and what it stands on, short."""
    lines = heading("How sure")
    lines += paragraph(
        "In brackets: the limits that hold the truth nine times in ten, if the inputs are as stated and the "
        "model fits. They are estimates; a reading of your own beats them.",
        "  ",
    )
    for assumption in trail.assumptions[:most]:
        lines += bullet(_assumed(assumption))
    more = len(trail.assumptions) - most
    rest = f"{_count(trail.assumptions[most:], 'more assumption')}, " if more > 0 else ""
    lines += paragraph(
        f"{rest}{_count(trail.equations, 'equation')} from {_count(trail.sources, 'source')}: "
        "--working lists them.",
        "  ",
    )
    return lines


def _count(things: Sequence[object], word: str) -> str:
    return f"{len(things)} {word}" + ("" if len(things) == 1 else "s")


def _assumed(assumption: Assumption) -> str:
    value = f": {assumption.value}" if assumption.value else ""
    who = "you chose it" if assumption.chosen_by == "user" else "taken because not given"
    return f"{assumption.text}{value} ({who}; {named(assumption.source)})"


def working_lines(trail: Trail) -> list[str]:
    """Everything an answer stands on: equations with their place in a source, assumptions, sources."""
    lines = heading("Equations run")
    for equation in trail.equations:
        place = f", {equation.where}" if equation.where else ""
        lines += bullet(f"{equation.name}: {equation.says} [{equation.source}{place}]")
    lines += heading("Assumptions")
    for assumption in trail.assumptions:
        lines += bullet(_assumed(assumption))
    lines += heading("Sources")
    for source in trail.sources:
        note = f" {source.note}" if source.note else ""
        lines += bullet(f"[{source.key}] {source.citation} ({source.mark}){note}")
    lines += ["", f"  inputs {trail.inputs_digest}, Fizzwright {trail.version}"]
    return lines
