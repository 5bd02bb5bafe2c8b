"""`fizzwright bench`: single sums. Each command is made from the question dataclass of its sum."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import click

from fizzwright.cli.lazy import Face, LazyGroup, shared_options

__all__ = ["SUMS", "BenchSum", "bench"]

_SVG_HELP = "Write the drawing of this case."
_FROM_HELP = "A CSV file of cases (- for standard input), one sum a row; writes CSV."


@dataclass(frozen=True)
class BenchSum:
    """Where a single sum lives: its module, its function, its question, the line that lists it."""

    module: str
    function: str
    question: str
    short: str
    drawing: str = ""

    def loaded(self) -> tuple[type, Callable[[Any], Any]]:
        """The question class and the function that answers it, imported now."""
        module = importlib.import_module(f"fizzwright.stages.bench.{self.module}")
        return getattr(module, self.question), getattr(module, self.function)

    def load(self, name: str) -> click.Command:
        """The command of the sum."""
        from fizzwright.cli.questions import options_of, slots_of

        question, function = self.loaded()
        cases = click.Option(["--from", "cases"], metavar="FILE", help=_FROM_HELP, type=click.Path())
        drawn = [click.Option(["--svg"], metavar="FILE.svg", help=_SVG_HELP, type=click.Path())]

        @shared_options
        def run(face: Face, cases: str | None, svg: str | None = None, **given: Any) -> int | None:
            if cases is not None:
                from fizzwright.cli.rows import run_cases

                return run_cases(cases, self, given, as_json=face.as_json)
            _answer_one(question, function, given, face)
            if svg is not None:
                _draw(self.drawing, question, given, svg)
            return None

        options = options_of(slots_of(question))
        shared = list(reversed(getattr(run, "__click_params__", [])))
        return click.Command(
            name,
            callback=run,
            params=[*options, *(drawn if self.drawing else []), cases, *shared],
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


def _draw(name: str, question: type, given: dict[str, Any], path: str) -> None:
    """Write the drawing of one case; the method of App that makes it goes by name."""
    import sys
    from pathlib import Path

    from fizzwright.app import App
    from fizzwright.cli.files import write_new
    from fizzwright.cli.questions import question_from

    svg = getattr(App(), name)(question_from(question, given))
    write_new(Path(path), svg, option="--svg", force=True)
    sys.stderr.write(f"\nWrote {path}.\n")


SUMS = {
    "co2": BenchSum("water_co2", "co2", "Co2Question", "Dissolved CO2 from all that was read.", "co2_svg"),
    "ph": BenchSum("water_ph", "ph", "PhQuestion", "The pH a CO2 level gives."),
    "drop": BenchSum("water_drop", "drop", "DropQuestion", "CO2 from the drop of pH below aired water."),
    "checker": BenchSum(
        "water_checker", "checker", "CheckerQuestion", "Colour of a drop checker, and back.", "checker_svg"
    ),
    "air": BenchSum(
        "water_air", "air", "AirQuestion", "CO2 and pH of water left to the room's air.", "airing_svg"
    ),
    "mix": BenchSum("water_mix", "mix", "MixQuestion", "Two waters together, or a water change."),
    "salts": BenchSum("water_salts", "salts", "SaltsQuestion", "Grams of salt for a wanted KH and GH."),
    "dose": BenchSum("water_dose", "dose", "DoseQuestion", "What a carbonate or an acid does to CO2."),
    "drift": BenchSum("water_drift", "drift", "DriftQuestion", "What moves KH over the days."),
    "oxygen": BenchSum("water_oxygen", "oxygen", "OxygenQuestion", "Oxygen at saturation, and pearling."),
    "count": BenchSum("gas", "count", "CountQuestion", "Feed from a bubble count."),
    "bottle": BenchSum("gas", "bottle", "BottleQuestion", "What is left in the bottle."),
    "tube": BenchSum("gas", "tube", "TubeQuestion", "Gas lost through the tube wall."),
    "bubble": BenchSum(
        "bubble", "bubble", "BubbleQuestion", "The fate of one bubble on its way up.", "bubble_svg"
    ),
    "strip": BenchSum("bubble", "strip", "StripQuestion", "How fast an air stone carries CO2 out."),
    "leak": BenchSum("gas", "leak", "LeakQuestion", "Leak from a pressure test."),
    "room": BenchSum("gas", "room", "RoomQuestion", "CO2 in the room when the bottle lets go."),
}


@click.group(cls=LazyGroup, entries=SUMS)
def bench() -> None:
    """Single sums, one case or a file of cases.

    Quantities take a unit: "4dKH", "77F", "20gal", "30psi"; comma and point both mark decimals.
    """
