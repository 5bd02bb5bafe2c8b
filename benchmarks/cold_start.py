"""How long a person waits for a command, from pressing return: each a process of its own."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

COMMAND = Path(sys.executable).with_name("fizzwright")


class ColdStart:
    """The installed command, started anew each time."""

    def setup(self) -> None:
        """An example job in an empty folder."""
        self.folder = tempfile.TemporaryDirectory()
        self._run("new", "--example", "library-foyer-120")

    def teardown(self) -> None:
        """Remove the folder."""
        self.folder.cleanup()

    def _run(self, *arguments: str) -> None:
        subprocess.run([COMMAND, *arguments], cwd=self.folder.name, check=True, capture_output=True)

    def time_help(self) -> None:
        """`fizzwright --help`."""
        self._run("--help")

    def time_bench_co2(self) -> None:
        """A single sum."""
        self._run("bench", "co2", "--ph", "6.6", "--kh", "4dKH", "--temp", "25C")

    def time_plan(self) -> None:
        """A whole plan, printed."""
        self._run("plan", "library-foyer-120.toml")

    def time_plan_night(self) -> None:
        """A whole plan from a logged night."""
        self._run("plan", "library-foyer-120.toml", "--night", "library-foyer-120-night.csv")
