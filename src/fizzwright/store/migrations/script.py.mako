"""${message}."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}

__all__ = ["downgrade", "upgrade"]

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    """Bring the tables forward."""
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    """Bring the tables back."""
    ${downgrades if downgrades else "pass"}
