"""The long runs stay out unless asked for: `pytest -m slow tests/calibration`."""

from __future__ import annotations


def pytest_collection_modifyitems(config, items):
    """Leave slow tests out where no `-m` was given; left out, not skipped, since nothing is missing."""
    if config.getoption("-m"):
        return
    slow = [item for item in items if item.get_closest_marker("slow") and "calibration" in str(item.path)]
    if slow:
        config.hook.pytest_deselected(items=slow)
        items[:] = [item for item in items if item not in slow]
