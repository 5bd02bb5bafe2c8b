"""The record as everybody else sees it: open it, keep something, ask for something."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection
from sqlalchemy.exc import IntegrityError

from fizzwright.errors import Fault, InputError, NotFound, StoreError
from fizzwright.store import entry_rows, job_rows, migrate
from fizzwright.store.copies import copy_file, copy_rows, empty_out, hold_all, is_empty
from fizzwright.store.database import Database, at_file, at_url
from fizzwright.store.names import check_change, check_readings, check_slug, free_slug
from fizzwright.store.records import AddedReadings, JobHead, JobKept, Reading, Tick
from fizzwright.store.where import where_kept

__all__ = ["Store"]


@dataclass(frozen=True)
class Store:
    """Jobs with their history, readings and ticks. What a method has acknowledged is on the disk.

    One store may be used from many threads at once, and several programs may share one record.
    """

    database: Database
    now: Callable[[], datetime]

    @classmethod
    def open(
        cls,
        url: str | None = None,
        *,
        folder: Path | None = None,
        now: Callable[[], datetime],
        as_it_is: bool = False,
    ) -> Store:
        """The record in a folder (the user's own by default), or at a database's address.

        A SQLite record is made where there is none, and migrated where it is older, after a copy of it
        was made. A PostgreSQL record is migrated by command only: StoreError says so, unless the record
        is wanted `as_it_is`, to migrate it.
        """
        if url is not None and folder is not None:
            raise InputError([Fault("folder", str(folder), "goes without the address of a database")])
        database = at_file(where_kept(folder)) if url is None else at_url(url)
        store = cls(database, now)
        try:
            if not as_it_is:
                store._made_ready()
        except BaseException:
            store.close()
            raise
        return store

    def _made_ready(self) -> None:
        """Migrate a file that waits for it; refuse a server's database that does."""
        waiting = self.pending_migrations()
        if waiting and self.database.file is None:
            raise StoreError(
                f"{self.shown} is not ready for this version of Fizzwright (missing: {', '.join(waiting)}). "
                "Make a backup, then run: fizzwright store migrate --database URL"
            )
        if waiting:
            self.migrate()

    def close(self) -> None:
        """Let go of the database."""
        self.database.close()

    @property
    def shown(self) -> str:
        """Where the record is, without any password."""
        return self.database.shown

    # Jobs

    def jobs(self) -> tuple[JobHead, ...]:
        """Every job, by name."""
        with self.database.reading() as connection:
            return job_rows.heads(connection)

    def job(self, slug: str, *, revision: int | None = None) -> JobKept:
        """A job as it is kept now, or as it was at a revision."""
        with self.database.reading() as connection:
            if revision is None:
                return job_rows.latest(connection, slug)
            return job_rows.one_revision(connection, slug, revision)

    def history(self, slug: str) -> tuple[JobKept, ...]:
        """Every revision of a job, the first one first."""
        with self.database.reading() as connection:
            return job_rows.all_revisions(connection, slug)

    def add_job(
        self,
        text: str,
        *,
        by: str,
        device: str,
        slug: str | None = None,
        timezone: str = "UTC",
        note: str = "",
    ) -> JobKept:
        """Keep a new job. A name that is taken is refused; without one, `tank` or the next free number is."""
        if slug is not None:
            check_slug(slug)
        check_change(text=text, by=by, device=device, note=note, timezone=timezone)
        while True:
            called = self._free_or_refused(slug)
            kept = JobKept(called, text, 1, self._moment(), by, device, note, timezone)
            try:
                with self.database.writing() as connection:
                    return job_rows.insert_job(connection, kept)
            except StoreError as err:
                # Somebody took the name in between: look again, and say so or take the next one.
                if not isinstance(err.__cause__, IntegrityError):
                    raise

    def _free_or_refused(self, slug: str | None) -> str:
        with self.database.reading() as connection:
            taken = job_rows.slugs(connection)
        if slug is None:
            return free_slug("tank", taken)
        if slug in taken:
            step = f"{free_slug(slug, taken)} is free; or keep the text as a revision of the one there"
            raise InputError([Fault("slug", slug, "is taken by another job", step)])
        return slug

    def save_job(
        self,
        slug: str,
        text: str,
        *,
        expected_revision: int,
        by: str,
        device: str,
        note: str = "",
        timezone: str = "UTC",
    ) -> JobKept:
        """Keep a new text of a job on top of the revision it was made from.

        EditedElsewhere, with both texts, where the job has moved on meanwhile.
        """
        check_change(text=text, by=by, device=device, note=note, timezone=timezone)
        with self.database.writing() as connection:
            before = job_rows.expected(connection, slug, expected_revision, yours=text)
            kept = JobKept(
                slug, text, expected_revision + 1, self._moment(), by, device, note, timezone, before.archived
            )
            return job_rows.add_revision(connection, kept)

    def undo(
        self, slug: str, *, expected_revision: int, by: str, device: str, timezone: str = "UTC"
    ) -> JobKept:
        """Bring back what a job was before its last change, as a new revision; undo again goes further back.

        NotFound where nothing came before.
        """
        check_change(by=by, device=device, timezone=timezone)
        with self.database.writing() as connection:
            last = job_rows.expected(connection, slug, expected_revision, yours="")
            shown = last.carries or last.revision_count
            if shown <= 1:
                raise NotFound(f"{slug} is as it was kept first; there is nothing to undo")
            before = job_rows.one_revision(connection, slug, shown - 1)
            target = before.carries or before.revision_count
            kept = replace(
                before, revision_count=expected_revision + 1, changed_utc=self._moment(), by=by,
                device=device, note=f"back to revision {target}", timezone=timezone, carries=target,
            )  # fmt: skip
            return job_rows.add_revision(connection, kept)

    def archive(
        self,
        slug: str,
        archived: bool = True,
        *,
        expected_revision: int,
        by: str,
        device: str,
        timezone: str = "UTC",
    ) -> JobKept:
        """Put a job away or take it out again; a revision like any other, its text unchanged."""
        check_change(by=by, device=device, timezone=timezone)
        with self.database.writing() as connection:
            last = job_rows.expected(connection, slug, expected_revision, yours="")
            kept = replace(
                last, revision_count=expected_revision + 1, changed_utc=self._moment(), by=by, device=device,
                note="put away" if archived else "taken out again", timezone=timezone, archived=archived,
                carries=None,
            )  # fmt: skip
            return job_rows.add_revision(connection, kept)

    # Readings and ticks

    def add_readings(self, slug: str, readings: Sequence[Reading]) -> AddedReadings:
        """Keep readings; one that was kept before under its uid is kept once. All of them or none."""
        check_readings(readings)
        with self.database.writing() as connection:
            return entry_rows.add_readings(connection, slug, readings, received_utc=self._moment())

    def readings(self, slug: str, *, since: datetime | None = None) -> tuple[Reading, ...]:
        """A job's readings in order of time, from a moment on."""
        if since is not None and since.utcoffset() is None:
            raise InputError([Fault("since", since.isoformat(), "does not say which time zone it is in")])
        with self.database.reading() as connection:
            return entry_rows.some_readings(connection, slug, since=since)

    def tick(self, slug: str, item: str, done: bool, *, by: str, device: str, timezone: str = "UTC") -> Tick:
        """Tick or untick one line of the job card."""
        check_change(item=item, by=by, device=device, timezone=timezone)
        tick = Tick(item, done, self._moment(), by, device, timezone)
        with self.database.writing() as connection:
            return entry_rows.add_tick(connection, slug, tick)

    def ticks(self, slug: str) -> tuple[Tick, ...]:
        """How every line of the job card that was ever ticked stands now, in the order first ticked."""
        return tuple({tick.item: tick for tick in self.tick_history(slug)}.values())

    def tick_history(self, slug: str) -> tuple[Tick, ...]:
        """Everything ticked and unticked on the job card, in order."""
        with self.database.reading() as connection:
            return entry_rows.all_ticks(connection, slug)

    # The record as a whole

    def backup(self, path: Path, *, over: bool = False) -> Path:
        """Copy the whole record to one SQLite file while work goes on; `over` replaces a file there."""
        path = Path(path)
        if path.exists() and not over:
            raise InputError([Fault("file", str(path), "is there already", "Choose another name")])
        file = self.database.file
        if file is not None and path.exists() and path.samefile(file):
            raise InputError([Fault("file", str(path), "is the record itself", "Choose another name")])
        if file is not None:
            copy_file(file, path)
        else:
            self._gather(path)
        return path

    def _gather(self, path: Path) -> None:
        """Every row of a server's database, as of one moment, in a SQLite file."""
        with tempfile.TemporaryDirectory(prefix="fizzwright-") as folder:
            copy = Store.open(folder=Path(folder), now=self.now)
            try:
                with self.database.reading(whole=True) as ours, copy.database.writing() as theirs:
                    copy_rows(ours, theirs)
            finally:
                copy.close()
            copy_file(where_kept(Path(folder)), path)

    def restore(self, path: Path) -> Path | None:
        """Put a backup in the place of everything kept, whole or not at all.

        What was kept before is copied first, to the file given back; None where nothing was.
        """
        path = Path(path)
        if not path.is_file():
            raise InputError([Fault("file", str(path), "is not there", "Give a file made by a backup")])
        with tempfile.TemporaryDirectory(prefix="fizzwright-") as folder:
            # A copy, so that a backup of an earlier version can be migrated and the file stays as it is.
            copied = where_kept(Path(folder))
            copy_file(path, copied)
            backup = Store(replace(at_file(copied), shown=str(path)), self.now)
            try:
                backup.migrate()
                with backup.database.reading() as theirs:
                    if is_empty(theirs):
                        raise InputError([Fault("file", str(path), "holds no jobs")])
                    return self._replace_by(theirs)
            finally:
                backup.close()

    def _replace_by(self, theirs: Connection) -> Path | None:
        """Every row replaced; nobody can add one between the copy of what was there and its end."""
        with self.database.writing() as ours:
            hold_all(ours)
            kept = None
            if not is_empty(ours):
                place = self.database.file or where_kept()
                name = f"{place.stem}-before-restore-{self._moment():%Y%m%dT%H%M%S%f}{place.suffix}"
                kept = self.backup(place.with_name(name))
            empty_out(ours)
            copy_rows(theirs, ours)
        return kept

    def pending_migrations(self) -> tuple[str, ...]:
        """The migrations this record has not seen; SchemaTooNew where a later version wrote it."""
        return migrate.pending(self.database)

    def migrate(self) -> tuple[str, ...]:
        """Bring the record to this version, in one transaction; gives the migrations that were run."""
        return migrate.upgrade(self.database, now=self._moment())

    def _moment(self) -> datetime:
        return self.now().astimezone(UTC)
