"""`fizzwright faults`: what is wrong, and the check that tells."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["faults"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--seen", multiple=True, metavar="SYMPTOM", help="What is seen; more than once for several.")
@click.option(
    "--checked", multiple=True, metavar="SYMPTOM=ANSWER", help="The answer to the check of a symptom seen."
)
@click.option("--list", "show_list", is_flag=True, help="List every symptom with its check.")
@shared_options
def faults(face: Face, job: Path, seen: tuple[str, ...], checked: tuple[str, ...], show_list: bool) -> None:
    """Causes of what is seen at the tank in JOB, the likeliest first; first aid before anything else."""
    from fizzwright.cli.output import say

    if show_list:
        _list(face)
        return
    from fizzwright.app import App

    answers = {key.strip(): answer for key, _, answer in (word.partition("=") for word in checked)}
    found = App().faults(job, seen, answers)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
        return
    say(_lines(found))


def _list(face: Face) -> None:
    from fizzwright.catalogue.faults import fault_table

    table = fault_table().symptoms
    if face.as_json:
        from fizzwright.cli.jsonout import dumps, plain

        print(dumps({"symptoms": [plain(symptom) for symptom in table.values()]}))
        return
    from fizzwright.cli.output import bullet, say

    lines = []
    for key, symptom in table.items():
        lines += bullet(f"{key}: {symptom.says}. Check: {symptom.check} ({' / '.join(symptom.answers)}).")
    say(lines)


def _lines(found: Any) -> list[str]:
    """The ranking as a person reads it with wet hands."""
    from fizzwright.cli.output import bullet, findings_lines, heading, paragraph

    lines: list[str] = []
    if found.first_aid:
        lines += heading("First")[1:]
        for number, word in enumerate(found.first_aid, start=1):
            lines += bullet(word, mark=f"{number}.")
        lines += [""]
    lines += heading(f"{found.name}: {'; '.join(found.seen)}")[1:]
    for row in found.ranking[:8]:
        before = "" if row.before_frac is None else f", before the check {100 * row.before_frac:.0f} %"
        lines += bullet(f"{100 * row.p_frac:.0f} %{before}: {row.name}.")
        lines += paragraph(row.do, "      ")
        if row.why:
            lines += paragraph(f"From this job: {'; '.join(row.why)}.", "      ")
    if found.next_check:
        lines += heading("Check next")
        lines += paragraph(found.next_check, "  ")
    return [*lines, *findings_lines(found.trail.findings)]
