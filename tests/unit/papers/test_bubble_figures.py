"""The drawings of bubbles: sound XML, no word over another, nothing off the sheet, told in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.papers.bubble_depth import bubble_depth_desk, bubble_depth_phone, bubble_sheet
from fizzwright.papers.bubble_life import bubble_life_desk, bubble_life_phone
from fizzwright.papers.svg import standalone
from fizzwright.result import Estimate
from fizzwright.stages.bench.bubble import BubbleQuestion, Skin
from fizzwright.stages.bench.bubble_life import bubble_life
from fizzwright.stages.diffuser_result import BubbleLife, DepthCurve
from tests.unit.papers.papers_check import SPACE, collisions, outside, read


def _life(size_mm: float, depth_cm: float, skin: Skin | None = None) -> BubbleLife:
    return bubble_life(
        BubbleQuestion(diameter_mm=size_mm, depth_cm=depth_cm, water_c=25.0, co2_mg_l=15.0, water=skin)
    )


def _curve(
    kind: str = "coarse ceramic disc, fouled", flip: float | None = 0.31, here: bool = True
) -> DepthCurve:
    depth = np.array([0.03, 0.1, 0.2, 0.4, 0.6])
    middle = np.array([0.2, 0.5, 0.8, 0.95, 0.99])
    level = Estimate(0.99, "frac", 0.86, 0.999)
    share = Estimate(0.8, "frac", 0.6, 0.9)
    return DepthCurve(
        kind, depth, 0.7 * middle, middle, np.minimum(1.2 * middle, 1.0), level, 0.2, share, here, flip
    )


LIVES = [_life(*case) for case in ((0.05, 3.0), (0.3, 15.0), (1.0, 30.0), (3.0, 60.0), (8.0, 200.0))]


@pytest.mark.parametrize("draw", [bubble_life_desk, bubble_life_phone])
@pytest.mark.parametrize("life", LIVES, ids=lambda life: f"{life.diameter_mm:g} mm")
def test_lives_are_legible(draw, life):
    svg = draw(life)
    assert collisions(svg) == []
    assert outside(svg) == []


@pytest.mark.parametrize("skin", list(Skin))
def test_one_skin_draws_one_curve_in_each_panel(skin):
    root = read(bubble_life_desk(_life(1.0, 30.0, skin)))
    assert len(list(root.iter(f"{SPACE}circle"))) == 2


@pytest.mark.parametrize("draw", [bubble_depth_desk, bubble_depth_phone])
@pytest.mark.parametrize(
    "curve",
    [
        _curve(),
        _curve(flip=None),
        _curve(flip=0.05),
        _curve(flip=0.6),
        _curve(here=False),
        replace(_curve(), middle_frac=np.full(5, 0.999), low_frac=np.full(5, 0.99), high_frac=np.ones(5)),
    ],
)
def test_shares_by_depth_are_legible(draw, curve):
    svg = draw(curve)
    assert collisions(svg) == []
    assert outside(svg) == []


@pytest.mark.parametrize("narrow", [False, True])
def test_the_sheet_holds_both(narrow):
    svg = bubble_sheet(_curve(), LIVES[2], narrow=narrow)
    assert collisions(svg) == []
    assert outside(svg) == []
    told = read(standalone(svg)).find(f"{SPACE}desc")
    assert told is not None
    assert told.text is not None
    for words in ("At 20 cm", "80", "turns at 31 cm", "dissolves"):
        assert words in told.text


def test_words_say_how_a_bubble_ends():
    gone, arrived = read(bubble_life_desk(LIVES[0])), read(bubble_life_desk(LIVES[3]))
    texts = ["".join(t.itertext()) for t in (*gone.iter(f"{SPACE}text"), *arrived.iter(f"{SPACE}text"))]
    assert any("gone after" in text for text in texts)
    assert any("at the surface" in text for text in texts)
