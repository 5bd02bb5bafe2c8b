"""One suite on both databases: a fresh SQLite folder, and a fresh database on a PostgreSQL server."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fizzwright.store import Store
from tests.store.server import programs, server


class Clock:
    """A clock that ticks a second each time it is looked at."""

    def __init__(self) -> None:
        self.moment = datetime(2026, 1, 5, 19, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        """The next moment."""
        self.moment += timedelta(seconds=1)
        return self.moment


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """Address of the server, started once."""
    if programs() is None:
        pytest.skip("no PostgreSQL server here; on Debian: apt-get install postgresql")
    with server() as address:
        yield address


@pytest.fixture
def fresh_address(postgres: str) -> str:
    """Address of an empty database on the server."""
    return _new_database(postgres)


@pytest.fixture
def other_address(postgres: str) -> str:
    """Address of a second one."""
    return _new_database(postgres)


def _new_database(base: str) -> str:
    import psycopg

    name = f"t{uuid.uuid4().hex[:12]}"
    with psycopg.connect(f"{base}/postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return f"{base}/{name}"


@pytest.fixture(params=["sqlite", "postgresql"])
def opened(request: pytest.FixtureRequest, tmp_path: Path, clock: Clock) -> Iterator[Callable[[], Store]]:
    """Opens the test's own record, as often as it is called."""
    stores: list[Store] = []
    if request.param == "sqlite":
        how = {"folder": tmp_path / "data"}
    else:
        how = {"url": request.getfixturevalue("fresh_address")}
        first = Store.open(**how, now=clock, as_it_is=True)
        first.migrate()
        first.close()

    def opened() -> Store:
        stores.append(Store.open(**how, now=clock))
        return stores[-1]

    yield opened
    for store in stores:
        store.close()


@pytest.fixture
def store(opened: Callable[[], Store]) -> Store:
    return opened()
