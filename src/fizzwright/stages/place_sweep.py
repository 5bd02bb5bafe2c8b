"""Spots to try all over the free ground, for somebody with no candidates in mind."""

from __future__ import annotations

import math

from fizzwright.job.layout import Spot
from fizzwright.job.model import Job
from fizzwright.stages.place_scene import layout_of

__all__ = ["sweep_spots"]

# A diffuser this close to glass or stone cannot be cleaned or seen.
MARGIN_CM = 3.0


def sweep_spots(job: Job, count: int) -> list[Spot]:
    """About so many spots spread evenly over the ground, at the diffuser's height, clear of stones.

    They are named by where they stand, `30, 12 cm` from left and front.
    """
    if count <= 0:
        return []
    tank, layout = job.tank, layout_of(job)
    long_cm, wide_cm = tank.length_cm - 2 * MARGIN_CM, tank.width_cm - 2 * MARGIN_CM
    if long_cm <= 0 or wide_cm <= 0:
        return []
    rows = max(round(math.sqrt(count * wide_cm / long_cm)), 1)
    columns = max(round(count / rows), 1)
    height = layout.diffuser.height_cm
    spots = []
    for row in range(rows):
        for column in range(columns):
            x = round(MARGIN_CM + long_cm * (column + 0.5) / columns)
            y = round(MARGIN_CM + wide_cm * (row + 0.5) / rows)
            if not _in_stone(job, x, y):
                spots.append(_spot(x, y, height))
    return spots


def _spot(x: int, y: int, height_cm: float) -> Spot:
    return Spot.model_validate(
        {
            "name": f"{x}, {y} cm",
            "from_left": f"{x} cm",
            "from_front": f"{y} cm",
            "height": f"{height_cm!r} cm",
        }
    )


def _in_stone(job: Job, x_cm: float, y_cm: float) -> bool:
    """Whether a spot stands in a stone or within a margin of it."""
    layout = layout_of(job)
    height = layout.diffuser.height_cm
    return any(
        box.from_left_cm - MARGIN_CM < x_cm < box.from_left_cm + box.length_cm + MARGIN_CM
        and box.from_front_cm - MARGIN_CM < y_cm < box.from_front_cm + box.width_cm + MARGIN_CM
        and box.height_cm <= height <= box.height_cm + box.tall_cm
        for box in layout.boxes
    )
