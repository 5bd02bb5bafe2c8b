"""`fizzwright source`: where the carbon for a tank should come from."""

from __future__ import annotations

from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["source"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--prices", type=click.Path(path_type=Path), metavar="FILE", help="Your own price file; adds costs."
)
@click.option(
    "--budget", type=click.FloatRange(min=0), help="What five years may cost, in the file's currency."
)
@shared_options
def source(face: Face, job: Path, prices: Path | None, budget: float | None) -> None:
    """Bottle, cartridge, yeast, acid, "liquid carbon", tablets or nothing, for the tank in JOB."""
    if budget is not None and prices is None:
        raise click.UsageError("--budget needs --prices: costs come from your own price file.")
    from fizzwright.app import App

    app = App()
    found = app.source(job, prices=prices, budget_number=budget)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
        return
    from fizzwright.cli.output import say
    from fizzwright.cli.source_text import source_lines

    say(source_lines(found, face.system_or(app.load(job).job.units), working=face.working))
