"""`fizzwright bench`: single sums. Each command is made from the question dataclass of its sum."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import click

from fizzwright.cli.lazy import Face, LazyGroup, shared_options

__all__ = ["SUMS", "BenchSum", "bench"]

_FROM_HELP = "A CSV file of cases (- for standard input), one sum a row; writes CSV."


@dataclass(frozen=True)
class BenchSum:
    """Where a single sum lives: its module, its function, its question, the line that lists it."""

    module: str
    function: str
    question: str
    short: str

    def loaded(self) -> tuple[type, Callable[[Any], Any]]:
        """The question class and the function that answers it, imported now."""
        module = importlib.import_module(f"fizzwright.stages.bench.{self.module}")
        return getattr(module, self.question), getattr(module, self.function)

    def load(self, name: str) -> click.Command:
        """The command of the sum."""
        from fizzwright.cli.questions import options_of, slots_of

        question, function = self.loaded()
        cases = click.Option(["--from", "cases"], metavar="FILE", help=_FROM_HELP, type=click.Path())

        @shared_options
        def run(face: Face, cases: str | None, **given: Any) -> int | None:
            if cases is not None:
                from fizzwright.cli.rows import run_cases

                return run_cases(cases, self, given, as_json=face.as_json)
            _answer_one(question, function, given, face)
            return None

        options = options_of(slots_of(question))
        shared = list(reversed(getattr(run, "__click_params__", [])))
        return click.Command(
            name,
            callback=run,
            params=[*options, cases, *shared],
            help=_help_of(function),
            short_help=self.short,
        )


def _help_of(function: Callable[[Any], Any]) -> str:
    """The first paragraph of the sum's docstring; the rest is for readers of the code."""
    return (function.__doc__ or "").strip().split("\n\n")[0].replace("\n", " ")


def _answer_one(question: type, function: Callable[[Any], Any], given: dict[str, Any], face: Face) -> None:
    from fizzwright.cli.questions import question_from

    answer = function(question_from(question, given))
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(answer, answer.trail)))
        return
    from fizzwright.cli.answers import answer_rows
    from fizzwright.cli.output import findings_lines, rows_lines, say, sure_lines, working_lines

    say(rows_lines(answer_rows(answer, face.system_or("metric"))))
    say(findings_lines(answer.trail.findings))
    say(working_lines(answer.trail) if face.working else sure_lines(answer.trail))


SUMS = {
    "co2": BenchSum("water", "co2", "Co2Question", "Dissolved CO2 from pH, KH and temperature."),
    "ph": BenchSum("water", "ph", "PhQuestion", "The pH a CO2 level gives."),
    "air": BenchSum("water", "air", "AirQuestion", "CO2 and pH of water left to the room's air."),
    "oxygen": BenchSum("water", "oxygen", "OxygenQuestion", "Oxygen at saturation."),
    "count": BenchSum("gas", "count", "CountQuestion", "Feed from a bubble count."),
    "bottle": BenchSum("gas", "bottle", "BottleQuestion", "What is left in the bottle."),
    "tube": BenchSum("gas", "tube", "TubeQuestion", "Gas lost through the tube wall."),
    "bubble": BenchSum("bubble", "bubble", "BubbleQuestion", "The fate of one bubble on its way up."),
    "strip": BenchSum("bubble", "strip", "StripQuestion", "How fast an air stone carries CO2 out."),
    "leak": BenchSum("gas", "leak", "LeakQuestion", "Leak from a pressure test."),
    "room": BenchSum("gas", "room", "RoomQuestion", "CO2 in the room when the bottle lets go."),
}


@click.group(cls=LazyGroup, entries=SUMS)
def bench() -> None:
    """Single sums, one case or a file of cases.

    Quantities take a unit: "4dKH", "77F", "20gal", "30psi"; comma and point both mark decimals.
    """
