"""The invented tanks that ship with Fizzwright, to learn on and to test with."""

from __future__ import annotations

from importlib import resources

from fizzwright.errors import Fault, InputError
from fizzwright.job.spelling import nearest

__all__ = ["EXAMPLES", "example_files", "example_text"]

# Each example's files, the job file of its first tank at the head.
_FILES: dict[str, tuple[str, ...]] = {
    "library-foyer-120": (
        "library-foyer-120.toml",
        "library-foyer-120-night.csv",
        "library-foyer-120-short-night.csv",
    ),
    "kitchen-nano": ("kitchen-nano.toml",),
    "shallow-bench-90": ("shallow-bench-90.toml",),
    "school-rack": (
        "school-rack.toml",
        "school-rack-2.toml",
        "school-rack-3.toml",
        "school-rack-4.toml",
    ),
}

EXAMPLES: tuple[str, ...] = tuple(_FILES)


def example_files(name: str) -> tuple[str, ...]:
    """The file names that belong to an example, the job file first.

    Examples
    --------
    >>> example_files("kitchen-nano")
    ('kitchen-nano.toml',)
    """
    if name not in _FILES:
        guess = nearest(name, list(_FILES))
        step = f'The nearest is "{guess}"' if guess else ""
        raise InputError([Fault("example", name, f"one of {', '.join(_FILES)}", step)])
    return _FILES[name]


def example_text(file_name: str) -> str:
    """The text of one file of an example, as it is written out for the reader to edit."""
    known = [file for files in _FILES.values() for file in files]
    if file_name not in known:
        raise InputError([Fault("example file", file_name, f"one of {', '.join(known)}")])
    data = resources.files("fizzwright.data").joinpath("examples", file_name).read_bytes()
    return data.decode("utf-8")
