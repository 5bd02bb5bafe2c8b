"""`fizzwright new`: a job file to start from, never over one that is there."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["new"]


@click.command()
@click.argument("name", required=False)
@click.option("--example", metavar="NAME", help="An invented tank: library-foyer-120, kitchen-nano, ...")
@click.option("--blank", is_flag=True, help="Every key, with what it means, to fill in.")
@click.option(
    "--to", type=click.Path(path_type=Path), default=Path(), help="Folder to write into [this one]."
)
@click.option("--force", is_flag=True, help="Write over files that are there.")
@shared_options
def new(face: Face, name: str | None, example: str | None, blank: bool, to: Path, force: bool) -> None:
    """A job file: an example, a blank one, or, on a terminal, by questions. NAME names the file."""
    files = _files(name, example, blank)
    written = _write(files, to, force)
    if face.as_json:
        from fizzwright import __version__
        from fizzwright.cli.jsonout import dumps

        body = {"files": [path.as_posix() for path in written]}
        print(dumps({"result": body, "findings": [], "trail": {}, "version": __version__}))
        return
    for path in written:
        print(f"Wrote {path}")
    job = written[0]
    if blank:
        print(f"Fill it in, then: fizzwright survey {job}")
    else:
        print(f"Next: fizzwright survey {job}, then fizzwright plan {job}")


def _files(name: str | None, example: str | None, blank: bool) -> dict[str, str]:
    """File names and their texts, the job file first."""
    if example is not None and (blank or name):
        raise click.UsageError("--example keeps its own file names; give it alone.")
    if example is not None:
        from fizzwright.job.examples import example_files, example_text

        return {file: example_text(file) for file in example_files(example)}
    if blank:
        from fizzwright.job.template import blank_text

        return {_file_name(name or "tank"): blank_text()}
    if not sys.stdin.isatty():
        from fizzwright.job.examples import EXAMPLES

        raise click.UsageError(
            "Questions need a terminal. Give --blank for a file to fill in, or --example NAME: "
            f"{', '.join(EXAMPLES)}."
        )
    from fizzwright.cli.interview import interviewed

    text, called = interviewed()
    return {_file_name(name or called): text}


def _file_name(name: str) -> str:
    """A file name from the name of a job: `Library foyer 120` gives `library-foyer-120.toml`."""
    stem = name.removesuffix(".toml")
    return "-".join("".join(c if c.isalnum() else " " for c in stem.lower()).split()) + ".toml"


def _write(files: dict[str, str], folder: Path, force: bool) -> list[Path]:
    """Write all or nothing."""
    from fizzwright.errors import Fault, InputError

    paths = [folder / name for name in files]
    there = [] if force else [path for path in paths if path.exists()]
    if there:
        step = "Choose another --to or NAME, or say --force to write over it"
        raise InputError([Fault(str(path), "", "is there already", step) for path in there])
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, text in zip(paths, files.values(), strict=True):
            path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as err:
        raise InputError([Fault("--to", str(folder), f"cannot be written: {err.strerror or err}")]) from err
    return paths
