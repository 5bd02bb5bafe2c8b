"""The bubble of the sum `bubble`, step by step, for drawing."""

from __future__ import annotations

from fizzwright.engines.bubbles.fate import Release
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.properties import surface_pressure_pa
from fizzwright.form import check
from fizzwright.stages.bench.bubble_fate import MAKERS, BubbleQuestion, Skin
from fizzwright.stages.diffuser_result import BubbleLife
from fizzwright.stages.diffuser_views import life_of

__all__ = ["bubble_life"]

_NAMES = {Skin.CONTAMINATED: "stiff", Skin.TAP: "as in tap water", Skin.CLEAN: "clean"}


def bubble_life(question: BubbleQuestion) -> BubbleLife:
    """The bubble's way up with the skin asked for, or with both ends where it was left open.

    Raises InputError for inputs out of range.
    """
    check(question)
    water = bubble_water(
        question.water_c,
        float(surface_pressure_pa(question.altitude_m)),
        co2_mg_l=question.co2_mg_l,
        o2_saturation_ratio=question.o2_saturation_ratio,
    )
    skins = (Skin.CONTAMINATED, Skin.TAP) if question.water is None else (question.water,)
    release = Release(1e-3 * question.diameter_mm, question.depth_cm / 100, question.up_m_s)
    return life_of(water, release, [(_NAMES[skin], MAKERS[skin](water)) for skin in skins])
