"""Axes: from a quantity to a place on the drawing, and round numbers to tick."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fizzwright.papers.typeface import Px

__all__ = ["Axis", "LogAxis", "nice_step", "spread", "ticks"]


@dataclass(frozen=True)
class Axis:
    """A straight scale: `start` of the quantity falls on `at_start` of the drawing."""

    start: Px
    end: Px
    at_start: Px
    at_end: Px

    def __call__(self, value: Px) -> Px:
        """Where a value falls."""
        share = (value - self.start) / (self.end - self.start)
        return self.at_start + share * (self.at_end - self.at_start)

    def held(self, value: Px) -> Px:
        """Where a value falls, kept on the scale."""
        low, high = sorted((self.start, self.end))
        return self(min(max(value, low), high))


@dataclass(frozen=True)
class LogAxis:
    """A decade scale; values under its foot are drawn on the foot."""

    start: Px
    end: Px
    at_start: Px
    at_end: Px

    def __call__(self, value: Px) -> Px:
        """Where a value falls."""
        low, high = sorted((self.start, self.end))
        kept = math.log10(min(max(value, low), high))
        share = (kept - math.log10(self.start)) / (math.log10(self.end) - math.log10(self.start))
        return self.at_start + share * (self.at_end - self.at_start)


def nice_step(span: Px, count: int) -> Px:
    """A step of 1, 2, 2.5 or 5 times a power of ten that cuts a span in about `count` parts."""
    rough = span / max(count, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    return next((power * m for m in (1, 2, 2.5, 5, 10) if rough <= power * m * (1 + 1e-9)), power * 10)


def ticks(low: Px, high: Px, step: Px) -> tuple[Px, ...]:
    """The multiples of a step between two values, ends included."""
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return tuple(round(i * step, 10) for i in range(first, last + 1))


def spread(
    wished: Sequence[Px], heights: Sequence[Px], *, low: Px, high: Px, gap: Px = 6.0
) -> tuple[Px, ...]:
    """Centres for stacked blocks, as near to the wished ones as room and order allow.

    Blocks keep the order of their wishes and stay between `low` and `high` while they fit there.
    """
    order = sorted(range(len(wished)), key=lambda i: wished[i])
    centres = [0.0] * len(wished)
    floor = low
    for i in order:
        centres[i] = max(wished[i], floor + heights[i] / 2)
        floor = centres[i] + heights[i] / 2 + gap
    roof = high
    for i in reversed(order):
        centres[i] = min(centres[i], roof - heights[i] / 2)
        roof = centres[i] - heights[i] / 2 - gap
    # A stack taller than the room grows downwards: nothing may climb over the panel above.
    floor = low
    for i in order:
        centres[i] = max(centres[i], floor + heights[i] / 2)
        floor = centres[i] + heights[i] / 2 + gap
    return tuple(centres)
