"""`fizzwright service`: what is due when, and a calendar file of it."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["service"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--calendar", type=click.Path(path_type=Path), metavar="FILE.ics", help="Write the dates as a calendar."
)
@click.option("--region", default="Europe and UK", show_default=True, help="Where the bottle is tested.")
@click.option(
    "--done", multiple=True, metavar="TASK=DATE", help="When a task was last done: probe=2025-03-01."
)
@click.option("--swap-on", metavar="DATE", help="When a bottle swap is foreseen, as watch gives it.")
@shared_options
def service(
    face: Face, job: Path, calendar: Path | None, region: str, done: tuple[str, ...], swap_on: str | None
) -> None:
    """Service dates of the tank in JOB: checker, diffuser, probe, valves, washers, bottle test."""
    from fizzwright.app import App

    told = {key: _date("--done", value) for key, _, value in (word.partition("=") for word in done)}
    found = App().service(
        job, region=region, done=told, swap_on=None if swap_on is None else _date("--swap-on", swap_on)
    )
    if calendar is not None:
        _write(calendar, found.calendar)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
    else:
        from fizzwright.cli.output import Row, bullet, findings_lines, heading, rows_lines, say

        rows = [Row(due.on, "", remark=("overdue: " if due.overdue else "") + due.name) for due in found.due]
        lines = [*heading(f"{found.name}: what is due")[1:], *rows_lines(rows), *heading("What to do")]
        for due in found.due:
            lines += bullet(f"{due.name}: {due.do}")
        say([*lines, *findings_lines(found.trail.findings)])
    if calendar is not None:
        sys.stderr.write(f"\nWrote {calendar}.\n")


def _date(option: str, text: str) -> dt.date:
    from fizzwright.errors import Fault, InputError

    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError as wrong:
        raise InputError([Fault(option, text, "needs a date such as 2025-03-01")]) from wrong


def _write(path: Path, text: str) -> None:
    from fizzwright.errors import Fault, InputError

    try:
        path.write_bytes(text.encode("utf-8"))
    except OSError as err:
        reason = err.strerror or "the file could not be written"
        raise InputError([Fault("--calendar", str(path), f"cannot be written: {reason}")]) from err
