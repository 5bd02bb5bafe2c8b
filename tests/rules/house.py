"""How the rule tests walk the house: its modules, its public names, its text files."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import fizzwright

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src" / "fizzwright"
TEXT = {
    ".py",
    ".toml",
    ".md",
    ".csv",
    ".typ",
    ".svg",
    ".txt",
    ".cfg",
    ".ini",
    ".yml",
    ".yaml",
    ".json",
    ".css",
    "",
}
# How annotations spell a float or an array of floats.
NUMERIC = re.compile(r"\b(float|NDArray|ArrayLike|Curve|Floats?|FloatArray|Numbers?|Array|Values)\b")
RETURNS_A_NUMBER = re.compile(
    r"^(<class 'float'>|float|Array|Floats|Values|NDArray\[np\.float64\])( \| \w+)?$"
)
PURE_NUMBERS = {"ratio", "factor", "number", "count", "exponent", "log10"}
LEFT_OUT = {".venv", ".git", "demo", "dist", "build", "__pycache__"}


def modules() -> list[ModuleType]:
    """Every module of the package, imported."""
    names = [m.name for m in pkgutil.walk_packages(fizzwright.__path__, "fizzwright.")]
    return [fizzwright, *(importlib.import_module(n) for n in sorted(names) if not n.endswith("__main__"))]


def public_objects(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """Functions and classes a module offers and defines itself, with their dotted names."""
    for name in getattr(module, "__all__", ()):
        thing = getattr(module, name)
        if (inspect.isclass(thing) or inspect.isroutine(thing)) and getattr(
            thing, "__module__", ""
        ) == module.__name__:
            yield f"{module.__name__}.{name}", thing


def public_functions(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """The functions a module offers, and the public methods and properties of its classes."""
    for dotted, thing in public_objects(module):
        if not inspect.isclass(thing):
            yield dotted, inspect.unwrap(thing)
            continue
        for name, member in vars(thing).items():
            if name.startswith("_"):
                continue
            function = member.fget if isinstance(member, property) else getattr(member, "__func__", member)
            if inspect.isfunction(function):
                yield f"{dotted}.{name}", function


def python_files(*folders: str) -> list[Path]:
    """The Python files under some folders of the project."""
    return sorted(p for folder in folders for p in (ROOT / folder).rglob("*.py"))


def text_files() -> list[Path]:
    """Every text file that belongs to the project: git's list where there is one, else a walk."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "-co", "--exclude-standard"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        ).stdout.splitlines()
    except (OSError, subprocess.CalledProcessError):
        listed = []
    paths = [ROOT / line for line in listed] if listed else list(ROOT.rglob("*"))
    return sorted(
        p
        for p in paths
        if p.is_file() and p.suffix in TEXT and not any(_left_out(part) for part in p.relative_to(ROOT).parts)
    )


def _left_out(part: str) -> bool:
    return part in LEFT_OUT or part.endswith((".egg-info", "_cache")) or part == ".hypothesis"
