"""A workshop with an empty record, a clock that stands, and the pages over it, in this process."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from starlette.testclient import TestClient

from fizzwright.app import App
from fizzwright.job.examples import example_text
from fizzwright.store import Store
from fizzwright.web.login import Door, Tries, lan_key
from fizzwright.web.server import built
from fizzwright.web.site import Site
from fizzwright.workshop import Workshop

BASE = "http://127.0.0.1"
NOW = datetime(2026, 11, 24, 14, 30, tzinfo=UTC)


@pytest.fixture
def workshop(tmp_path):
    """An empty workshop."""
    store = Store.open(folder=tmp_path / "record", now=lambda: NOW)
    yield Workshop(App(today=lambda: date(2026, 11, 24)), store, now=lambda: NOW)
    store.close()


@pytest.fixture
def pages(workshop):
    """The pages as somebody on the machine itself sees them."""
    app = built(Site(workshop, "one file on this machine", "keeper"), hosts={"127.0.0.1"})
    with TestClient(app, base_url=BASE, client=("127.0.0.1", 50000), follow_redirects=False) as client:
        yield client


@pytest.fixture
def foyer(workshop):
    """One finished job."""
    return workshop.store.add_job(
        example_text("library-foyer-120.toml"), slug="library-foyer-120", by="keeper", device="computer"
    )


class Clock:
    """Seconds that pass when told to."""

    def __init__(self):
        self.now_s = 1000.0

    def __call__(self):
        return self.now_s


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def key(tmp_path):
    return lan_key(tmp_path / "key")


@pytest.fixture
def network(workshop, key, clock):
    """The pages as somebody else on the network sees them."""
    site = Site(workshop, "one file on this machine", "keeper", Door(key, Tries(now_s=clock)))
    app = built(site, hosts={"192.168.7.2", "127.0.0.1"})
    with TestClient(
        app, base_url="http://192.168.7.2", client=("192.168.7.9", 50000), follow_redirects=False
    ) as client:
        yield client
