"""What all tests share: the house as modules and files, and the rule that CI skips nothing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

IN_CI = os.environ.get("CI", "").lower() == "true"


@pytest.fixture(scope="session")
def root() -> Path:
    """The top folder of the project."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def src(root: Path) -> Path:
    """The folder of the package."""
    return root / "src" / "fizzwright"


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport():
    """In CI a skipped test is a failure: everything a test needs is installed there."""
    outcome = yield
    report = outcome.get_result()
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"skipped in CI, where nothing may be missing: {reason}"


@pytest.hookimpl(hookwrapper=True)
def pytest_make_collect_report():
    """The same for a whole file that skips itself while it is read."""
    outcome = yield
    report = outcome.get_result()
    if IN_CI and report.skipped:
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"skipped in CI, where nothing may be missing: {reason}"
