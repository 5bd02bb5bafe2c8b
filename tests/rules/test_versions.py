"""One version, said in three places."""

from __future__ import annotations

import re
import tomllib

import fizzwright
from tests.rules.house import ROOT


def test_changelog_package_and_build_agree():
    build = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    top = re.search(
        r"^## \[?(\d+\.\d+\.\d+)\]?", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert top is not None
    assert (top[1], fizzwright.__version__) == (build, build)


def test_constraints_pin_every_dependency():
    table = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = [*table["project"]["dependencies"], *table["dependency-groups"]["dev"]]
    names = {re.split(r"[^A-Za-z0-9_.-]", line)[0].lower() for line in wanted}
    pinned = {line.split("==")[0].lower() for line in (ROOT / "constraints.txt").read_text().splitlines()}
    assert names - pinned == set()
