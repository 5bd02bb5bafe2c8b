"""Who may import whom: the contracts of pyproject.toml hold."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.rules.house import ROOT


def test_import_contracts_hold():
    tool = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([tool, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_package_imports_light():
    """`import fizzwright` must not pull in what only some answers need."""
    heavy = ("scipy", "CoolProp", "typst", "pydantic", "rich", "click", "numba")
    code = f"import sys, fizzwright; print([m for m in {heavy!r} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
