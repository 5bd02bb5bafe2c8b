"""The command `fizzwright` and the table of its commands."""

from __future__ import annotations

import click

from fizzwright import __version__
from fizzwright.cli.lazy import Entry, LazyGroup

__all__ = ["fizzwright"]

_HERE = "fizzwright.cli"
_COMMANDS = {
    "new": Entry(f"{_HERE}.new", "new", "Start a job file: an example, a blank one, or by questions."),
    "survey": Entry(f"{_HERE}.survey", "survey", "What the tank is: volume, loss, demand, ceiling."),
    "plan": Entry(f"{_HERE}.plan", "plan", "Feed, bubbles and gas clock for a tank, and its day."),
    "bench": Entry(f"{_HERE}.bench", "bench", "Single sums: co2, ph, air, oxygen, count, bottle, ..."),
    "doctor": Entry(f"{_HERE}.doctor", "doctor", "Check this installation."),
}


@click.group(
    cls=LazyGroup,
    entries=_COMMANDS,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Every answer is an estimate with a 90 % band. Watch the animals; advisory only.",
)
@click.version_option(__version__, prog_name="Fizzwright", message="%(prog)s %(version)s")
def fizzwright() -> None:
    """Plans, checks and explains pressurised CO2 on freshwater planted tanks."""
