"""Does the stated chance of passing the ceiling hold on tanks the plan has not seen?

Five hundred truths are drawn from the plan's own doubt, independently of its draws, and each is run through
a second implementation of the day.
"""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.inference.draws import Scores
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.plan_choice import decide
from fizzwright.stages.plan_inputs import UNKNOWNS, scene_of
from fizzwright.stages.plan_scene import fed
from tests.calibration.second_day import repeating_peak

TRUTHS_COUNT = 500
EXAMPLES = ("library-foyer-120", "kitchen-nano")


@pytest.mark.slow
@pytest.mark.parametrize("name", EXAMPLES)
def test_chance_over_the_ceiling(name: str) -> None:
    decided = decide(read_job(example_text(f"{name}.toml")), draws_count=600)
    table = np.random.default_rng(71).standard_normal((len(UNKNOWNS), TRUTHS_COUNT))
    choice = decided.chosen.choice
    scene, _ = scene_of(
        decided.known, Scores(UNKNOWNS, table), feed_mg_h=choice.feed_mg_h, share=decided.chosen.share,
        night=None,
    )  # fmt: skip
    peak, o2_low = repeating_peak(fed(scene, choice.feed_mg_h), choice.clock, scene.alk_meq_l)
    stated = decided.chosen.run.co2_mg_l.max(axis=0)
    for level in (decided.limits.ceiling_mg_l, float(np.median(stated)), float(np.quantile(stated, 0.8))):
        said, seen = float((stated > level).mean()), float((peak > level).mean())
        # 99 % of the scatter of two shares, of 600 draws and of 500 truths.
        allowed = 2.6 * np.sqrt(max(said, 0.01) * (1 - said) * (1 / 600 + 1 / TRUTHS_COUNT))
        assert abs(said - seen) < allowed, f"{level:.1f} mg/L: {said:.3f} stated, {seen:.3f} seen"
    low = float(np.median(decided.chosen.run.o2_mg_l.min(axis=0)))
    assert abs(float((o2_low < low).mean()) - 0.5) < 2.6 * np.sqrt(0.25 * (1 / 600 + 1 / TRUTHS_COUNT))


def test_second_day_agrees_with_the_first_draw_by_draw() -> None:
    decided = decide(read_job(example_text("kitchen-nano.toml")), draws_count=60)
    chosen = decided.chosen
    tank = fed(chosen.scene, chosen.choice.feed_mg_h)
    peak, o2_low = repeating_peak(tank, chosen.choice.clock, chosen.scene.alk_meq_l)
    # A minute's step of Heun's rule and a node off the peak: a few parts in a thousand.
    assert peak == pytest.approx(chosen.run.co2_mg_l.max(axis=0), rel=5e-3)
    assert o2_low == pytest.approx(chosen.run.o2_mg_l.min(axis=0), rel=3e-3)
