"""Backups: one file whatever the database, taken while others write, put back whole or not at all."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from fizzwright.errors import InputError, SchemaTooNew, StoreError
from fizzwright.store import Store, copies, migrate
from tests.store.writer import reading

ME = {"by": "me", "device": "desk"}


def everything(store):
    slugs = [head.slug for head in store.jobs()]
    return [(store.history(slug), store.readings(slug), store.tick_history(slug)) for slug in slugs]


@pytest.fixture
def filled(store):
    at = datetime(2026, 10, 25, 0, 30, 0, 123456, tzinfo=UTC)
    for slug in ("shelf", "bench"):
        store.add_job("a\r\n", **ME, slug=slug, timezone="Europe/Berlin")
        store.save_job(slug, "b", expected_revision=1, **ME)
        store.undo(slug, expected_revision=2, **ME)
        store.tick(slug, "chain", True, **ME)
        fresh = [replace(reading(f"u{n}"), taken_utc=at, value=0.1 * n) for n in range(1500)]
        store.add_readings(slug, [*fresh, replace(fresh[0], uid="e", quantity="", value=None, event="fed")])
    return store


def test_back_and_forth_is_the_same(filled, tmp_path):
    before = everything(filled)
    filled.backup(tmp_path / "b.sqlite")
    filled.save_job("shelf", "later", expected_revision=3, **ME)
    filled.add_job("x", **ME, slug="new")
    kept = filled.restore(tmp_path / "b.sqlite")
    assert everything(filled) == before
    # What was thrown out can be put back in its turn.
    filled.restore(kept)
    assert filled.job("shelf").text == "later"
    kept.unlink()


@pytest.fixture(autouse=True)
def _own_data_folder(tmp_path, monkeypatch):
    """A server's record puts its copies into the user's folder."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "xdg"))


def test_a_backup_moves_from_one_database_to_the_other(filled, tmp_path, other_address, clock):
    filled.backup(tmp_path / "b.sqlite")
    other = Store.open(other_address, now=clock, as_it_is=True)
    other.migrate()
    assert other.restore(tmp_path / "b.sqlite") is None
    assert everything(other) == everything(filled)
    other.close()


def test_a_backup_is_one_whole_file_and_left_as_it_is(filled, tmp_path):
    file = filled.backup(tmp_path / "out" / "b.sqlite")
    assert [path.name for path in file.parent.iterdir()] == ["b.sqlite"]
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    bytes_before = file.read_bytes()
    filled.restore(file)
    assert file.read_bytes() == bytes_before


def test_nothing_is_written_over_unless_asked(filled, tmp_path):
    file = tmp_path / "b.sqlite"
    file.write_text("mine")
    with pytest.raises(InputError, match="is there already"):
        filled.backup(file)
    assert file.read_text() == "mine"
    filled.backup(file, over=True)
    assert file.read_bytes().startswith(b"SQLite format 3")


def test_the_record_is_never_its_own_backup(tmp_path, clock):
    store = Store.open(folder=tmp_path, now=clock)
    with pytest.raises(InputError, match="the record itself"):
        store.backup(store.database.file, over=True)
    store.close()


def test_a_backup_while_others_write(filled, tmp_path):
    stop, errors = threading.Event(), []

    def write():
        number = 0
        try:
            while not stop.is_set():
                filled.add_readings("shelf", [reading(f"w{number}-{part}") for part in range(3)])
                number += 1
        except Exception as error:
            errors.append(error)

    writer = threading.Thread(target=write)
    writer.start()
    files = [filled.backup(tmp_path / f"{n}.sqlite") for n in range(5)]
    stop.set()
    writer.join()
    assert errors == []
    for file in files:
        with closing(sqlite3.connect(file)) as connection:
            count = connection.execute("SELECT count(*) FROM readings WHERE uid LIKE 'w%'").fetchone()[0]
        assert count % 3 == 0, "a batch was copied in part"


def test_a_restore_that_fails_changes_nothing(filled, tmp_path, monkeypatch):
    file = filled.backup(tmp_path / "b.sqlite")
    filled.add_job("x", **ME, slug="new")
    before = everything(filled)

    def half_way(source, target):
        copies.copy_rows(source, target)
        raise OSError("the disk is gone")

    monkeypatch.setattr("fizzwright.store.book.copy_rows", half_way)
    with pytest.raises(StoreError, match="the disk is gone"):
        filled.restore(file)
    assert everything(filled) == before


def test_what_is_no_backup_is_refused_by_its_own_name(filled, tmp_path):
    before = everything(filled)
    file = tmp_path / "notes.txt"
    with pytest.raises(InputError, match="is not there"):
        filled.restore(file)
    file.write_text("not a database" * 100)
    with pytest.raises(StoreError, match=r"notes\.txt: file is not a database"):
        filled.restore(file)
    file.write_bytes(b"")
    with pytest.raises(InputError, match="holds no jobs"):
        filled.restore(file)
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("CREATE TABLE photographs (name)")
    with pytest.raises(StoreError, match=r"notes\.txt holds tables of something else"):
        filled.restore(file)
    assert everything(filled) == before


def test_a_backup_of_a_later_version_is_refused(filled, tmp_path):
    file = filled.backup(tmp_path / "b.sqlite")
    with closing(sqlite3.connect(file)) as connection:
        connection.execute(f"UPDATE {migrate.VERSION_TABLE} SET version_num = '9999'")
        connection.commit()
    with pytest.raises(SchemaTooNew):
        filled.restore(file)
