"""The tables of the record, and the migrations that lead to them.

Names are their own keys, so that rows can move from one database to another as they are. Nothing is
ever overwritten: a change is a new row, and `jobs` only points at the latest one.
"""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
)

from fizzwright.store.columns import Moment
from fizzwright.store.names import SLUG_LENGTH

__all__ = ["LATEST", "METADATA", "MIGRATIONS", "jobs", "readings", "revisions", "ticks"]

# Every migration in order; a record at the last one needs no migrating, and none need be loaded.
MIGRATIONS = ("0001",)
LATEST = MIGRATIONS[-1]

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _slug() -> Column[str]:
    return Column("slug", String(SLUG_LENGTH), ForeignKey("jobs.slug"), nullable=False)


def _who() -> tuple[Column[str], Column[str], Column[str]]:
    return (
        Column("timezone", String(200), nullable=False),
        Column("by", String(200), nullable=False),
        Column("device", String(200), nullable=False),
    )


jobs = Table(
    "jobs",
    METADATA,
    Column("slug", String(SLUG_LENGTH), primary_key=True),
    Column("revision_count", Integer, nullable=False),
    CheckConstraint("revision_count >= 1", name="has_a_revision"),
)

revisions = Table(
    "revisions",
    METADATA,
    _slug(),
    Column("number", Integer, nullable=False),
    Column("text", Text, nullable=False),
    Column("archived", Boolean, nullable=False),
    Column("carries", Integer, nullable=True),
    Column("note", String(500), nullable=False),
    Column("changed_utc", Moment, nullable=False),
    *_who(),
    PrimaryKeyConstraint("slug", "number"),
)

readings = Table(
    "readings",
    METADATA,
    _slug(),
    Column("uid", String(200), nullable=False),
    Column("taken_utc", Moment, nullable=False),
    Column("quantity", String(80), nullable=False),
    Column("value", Float(53), nullable=True),
    Column("event", String(500), nullable=False),
    Column("client_clock_utc", Moment, nullable=True),
    Column("received_utc", Moment, nullable=False),
    *_who(),
    PrimaryKeyConstraint("slug", "uid"),
    Index(None, "slug", "taken_utc"),
)

ticks = Table(
    "ticks",
    METADATA,
    _slug(),
    Column("number", Integer, nullable=False),
    Column("item", String(500), nullable=False),
    Column("done", Boolean, nullable=False),
    Column("ticked_utc", Moment, nullable=False),
    *_who(),
    PrimaryKeyConstraint("slug", "number"),
)
