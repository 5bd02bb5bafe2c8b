"""What the stage `diffuser` answers, ready to be printed or drawn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.inference.beads import SkinFit
from fizzwright.result import Estimate, Trail

__all__ = ["BubbleLife", "DepthCurve", "DiffuserResult", "Flip", "Gain", "Haze", "LifeCurve", "Way"]

Curve = NDArray[np.float64]


@dataclass(frozen=True)
class LifeCurve:
    """One bubble's way up with one skin; every array has the shape (moments,)."""

    skin: str
    time_s: Curve
    height_m: Curve
    diameter_mm: Curve
    co2_frac: Curve
    dissolved_frac: Curve


@dataclass(frozen=True)
class BubbleLife:
    """The life of one bubble let go at a depth, for each skin looked at."""

    diameter_mm: float
    depth_m: float
    curves: tuple[LifeCurve, ...]


@dataclass(frozen=True)
class DepthCurve:
    """Dissolved share against the depth of the diffuser, with 90 % limits; shape (depths,).

    `level_frac` is what an in-hose atomiser dissolves whatever the depth; `here_m` and `here_frac` the
    diffuser as it is.
    """

    kind: str
    depth_m: Curve
    low_frac: Curve
    middle_frac: Curve
    high_frac: Curve
    level_frac: Estimate
    here_m: float
    here_frac: Estimate
    here_in_tank: bool
    flip_m: float | None


@dataclass(frozen=True)
class Haze:
    """What the mist is made of: by number, as seen, and by gas volume, as lost.

    A bubble is rich when over half of its dry gas is CO2. `rich_seen_frac` counts bubbles that reach the
    surface, `rich_hanging_frac` those over 50 µm anywhere in the water at one moment; `rich_lost_frac`
    weighs the gas that breaks the surface, `escaping_co2_frac` is the CO2 in it.
    """

    rich_seen_frac: Estimate
    rich_hanging_frac: Estimate
    rich_lost_frac: Estimate
    escaping_co2_frac: Estimate
    sentence: str


@dataclass(frozen=True)
class Way:
    """One way to put the gas in, for this tank at this feed.

    `better_frac` is the share of the draws in which it dissolves at least a point more than what is there.
    """

    name: str
    here: bool
    dissolved_frac: Estimate
    lost_g_day: Estimate
    better_frac: float
    remark: str


@dataclass(frozen=True)
class Flip:
    """Where the answer turns: deeper than `depth_m` a diffuser in the tank does as well as the other way.

    None where it does not turn between 3 and 60 cm; the sentence then says which side holds.
    """

    against: str
    depth_m: Estimate | None
    sentence: str


@dataclass(frozen=True)
class Gain:
    """What one change buys when the water is to get the same CO2 as now."""

    name: str
    change: str
    dissolved_frac: Estimate
    saves_g_day: Estimate
    bottle_days: Estimate
    more_days: Estimate


@dataclass(frozen=True)
class DiffuserResult:
    """How much of the gas dissolves, and which way to put it in.

    `gas_h` is how long the gas runs each day. `skin_known` says where the skin comes from. Total gas is
    the pressure of all dissolved gases over that of the air; deeper than `mist_grows_above_m` the head
    keeps mist from growing (None where nothing grows).
    """

    name: str
    verdict: str
    kind: str
    depth_m: float
    feed_mg_h: float
    feed_from: str
    gas_h: float
    gas_g_day: float
    dissolved_frac: Estimate
    lost_g_day: Estimate
    haze: Haze
    ways: tuple[Way, ...]
    flips: tuple[Flip, ...]
    gains: tuple[Gain, ...]
    skin_frac: Estimate
    skin_known: str
    skin_matters_frac: float
    fit: SkinFit | None
    total_gas_ratio: Estimate
    mist_grows_above_m: float | None
    curve: DepthCurve
    life: BubbleLife
    protocol: tuple[str, ...]
    trail: Trail
