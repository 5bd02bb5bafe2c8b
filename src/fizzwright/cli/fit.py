"""`fizzwright fit`: the job card of a line, its leak test, and the end of its bottle."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["fit"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--form", type=click.Path(path_type=Path), metavar="FILE.csv", help="Write the form of the leak test."
)
@click.option(
    "--readings",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="The filled-in form; judges each test.",
)
@click.option("--force", is_flag=True, help="Write over a form that is there.")
@shared_options
def fit(face: Face, job: Path, form: Path | None, readings: Path | None, force: bool) -> int | None:
    """Steps of fitting the line in JOB, each with its check; leak limits and waiting times; the swap date.

    With --readings: pass, fail or wait longer for each test. Ends with exit code 5 where a test fails.
    """
    from fizzwright.app import App

    app = App()
    if form is not None:
        from fizzwright.cli.files import write_new

        write_new(form, app.leak_form(job), option="--form", force=force)
        sys.stderr.write(f"Wrote {form}. Fill it in, then: fizzwright fit {job} --readings {form}\n")
    found = app.fit(job, readings=readings)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
    else:
        from fizzwright.cli.fit_text import fit_lines
        from fizzwright.cli.output import say

        say(fit_lines(found, face.system_or(app.load(job).job.units), working=face.working))
    return 5 if any(test.verdict == "fails" for test in found.tests) else None
