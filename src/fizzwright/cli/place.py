"""`fizzwright place`: where the water goes in a tank, and whether the diffuser's place matters."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fizzwright.cli.lazy import Face, shared_options

if TYPE_CHECKING:
    from fizzwright.app import App
    from fizzwright.stages.place_result import PlaceResult

__all__ = ["place", "place_body"]

_PRESETS = ("draft", "normal", "fine")


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--preset", type=click.Choice(_PRESETS), default="normal", show_default=True,
    help="How finely to look: seconds, half a minute, minutes.",
)  # fmt: skip
@click.option(
    "--candidates", metavar="NAMES",
    help='Spots and outlets to compare, such as "B,C"; "none" for none. All if not given.',
)  # fmt: skip
@click.option(
    "--sweep", type=click.IntRange(1, 200), metavar="N", help="Also try about N spots over the free ground."
)
@click.option(
    "--pictures", type=click.Path(path_type=Path), metavar="FOLDER",
    help="Write plan, sections and comparison as SVG.",
)  # fmt: skip
@click.option(
    "--traces", type=click.Path(path_type=Path), metavar="FILE.html",
    help="Write moving traces of the current.",
)  # fmt: skip
@click.option(
    "--netcdf", type=click.Path(path_type=Path), metavar="FILE.nc", help="Write the fields for other tools."
)
@click.option("--cluster", metavar="ADDRESS", help="Measure the places on the Dask cluster at this address.")
@shared_options
def place(
    face: Face, job: Path, preset: str, candidates: str | None, sweep: int | None, pictures: Path | None,
    traces: Path | None, netcdf: Path | None, cluster: str | None,
) -> None:  # fmt: skip
    """The current in the tank in JOB, how its beds fare, and whether the diffuser's place matters.

    The job file says where things stand in its [layout] tables. Ctrl-C ends a run early and keeps what is
    there.
    """
    from fizzwright.app import App
    from fizzwright.cli.progress import Progress, ends_early
    from fizzwright.stages.place import Asked

    app = App()
    system = face.system_or(app.load(job).job.units)
    progress = Progress()
    with ends_early(progress):
        found = app.place(job, Asked(preset, _names(candidates), sweep or 0), watch=progress, cluster=cluster)
    if face.as_json:
        from fizzwright.cli.jsonout import answer_object, dumps

        print(dumps(answer_object(place_body(found), found.trail)))
    else:
        from fizzwright.cli.output import say
        from fizzwright.cli.place_text import place_lines

        say(place_lines(found, system, working=face.working))
    _write(app, found, pictures, traces, netcdf)


def place_body(found: PlaceResult) -> dict[str, Any]:
    """The placement as plain data without the fields; `zones` are the beds, `ranking` the places."""
    from dataclasses import fields

    from fizzwright.cli.jsonout import plain

    kept = [field.name for field in fields(found) if field.name not in {"streams", "trail", "beds", "places"}]
    body = {name: plain(getattr(found, name), name) for name in kept}
    return {**body, "zones": plain(found.beds), "ranking": plain(found.places)}


def _names(text: str | None) -> tuple[str, ...] | None:
    """Names between commas; none of them for the word "none", and None where nothing was said."""
    if text is None:
        return None
    if text.strip().lower() == "none":
        return ()
    return tuple(name.strip() for name in text.split(",") if name.strip())


def _write(
    app: App, found: PlaceResult, pictures: Path | None, traces: Path | None, netcdf: Path | None
) -> None:
    """The files asked for, each said on the error stream."""
    from fizzwright.cli.files import write_new
    from fizzwright.errors import Fault, InputError

    written = []
    if pictures is not None:
        try:
            pictures.mkdir(parents=True, exist_ok=True)
        except OSError as err:
            reason = f"cannot be made: {err.strerror or err}"
            raise InputError([Fault("--pictures", str(pictures), reason)]) from err
        for name, svg in app.place_drawings(found).items():
            write_new(pictures / name, svg, option="--pictures", force=True)
            written.append(pictures / name)
    if traces is not None:
        write_new(traces, app.place_traces(found), option="--traces", force=True)
        written.append(traces)
    if netcdf is not None:
        try:
            app.place_fields(found, netcdf)
        except OSError as err:
            reason = f"cannot be written: {err.strerror or err}"
            raise InputError([Fault("--netcdf", str(netcdf), reason)]) from err
        written.append(netcdf)
    if written:
        sys.stderr.write("\nWrote " + ", ".join(str(path) for path in written) + ".\n")
