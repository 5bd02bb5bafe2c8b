"""The streams of the carbon ledger, sorted and rounded so that both written sums agree."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fizzwright.papers.words import ascii_word, fixed, spelled
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import Ledger, LedgerLine
from fizzwright.units import System, convert, unit_text

__all__ = ["Books", "Stream", "books", "tell"]

_BEFORE_THE_WATER = ("tube", "joint", "leak", "bubble", "escape", "wall", "line", "hose")
_GAS_IN = ("bottle", "gas", "feed", "cartridge")
_LEAF = ("plant", "leaf", "breath", "respir")
_WATER = ("change", "store", "kept", "freed", "tap")
_ROUND_OFF = 1e-6
_SMALL_G_DAY = 1.0


@dataclass(frozen=True)
class Stream:
    """One stream ready to be drawn: `share` of the sum on its side, text, and where it joins."""

    name: str
    share: float
    value: str
    limits: str
    colour: str
    outside: bool


@dataclass(frozen=True)
class Books:
    """Both sides of the ledger and their sums; `outside` streams never pass through the water."""

    ins: tuple[Stream, ...]
    outs: tuple[Stream, ...]
    unit: str
    totals: tuple[str, str]
    closing: str

    @property
    def mass(self) -> str:
        """The unit of a stream where the day is understood."""
        return self.unit.removesuffix("/day")

    def sum_of(self, side: str) -> str:
        """One written sum, such as `in 10.91 + 0.58 = 11.49 g/day`."""
        streams, total = (self.ins, self.totals[0]) if side == "in" else (self.outs, self.totals[1])
        parts = " + ".join(s.value for s in streams) or "nothing"
        return f"{side}\u00a0 {parts} = {total}\u00a0{self.unit}"


def _turned(line: LedgerLine) -> LedgerLine:
    """A stream below zero belongs on the other side."""
    e = line.carbon_g_day
    if e.value >= 0:
        return line
    side = "out" if line.side == "in" else "in"
    return LedgerLine(line.name, side, Estimate(-e.value, e.unit, -e.high, -e.low, e.basis))


def _rounded(values: list[float], total: int, step: float) -> list[int]:
    """Whole steps that add up to the total, each within one step of its value (largest remainder)."""
    exact = [v / step for v in values]
    whole = [math.floor(x) for x in exact]
    order = sorted(range(len(exact)), key=lambda i: whole[i] - exact[i])
    for i in order[: max(total - sum(whole), 0)]:
        whole[i] += 1
    return whole


def _in(unit: str, value_g_day: float) -> float:
    return 1000.0 * value_g_day if unit == "mg/day" else convert(value_g_day, "g_day", unit)


def books(ledger: Ledger, system: System) -> Books:
    """The ledger of a day as streams to draw, in the reader's unit."""
    lines = [_turned(line) for line in ledger.lines]
    largest = max((x.carbon_g_day.value for x in lines), default=0.0)
    # A small tank's day is told in milligrams, whatever the reader's other units.
    unit = "mg/day" if largest < _SMALL_G_DAY else unit_text("g_day", system)
    sides = [[x for x in lines if x.side == side] for side in ("in", "out")]
    values = [[_in(unit, x.carbon_g_day.value) for x in side] for side in sides]
    sums = [sum(side) for side in values]
    top = max(*sums, 1e-12)
    places = min(max(3 - math.floor(math.log10(top)), 0), 6)
    step = 10.0**-places
    goals = [round(total / step) for total in sums]
    if abs(sums[0] - sums[1]) < step:
        goals[1] = goals[0]
    streams = [
        tuple(
            _stream(line, value / top, fixed(n * step, places), (unit, places))
            for line, value, n in zip(side, amounts, _rounded(amounts, goal, step), strict=True)
        )
        for side, amounts, goal in zip(sides, values, goals, strict=True)
    ]
    closing = "balances to round-off"
    if abs(ledger.residual_frac) >= _ROUND_OFF:
        closing = f"open by {100 * abs(ledger.residual_frac):.2g}\u00a0% of the sum in"
    totals = (fixed(goals[0] * step, places), fixed(goals[1] * step, places))
    return Books(streams[0], streams[1], unit, totals, closing)


def _stream(line: LedgerLine, share: float, text: str, style: tuple[str, int]) -> Stream:
    words = ascii_word(line.name).split()

    def speaks_of(stems: tuple[str, ...]) -> bool:
        return any(word.startswith(stem) for word in words for stem in stems)

    outside = speaks_of(_GAS_IN if line.side == "in" else _BEFORE_THE_WATER)
    colour = "gas"
    if not outside:
        colour = "leaf" if speaks_of(_LEAF) else "water" if speaks_of(_WATER) else "gas"
    unit, places = style
    low, high = (fixed(_in(unit, x), places) for x in (line.carbon_g_day.low, line.carbon_g_day.high))
    return Stream(spelled(line.name), share, text, f"{low}…{high}", colour, outside)


def tell(ledger: Ledger, system: System) -> str:
    """The ledger for somebody who cannot see it."""
    kept = books(ledger, system)
    sides = (
        "; ".join(f"{s.name} {s.value} {kept.mass}, {s.limits.replace('…', ' to ')}" for s in side)
        for side in (kept.ins, kept.outs)
    )
    text = "In: {}. Out: {}.".format(*sides)
    return f"{text} Sums of the middle day {kept.totals[0]} and {kept.totals[1]} {kept.unit}; {kept.closing}."
