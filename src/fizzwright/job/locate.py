"""Where each key of a TOML text stands: the line of every table, key and list entry.

The standard reader gives values without places. This scanner walks text that reader has already
accepted, so it need not judge the grammar, only follow it.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping

from fizzwright.job.fields import Path

__all__ = ["line_of", "locate"]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_STRING = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}' r"|'''(?:[^']|'(?!''))*'{3,5}" r'|"(?:[^"\\\n]|\\.)*"' r"|'[^'\n]*'",
    re.DOTALL,
)
_BARE_KEY = re.compile(r"[A-Za-z0-9_\-]+")
_BARE_VALUE = re.compile(r"[^,\]}#\n]*")


def locate(text: str) -> Mapping[Path, int]:
    """The line, counted from 1, of every table, key and list entry of valid TOML text.

    Lists and repeated tables count from 0 in the path, as the reader's own lists do:
    `("animals", 1, "mass")`.

    Examples
    --------
    >>> locate('[water]\\nkh = "4 dKH"\\n')[("water", "kh")]
    2
    """
    return _Scanner(text).document()


def line_of(lines: Mapping[Path, int], path: Path) -> int | None:
    """The line of a path, or of the nearest table round it that stands in the file."""
    while path:
        if path in lines:
            return lines[path]
        path = path[:-1]
    return None


class _Scanner:
    """One walk through one text; `at` is the next character to read."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.starts = [0, *(i + 1 for i, char in enumerate(text) if char == "\n")]
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}

    def document(self) -> Mapping[Path, int]:
        table: Path = ()
        self.skip()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip()
        return self.lines

    def skip(self) -> None:
        self.at = _BLANK.match(self.text, self.at).end()  # type: ignore[union-attr]

    def mark(self, path: Path) -> None:
        """Note the line of a path and of the tables it implies, the first time each is met."""
        line = bisect_right(self.starts, self.at)
        for end in range(1, len(path) + 1):
            self.lines.setdefault(path[:end], line)

    def header(self) -> Path:
        many = self.text.startswith("[[", self.at)
        start = self.at
        self.at += 2 if many else 1
        keys = self.key()
        end, self.at = self.at, start
        path: Path = ()
        for position, key in enumerate(keys):
            path = (*path, key)
            if many and position == len(keys) - 1:
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        self.mark(path)
        self.at = end
        self.skip()
        self.at += 2 if many else 1
        return path

    def key(self) -> tuple[str, ...]:
        """A dotted key, in pieces; stops before whatever follows it."""
        pieces = []
        while True:
            self.skip()
            quoted = _STRING.match(self.text, self.at)
            found = quoted or _BARE_KEY.match(self.text, self.at)
            if found is None:
                raise ValueError(f"no key at character {self.at}")
            piece = found.group()
            pieces.append(tomllib.loads(f"x = {piece}")["x"] if quoted else piece)
            self.at = found.end()
            self.skip()
            if not self.text.startswith(".", self.at):
                return tuple(pieces)
            self.at += 1

    def pair(self, table: Path) -> None:
        start = self.at
        keys = self.key()
        end, self.at = self.at, start
        path = (*table, *keys)
        self.mark(path)
        self.at = end + 1
        self.value(path)

    def value(self, path: Path) -> None:
        self.skip()
        if found := _STRING.match(self.text, self.at):
            self.at = found.end()
        elif self.text[self.at] == "[":
            self.inside("]", path)
        elif self.text[self.at] == "{":
            self.inside("}", path)
        else:
            self.at = _BARE_VALUE.match(self.text, self.at).end()  # type: ignore[union-attr]

    def inside(self, close: str, path: Path) -> None:
        """The entries of a list or of an inline table, up to its closing bracket."""
        self.at += 1
        self.skip()
        entry = 0
        while not self.text.startswith(close, self.at):
            if close == "]":
                self.mark((*path, entry))
                self.value((*path, entry))
                entry += 1
            else:
                self.pair(path)
            self.skip()
            if self.text.startswith(",", self.at):
                self.at += 1
                self.skip()
        self.at += 1
