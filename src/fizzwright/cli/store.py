"""`fizzwright store`: the record of jobs and readings, where it is, what is in it, to and from files."""

from __future__ import annotations

import getpass
import platform
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fizzwright.cli.lazy import Face, shared_options
from fizzwright.cli.record_place import Place, place_options

if TYPE_CHECKING:
    from fizzwright.workshop.keep import Hand

__all__ = ["add", "backup", "export", "list_", "migrate", "readings", "restore", "store", "where"]

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.group()
def store() -> None:
    """The record: jobs with their history and readings, kept in one place; to and from files."""


def _command(name: str, short: str) -> Callable[[Callable[..., None]], click.Command]:
    def made(function: Callable[..., None]) -> click.Command:
        return store.command(name, short_help=short)(place_options(shared_options(function)))

    return made


@_command("where", "Where the record is, and how large.")
def where(face: Face, place: Place) -> None:
    """Say where the record is, how large, and whether it waits for a migration; makes nothing."""
    from fizzwright.cli.store_text import as_json, size_text
    from fizzwright.store import where_kept

    file = None if place.database else where_kept(place.folder)
    there = file is None or file.exists()
    body: dict[str, Any] = {"place": str(file), "there": there, "jobs_count": 0, "waiting_migrations": ()}
    if there:
        with place.opened(as_it_is=True) as record:
            waiting = record.pending_migrations()
            count = 0 if waiting else len(record.jobs())
            body |= {"place": record.shown, "jobs_count": count, "waiting_migrations": waiting}
    if face.as_json:
        print(as_json(body))
        return
    size = f", {size_text(file.stat().st_size)}" if file is not None and there else ""
    print(f"{body['place']}{size}")
    if not there:
        print("Not there yet; it is made when the first job is kept.")
    elif body["waiting_migrations"]:
        command = "fizzwright store migrate --database URL" if file is None else "fizzwright store migrate"
        print(f"Waits for {len(body['waiting_migrations'])} migration(s): {command}")
    else:
        print(f"{body['jobs_count']} job(s) kept. Copy it with: fizzwright store backup FILE")


@_command("migrate", "Bring the record to this version.")
def migrate(face: Face, place: Place) -> None:
    """Bring the record to this version; a SQLite record is copied first."""
    from fizzwright.cli.store_text import as_json

    with place.opened(as_it_is=True) as record:
        done = record.migrate()
        shown = record.shown
    if face.as_json:
        print(as_json({"place": shown, "migrations_run": done}))
    else:
        print(f"{shown}: {'ran ' + ', '.join(done) if done else 'nothing to do'}")


@_command("list", "Every job kept.")
def list_(face: Face, place: Place) -> None:
    """List every job kept, how often, and when last."""
    from fizzwright.cli.output import say
    from fizzwright.cli.store_text import as_json, jobs_lines

    with place.opened() as record:
        heads = record.jobs()
    if face.as_json:
        print(as_json({"jobs": heads}))
    else:
        say(jobs_lines(heads))


@_command("add", "Keep a job file.")
@click.argument("job", type=_FILE)
@click.option("--slug", metavar="NAME", help="Name in the record [made from the job's own name].")
@click.option(
    "--onto", type=click.IntRange(1), metavar="N", help="Keep as the next revision of a job that is at N."
)
def add(face: Face, place: Place, job: Path, slug: str | None, onto: int | None) -> None:
    """Keep the job file JOB in the record, as a new job or on top of one that is there."""
    from fizzwright.cli.store_text import as_json
    from fizzwright.workshop.keep import keep_job

    with place.opened() as record:
        kept = keep_job(record, job, slug=slug, onto=onto, hand=_hand())
    if face.as_json:
        print(as_json({"job": kept}))
    else:
        print(f"Kept {job} as {kept.slug}, revision {kept.revision_count}")


@_command("export", "Give back a job file.")
@click.argument("slug")
@click.option("--revision", type=click.IntRange(1), metavar="N", help="As it was then [as it is now].")
@click.option("--to", type=_FILE, metavar="FILE", help="Write to a file [to the screen].")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def export(face: Face, place: Place, slug: str, revision: int | None, to: Path | None, force: bool) -> None:
    """Give back the job file of SLUG, comments and all."""
    from fizzwright.cli.store_text import as_json

    with place.opened() as record:
        kept = record.job(slug, revision=revision)
    if to is not None:
        _write(to, kept.text, force=force)
    if face.as_json:
        print(as_json({"job": kept}))
    elif to is None:
        sys.stdout.write(kept.text)


@_command("readings", "Readings of a job, to and from files.")
@click.argument("slug")
@click.option("--csv", "as_csv", is_flag=True, help="As a readings file, one column for each quantity.")
@click.option("--to", type=_FILE, metavar="FILE", help="Write the readings file there [to the screen].")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--since", metavar="TIME", help="From a moment on, with its offset: 2026-01-05T21:00+01:00.")
@click.option("--add", type=_FILE, metavar="FILE", help="First keep the readings of a file; twice is once.")
def readings(
    face: Face, place: Place, slug: str, as_csv: bool, to: Path | None, force: bool, since: str | None,
    add: Path | None,
) -> None:  # fmt: skip
    """Show the readings kept for the job SLUG, or keep those of a file."""
    from fizzwright.cli.output import say
    from fizzwright.cli.store_text import as_json, readings_lines
    from fizzwright.store import readings_csv
    from fizzwright.workshop.keep import keep_readings

    begin = None if since is None else _moment(since)
    with place.opened() as record:
        if add is not None:
            added, log = keep_readings(record, slug, add, hand=_hand())
            text = f"Kept {added.added} new readings and events of {add}; {added.already_there} were there."
            click.echo(text, err=True)
            for decision in log.decisions:
                click.echo(f"  {decision.text}", err=True)
        found = record.readings(slug, since=begin)
    if to is not None:
        _write(to, readings_csv(found), force=force)
    if face.as_json:
        print(as_json({"slug": slug, "readings": found}))
    elif as_csv and to is None:
        sys.stdout.write(readings_csv(found))
    elif to is None and add is None:
        say(readings_lines(found, face.system_or("metric")))


@_command("backup", "Copy the whole record to a file.")
@click.argument("file", type=_FILE)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def backup(face: Face, place: Place, file: Path, force: bool) -> None:
    """Copy the whole record to FILE while work goes on."""
    from fizzwright.cli.store_text import as_json, size_text

    with place.opened() as record:
        record.backup(file, over=force)
    size_count = file.stat().st_size
    if face.as_json:
        print(as_json({"file": file, "size_bytes": size_count}))
    else:
        print(f"Wrote {file}, {size_text(size_count)}. Keep it on another disk.")


@_command("restore", "Put a backup in its place.")
@click.argument("file", type=_FILE)
@click.option("--yes", is_flag=True, help="Do not ask.")
def restore(face: Face, place: Place, file: Path, yes: bool) -> None:
    """Put the backup FILE in the place of everything kept; what was there is copied first."""
    from fizzwright.cli.store_text import as_json

    if not yes and not sys.stdin.isatty():
        raise click.UsageError("This replaces every job and reading kept. Say --yes if that is meant.")
    with place.opened() as record:
        if not yes:
            asked = f"Replace the {len(record.jobs())} job(s) in {record.shown} by those in {file}?"
            click.confirm(asked, abort=True, err=True)
        before = record.restore(file)
        count = len(record.jobs())
    if face.as_json:
        print(as_json({"file": file, "jobs_count": count, "kept_before": before}))
        return
    print(f"Restored {count} job(s) from {file}")
    if before is not None:
        print(f"What was kept before is in {before}")


def _hand() -> Hand:
    """Who is at the keyboard, and of which machine."""
    from fizzwright.workshop.keep import Hand

    try:
        person = getpass.getuser()
    except (OSError, KeyError, ImportError):
        person = ""
    return Hand(person, platform.node())


def _moment(text: str) -> datetime:
    from fizzwright.errors import Fault, InputError

    try:
        return datetime.fromisoformat(text)
    except ValueError as err:
        step = "For example 2026-01-05T21:00+01:00"
        raise InputError([Fault("--since", text, "needs a date and time with its offset", step)]) from err


def _write(path: Path, text: str, *, force: bool) -> None:
    from fizzwright.errors import Fault, InputError

    if path.exists() and not force:
        raise InputError([Fault("--to", str(path), "is there already", "Choose another, or say --force")])
    try:
        path.write_text(text, encoding="utf-8", newline="")
    except OSError as err:
        raise InputError([Fault("--to", str(path), f"cannot be written: {err.strerror or err}")]) from err
    click.echo(f"Wrote {path}", err=True)
