"""Own symbols in the manner of ISO 14617 and ISO 10628, and the level marks of findings.

Each is drawn about its centre; the pipe enters at x = -14 and leaves at x = +14 on the centre line.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from fizzwright.papers.svg import Box as _Box
from fizzwright.papers.svg import circle, escape, moved, num, path, rect
from fizzwright.papers.typeface import Px
from fizzwright.papers.words import ascii_word
from fizzwright.result import Level

__all__ = [
    "DRAWINGS",
    "MARKS",
    "Symbol",
    "bottle",
    "bubbles",
    "for_station",
    "instrument",
    "level_mark",
    "plant",
    "station_ring",
    "symbol_svg",
]


class Symbol(StrEnum):
    """Every symbol that has a drawing; nothing else is ever drawn as one."""

    VALVE = "valve"
    HAND_VALVE = "valve by hand"
    BOTTLE_VALVE = "bottle valve"
    NEEDLE_VALVE = "needle valve"
    GAS_CLOCK_VALVE = "gas clock valve"
    REGULATOR = "regulator"
    CHECK_VALVE = "check valve"
    RELIEF_VALVE = "relief valve"
    GAUGE = "gauge"
    BUBBLE_COUNTER = "bubble counter"
    TUBE = "tube"
    DIFFUSER = "diffuser"
    REACTOR = "inline reactor"
    PUMP = "pump"
    FILTER = "filter"
    WATER_LEVEL = "water level"
    CLOCK = "clock"
    LAMP = "lamp"
    DROP_CHECKER = "drop checker"
    LEAF = "leaf"
    PART = "part"
    HOUSE = "mark of the house"


_BODY = path("sy", "M-14 -8L14 8V-8L-14 8Z")
_PORES = "".join(path("mid", f"M{x} 0V-4") for x in (-16, -8, 0, 8, 16))

DRAWINGS: Mapping[Symbol, str] = {
    Symbol.VALVE: _BODY,
    Symbol.HAND_VALVE: path("mid", "M0 0V-15M-8 -15H8") + _BODY,
    Symbol.BOTTLE_VALVE: path("mid", "M0 0V-15M-8 -15H8") + path("sy", "M-8 14L0 0L8 14ZM14 -8L0 0L14 8Z"),
    Symbol.NEEDLE_VALVE: _BODY + path("mid", "M-11 15L11 -15M11 -15l-1.4 6.6M11 -15l-6.2 2.4"),
    Symbol.GAS_CLOCK_VALVE: path("mid", "M0 0V-11") + _BODY + path("sy", "M-7 -23H7V-11H-7ZM-7 -11L7 -23"),
    Symbol.REGULATOR: (
        path("mid", "M0 0V-12")
        + _BODY
        + path("sy", "M-11 -12A11 10 0 0 1 11 -12Z")
        + path("ln", "M11 -12H21V0")
    ),
    Symbol.CHECK_VALVE: path("sy", "M-9 -8L8 0L-9 8Z") + path("mid", "M9 -9V9"),
    Symbol.RELIEF_VALVE: (
        path("sy", "M-8 14L0 0L8 14ZM0 0L14 -8V8Z") + path("ln", "M0 0V-5l-4 -2l8 -3l-8 -3l8 -3l-4 -2v-3")
    ),
    Symbol.GAUGE: circle("sy", (0, 0), 11) + path("ln", "M-5 5L5 -5M5 -5l-1 4.4M5 -5l-4.4 1"),
    Symbol.BUBBLE_COUNTER: (
        path("sy", "M-10 -17H10V17H-10Z")
        + path("water1", "M-10 -11H10")
        + circle("gas1", (-1, 9), 2.6)
        + circle("gas1", (2, 1), 2.9)
        + circle("gas1", (-1, -7), 3.2)
    ),
    Symbol.TUBE: path("pipe", "M-24 0q6 -9 12 0t12 0t12 0t12 0"),
    Symbol.DIFFUSER: path("bold", "M-20 0H20") + _PORES,
    Symbol.REACTOR: path("sy", "M-11 -20H11V20H-11Z")
    + path("ln", "M-11 -8H11M-11 12H11M-11 -8L11 12M11 -8L-11 12"),
    Symbol.PUMP: circle("sy", (0, 0), 13) + path("mid", "M-6.5 -11.2L13 0L-6.5 11.2"),
    Symbol.FILTER: path("sy", "M-13 -13H13V13H-13Z") + path("ln dash", "M-13 13L13 -13"),
    Symbol.WATER_LEVEL: path("sy", "M-7 -11H7L0 0Z") + path("ln", "M-16 0H16M-10 4H10M-5 8H5"),
    Symbol.CLOCK: circle("sy", (0, 0), 12) + path("mid", "M0 -8V0L6 4"),
    Symbol.LAMP: path("sy", "M-18 -6H18V0H-18Z") + path("ln", "M-14 5V11M-5 5V11M5 5V11M14 5V11"),
    Symbol.DROP_CHECKER: (
        circle("sy", (0, 4), 10)
        + path("sk", "M-8.6 9A10 10 0 0 0 8.6 9Z")
        + path("mid", "M0 -6V-12M-5 -12H5")
    ),
    Symbol.LEAF: (
        path("leaf1 paperf", "M0 16C-13 6 -11 -8 0 -20C11 -8 13 6 0 16Z")
        + path("leaf1", "M0 22V-12M0 8L-5 3M0 8L5 3M0 0L-5 -5M0 0L5 -5")
    ),
    Symbol.PART: path("sy", "M-12 -9H12V9H-12Z"),
    Symbol.HOUSE: path("sf", "M-8 14H8L-8 -3H8Z") + circle("gas", (0, -10), 4.5),
}

# note: ring and dot; care: triangle; stop: octagon with a bar cut out of it.
MARKS: Mapping[Level, str] = {
    Level.NOTE: circle("sy", (0, 0), 7.5) + circle("sk", (0, 0), 2),
    Level.CARE: path("sy", "M0 -8L9 7.5H-9Z") + path("mid", "M0 -2.5V2.2M0 4.6V4.9"),
    Level.STOP: (
        path("sk", "M-3.5 -8.5H3.5L8.5 -3.5V3.5L3.5 8.5H-3.5L-8.5 3.5V-3.5Z") + path("cut", "M-4.5 0H4.5")
    ),
}

# The first word found in a station's name picks its symbol; longer tales stand first.
_WORDS: tuple[tuple[str, Symbol], ...] = (
    ("needle", Symbol.NEEDLE_VALVE),
    ("clock", Symbol.GAS_CLOCK_VALVE),
    ("solenoid", Symbol.GAS_CLOCK_VALVE),
    ("magnet", Symbol.GAS_CLOCK_VALVE),
    ("check", Symbol.CHECK_VALVE),
    ("non return", Symbol.CHECK_VALVE),
    ("relief", Symbol.RELIEF_VALVE),
    ("regulator", Symbol.REGULATOR),
    ("counter", Symbol.BUBBLE_COUNTER),
    ("gauge", Symbol.GAUGE),
    ("bottle", Symbol.BOTTLE_VALVE),
    ("hose", Symbol.REACTOR),
    ("inline", Symbol.REACTOR),
    ("reactor", Symbol.REACTOR),
    ("diffuser", Symbol.DIFFUSER),
    ("stone", Symbol.DIFFUSER),
    ("disc", Symbol.DIFFUSER),
    ("ladder", Symbol.DIFFUSER),
    ("frit", Symbol.DIFFUSER),
    ("tube", Symbol.TUBE),
    ("filter", Symbol.FILTER),
    ("pump", Symbol.PUMP),
    ("valve", Symbol.VALVE),
    ("water", Symbol.WATER_LEVEL),
    ("leaf", Symbol.LEAF),
    ("plant", Symbol.LEAF),
)


def for_station(name: str, detail: str = "") -> Symbol:
    """The symbol of a station, by the trade's word in its name; a plain box where none is known.

    A diffuser that its detail tells to sit in a hose is drawn as an inline one.
    """
    symbol = _by_word(name)
    if symbol is Symbol.DIFFUSER and _by_word(detail) is Symbol.REACTOR:
        return Symbol.REACTOR
    return symbol


def _by_word(text: str) -> Symbol:
    words = ascii_word(text)
    return next((symbol for word, symbol in _WORDS if word in words), Symbol.PART)


def bottle(*, fill_frac: float | None = None, tall: Px = 141) -> str:
    """The gas bottle from its neck (y = 6) to its foot.

    `fill_frac` is the share of liquid height drawn; without it the bottle holds gas and no level is
    claimed.
    """
    foot = tall
    outline = (
        f"M-30 {num(foot - 5)}V34C-30 20 -7 22 -7 12V6H7V12C7 22 30 20 30 34V{num(foot - 5)}"
        f"Q30 {num(foot)} 24 {num(foot)}H-24Q-30 {num(foot)} -30 {num(foot - 5)}Z"
    )
    drawn = path("sy", outline)
    low, high = foot - 4, 36.0
    share = 1.0 if fill_frac is None else min(max(fill_frac, 0.0), 1.0)
    level = low - share * (low - high)
    if share > 0.03:
        drawn += path(
            "gast",
            f"M-26 {num(level)}H26V{num(low - 3)}Q26 {num(low)} 22 {num(low)}"
            f"H-22Q-26 {num(low)} -26 {num(low - 3)}Z",
        )
    if fill_frac is not None:
        drawn += path("gas", f"M-26 {num(level)}H26")
    return drawn


def plant(*, scale: Px = 1.0) -> str:
    """A leaf standing on its root at the origin."""
    return moved(DRAWINGS[Symbol.LEAF], (0, -22 * scale), scale=scale)


def bubbles(foot: tuple[Px, Px], surface: Px) -> str:
    """A plume of bubbles that shrink as they rise from a diffuser to the surface."""
    drawn, tall = [], foot[1] - surface
    count = max(int(tall / 3.1), 6)
    for i in range(count):
        share = (i + 1) / count
        # A fixed golden-angle scatter: the same plume on every sheet, without chance.
        side = ((i * 0.618034) % 1.0) * 2 - 1
        radius = 3.0 - 1.5 * share + 0.5 * (((i * 0.381966) % 1.0) - 0.5)
        x = foot[0] + side * (8 + 8 * share) + 22 * share * share
        drawn.append(circle("gas1", (x, foot[1] - share * tall + 4), max(radius, 1.2)))
    return "".join(drawn)


def instrument(letters: str) -> str:
    """An instrument ring with its letters, such as pH, T or m."""
    return circle("sy", (0, 0), 13) + f'<text x="0" y="4.5" class="t12 mm">{escape(letters)}</text>'


def station_ring(*, chosen: bool = False) -> str:
    """The ring a station number stands in; solid copper when it is the chosen one."""
    return circle("bal on" if chosen else "bal", (0, 0), 11)


def level_mark(level: Level) -> str:
    """The mark of a finding's level, told apart by shape and weight and not by colour."""
    return MARKS[level]


def symbol_svg(symbol: Symbol) -> str:
    """One symbol as a small picture beside its own word, hidden from readers."""
    frame = rect("nf", _Box(0, 0, 72, 64))
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 64" width="72" height="64" '
        'aria-hidden="true" '
        f'focusable="false">{frame}{moved(DRAWINGS[symbol], (30, 34))}</svg>'
    )
