"""Drafts a migration from what differs between the tables in the code and those the migrations make.

`python -m tools.new_migration "what changes"` writes it beside the others. Read it before it is kept: a
renamed column looks like one dropped and one added. Then add its number to MIGRATIONS in the schema.
"""

from __future__ import annotations

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path


def main(arguments: list[str]) -> int:
    """Write the draft and say where it is."""
    from alembic import command

    from fizzwright.store import Store
    from fizzwright.store.migrate import config
    from fizzwright.store.schema import LATEST

    if len(arguments) != 1:
        print(__doc__)
        return 2
    number = f"{int(LATEST) + 1:04d}"
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(folder=Path(folder), now=lambda: datetime.now(UTC))
        settings = config()
        settings.set_main_option("file_template", "v%%(rev)s_%%(slug)s")
        with store.database.writing() as connection:
            settings.attributes["connection"] = connection
            made = command.revision(settings, arguments[0], autogenerate=True, rev_id=number)
        store.close()
    print(f"Wrote {made.path if made and not isinstance(made, list) else made}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
