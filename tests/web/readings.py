"""Readings for the tests of the pages."""

from __future__ import annotations

from datetime import timedelta

from fizzwright.store import Reading
from tests.web.conftest import NOW


def reading(uid, quantity, value, *, event="", minutes_ago=30):
    """One reading of the standing clock's day."""
    taken = NOW - timedelta(minutes=minutes_ago)
    return Reading(uid, taken, "Europe/Berlin", quantity, value, event, "keeper", "phone")
