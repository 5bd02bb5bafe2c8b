"""`fizzwright parts`: the parts of a job in the order they are fitted, and what must not be joined."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from fizzwright.cli.lazy import Face, shared_options

if TYPE_CHECKING:
    from fizzwright.job.part_words import Country

__all__ = ["parts"]

_REFUSED = 5


@click.command()
@click.argument("job", type=click.Path(path_type=Path), required=False)
@click.option("--region", metavar="COUNTRY", help="Country the bottle is filled in, if not as the job says.")
@click.option(
    "--prices", type=click.Path(path_type=Path), metavar="FILE", help="Your own price file; adds costs."
)
@click.option(
    "--blank-prices", is_flag=True, help="Write a price file to fill in [prices.toml, or --prices FILE]."
)
@click.option("--force", is_flag=True, help="Write over a price file that is there.")
@shared_options
def parts(
    face: Face, job: Path | None, region: str | None, prices: Path | None, blank_prices: bool, force: bool
) -> int | None:
    """The parts list for JOB: reuses what the job says is there, refuses every misfit, adds your prices.

    Ends with exit code 5 where something must not be fitted.
    """
    if blank_prices:
        _write_blank(Path("prices.toml") if prices is None else prices, force)
        return None
    if job is None:
        raise click.UsageError("Give a job file, or --blank-prices.")
    from fizzwright.app import App

    app = App()
    found = app.parts(job, country=None if region is None else _country(region), prices=prices)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
    else:
        from fizzwright.cli.output import say
        from fizzwright.cli.parts_text import parts_lines

        say(parts_lines(found, face.system_or(app.load(job).job.units), working=face.working))
    return _REFUSED if found.refused else None


def _write_blank(path: Path, force: bool) -> None:
    from fizzwright.cli.files import write_new
    from fizzwright.stages.parts_prices import blank_prices

    write_new(path, blank_prices(), option="--prices", force=force)
    print(f"Wrote {path}. Fill in what you know, then: fizzwright parts JOB --prices {path}")


def _country(text: str) -> Country:
    """The country of a name, upper or lower case; the nearest is named where there is none."""
    from fizzwright.errors import Fault, InputError
    from fizzwright.job.part_words import Country
    from fizzwright.job.spelling import nearest

    names = {country.value.lower(): country for country in Country}
    if text.strip().lower() in names:
        return names[text.strip().lower()]
    near = nearest(text.strip().title(), [country.value for country in Country])
    step = f'The nearest is "{near}"' if near else ""
    raise InputError([Fault("--region", text, f"one of {', '.join(c.value for c in Country)}", step)])
