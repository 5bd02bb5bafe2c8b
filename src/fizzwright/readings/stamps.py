"""Texts to stamps: ISO 8601, day or month first, month names, 12 h clocks, seconds since 1970.

A stamp comes out as milliseconds on the clock it was read from, and the zone it names if it names one.
What local time means in UTC is for `zones` to say.
"""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.readings.log import Decision
from fizzwright.result import Level

__all__ = ["DAY_MS", "NO_STAMP", "Stamps", "read_stamps"]

Ints = NDArray[np.int64]

# Marks a row whose stamp could not be read.
NO_STAMP = np.iinfo(np.int64).min
DAY_MS = 86_400_000
_EPOCH = dt.date(1970, 1, 1).toordinal()

_CLOCK = re.compile(
    r"(\d{1,2})[:.h](\d{2})(?:[:.m](\d{2})(?:[.,](\d{1,9}))?s?)?\s*([ap]\.?\s?m\.?)?\s*"
    r"(z|utc|gmt|(?:utc|gmt)?[+\-−]\d{2}(?::?\d{2})?|[a-z]{3,5})?",
    re.IGNORECASE,
)
_COMPACT_CLOCK = re.compile(r"(\d{2})(\d{2})(\d{2})?(?:[.,]\d+)?(z|[+\-]\d{2}(?::?\d{2})?)?", re.IGNORECASE)
_TAIL_CLOCK = re.compile(r"(?:^|[T\s,]+)(\d{1,2}[:.h]\d{2}(?![\d.]*\.\d{4}).*)$", re.IGNORECASE)
_YEAR_FIRST = re.compile(r"(\d{4})[\-/.](\d{1,2})[\-/.](\d{1,2})|(\d{4})(\d{2})(\d{2})")
_YEAR_LAST = re.compile(r"(\d{1,2})([\-/.])(\d{1,2})\2\s?(\d{4}|\d{2})")
_COUNT = re.compile(r"([0-9]{1,17})(?:[.,][0-9]{1,9})?")
_DAY_NAME = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun|mo|di|mi|do|fr|sa|so)[a-z]*[.,]?\s+", re.IGNORECASE)
_NAMED = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|\.)?[\s\-/]+([a-zäéû]{3,9})\.?[\s\-/,]+(\d{4}|\d{2})"
    r"|([a-zäéû]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})",
    re.IGNORECASE,
)
_BETWEEN = frozenset("Tt ")
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("jan", "ene"),
            ("feb", "fév", "fev"),
            ("mar", "mär", "mrz", "maa"),
            ("apr", "avr", "abr"),
            ("may", "mai", "mei"),
            ("jun", "juin"),
            ("jul", "juil", "juillet"),
            ("aug", "aoû", "ago"),
            ("sep",),
            ("oct", "okt"),
            ("nov",),
            ("dec", "dez", "déc", "dic"),
        ),
        start=1,
    )
    for name in names
}


@dataclass(frozen=True)
class Stamps:
    """Clock readings in milliseconds, shape (rows,), NO_STAMP where unreadable.

    `offset_s` is the zone a stamp names, nan where it names none; `zone_word` its abbreviation, such
    as "CEST", or "".
    """

    clock_ms: Ints
    offset_s: NDArray[np.float64]
    zone_word: tuple[str, ...]
    decisions: tuple[Decision, ...]


@dataclass(frozen=True)
class _Clock:
    """A time of day in milliseconds, with the zone it names; `twelve` for a 12 h clock."""

    ms: int
    offset_s: float = float("nan")
    word: str = ""
    twelve: bool = False


def read_stamps(texts: Sequence[str], *, day_first: bool | None = None) -> Stamps:
    """The stamps of a log, one for each row.

    Parameters
    ----------
    texts : sequence of str
        Date and time of each row.
    day_first : bool, optional
        Whether 05/03 is the fifth of March; found out from the dates where it is not told.

    Returns
    -------
    Stamps
        Clock readings, zones and what was decided.
    """
    seconds = _since_1970(texts)
    if seconds is not None:
        return seconds
    parts = [_parted(text) for text in texts]
    dates = list(dict.fromkeys(date for date, _ in parts))
    clocks = {clock: _clock(clock) for clock in {clock for _, clock in parts}}
    twelve = any(clock is not None and clock.twelve for clock in clocks.values())
    first, decisions = _order_of_dates(dates, day_first, twelve)
    days = {date: _day(date, first) for date in dates}
    clock_ms = np.full(len(texts), NO_STAMP, dtype=np.int64)
    offset_s = np.full(len(texts), np.nan)
    words = [""] * len(texts)
    for row, (date, clock_text) in enumerate(parts):
        day, clock = days[date], clocks[clock_text]
        if day is not None and clock is not None:
            clock_ms[row] = day * DAY_MS + clock.ms
            offset_s[row] = clock.offset_s
            words[row] = clock.word
    whole_days = [row for row, (_, clock) in enumerate(parts) if not clock and clock_ms[row] != NO_STAMP]
    if whole_days:
        told = "stamps without a time of day taken as noon"
        decisions.append(Decision("no time of day", len(whole_days), (), told, Level.CARE))
    if twelve:
        decisions.append(Decision("12 h clock", 1, (), "times read as a 12 h clock with am and pm"))
    return Stamps(clock_ms, offset_s, tuple(words), tuple(decisions))


def _parted(text: str) -> tuple[str, str]:
    """Date and time of day of a stamp, as texts."""
    if text[4:5] == "-" and text[10:11] in _BETWEEN and text[0] not in " \"'" and text[-1] not in " \"'":
        return text[:10], text[11:]
    text = text.strip().strip("\"'")
    if len(text) > 10 and text[4:5] == "-" and text[10] in "Tt ":
        return text[:10], text[11:].strip()
    if match := re.fullmatch(r"(\d{8})[Tt ]?(\d{4,6}.*)", text):
        return match[1], match[2]
    match = _TAIL_CLOCK.search(text)
    if match is None:
        return text, ""
    date, clock = text[: match.start()].strip(" ,"), match[1]
    tail = re.fullmatch(r"(.*\d{2})\s+(\d{4})", clock)
    if tail and not re.search(r"\d{4}", date):
        return f"{date} {tail[2]}", tail[1]
    return date, clock.strip()


def _clock(text: str) -> _Clock | None:
    """A time of day; None where it is none. Where a stamp has a date only, noon stands for the day."""
    if text == "":
        return _Clock(DAY_MS // 2)
    match = _CLOCK.fullmatch(text)
    fraction, half = "", ""
    if match:
        hour, minute, second, fraction, half, zone = match.groups(default="")
    elif match := _COMPACT_CLOCK.fullmatch(text):
        hour, minute, second, zone = match.groups(default="")
    else:
        return None
    hours, minutes, seconds = int(hour), int(minute), int(second or 0)
    if half:
        if not 1 <= hours <= 12:
            return None
        hours = hours % 12 + (12 if half.lower().startswith("p") else 0)
    if hours > 24 or minutes > 59 or seconds > 60 or (hours == 24 and (minutes or seconds)):
        return None
    ms = 1000 * (3600 * hours + 60 * minutes + seconds) + int((fraction + "000")[:3])
    known, offset_s, word = _zone(zone)
    return _Clock(ms, offset_s, word, bool(half)) if known else None


def _zone(text: str) -> tuple[bool, float, str]:
    """Whether a zone can be read, its offset if it is a figure, its abbreviation if it is a word."""
    text = text.replace("−", "-").upper()
    if not text:
        return True, float("nan"), ""
    if text in {"Z", "UTC", "GMT"}:
        return True, 0.0, ""
    match = re.fullmatch(r"(?:UTC|GMT)?([+\-])(\d{2}):?(\d{2})?", text)
    if match is None:
        return True, float("nan"), text
    size = 3600 * int(match[2]) + 60 * int(match[3] or 0)
    return size <= 14 * 3600, float(-size if match[1] == "-" else size), ""


# Digits before the point of a count since 1970, for stamps of our time: unit and milliseconds in it.
_COUNTS = {
    9: ("seconds", 1000.0),
    10: ("seconds", 1000.0),
    13: ("milliseconds", 1.0),
    16: ("microseconds", 0.001),
}


def _since_1970(texts: Sequence[str]) -> Stamps | None:
    """Stamps that are plain counts of seconds, milliseconds or microseconds since 1970."""
    distinct = set(texts) - {""}
    # A count has no dash or colon inside; asking that first spares the pattern on every dated stamp.
    counts = {
        text: match
        for text in distinct
        if ":" not in text and "-" not in text and (match := _COUNT.fullmatch(text))
    }
    digits = Counter(len(match[1]) for match in counts.values() if len(match[1]) in _COUNTS)
    if not digits or 2 * digits.total() <= len(distinct):
        return None
    name, factor = _COUNTS[digits.most_common(1)[0][0]]
    ms = {text: round(min(float(text.replace(",", ".")) * factor, 9e15)) for text in counts}
    clock_ms = np.array([ms.get(text, NO_STAMP) for text in texts], dtype=np.int64)
    told = Decision("epoch", 1, (), f"times read as {name} since 1970, UTC")
    return Stamps(clock_ms, np.zeros(len(texts)), ("",) * len(texts), (told,))


def _order_of_dates(dates: list[str], told: bool | None, twelve: bool) -> tuple[bool, list[Decision]]:
    """Whether the day stands first in dates of figures, and what was decided where that was open."""
    found = [match for date in dates if (match := _YEAR_LAST.fullmatch(date))]
    if not found:
        return True, []
    if told is not None:
        order = "day" if told else "month"
        return told, [Decision("date order", len(found), (), f"dates read {order} first, as told")]
    first_over = sum(int(match[1]) > 12 for match in found)
    second_over = sum(int(match[3]) > 12 for match in found)
    if first_over or second_over:
        day = first_over >= second_over
        order = "day" if day else "month"
        against = min(first_over, second_over)
        text = f"dates read {order} first: some can only be so" + (f", {against} cannot" if against else "")
        return day, [Decision("date order", len(found), (), text, Level.CARE if against else Level.NOTE)]
    day, why = _likelier(found, twelve)
    told_text = f"dates could be day or month first; read {'day' if day else 'month'} first, {why}"
    certain = why.startswith("since")
    return day, [Decision("date order", len(found), (), told_text, Level.NOTE if certain else Level.CARE)]


def _likelier(found: list[re.Match[str]], twelve: bool) -> tuple[bool, str]:
    """The likelier order of dates that fit both, and why."""
    spans = []
    for first in (True, False):
        days = [day for match in found if (day := _day(match[0], first)) is not None]
        spans.append(max(days) - min(days) if days else 10**9)
    if spans[0] != spans[1]:
        return spans[0] < spans[1], "since that makes the days follow each other"
    if all(match[2] == "." for match in found):
        return True, "as is usual with points; tell day_first if not"
    if twelve and all(match[2] == "/" for match in found):
        return False, "as is usual with a 12 h clock; tell day_first if not"
    return True, "as most of the world writes; tell day_first if not"


def _day(text: str, day_first: bool) -> int | None:
    """Days since 1970 of a date, or None."""
    if match := _YEAR_FIRST.fullmatch(text):
        pieces = [int(piece) for piece in match.groups() if piece is not None]
        return _checked(pieces[0], pieces[1], pieces[2])
    if match := _YEAR_LAST.fullmatch(text):
        first, second = int(match[1]), int(match[3])
        day, month = (first, second) if day_first else (second, first)
        return _checked(_full_year(match[4]), month, day)
    match = _NAMED.fullmatch(_DAY_NAME.sub("", text))
    if match is None:
        return None
    day_text, name, year = (match[1], match[2], match[3]) if match[1] else (match[5], match[4], match[6])
    number = _MONTHS.get(name.lower()[:3]) if name.lower() not in _MONTHS else _MONTHS[name.lower()]
    return None if number is None else _checked(_full_year(year), number, int(day_text))


def _full_year(text: str) -> int:
    """Two figures mean this century."""
    return int(text) + (2000 if len(text) == 2 else 0)


def _checked(year: int, month: int, day: int) -> int | None:
    try:
        return dt.date(year, month, day).toordinal() - _EPOCH
    except ValueError:
        return None
