"""Runs the `time_*` methods of the classes in this folder against budgets.toml (`make bench`)."""

from __future__ import annotations

import importlib
import os
import platform
import statistics
import sys
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

HERE = Path(__file__).resolve().parent
REPEATS = 5


def modules() -> Iterator[ModuleType]:
    """The benchmark files beside this one."""
    for path in sorted(HERE.glob("*.py")):
        if path.name == Path(__file__).name:
            continue
        yield importlib.import_module(f"benchmarks.{path.stem}")


def timings(instance: Any, name: str) -> list[float]:
    """Wall time of each of a few runs, after one that is not counted. [s]"""
    run = getattr(instance, name)
    run()
    found = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return found


def main() -> int:
    """Run all, print one line each, and fail where one takes longer than its budget many times over."""
    table = tomllib.loads((HERE / "budgets.toml").read_text(encoding="utf-8"))
    budgets, factor = dict(table["seconds"]), table["fail_factor"]
    print(f"{platform.platform()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    print(f"{'':<44}{'median s':>10}{'worst s':>10}{'budget s':>10}")
    failed = []
    for module in modules():
        for kind in [
            t for t in vars(module).values() if isinstance(t, type) and t.__module__ == module.__name__
        ]:
            instance = kind()
            instance.setup()
            for method in [m for m in dir(kind) if m.startswith("time_")]:
                label = f"{module.__name__.removeprefix('benchmarks.')}.{kind.__name__}.{method}"
                found = timings(instance, method)
                budget = budgets.pop(label, None)
                middle = statistics.median(found)
                over = budget is None or middle > factor * budget
                failed += [label] if over else []
                mark = "FAIL" if over else "slow" if middle > budget else ""
                print(f"{label:<44}{middle:>10.3f}{max(found):>10.3f}{budget or 0:>10.2f}  {mark}")
            instance.teardown()
    for label in budgets:
        print(f"{label}: has a budget, but no benchmark of that name ran")
    return 1 if failed or budgets else 0


if __name__ == "__main__":
    sys.exit(main())
