"""docs/validation.md: every reference case, theirs beside ours."""

from __future__ import annotations

from collections import Counter
from itertools import groupby

from tools.reference_cases import MARKS, Case, load_cases

HEAD = """# Validation

*Made by `make docs` from `tests/reference/cases`; do not edit.*

Each row is a number somebody else published, or that an independent implementation or a reference library
gives, beside the number the function of this package gives for the same inputs. `make test` fails where the
difference is over what is allowed. How well each source is known: **seen**, text or digits seen; **second
hand**, as quoted or coded by others; **memory**, not seen; **derived**, worked out from other sources or by
an independent implementation; **practice**, common practice without a source.
"""


def validation_page() -> str:
    """The page as Markdown."""
    cases = load_cases()
    rooms = {file: list(group) for file, group in groupby(cases, key=lambda case: case.file)}
    lines = [HEAD, *_tally(rooms), ""]
    for file, group in rooms.items():
        lines += [f"## {_title(file)}", ""]
        lines += [
            "| case | function | theirs | ours | difference | allowed | source | mark |",
            "|---|---|---|---|---|---|---|---|",
        ]
        lines += [_row(case) for case in group]
        lines.append("")
    return "\n".join(lines)


def _title(file: str) -> str:
    return file.removesuffix(".csv").replace("_", " ")


def _tally(rooms: dict[str, list[Case]]) -> list[str]:
    """How many cases of each mark, room by room, and how much of what is allowed the worst one uses."""
    everything = [case for group in rooms.values() for case in group]
    return [
        f"| | cases | {' | '.join(MARKS)} | worst, of what is allowed |",
        "|---" * (len(MARKS) + 3) + "|",
        *(_tally_row(_title(file), group) for file, group in rooms.items()),
        _tally_row("together", everything),
    ]


def _tally_row(name: str, cases: list[Case]) -> str:
    counts = Counter(case.mark for case in cases)
    worst = max(abs(case.ours() - case.expected) / case.allowed for case in cases)
    marks = " | ".join(str(counts[mark] or "") for mark in MARKS)
    return f"| {name} | {len(cases)} | {marks} | {100 * worst:.0f} % |"


def _row(case: Case) -> str:
    """One row; ours is rounded first, so that the difference is the one a reader can see."""
    ours = float(f"{case.ours():.5g}")
    unit = f" {case.unit}" if case.unit not in ("", "1", "-") else ""
    place = f", {case.where}" if case.where else ""
    allowed = f"±{100 * case.tolerance:g} %" if case.kind == "rel" else f"±{case.tolerance:g}"
    cells = (
        case.id,
        f"`{case.call}`",
        f"{case.expected:g}{unit}",
        f"{ours:g}",
        _difference(ours, case),
        allowed,
        f"{case.source}{place}",
        case.mark,
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _difference(ours: float, case: Case) -> str:
    """The difference, in per cent where that is how it is allowed."""
    if case.kind == "rel" and case.expected:
        return f"{100 * (ours - case.expected) / abs(case.expected):+.2g} %".replace("-", "−")
    return f"{ours - case.expected:+.2g}".replace("-", "−")
