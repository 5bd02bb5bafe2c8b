"""`fizzwright watch`: a log set against the tank of its first week."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["watch", "watch_result"]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--log", "log", required=True, type=click.Path(path_type=Path),
    help="The log: CSV, SenML (JSON) or captured MQTT lines; its first week teaches the tank.",
)  # fmt: skip
@click.option("--tare", metavar="MASS", help="Empty bottle with what hangs on it, such as 3.4kg.")
@shared_options
def watch(face: Face, job: Path, log: Path, tare: str | None) -> None:
    """What changed in a log of the tank in JOB, how steady it is, and when its bottle is empty."""
    from fizzwright.app import App
    from fizzwright.units import parse

    app = App()
    system = face.system_or(app.load(job).job.units)
    found, read = app.watch(job, log, tare_g=None if tare is None else parse(tare, "g", field="--tare"))
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps, plain

        body = {**watch_result(found), "log_file": [plain(decision) for decision in read.decisions]}
        print(dumps(answer_object(body, found.trail)))
        return
    from fizzwright.cli.output import say
    from fizzwright.cli.plan_text import reading_lines
    from fizzwright.cli.watch_text import watch_lines

    say(watch_lines(found, system, working=face.working))
    say(reading_lines(read.decisions))


def watch_result(found: Any) -> dict[str, Any]:
    """The watch as plain data; what was found stands under `findings` too, as the JSON promises."""
    from fizzwright.cli.jsonout import plain

    body: dict[str, Any] = plain(found)
    body["findings"] = body.pop("watchings")
    body["bottle_empty_on"] = found.bottle.empty_on
    first = ("name", "verdict", "findings", "stability", "bottle_empty_on")
    return {**{key: body[key] for key in first}, **body}
