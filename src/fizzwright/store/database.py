"""One database: its engine, how a transaction begins and ends there, and its failures in plain words."""

from __future__ import annotations

import os
import sqlite3
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, SQLAlchemyError
from sqlalchemy.pool import NullPool

from fizzwright.errors import Fault, InputError, MissingExtra, StoreError

__all__ = ["Database", "at_file", "at_url", "plainly"]

BUSY_MS = 5000


@dataclass(frozen=True)
class Database:
    """Where rows go. `shown` names it without its password; `file` is set where it is a SQLite file."""

    engine: Engine
    shown: str
    file: Path | None
    # SQLite has one writer at a time and wakes waiting ones unfairly; inside one process they queue here.
    pen: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def reading(self, *, whole: bool = False) -> Iterator[Connection]:
        """A transaction that only reads; with `whole` all it sees is of one moment, on SQLite always."""
        with plainly(self.shown), self.engine.connect() as connection:
            if whole and self.file is None:
                connection.execution_options(isolation_level="REPEATABLE READ")
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that writes; when it has ended without an error, its rows are on the disk."""
        turn = self.pen if self.file is not None else nullcontext()
        with plainly(self.shown), turn, self.engine.execution_options(writes=True).begin() as connection:
            yield connection

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


@contextmanager
def plainly(shown: str) -> Iterator[None]:
    """Turn what a database driver raises into a StoreError a person can act on."""
    try:
        yield
    except DBAPIError as err:
        said = " ".join(str(err.orig).split()) or type(err.orig).__name__
        raise StoreError(f"{shown}: {said}{_next_step(said)}") from err
    except SQLAlchemyError as err:
        raise StoreError(f"{shown}: {' '.join(str(err).split())[:300]}") from err
    except (sqlite3.Error, OSError) as err:
        raise StoreError(f"{shown}: {err}") from err


def _next_step(said: str) -> str:
    steps = {
        "database is locked": "Another program holds it for long; close that one, or try again",
        "not a database": "The file is damaged or something else; give another, or restore a backup",
        "malformed": "The file is damaged; restore a backup",
        "readonly": "It may be read but not written; look at the rights of the file and its folder",
        "disk is full": "Make room; what was acknowledged before is kept",
        "refused": "See that the server is running and the address is right",
        "does not exist": "See that the address is right, then run: fizzwright store migrate --database URL",
    }
    return next((f". {step}" for word, step in steps.items() if word in said), "")


def at_file(file: Path, *, migrating: bool = False) -> Database:
    """A SQLite file, made with its folder where there is none; `migrating` leaves foreign keys unchecked."""
    with plainly(str(file)):
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        # Made here and not by the driver, so that only its owner can read it.
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
    url = URL.create("sqlite", database=str(file.absolute()))
    pool = {"poolclass": NullPool} if migrating else {"pool_size": 16, "max_overflow": 64}
    engine = create_engine(url, **pool)
    _prepare_sqlite(engine, foreign_keys=not migrating)
    return Database(engine, str(file), file)


def _prepare_sqlite(engine: Engine, *, foreign_keys: bool) -> None:
    @event.listens_for(engine, "connect")
    def _on_connect(connection: sqlite3.Connection, _record: object) -> None:
        # The driver then begins nothing by itself: a change of tables, too, is whole or not at all.
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={BUSY_MS}")
        if connection.execute("PRAGMA journal_mode").fetchone() != ("wal",):
            connection.execute("PRAGMA journal_mode=WAL")
        # FULL: what was acknowledged also outlives a power cut; it costs one sync for each write.
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")

    @event.listens_for(engine, "begin")
    def _on_begin(connection: Connection) -> None:
        # A writer takes its place in the queue at once: one that read first and then wished to write
        # would be turned away, however long it was ready to wait.
        writes = connection.get_execution_options().get("writes")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def at_url(text: str, *, migrating: bool = False) -> Database:
    """The database of an address: `postgresql://...`, or `sqlite:///FILE`."""
    try:
        url = make_url(text)
    except ArgumentError as err:
        raise InputError([_address_fault("")]) from err
    kind = url.get_backend_name()
    if kind == "sqlite" and url.database not in (None, "", ":memory:"):
        return at_file(Path(str(url.database)), migrating=migrating)
    if kind not in ("postgresql", "postgres"):
        raise InputError([_address_fault(url.render_as_string(hide_password=True))])
    try:
        import psycopg  # noqa: F401 - asked for by name, to say plainly what is missing
    except ImportError as err:
        line = f'{sys.executable} -m pip install "fizzwright[postgres]"'
        raise MissingExtra(f"PostgreSQL needs its driver. Install it: {line}") from err
    url = url.set(drivername="postgresql+psycopg")
    pool = {"poolclass": NullPool} if migrating else {"pool_size": 10, "max_overflow": 20}
    # A connection is tried before use, so that a restarted server is no error.
    engine = create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": 10}, **pool)
    return Database(engine, url.set(drivername="postgresql").render_as_string(hide_password=True), None)


def _address_fault(given: str) -> Fault:
    step = 'For example "postgresql://me@localhost/workshop"'
    return Fault("database", given, "needs the address of a PostgreSQL database or of a SQLite file", step)
