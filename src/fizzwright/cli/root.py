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
    "source": Entry(f"{_HERE}.source", "source", "Where the carbon should come from: bottle, yeast, ..."),
    "parts": Entry(f"{_HERE}.parts", "parts", "Parts that fit each other and the country, with costs."),
    "fit": Entry(f"{_HERE}.fit", "fit", "Job card, leak test and its form, end of the bottle."),
    "dial": Entry(f"{_HERE}.dial", "dial", "CO2 now, the next step and when to read, from readings."),
    "diffuser": Entry(f"{_HERE}.diffuser", "diffuser", "What share dissolves; disc, hose, reactor, ladder."),
    "place": Entry(f"{_HERE}.place", "place", "Where the water goes, and where to put the diffuser."),
    "watch": Entry(f"{_HERE}.watch", "watch", "What changed in a log, how steady, when the bottle is empty."),
    "faults": Entry(f"{_HERE}.faults", "faults", "What is wrong: causes ranked, and the check that tells."),
    "service": Entry(f"{_HERE}.service", "service", "What is due when, and a calendar file of it."),
    "store": Entry(f"{_HERE}.store", "store", "The record of jobs and readings; backup, export."),
    "serve": Entry(f"{_HERE}.serve", "serve", "The pages in a browser, on this machine or its network."),
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
