"""The first record: jobs, revisions, readings, ticks."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from fizzwright.store.columns import Moment

__all__ = ["downgrade", "upgrade"]

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Bring the tables forward."""
    op.create_table(
        "jobs",
        sa.Column("slug", sa.String(80), nullable=False),
        sa.Column("revision_count", sa.Integer(), nullable=False),
        sa.CheckConstraint("revision_count >= 1", name=op.f("ck_jobs_has_a_revision")),
        sa.PrimaryKeyConstraint("slug", name=op.f("pk_jobs")),
    )
    op.create_table(
        "revisions",
        sa.Column("slug", sa.String(80), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("archived", sa.Boolean(), nullable=False),
        sa.Column("carries", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(500), nullable=False),
        sa.Column("changed_utc", Moment(), nullable=False),
        *_who(),
        sa.ForeignKeyConstraint(["slug"], ["jobs.slug"], name=op.f("fk_revisions_slug_jobs")),
        sa.PrimaryKeyConstraint("slug", "number", name=op.f("pk_revisions")),
    )
    op.create_table(
        "readings",
        sa.Column("slug", sa.String(80), nullable=False),
        sa.Column("uid", sa.String(200), nullable=False),
        sa.Column("taken_utc", Moment(), nullable=False),
        sa.Column("quantity", sa.String(80), nullable=False),
        sa.Column("value", sa.Float(53), nullable=True),
        sa.Column("event", sa.String(500), nullable=False),
        sa.Column("client_clock_utc", Moment(), nullable=True),
        sa.Column("received_utc", Moment(), nullable=False),
        *_who(),
        sa.ForeignKeyConstraint(["slug"], ["jobs.slug"], name=op.f("fk_readings_slug_jobs")),
        sa.PrimaryKeyConstraint("slug", "uid", name=op.f("pk_readings")),
    )
    op.create_index(op.f("ix_readings_slug_taken_utc"), "readings", ["slug", "taken_utc"])
    op.create_table(
        "ticks",
        sa.Column("slug", sa.String(80), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("item", sa.String(500), nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.Column("ticked_utc", Moment(), nullable=False),
        *_who(),
        sa.ForeignKeyConstraint(["slug"], ["jobs.slug"], name=op.f("fk_ticks_slug_jobs")),
        sa.PrimaryKeyConstraint("slug", "number", name=op.f("pk_ticks")),
    )


def downgrade() -> None:
    """Bring the tables back."""
    op.drop_table("ticks")
    op.drop_index(op.f("ix_readings_slug_taken_utc"), table_name="readings")
    op.drop_table("readings")
    op.drop_table("revisions")
    op.drop_table("jobs")


def _who() -> tuple[sa.Column[str], sa.Column[str], sa.Column[str]]:
    return (
        sa.Column("timezone", sa.String(200), nullable=False),
        sa.Column("by", sa.String(200), nullable=False),
        sa.Column("device", sa.String(200), nullable=False),
    )
