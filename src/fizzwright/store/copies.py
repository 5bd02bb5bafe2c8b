"""Whole records to files and back: a backup is one SQLite file, whatever database it came from."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, func, insert, select

from fizzwright.store.database import plainly
from fizzwright.store.schema import METADATA

__all__ = ["copy_file", "copy_rows", "empty_out", "hold_all", "is_empty"]

_ROWS_AT_ONCE = 1000


def copy_file(source: Path, target: Path) -> None:
    """Copy a SQLite file while others may write to it; the copy appears whole or not at all."""
    part = target.with_name(target.name + ".part")
    with plainly(str(target)):
        target.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        os.close(os.open(part, os.O_CREAT | os.O_RDWR, 0o600))
        try:
            with plainly(str(source)):
                _copy_pages(source, part)
            os.replace(part, target)
        finally:
            part.unlink(missing_ok=True)


def _copy_pages(source: Path, target: Path) -> None:
    with (
        closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True, timeout=5)) as origin,
        closing(sqlite3.connect(target)) as copy,
    ):
        # In one step, which readers and writers of the origin do not notice; in several it would start
        # anew at every write of theirs.
        origin.backup(copy)
        # One file by itself, to be carried anywhere.
        copy.execute("PRAGMA journal_mode=DELETE")
    with target.open("rb+") as stream:
        os.fsync(stream.fileno())


def copy_rows(source: Connection, target: Connection) -> None:
    """Copy every row of every table, in an order that keeps each row's job before it."""
    for table in METADATA.sorted_tables:
        streamed = {"yield_per": _ROWS_AT_ONCE}
        found = source.execute(select(table), execution_options=streamed).mappings()
        for chunk in found.partitions(_ROWS_AT_ONCE):
            target.execute(insert(table), [dict(row) for row in chunk])


def hold_all(connection: Connection) -> None:
    """Keep every other writer waiting until the transaction ends; SQLite does so for any writer."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("LOCK TABLE jobs IN EXCLUSIVE MODE")


def empty_out(connection: Connection) -> None:
    """Take every row out, within the transaction of the connection."""
    for table in reversed(METADATA.sorted_tables):
        connection.execute(table.delete())


def is_empty(connection: Connection) -> bool:
    """Whether no job is kept."""
    return connection.scalar(select(func.count()).select_from(METADATA.tables["jobs"])) == 0
