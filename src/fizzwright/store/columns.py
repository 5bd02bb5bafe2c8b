"""A column for moments: stored in UTC, aware coming out; a moment without a zone is refused."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import DateTime
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

__all__ = ["Moment"]


class Moment(TypeDecorator[datetime]):
    """A moment in time. SQLite keeps no zone, so what it keeps is UTC and comes back marked as such."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment as the database keeps it."""
        if value is None:
            return None
        if value.utcoffset() is None:
            raise ValueError(f"{value.isoformat()} does not say which time zone it is in")
        in_utc = value.astimezone(UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """The moment as Python sees it: aware, in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
