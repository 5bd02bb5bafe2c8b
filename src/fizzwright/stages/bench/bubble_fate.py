"""The sum `bubble`: what becomes of one CO2 bubble on its way up."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import (
    CLEAN_EQUATIONS,
    CONTAMINATED_EQUATIONS,
    TAP_EQUATIONS,
    Closure,
    between,
    clean_closure,
    contaminated_closure,
    film_scaled,
    stack,
    tap_closure,
)
from fizzwright.engines.bubbles.critical import critical_size_mm
from fizzwright.engines.bubbles.fate import BubbleFate, Release, bubble_fate
from fizzwright.engines.bubbles.film import FILM_EQUATIONS
from fizzwright.engines.bubbles.medium import WATER_EQUATIONS, BubbleWater, bubble_water
from fizzwright.engines.bubbles.population import skin_mix_frac
from fizzwright.engines.bubbles.properties import surface_pressure_pa
from fizzwright.engines.water.gases import pressure_isa_atm
from fizzwright.form import asked, check
from fizzwright.result import Estimate, Trail, make_trail
from fizzwright.stages.bench.bubble_words import Seen, fate_findings
from fizzwright.stages.bench.water_draws import Draws, limits
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import show

__all__ = ["BubbleAnswer", "BubbleQuestion", "Skin", "bubble"]

Array = NDArray[np.float64]
DRAWS_COUNT = 200
NINETY = 1.6448536
# Films measured in one water differ from those in the next by about this much (90 %).
FILM_SPREAD_FACTOR = 1.25
# Places in the arrays of one run: the middle case, both pure skins, then the draws.
MIDDLE, FIRST_SKIN, LAST_SKIN, FIRST_DRAW = 0, 1, 2, 3
# Steps between the stiff skin and that of tap water.
MIXES_COUNT = 17
# Middles of five equal slices of a normal curve: enough for a doubt that only widens the band.
FILM_SCORES = (-1.2816, -0.5244, 0.0, 0.5244, 1.2816)


class Skin(StrEnum):
    """The water the bubble rises through, which sets how mobile its skin is."""

    CONTAMINATED = "contaminated"
    TAP = "tap"
    CLEAN = "clean"


MAKERS: dict[Skin, Callable[[BubbleWater], Closure]] = {
    Skin.CONTAMINATED: contaminated_closure,
    Skin.TAP: tap_closure,
    Skin.CLEAN: clean_closure,
}
EQUATIONS: dict[Skin, tuple[Callable[..., Any], ...]] = {
    Skin.CONTAMINATED: CONTAMINATED_EQUATIONS,
    Skin.TAP: TAP_EQUATIONS,
    Skin.CLEAN: CLEAN_EQUATIONS,
}


@dataclass(frozen=True, kw_only=True)
class BubbleQuestion:
    """One bubble, its way up and its water."""

    diameter_mm: float = asked(
        "--diameter", "bubble size as it leaves the diffuser", low=0.02, high=8.0, why="larger ones break up"
    )
    depth_cm: float = asked("--depth", "from the surface down to the diffuser", low=1.0, high=200.0)
    water_c: float = asked("--temp", "water temperature", low=5.0, high=35.0)
    co2_mg_l: float = asked("--co2", "free CO2 in the water", low=0.0, high=200.0)
    water: Skin | None = asked(
        "--water", "state of the bubble's skin; left open, the band covers contaminated to tap", default=None
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=4500.0, default=0.0)
    up_m_s: float = asked(
        "--current",
        "upward speed of the water, negative where it flows down",
        low=-0.5,
        high=0.5,
        default=0.0,
    )
    o2_saturation_ratio: float = asked(
        "--o2-saturation", "oxygen in the water over saturation", low=0.0, high=3.0, default=1.0
    )
    diameter_error_frac: float = asked(
        "--diameter-error", "90 % error of the size", low=0.0, high=0.5, default=0.10
    )
    depth_error_cm: float = asked("--depth-error", "90 % error of the depth", low=0.0, high=20.0, default=1.0)


@dataclass(frozen=True)
class BubbleAnswer:
    """How the bubble ends.

    `fate` is "surfaces" or "dissolves away" for the middle case. `surface_co2_frac` is None where too few
    of the cases reach the surface to say. `end_diameter_mm` is nil for a bubble that is gone.
    """

    dissolved_frac: Estimate
    surface_co2_frac: Estimate | None
    end_diameter_mm: Estimate
    end_s: Estimate
    fate: str
    trail: Trail


def bubble(question: BubbleQuestion) -> BubbleAnswer:
    """What becomes of one CO2 bubble: share dissolved, what is left in it at the surface, how big, how late.

    The band covers size, depth, the spread of measured films and, where the water is left open, the skin
    from contaminated to tap. Raises InputError for inputs out of range.
    """
    check(question)
    water = bubble_water(
        question.water_c,
        float(surface_pressure_pa(question.altitude_m)),
        co2_mg_l=question.co2_mg_l,
        o2_saturation_ratio=question.o2_saturation_ratio,
    )
    skins = (Skin.CONTAMINATED, Skin.TAP) if question.water is None else (question.water,)
    made = [MAKERS[skin](water) for skin in skins]
    fate = _drawn(question, water, made)
    notes = Notes()
    notes.ran(*WATER_EQUATIONS, *FILM_EQUATIONS, bubble_fate, pressure_isa_atm)
    for skin in skins:
        notes.ran(*EQUATIONS[skin])
    if question.water is None:
        notes.ran(skin_mix_frac)
    _assume(question, notes)
    surfaced = bool(fate.surfaced[MIDDLE])
    fate_findings(question, _seen(question, water, fate=fate, closure=made[0]), notes=notes)
    return BubbleAnswer(
        dissolved_frac=_estimate(fate.dissolved_frac, "frac"),
        surface_co2_frac=_of_surfaced(fate),
        end_diameter_mm=_estimate(np.where(fate.surfaced, fate.end_diameter_mm, 0.0), "mm"),
        end_s=_estimate(fate.end_s, "s"),
        fate="surfaces" if surfaced else "dissolves away",
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _seen(question: BubbleQuestion, water: BubbleWater, *, fate: BubbleFate, closure: Closure) -> Seen:
    """What the findings speak about: the middle case, and both pure skins beside it."""
    return Seen(
        critical_mm=critical_size_mm(water, question.depth_cm / 100, closure=closure),
        rise_m_s=float(closure.speeds_m_s(np.array([1e-3 * question.diameter_mm]))[0, 0]),
        stiff_frac=float(fate.dissolved_frac[FIRST_SKIN]),
        tap_frac=float(fate.dissolved_frac[LAST_SKIN]),
        surfaced=bool(fate.surfaced[MIDDLE]),
        co2_frac=float(fate.surface_co2_frac[MIDDLE]),
        dissolved_frac=float(fate.dissolved_frac[MIDDLE]),
    )


def _drawn(question: BubbleQuestion, water: BubbleWater, skins: list[Closure]) -> BubbleFate:
    """The middle case, the same with the first and the last skin, then the draws."""
    draws = Draws(DRAWS_COUNT)
    size = np.exp(draws.normal(0.0, np.log1p(question.diameter_error_frac) / NINETY))
    depth = draws.normal(0.0, question.depth_error_cm / NINETY)
    film = draws.even(0.0, len(FILM_SCORES))
    even = draws.even(0.0, 1.0)
    size = question.diameter_mm * np.concatenate([[1.0, 1.0, 1.0], size])
    depth = np.maximum(question.depth_cm + np.concatenate([[0.0, 0.0, 0.0], depth]), 0.5)
    middle_film = len(FILM_SCORES) // 2
    film_place = np.concatenate([[middle_film] * FIRST_DRAW, film]).astype(np.intp)
    mix = np.zeros(size.size)
    if len(skins) > 1:
        mix = np.asarray(skin_mix_frac(np.concatenate([[0.5, 0.0, 1.0], even]), size))
    mixes = np.linspace(0.0, 1.0, MIXES_COUNT) if len(skins) > 1 else np.zeros(1)
    mix_place = np.rint(mix * (mixes.size - 1)).astype(np.intp)
    factors = np.exp(np.log(FILM_SPREAD_FACTOR) / NINETY * np.array(FILM_SCORES))
    closure, columns = stack(
        [
            film_scaled(between(skins[0], skins[-1], part_frac=float(part)), float(factor))
            for part in mixes
            for factor in factors
        ]
    )
    column = columns[mix_place * factors.size + film_place]
    return bubble_fate(
        water, Release(1e-3 * size, depth / 100, question.up_m_s, closure_column=column), closure=closure
    )


def _estimate(values: Array, unit: str) -> Estimate:
    """The middle case with the limits of the draws, wide enough for both pure skins."""
    low, high = limits(values[FIRST_DRAW:])
    pure = values[:FIRST_DRAW]
    return Estimate(float(values[MIDDLE]), unit, min(low, float(pure.min())), max(high, float(pure.max())))


def _of_surfaced(fate: BubbleFate) -> Estimate | None:
    """The CO2 left in the gas, over the cases that reach the surface."""
    arrived = fate.surfaced[FIRST_DRAW:]
    if not fate.surfaced[MIDDLE] or arrived.mean() < 0.5:
        return None
    share = fate.surface_co2_frac
    # A pure skin that lets the bubble vanish has no gas at the surface to speak of.
    pure = np.where(fate.surfaced[:FIRST_DRAW], share[:FIRST_DRAW], share[MIDDLE])
    return _estimate(np.concatenate([pure, share[FIRST_DRAW:][arrived]]), "frac")


def _assume(question: BubbleQuestion, notes: Notes) -> None:
    """Everything nobody gave."""
    notes.took(
        "One bubble by itself; a disc full of bubbles lifts water and dissolves less", "still water between"
    )
    notes.took("Nitrogen dissolved in the water", "at saturation with the air")
    notes.took("Films differ from water to water (90 %)", "a factor of 1.25 either way", "froessling-1938")
    if question.water is None:
        notes.took("State of the skin", "open: contaminated to tap, by size", "skin-by-size")
    if question.o2_saturation_ratio == 1.0:
        notes.took("Oxygen dissolved in the water", "at saturation with the air")
    if question.altitude_m == 0.0:
        notes.took("Height over the sea", "0 m")
    if question.up_m_s == 0.0:
        notes.took("Upward speed of the water", "still water")
    if question.diameter_error_frac == 0.10:
        notes.took("90 % error of the size", "10 %")
    if question.depth_error_cm == 1.0:
        notes.took("90 % error of the depth", show(1.0, "cm"))
