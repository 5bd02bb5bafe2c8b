"""A ruled bar on the error stream while a long run is under way, with the seconds to go."""

from __future__ import annotations

import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

__all__ = ["Progress", "ends_early"]

BAR = 24
# Between two drawings of the bar.
PAUSE_S = 0.1


class Progress:
    """Told what is being done and how much of it; says whether to go on.

    On a terminal one line is drawn over and over; elsewhere each new piece of work gets a line of its own.
    """

    def __init__(self) -> None:
        self.stopped = False
        self._says, self._begun, self._drawn = "", 0.0, 0.0
        self._live = sys.stderr.isatty()
        self._wide = 0

    def __call__(self, says: str, share: float) -> bool:
        """Show it; False once the person has asked to stop."""
        now = time.monotonic()
        if says != self._says:
            self._says, self._begun, self._drawn = says, now, 0.0
            if not self._live:
                sys.stderr.write(f"{says}\n")
        if self._live and now - self._drawn >= PAUSE_S:
            self._draw(says, share, now)
            self._drawn = now
        return not self.stopped

    def _draw(self, says: str, share: float, now: float) -> None:
        full = round(BAR * min(max(share, 0.0), 1.0))
        left = (now - self._begun) * (1.0 - share) / share if share > 0.03 else None
        wait = "" if left is None else f"  {left:.0f} s to go"
        text = f"{says}  {'=' * full}{'.' * (BAR - full)}{wait}"
        sys.stderr.write(f"\r{text:<{self._wide}}")
        self._wide = max(self._wide, len(text))
        sys.stderr.flush()

    def close(self) -> None:
        """Clear the line."""
        if self._live and self._wide:
            sys.stderr.write(f"\r{'':<{self._wide}}\r")
            sys.stderr.flush()


@contextmanager
def ends_early(progress: Progress) -> Iterator[None]:
    """Make the first Ctrl-C end the run with what is there; a second one stops at once."""

    def stop(number: int, frame: Any) -> None:  # noqa: ARG001 - the form of a handler
        if progress.stopped:
            raise KeyboardInterrupt
        progress.stopped = True
        sys.stderr.write("\nStopping with what is there; press again to stop at once.\n")

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        progress.close()
