"""Jobs and their revisions as rows: found, added to, never changed."""

from __future__ import annotations

from dataclasses import asdict

from sqlalchemy import Connection, Row, Select, insert, select, update

from fizzwright.errors import EditedElsewhere, NotFound
from fizzwright.store.records import JobHead, JobKept
from fizzwright.store.schema import jobs, revisions

__all__ = [
    "add_revision",
    "all_revisions",
    "expected",
    "heads",
    "insert_job",
    "latest",
    "locked",
    "must_exist",
    "one_revision",
    "slugs",
]
_REVISION = tuple(column for column in revisions.columns)
_AT_ITS_LATEST = (revisions.c.slug == jobs.c.slug) & (revisions.c.number == jobs.c.revision_count)


def heads(connection: Connection) -> tuple[JobHead, ...]:
    """Every job, by name."""
    wanted = (jobs.c.slug, jobs.c.revision_count, revisions.c.changed_utc, revisions.c.archived)
    found = connection.execute(select(*wanted).join(revisions, _AT_ITS_LATEST).order_by(jobs.c.slug))
    return tuple(JobHead(row.slug, row.revision_count, row.changed_utc, row.archived) for row in found)


def slugs(connection: Connection) -> tuple[str, ...]:
    """The name of every job."""
    return tuple(connection.scalars(select(jobs.c.slug)))


def latest(connection: Connection, slug: str) -> JobKept:
    """A job as it was kept last."""
    query = select(*_REVISION).join(jobs, _AT_ITS_LATEST).where(jobs.c.slug == slug)
    return _kept(connection.execute(query).first(), slug)


def one_revision(connection: Connection, slug: str, number: int) -> JobKept:
    """A job as it was kept then."""
    row = connection.execute(_of(slug).where(revisions.c.number == number)).first()
    if row is None:
        count = latest(connection, slug).revision_count
        raise NotFound(f"{slug} has no revision {number}; it has 1 to {count}")
    return _kept(row, slug)


def all_revisions(connection: Connection, slug: str) -> tuple[JobKept, ...]:
    """Every revision of a job, the first one first."""
    found = tuple(_kept(row, slug) for row in connection.execute(_of(slug).order_by(revisions.c.number)))
    if not found:
        raise _not_found(slug)
    return found


def must_exist(connection: Connection, slug: str) -> None:
    """Refuse the name of a job that is not there."""
    if connection.scalar(select(jobs.c.slug).where(jobs.c.slug == slug)) is None:
        raise _not_found(slug)


def locked(connection: Connection, slug: str) -> int:
    """The number of revisions of a job that nobody else may add to until this transaction ends."""
    query = select(jobs.c.revision_count).where(jobs.c.slug == slug)
    count: int | None = connection.scalar(query.with_for_update(key_share=True))
    if count is None:
        raise _not_found(slug)
    return count


def insert_job(connection: Connection, kept: JobKept) -> JobKept:
    """A job's first revision."""
    connection.execute(insert(jobs).values(slug=kept.slug, revision_count=1))
    connection.execute(insert(revisions).values(_row(kept)))
    return kept


def expected(connection: Connection, slug: str, number: int, *, yours: str) -> JobKept:
    """The latest revision, held fast until the transaction ends; EditedElsewhere where it is not `number`."""
    count = locked(connection, slug)
    last = latest(connection, slug)
    if count != number:
        raise _edited_elsewhere(yours, last, number)
    return last


def add_revision(connection: Connection, kept: JobKept) -> JobKept:
    """A further revision, on top of the one held fast by `expected`."""
    here = jobs.c.slug == kept.slug
    connection.execute(update(jobs).where(here).values(revision_count=kept.revision_count))
    connection.execute(insert(revisions).values(_row(kept)))
    return kept


def _edited_elsewhere(yours: str, theirs: JobKept, started_from: int) -> EditedElsewhere:
    by = f" by {theirs.by}" if theirs.by else ""
    device = f" from {theirs.device}" if theirs.device else ""
    when = f"{theirs.changed_utc:%Y-%m-%d %H:%M} UTC"
    return EditedElsewhere(
        f"{theirs.slug} was changed{by}{device} at {when}: you started from revision {started_from}, it is "
        f"at {theirs.revision_count} now. Nothing was written over; bring both together and keep the result "
        f"on revision {theirs.revision_count}",
        yours=yours,
        theirs=theirs.text,
        revision_count=theirs.revision_count,
    )


def _of(slug: str) -> Select[*tuple[object, ...]]:
    return select(*_REVISION).where(revisions.c.slug == slug)


def _row(kept: JobKept) -> dict[str, object]:
    row = asdict(kept)
    row["number"] = row.pop("revision_count")
    return row


def _kept(row: Row[*tuple[object, ...]] | None, slug: str) -> JobKept:
    if row is None:
        raise _not_found(slug)
    found = dict(row._mapping)
    return JobKept(revision_count=found.pop("number"), **found)


def _not_found(slug: str) -> NotFound:
    return NotFound(f"no job is kept as {slug[:100]!r}. See what is there: fizzwright store list")
