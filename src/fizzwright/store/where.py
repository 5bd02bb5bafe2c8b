"""Where the record is kept, unless told otherwise: the place each system has for a user's own data."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

__all__ = ["RECORD_FILE", "data_folder", "where_kept"]

RECORD_FILE = "record.sqlite"


def data_folder(environment: Mapping[str, str] | None = None, *, system: str = sys.platform) -> Path:
    """The folder for the record of this user.

    Examples
    --------
    >>> data_folder({"XDG_DATA_HOME": "/data/me"}, system="linux").as_posix()
    '/data/me/fizzwright'
    """
    env = os.environ if environment is None else environment
    if system == "win32" and env.get("LOCALAPPDATA"):
        return Path(env["LOCALAPPDATA"]) / "fizzwright"
    home = Path(env["HOME"]) if env.get("HOME") else Path.home()
    if system == "darwin" and not env.get("XDG_DATA_HOME"):
        return home / "Library" / "Application Support" / "fizzwright"
    given = Path(env.get("XDG_DATA_HOME", ""))
    # The base directory rules say to pass over a relative path.
    return (given if given.is_absolute() else home / ".local" / "share") / "fizzwright"


def where_kept(folder: Path | None = None) -> Path:
    """The SQLite file of the record in a folder, or in the user's own."""
    return (data_folder() if folder is None else folder) / RECORD_FILE
