"""What a placement says: the current, the beds, the places compared; ready to be printed or drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.result import Estimate, Trail

__all__ = ["BedFigures", "Drawn", "Judgement", "Place", "PlaceResult", "Rectangle", "Streams"]

Field = NDArray[np.float64]
# A direction, of length one: right, back, up.
Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Rectangle:
    """A box in tank coordinates as it is drawn: from left, front and bottom glass. [cm]"""

    name: str
    left_cm: float
    right_cm: float
    front_cm: float
    back_cm: float
    low_cm: float
    high_cm: float


@dataclass(frozen=True)
class BedFigures:
    """How one bed fares: speed at its leaves, how long its water stays, its mist and its CO2.

    `leaf_speed_m_s` is the median, `slow_leaf_speed_m_s` what nine tenths of the bed exceed. `renewal_s` is
    how long until all but 1/e of its water came from elsewhere. `mist_frac` is its share of all gas hanging
    in the water. `co2_mg_l` is its mean and `co2_low_mg_l` its poorest twentieth while the tank's mean is at
    the level; `short_frac` the share of it under the low end of the target.
    """

    name: str
    leaf_speed_m_s: Estimate
    slow_leaf_speed_m_s: Estimate
    renewal_s: Estimate
    mist_frac: Estimate
    co2_mg_l: Estimate
    co2_low_mg_l: Estimate
    short_frac: float


@dataclass(frozen=True)
class Place:
    """One candidate: where the diffuser and the outlet stand, and what comes of it.

    `rank` is shared by places that cannot be told apart.
    """

    name: str
    outlet: str
    from_left_cm: float
    from_front_cm: float
    height_cm: float
    dissolved_frac: Estimate
    slowest_bed: str
    slowest_renewal_s: Estimate
    poorest_bed: str
    poorest_co2_mg_l: Estimate
    plume_ratio: float
    rank: int
    finished: bool
    beds: tuple[BedFigures, ...]


@dataclass(frozen=True)
class Judgement:
    """Whether places differ in one figure by more than a run's own error, in words.

    `about` is the figure's field in `Place`; `differs` says whether any two are told apart.
    """

    about: str
    differs: bool
    sentence: str
    best: str


@dataclass(frozen=True, eq=False)
class Streams:
    """The current and what it carries on the grid's cells, for the first place.

    Arrays have shape (layers, rows, columns) and count from the ground, the front and the left glass.
    """

    cell_m: float
    ground_cm: float
    water: NDArray[np.bool_]
    across_m_s: Field
    back_m_s: Field
    up_m_s: Field
    eddy_m2_s: Field
    age_s: Field
    co2_mg_l: Field
    mist_frac: Field
    deposit_frac: Field


@dataclass(frozen=True)
class Drawn:
    """The layout as understood, drawn back so that a mistake is seen. [cm]"""

    length_cm: float
    width_cm: float
    depth_cm: float
    ground_cm: float
    boxes: tuple[Rectangle, ...]
    beds: tuple[Rectangle, ...]
    outlet_at: Rectangle
    outlet_toward: Vector
    outlet_words: str
    intake_at: Rectangle


@dataclass(frozen=True)
class PlaceResult:
    """Where the water goes in one tank, and which of the places is better by more than the model's error.

    `level_mg_l` is the mean CO2 the map is drawn at. `finished` is False where it was ended early: what is
    there then stands, with wider bands.
    """

    name: str
    preset: str
    verdict: str
    finished: bool
    cell_m: float
    cells_count: int
    level_mg_l: float
    speed_m_s: Estimate
    turnover_s: Estimate
    mixing_s: Estimate
    dead_frac: Estimate
    uneven_frac: Estimate
    windows_differ_frac: float
    map_flat: bool
    beds: tuple[BedFigures, ...]
    places: tuple[Place, ...]
    judgements: tuple[Judgement, ...]
    drawn: Drawn
    streams: Streams
    trail: Trail
