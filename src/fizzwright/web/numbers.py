"""How pages write numbers, findings and moments: nothing bare, limits behind every figure."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from markupsafe import Markup, escape

from fizzwright.papers.sheet_words import day_text
from fizzwright.papers.symbols import DRAWINGS, MARKS, Symbol
from fizzwright.papers.words import NBSP, clock, limits, percent, quantity, shown, spelled
from fizzwright.result import Estimate, Finding, Level
from fizzwright.units import System

__all__ = ["FILTERS", "GLOBALS", "age_words", "first_and_rest"]

_SENTENCE = re.compile(r"(?<=[A-Za-z\d)%][.;])\s+(?=[A-Z0-9])")
_LOUD = re.compile(
    r"(\d[\d.]*(?:…\d[\d.]*)?(?: \([^()]*…[^()]*\))? "
    r"(?:mg/L|mg/h|g/day|bubbles a second|days|bar|%|h)(?![\w/])|\b\d\d:\d\d\b)"
)
_ORDER = (Level.STOP, Level.CARE, Level.NOTE)


def first_and_rest(text: str) -> tuple[str, str]:
    """The first sentence of a text, and what follows."""
    parts = _SENTENCE.split(text, maxsplit=1)
    return parts[0].rstrip(";:"), parts[1] if len(parts) > 1 else ""


def age_words(then: datetime | None, now: datetime) -> str:
    """How long ago a reading was taken, in one word or two."""
    if then is None:
        return "not begun"
    minutes = max(int((now - then).total_seconds() // 60), 0)
    if minutes < 60:
        return f"{minutes}{NBSP}min"
    if minutes < 48 * 60:
        return f"{minutes // 60}{NBSP}h"
    return f"{minutes // 1440}{NBSP}days"


def _big(estimate: Estimate, size: str = "", system: str = "metric") -> Markup:
    """A figure with its limits stacked behind a rule, and said in words for a listener."""
    text = shown(estimate, System(system))
    lim = said = Markup("")
    if text.limits:
        lim = Markup('<span class="lim" aria-hidden="true"><span>{}</span><span>{}</span></span>').format(
            text.high, text.low
        )
        said = Markup('<span class="vh">, between {} and {} </span>').format(text.low, text.high)
    unit = Markup('<span class="u">{}</span>').format(text.unit) if text.unit else Markup("")
    return Markup('<span class="big {}"><span>{}</span>{}{}{}</span>').format(
        size, text.value, lim, unit, said
    )


def _q(estimate: Estimate | None, system: str = "metric") -> Markup:
    """A figure for running text and tables; the word where there is none."""
    if estimate is None:
        return Markup('<span class="pencil">no reading</span>')
    text = shown(estimate, System(system))
    band = Markup(' <span class="b">({})</span>').format(text.limits) if text.limits else Markup("")
    return Markup('<span class="q">{}{} <span class="u">{}</span></span>').format(text.value, band, text.unit)


def _verdict(text: str) -> Markup:
    """A verdict with its numbers in bold; a number and its unit do not part."""
    pieces = _LOUD.split(text)
    out = Markup("")
    for at, piece in enumerate(pieces):
        if at % 2:
            out += Markup('<b class="nw">{}</b>').format(spelled(piece))
        else:
            out += escape(spelled(piece))
    return out


def _mark(level: Level | str, size: int = 24) -> Markup:
    """The mark of a level, told apart by shape."""
    drawn = Markup(MARKS[Level(level)])
    return Markup(
        '<svg viewBox="-12 -12 24 24" width="{0}" height="{0}" aria-hidden="true" focusable="false">{1}</svg>'
    ).format(size, drawn)


def _gravest_first(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda f: _ORDER.index(f.level))


def _symbol(symbol: Symbol) -> Markup:
    """A symbol, drawn large in the square of a station sheet."""
    drawn = Markup(DRAWINGS[symbol])
    return Markup(
        '<svg class="spic" viewBox="-62 -40 124 80" width="130" height="84" aria-hidden="true" '
        'focusable="false"><path class="pipe" d="M-62 0H62"/><g transform="scale(1.9)">{}</g></svg>'
    ).format(drawn)


def _house() -> Markup:
    return Markup(
        '<svg viewBox="0 0 22 32" width="22" height="32" aria-hidden="true" focusable="false">'
        '<g transform="translate(11 16)">{}</g></svg>'
    ).format(Markup(DRAWINGS[Symbol.HOUSE]))


def _local(moment: datetime, zone: str, form: str = "%d %b %Y, %H:%M") -> str:
    text = moment.astimezone(ZoneInfo(zone)).strftime(form)
    return (text.lstrip("0") if form.startswith("%d") else text).replace(" ", NBSP)


def _scale(low: float, high: float, marks: Iterable[tuple[float, str]], minor: int) -> Markup:
    """The rule under a slider: long ticks with their words, short ones between."""
    found = list(marks)
    out = Markup('<svg height="34" aria-hidden="true" focusable="false">')
    spots = [(100 * (value - low) / (high - low), word) for value, word in found]
    for at, word in spots:
        out += Markup('<line class="ln" x1="{0:.2f}%" x2="{0:.2f}%" y1="0" y2="12"/>').format(at)
        anchor = "mm" if 4 < at < 96 else "me" if at >= 96 else ""
        shift = at if anchor == "mm" else (100 if at >= 96 else 0)
        out += Markup('<text class="{}" x="{:.2f}%" y="28">{}</text>').format(anchor, shift, word)
    for (a, _), (b, _) in itertools.pairwise(spots):
        for k in range(1, minor):
            at = a + (b - a) * k / minor
            out += Markup('<line class="thin" x1="{0:.2f}%" x2="{0:.2f}%" y1="0" y2="7"/>').format(at)
    return out + Markup('<line class="ln" x1="0" x2="100%" y1="0" y2="0"/></svg>')


def _long_day(day: date) -> str:
    return f"{day:%A} {day_text(day)}".rsplit(NBSP, 1)[0]


FILTERS: Mapping[str, Callable[..., Any]] = {
    "big": _big,
    "q": _q,
    "verdict": _verdict,
    "spelled": spelled,
    "clock": clock,
    "percent": percent,
    "first_and_rest": first_and_rest,
    "gravest_first": _gravest_first,
    "limits": limits,
    "local": _local,
    "day": day_text,
    "long_day": _long_day,
}
GLOBALS: Mapping[str, Callable[..., Any]] = {
    "mark": _mark,
    "symbol": _symbol,
    "house": _house,
    "quantity": quantity,
    "age": age_words,
    "rule_scale": _scale,
}
