"""`fizzwright diffuser`: how much of the gas dissolves, and which way to put it in."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["diffuser"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--feed", metavar="QUANTITY", help='Gas flow to reckon with, "600mg/h"; else the plan\'s.')
@click.option("--hours", metavar="QUANTITY", help='Gas time a day, "10h"; else the plan\'s.')
@click.option(
    "--o2-saturation",
    metavar="QUANTITY",
    help='Oxygen in the water over saturation, "1.3" or "130%"; else 80 to 150 %.',
)
@click.option(
    "--beads",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="Beads timed on a video; fits their skin.",
)
@click.option("--keep", is_flag=True, help="Write the skin fitted to the beads into JOB; plans then use it.")
@click.option("--svg", type=click.Path(path_type=Path), metavar="FILE.svg", help="Write the drawings.")
@click.option("--steps", is_flag=True, help="Print how to time beads on a phone video, step by step.")
@shared_options
def diffuser(
    face: Face,
    job: Path,
    feed: str | None,
    hours: str | None,
    o2_saturation: str | None,
    beads: Path | None,
    keep: bool,
    svg: Path | None,
    steps: bool,
) -> None:
    """Share of the gas that dissolves in the tank in JOB, what its mist is made of, and what would do better.

    Disc, hose, reactor, pump and ladder side by side, the depth at which the answer turns, and what cleaning
    or a second disc buys.
    """
    from fizzwright.app import App
    from fizzwright.errors import Fault, InputError

    if keep and beads is None:
        raise InputError([Fault("--keep", "", "keeps what beads tell", "Give --beads FILE.csv too")])
    app = App()
    found = app.diffuser(
        job,
        feed_mg_h=_read(feed, "mg_h", "--feed"),
        gas_h=_read(hours, "h", "--hours"),
        beads=beads,
        o2_saturation_ratio=_read(o2_saturation, "frac", "--o2-saturation"),
    )
    if svg is not None:
        from fizzwright.cli.files import write_new

        write_new(svg, app.diffuser_svg(found), option="--svg", force=True)
    kept = app.keep_skin(job, found) if keep else ()
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(found, found.trail)))
    else:
        from fizzwright.cli.diffuser_text import diffuser_lines
        from fizzwright.cli.output import say

        system = face.system_or(app.load(job).job.units)
        say(diffuser_lines(found, system, working=face.working, steps=steps))
    if svg is not None:
        sys.stderr.write(f"\nWrote {svg}.\n")
    if found.fit is not None and found.fit.usable and not keep:
        sys.stderr.write(f"\nAdd --keep to note this skin in {job}; plans then use it.\n")
    if kept:
        sys.stderr.write(f"\nWrote to {job}: {', '.join(kept)}.\n")


def _read(text: str | None, suffix: str, option: str) -> float | None:
    from fizzwright.units import parse

    return None if text is None else parse(text, suffix, field=option)
