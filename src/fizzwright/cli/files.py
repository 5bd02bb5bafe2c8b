"""Writing a file somebody asked for, never over one that is there unless they say so."""

from __future__ import annotations

from pathlib import Path

from fizzwright.errors import Fault, InputError

__all__ = ["write_new"]


def write_new(path: Path, text: str, *, option: str, force: bool = False) -> None:
    """Write text to a path; refused where a file is there already and `force` is not said."""
    if path.exists() and not force:
        raise InputError([Fault(option, str(path), "is there already", "Say --force to write over it")])
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as err:
        raise InputError([Fault(option, str(path), f"cannot be written: {err.strerror or err}")]) from err
