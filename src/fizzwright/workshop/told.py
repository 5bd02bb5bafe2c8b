"""Readings out of the record as the stages take them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fizzwright.stages.dial_past import Told
    from fizzwright.store import Reading

__all__ = ["told_from"]


def told_from(readings: Sequence[Reading], *, timezone: str) -> Told:
    """Readings with what was done, on the tank's own clock.

    They go the way of any readings file, so that a page and a file never read differently.
    """
    from fizzwright.readings import read_log
    from fizzwright.readings.tell import told_of
    from fizzwright.store import readings_csv

    return told_of(read_log(readings_csv(readings).encode(), timezone=timezone))
