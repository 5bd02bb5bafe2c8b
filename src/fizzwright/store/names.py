"""What may be written into the record: names, texts, moments and readings, every fault at once."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fizzwright.errors import Fault, InputError
from fizzwright.store.records import Reading
from fizzwright.units import suffix_of

__all__ = ["LONGEST", "SLUG_LENGTH", "check_change", "check_readings", "check_slug", "free_slug", "slug_of"]

SLUG_LENGTH = 80
# Most characters of each text; a job file of two million would be no job file.
LONGEST = {"text": 2_000_000, "note": 500, "item": 500, "event": 500, "quantity": 80}
_LONGEST_NAME = 200
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def slug_of(name: str) -> str:
    """The name a job goes by in the record, from what people call it.

    Examples
    --------
    >>> slug_of("Library foyer 120"), slug_of("Küche, Regal"), slug_of("?")
    ('library-foyer-120', 'kuche-regal', 'tank')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    words = "-".join(re.findall(r"[a-z0-9]+", plain))
    return words[:SLUG_LENGTH].strip("-") or "tank"


def free_slug(wish: str, taken: Iterable[str]) -> str:
    """The wish where it is free, else with the first number behind it that is.

    Examples
    --------
    >>> free_slug("tank", ["tank", "tank-2"])
    'tank-3'
    """
    used, number, slug = set(taken), 1, wish
    while slug in used:
        number += 1
        tail = f"-{number}"
        slug = wish[: SLUG_LENGTH - len(tail)].strip("-") + tail
    return slug


def check_slug(slug: str) -> None:
    """Refuse a name that could not be a file name everywhere."""
    if len(slug) > SLUG_LENGTH or not _SLUG.fullmatch(slug):
        allowed = f"needs small letters, digits and single dashes, at most {SLUG_LENGTH} characters"
        raise InputError([Fault("slug", slug[:100], allowed, f'For example "{slug_of(slug)}"')])


def check_change(*, timezone: str, **texts: str) -> None:
    """Refuse texts that cannot be kept and a zone that is none, all at once."""
    faults = [*_text_faults("", texts), *_zone_faults("", timezone)]
    if faults:
        raise InputError(faults)


def check_readings(readings: Sequence[Reading]) -> None:
    """Refuse readings that cannot be kept; every fault of every reading is listed."""
    faults = [fault for at, reading in enumerate(readings, 1) for fault in _reading_faults(at, reading)]
    if faults:
        raise InputError(faults)


def _reading_faults(at: int, reading: Reading) -> Iterator[Fault]:
    where = f"reading {at}, "
    texts = {name: getattr(reading, name) for name in ("uid", "quantity", "event", "by", "device")}
    yield from _text_faults(where, texts)
    yield from _zone_faults(where, reading.timezone)
    for name in ("taken_utc", "client_clock_utc", "received_utc"):
        yield from _moment_faults(where + name, getattr(reading, name))
    if not reading.uid.strip():
        yield Fault(f"{where}uid", "", "is needed, so that sending twice keeps it once")
    if reading.quantity and (suffix_of(reading.quantity) is None):
        yield Fault(f"{where}quantity", reading.quantity, "needs its unit at the end", 'For example "kh_dkh"')
    if not reading.quantity and not reading.event:
        yield Fault(where + "quantity", "", "is needed where no event is noted")
    if bool(reading.quantity) != (reading.value is not None):
        yield Fault(f"{where}value", str(reading.value), "goes with a quantity, and a quantity with a value")
    elif reading.value is not None and not math.isfinite(reading.value):
        yield Fault(f"{where}value", str(reading.value), "needs to be a number")


def _text_faults(where: str, texts: dict[str, str]) -> Iterator[Fault]:
    for name, text in texts.items():
        most = LONGEST.get(name, _LONGEST_NAME)
        if len(text) > most:
            yield Fault(where + name, text[:40] + "...", f"is longer than {most} characters")
        if "\0" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
            yield Fault(where + name, "", "holds a character that is no text")


def _zone_faults(where: str, timezone: str) -> Iterator[Fault]:
    if not _is_zone(timezone):
        step = 'For example "Europe/Berlin"'
        yield Fault(f"{where}timezone", timezone[:80], "needs the name of an IANA time zone", step)


@lru_cache(maxsize=256)
def _is_zone(timezone: str) -> bool:
    try:
        ZoneInfo(timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _moment_faults(where: str, moment: datetime | None) -> Iterator[Fault]:
    if moment is not None and moment.utcoffset() is None:
        step = "Give the moment with its offset from UTC"
        yield Fault(where, moment.isoformat(), "does not say which time zone it is in", step)
