"""`fizzwright dial`: beside the tank, reading by reading: CO2 now, what to do next, when to read again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["dial", "dial_result"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--readings", type=click.Path(path_type=Path),
    help="Readings so far: CSV, SenML (JSON) or captured MQTT lines.",
)  # fmt: skip
@click.option("--replay", is_flag=True, help="Go through the readings day by day and show each day's step.")
@click.option(
    "--taps", metavar="TIMES",
    help='Moments somebody tapped along with the bubbles, in seconds: "0 0.61 1.18 1.80".',
)  # fmt: skip
@click.option(
    "--draws", type=click.IntRange(100, 5000), metavar="N", help="How many tanks to try out; more is slower."
)
@shared_options
def dial(
    face: Face, job: Path, readings: Path | None, replay: bool, taps: str | None, draws: int | None
) -> None:
    """CO2 now, the tank as its readings teach it, and the next step for the tank in JOB."""
    from fizzwright.app import App

    app = App()
    if readings is None and taps is None:
        raise click.UsageError("give --readings FILE, or --taps for a bubble rate alone")
    system = face.system_or(app.load(job).job.units)
    counted = None if taps is None else _counted(taps)
    if replay and readings is not None:
        found = app.dial_replay(job, readings)
        _show_replay(found, face)
        return
    result = log = None
    if readings is not None:
        result, log = app.dial(job, readings, draws_count=draws)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps, plain
        from fizzwright.result import make_trail

        body: dict[str, Any] = {} if result is None else dial_result(result)
        if counted is not None:
            body["taps"] = plain(counted)
        if log is not None:
            body["readings_file"] = [plain(decision) for decision in log.decisions]
        trail = make_trail((), inputs={"taps": taps}) if result is None else result.trail
        print(dumps(answer_object(body, trail)))
        return
    from fizzwright.cli.dial_text import dial_lines, tap_lines
    from fizzwright.cli.output import say
    from fizzwright.cli.plan_text import reading_lines

    if counted is not None:
        say(tap_lines(counted, system))
    if result is not None and log is not None:
        say(dial_lines(result, system, working=face.working))
        say(reading_lines(log.decisions))


def _counted(taps: str) -> Any:
    """The rate of a row of taps typed as numbers."""
    from fizzwright.errors import Fault, InputError
    from fizzwright.inference.taps import tap_count

    try:
        return tap_count([float(word) for word in taps.replace(";", " ").split()])
    except ValueError as wrong:
        if isinstance(wrong, InputError):
            raise
        raise InputError([Fault("--taps", taps, "seconds parted by blanks")]) from wrong


def _show_replay(found: tuple[Any, ...], face: Face) -> None:
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        body = {"days": [dial_result(result) for result in found]}
        print(dumps(answer_object(body, found[-1].trail)))
        return
    from fizzwright.cli.dial_text import replay_lines
    from fizzwright.cli.output import say

    say(replay_lines(found))


def dial_result(found: Any) -> dict[str, Any]:
    """The dial-in as plain data under the keys the JSON promises."""
    from fizzwright.cli.jsonout import chosen, plain
    from fizzwright.papers.words import clock

    body: dict[str, Any] = plain(found)
    ceiling = found.ceiling
    body["ceiling"] = {"set_by": ceiling.set_by, "confidence": ceiling.confidence}
    for name, value in (
        ("ceiling_mg_l", ceiling.soft_mg_l),
        ("hard_stop_mg_l", ceiling.hard_mg_l),
        ("target_low_mg_l", found.target_low_mg_l),
        ("target_high_mg_l", found.target_high_mg_l),
    ):
        body[name] = chosen(value, "mg_l")
    step = body["step"]
    step["read_at"] = [clock(minute) for minute in step.pop("read_at_min")]
    step["no_raise_after"] = clock(step.pop("no_raise_after_min"))
    return {**{key: body[key] for key in _FIRST}, **body}


_FIRST = (
    "name", "last_reading", "verdict", "co2_now_mg_l", "loss_per_h", "dissolved_frac", "uptake_mg_h",
    "next_step", "done",
)  # fmt: skip
