"""How the migration tool meets the record: on a connection handed in, inside its transaction."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context
from alembic.autogenerate.api import AutogenContext

from fizzwright.store.columns import Moment
from fizzwright.store.migrate import VERSION_TABLE
from fizzwright.store.schema import METADATA


def _render(kind: str, thing: Any, autogen: AutogenContext) -> str | Literal[False]:
    if kind == "type" and isinstance(thing, Moment):
        autogen.imports.add("from fizzwright.store.columns import Moment")
        return "Moment()"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    version_table=VERSION_TABLE,
    render_as_batch=True,
    render_item=_render,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
