"""Where the record is: the two options that say so, and a record opened for the length of a command."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from fizzwright.store import Store

__all__ = ["Place", "place_options"]


@dataclass(frozen=True)
class Place:
    """Where a person wants the record: a database's address, or a folder, or their own where None."""

    database: str | None
    folder: Path | None

    @contextmanager
    def opened(self, *, as_it_is: bool = False) -> Iterator[Store]:
        """The record, let go of at the end; `as_it_is` also opens one that waits for its migration."""
        from datetime import UTC, datetime

        from fizzwright.store import Store

        now = functools.partial(datetime.now, UTC)
        record = Store.open(self.database, folder=self.folder, now=now, as_it_is=as_it_is)
        try:
            yield record
        finally:
            record.close()


def place_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--data` and `--database`, handed on as one `place`."""

    @click.option(
        "--database", metavar="URL", envvar="FIZZWRIGHT_DATABASE",
        help="Address of a PostgreSQL record, postgresql://...; or set FIZZWRIGHT_DATABASE.",
    )  # fmt: skip
    @click.option(
        "--data", "folder", metavar="DIR", envvar="FIZZWRIGHT_DATA", type=click.Path(path_type=Path),
        help="Folder of the SQLite record [your own data folder]; or set FIZZWRIGHT_DATA.",
    )  # fmt: skip
    @functools.wraps(function)
    def with_place(*args: Any, database: str | None, folder: Path | None, **others: Any) -> Any:
        if database and folder:
            raise click.UsageError("--data and --database are two places: give one of them.")
        return function(*args, place=Place(database or None, folder), **others)

    return with_place
