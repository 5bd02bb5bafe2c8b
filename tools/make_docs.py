"""Makes the pages of docs/ that can be made: the commands, the equations, the sources, the validation.

`python -m tools.make_docs` writes them; with --check it writes nothing, prints what would change and exits 1.
"""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Callable
from pathlib import Path

from tools.page_commands import commands_page
from tools.page_equations import equations_page, sources_page
from tools.page_validation import validation_page

ROOT = Path(__file__).resolve().parents[1]
PAGES: dict[str, Callable[[], str]] = {
    "reference/cli.md": commands_page,
    "reference/equations.md": equations_page,
    "sources.md": sources_page,
    "validation.md": validation_page,
}


def main(arguments: list[str] | None = None) -> int:
    """Write every page, or say which would change."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--check", action="store_true", help="write nothing; exit 1 where a page is out of step"
    )
    check = parser.parse_args(arguments).check
    changed = False
    for name, make in PAGES.items():
        path = ROOT / "docs" / name
        old = path.read_text(encoding="utf-8") if path.exists() else ""
        new = make().rstrip() + "\n"
        if old == new:
            continue
        changed = True
        if check:
            sys.stdout.writelines(_difference(old, new, name))
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(new, encoding="utf-8")
            print(f"wrote docs/{name}")
    if check and changed:
        print("These pages are out of step with the code; `make docs` makes them anew.")
    return 1 if check and changed else 0


def _difference(old: str, new: str, name: str) -> list[str]:
    lines = difflib.unified_diff(
        old.splitlines(keepends=True), new.splitlines(keepends=True), f"docs/{name}", "as made now", n=1
    )
    return list(lines)[:60]


if __name__ == "__main__":
    sys.exit(main())
