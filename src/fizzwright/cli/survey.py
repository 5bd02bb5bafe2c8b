"""`fizzwright survey`: what a job file says the tank is, before any plan."""

from __future__ import annotations

from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["survey"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@shared_options
def survey(face: Face, job: Path) -> None:
    """Net volume, surface loss, plant demand and the animals' starting ceiling of the tank in JOB."""
    from fizzwright.app import App

    app = App()
    found = app.survey(job)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
        return
    from fizzwright.cli.output import say
    from fizzwright.cli.survey_text import survey_lines

    say(survey_lines(found, face.system_or(app.load(job).job.units), working=face.working))
