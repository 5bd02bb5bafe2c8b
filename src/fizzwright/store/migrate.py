"""Bringing the tables of a record to the form this version writes, whole or not at all."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, text

from fizzwright.errors import SchemaTooNew, StoreError
from fizzwright.store.copies import copy_file
from fizzwright.store.database import Database, at_file, at_url
from fizzwright.store.schema import METADATA, MIGRATIONS

if TYPE_CHECKING:
    from alembic.config import Config

__all__ = ["SCRIPTS", "VERSION_TABLE", "config", "pending", "upgrade", "version_of"]

SCRIPTS = "fizzwright.store:migrations"
# Not the tool's usual name, so that a database shared with another program keeps both apart.
VERSION_TABLE = "fizzwright_schema"
# Any number, the same in every process: only one of them changes the tables at a time.
_LOCK_KEY = 4_307_182_025


def version_of(database: Database) -> str | None:
    """The last migration a record has seen, None for an empty one; refuses what it cannot know."""
    with database.reading() as connection:
        return _version(connection, database)


def _version(connection: Connection, database: Database) -> str | None:
    there = set(inspect(connection).get_table_names())
    if VERSION_TABLE not in there:
        strange = there if database.file is not None else there & set(METADATA.tables)
        if strange:
            raise StoreError(f"{database.shown} holds tables of something else. Give another place")
        return None
    found = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    version = None if found is None else str(found)
    if version is not None and version not in MIGRATIONS:
        raise SchemaTooNew(
            f"{database.shown} was written by a later version of Fizzwright (its tables are at {version}, "
            f"this version knows up to {MIGRATIONS[-1]}). Update Fizzwright; nothing was changed"
        )
    return version


def pending(database: Database) -> tuple[str, ...]:
    """The migrations a record has not seen, in order."""
    version = version_of(database)
    return MIGRATIONS if version is None else MIGRATIONS[MIGRATIONS.index(version) + 1 :]


def upgrade(database: Database, *, now: datetime) -> tuple[str, ...]:
    """Run every pending migration in one transaction; a SQLite file is copied first.

    Gives the migrations that were run. Two programs that start at once do not hinder each other: the
    second finds nothing left to do.
    """
    waiting = pending(database)
    if not waiting:
        return ()
    if database.file is not None and waiting != MIGRATIONS:
        copy_file(database.file, _before(database.file, waiting[0], now))
    _run(database)
    return waiting


def _before(file: Path, migration: str, now: datetime) -> Path:
    return file.with_name(f"{file.stem}-before-{migration}-{now:%Y%m%dT%H%M%S%f}{file.suffix}")


def _run(database: Database) -> None:
    from alembic import command

    # Foreign keys cannot be let go inside a transaction, and SQLite changes a table by making it anew.
    url = database.engine.url.render_as_string(hide_password=False)
    apart = at_url(url, migrating=True) if database.file is None else at_file(database.file, migrating=True)
    with apart.writing() as connection:
        if database.file is None:
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _LOCK_KEY})
        settings = config()
        settings.attributes["connection"] = connection
        command.upgrade(settings, "head")
        if database.file is not None and connection.exec_driver_sql("PRAGMA foreign_key_check").first():
            raise StoreError(f"{database.shown}: rows lost their job while migrating; nothing was changed")


def config() -> Config:
    """The settings of the migration tool."""
    from alembic.config import Config

    settings = Config()
    settings.set_main_option("script_location", SCRIPTS)
    settings.set_main_option("path_separator", "os")
    return settings
