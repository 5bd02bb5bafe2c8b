"""What was done, in a person's words: which of the short list of events a text means."""

from __future__ import annotations

import re

from fizzwright.readings.log import LogEvent

__all__ = ["event_of"]

_KINDS = (
    ("gas off", r"gas\s*(?:is\s*|turned\s*|valve\s*)*(?:off|closed|shut|stop)|co2\s*(?:off|stop)|gas aus"),
    ("gas on", r"gas\s*(?:is\s*|turned\s*|valve\s*)*(?:on|opened|open|start)|co2\s*(?:on|start)|gas an\b"),
    ("light off", r"(?:lights?|lamps?)\s*(?:off|out)|licht aus"),
    ("light on", r"(?:lights?|lamps?)\s*on|licht an\b"),
    ("water change", r"water\s*change|wc\b|wasserwechsel"),
    ("fed", r"fed\b|feed|fütter"),
    ("trimmed", r"trim|pruned|geschnitten"),
    ("bottle swapped", r"(?:bottle|cylinder)\s*(?:swap|chang|new|refill)|new\s*(?:bottle|cylinder)"),
    ("calibrated", r"calibrat|buffer"),
)


def event_of(utc_ms: int, text: str) -> tuple[int, LogEvent]:
    """An event by its text, with its stamp; the share of a water change is read from it.

    Examples
    --------
    >>> event_of(0, "Water change 30 %")[1].share_frac
    0.3
    """
    folded = text.lower()
    kind = next((kind for kind, pattern in _KINDS if re.search(pattern, folded)), "other")
    share = re.search(r"(\d{1,3}(?:[.,]\d+)?)\s*%", folded) if kind == "water change" else None
    value = float(share[1].replace(",", ".")) / 100 if share else None
    return utc_ms, LogEvent(0.0, kind, text, value if value is not None and value <= 1 else None)
