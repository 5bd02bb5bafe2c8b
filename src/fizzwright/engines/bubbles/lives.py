"""What a camera sees of a bubble: passing a height, shrinking to a speck, staying in sight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import Closure
from fizzwright.engines.bubbles.fate import Release, Stepping, released
from fizzwright.engines.bubbles.film import LEAST_MOL, bubble_diameter_m
from fizzwright.engines.bubbles.march import Live, advance
from fizzwright.engines.bubbles.medium import CO2, BubbleWater
from fizzwright.errors import NotConverged
from fizzwright.sources import equation

__all__ = ["SEEN_M", "SPECK_RATIO", "BubbleLives", "bubble_lives"]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

# A bead this much of its first width is all but an air speck, which then stays as it is for long.
SPECK_RATIO = 1.0 / 3.0
# What the eye still makes out as mist against a dark ground.
SEEN_M = 50e-6


@dataclass(frozen=True, eq=False)
class BubbleLives:
    """When and where bubbles are seen to change; arrays of the shape of the release unless said.

    `speck_s` and `speck_height_m` tell when and how far up a bubble is first a third as wide as it was;
    not a number where it surfaces before. `pass_s` and `pass_diameter_m` (heights, ...) tell when and how
    large it passes each height asked for; not a number where it never gets there. `seen_s` is how long it
    is over 50 µm, `rich_s` how much of that its dry gas is over half CO2.
    """

    speck_s: Array
    speck_height_m: Array
    pass_s: Array
    pass_diameter_m: Array
    seen_s: Array
    rich_s: Array


@dataclass(frozen=True, eq=False)
class _Look:
    """The live bubbles at one moment."""

    time: Array
    height: Array
    diameter: Array
    rich: Flags

    @classmethod
    def at(cls, live: Live, water: BubbleWater) -> _Look:
        total = live.gas_mol.sum(axis=0)
        depth = np.maximum(live.depth_m, 0.0)
        size = bubble_diameter_m(total, depth, water=water)
        rich = live.gas_mol[CO2] > 0.5 * np.maximum(total, LEAST_MOL)
        return cls(live.clock_s, live.start_m - depth, size, rich)

    def kept(self, mask: Flags) -> _Look:
        return _Look(self.time[mask], self.height[mask], self.diameter[mask], self.rich[mask])


@dataclass(eq=False)
class _Marks:
    """What is written down while the bubbles rise."""

    first: Array
    heights: Array
    speck: Array
    passed: Array
    seen: Array
    rich: Array

    @classmethod
    def blank(cls, first: Array, heights: Array) -> _Marks:
        count = first.size
        return cls(
            first, heights, np.full((2, count), np.nan), np.full((2, heights.size, count), np.nan),
            np.zeros(count), np.zeros(count),
        )  # fmt: skip

    def note(self, place: NDArray[np.intp], old: _Look, new: _Look) -> None:
        """What happened between two moments, by straight lines between them."""
        limit = SPECK_RATIO * self.first[place]
        hit = (old.diameter > limit) & (new.diameter <= limit)
        part = _part(old.diameter, new.diameter, limit)
        self.speck[:, place[hit]] = np.stack(
            [old.time + part * (new.time - old.time), old.height + part * (new.height - old.height)]
        )[:, hit]
        for row, height in enumerate(self.heights):
            hit = (old.height < height) & (new.height >= height - 1e-6)
            part = _part(old.height, new.height, np.full_like(old.height, height))
            found = np.stack(
                [
                    old.time + part * (new.time - old.time),
                    old.diameter + part * (new.diameter - old.diameter),
                ]
            )
            self.passed[:, row, place[hit]] = found[:, hit]
        step = new.time - old.time
        both = 0.5 * ((old.diameter > SEEN_M).astype(float) + (new.diameter > SEEN_M))
        self.seen[place] += step * both
        self.rich[place] += step * both * 0.5 * (old.rich.astype(float) + new.rich)


def _part(old: Array, new: Array, limit: Array) -> Array:
    """How far from old to new the limit lies; nil where nothing moved."""
    moved = np.where(new == old, 1.0, new - old)
    part: Array = np.clip((limit - old) / moved, 0.0, 1.0)
    return part


@equation("bubble-balance", where="three gases and depth of one bubble, the moments seen on a film")
def bubble_lives(
    water: BubbleWater,
    release: Release,
    *,
    closure: Closure,
    heights_m: tuple[float, ...] = (),
    stepping: Stepping | None = None,
) -> BubbleLives:
    """When rising bubbles pass a height, shrink to a speck, and how long they stay in sight.

    Parameters
    ----------
    water : water round them
    release : sizes, depths, water's upward speed
    closure : state of the skin, from `closures`
    heights_m : heights over the release to watch [m]
    stepping : how finely to step

    Returns
    -------
    times, heights and sizes, arrays of the shape of the release

    Raises
    ------
    InputError for sizes or depths no law here covers; NotConverged where stepping does not end
    """
    rule = stepping or Stepping()
    live, shape = released(release, water)
    old = _Look.at(live, water)
    marks = _Marks.blank(old.diameter, np.asarray(heights_m, dtype=float))
    for _ in range(rule.most_steps_count):
        done, _ = advance(live, rule, water=water, closure=closure)
        new = _Look.at(live, water)
        marks.note(live.place, old, new)
        live.keep(~done)
        old = new.kept(~done)
        if live.place.size == 0:
            many = (marks.heights.size, *shape)
            return BubbleLives(
                speck_s=marks.speck[0].reshape(shape),
                speck_height_m=marks.speck[1].reshape(shape),
                pass_s=marks.passed[0].reshape(many),
                pass_diameter_m=marks.passed[1].reshape(many),
                seen_s=marks.seen.reshape(shape),
                rich_s=marks.rich.reshape(shape),
            )
    raise NotConverged(f"{live.place.size} bubbles were still under way after {rule.most_steps_count} steps")
