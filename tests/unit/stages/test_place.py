"""The stage `place` on a small draft, and the rules by which places are told apart."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.place import Asked, Helpers, place
from fizzwright.stages.place_bands import factor_band, share_band
from fizzwright.stages.place_compare import Figure, judge, ranks
from fizzwright.stages.place_runs import PRESETS, bed_speeds_m_s, settle
from fizzwright.stages.place_sweep import sweep_spots
from tests.rules.test_citations import assert_trail_is_true, executed

JOB = example_text("library-foyer-120.toml")
SMALL = {
    'length = "120 cm"': 'length = "60 cm"',
    'width = "45 cm"': 'width = "30 cm"',
    'hardscape_volume = "8 L"': 'hardscape_volume = "1 L"',
}
LAYOUT = """
[layout.outlet]
kind = "spray bar"
from_left = "3 cm"
from_front = "15 cm"
height = "40 cm"
flow = "400 L/h"
bore = "3 mm"
holes = 10
bar_length = "18 cm"

[layout.intake]
from_left = "55 cm"
from_front = "25 cm"
height = "14 cm"

[layout.diffuser]
name = "A"
from_left = "15 cm"
from_front = "20 cm"
height = "10 cm"

[[layout.spots]]
name = "B"
from_left = "50 cm"
from_front = "6 cm"
height = "10 cm"

[[layout.beds]]
name = "stems"
from_left = "30 cm"
from_front = "15 cm"
length = "24 cm"
width = "14 cm"
tall = "24 cm"
"""


def small_job(layout=LAYOUT):
    text = JOB[: JOB.index("# Where things stand")]
    for old, new in SMALL.items():
        text = text.replace(old, new)
    return read_job(text + layout)


@pytest.fixture(scope="module")
def found():
    return place(small_job(), Asked("draft"))


def test_every_bed_and_place_is_answered(found):
    assert [bed.name for bed in found.beds] == ["stems"]
    assert {p.name for p in found.places} == {"A", "B"}
    assert found.finished
    for estimate in (
        found.speed_m_s,
        found.mixing_s,
        found.beds[0].renewal_s,
        found.places[0].dissolved_frac,
    ):
        assert estimate.low <= estimate.value <= estimate.high
    # 400 L/h into 60 x 30 x 40 cm, 72 L: a turnover of 648 s, the cells within 5 %.
    assert found.turnover_s.value == pytest.approx(648.0, rel=0.06)


def test_a_flat_map_is_said_in_plain_words(found):
    gas = next(j for j in found.judgements if j.about == "poorest_co2_mg_l")
    assert not gas.differs
    assert "it makes no difference where the diffuser stands" in found.verdict
    assert found.map_flat == (found.uneven_frac.value < 0.02)


def test_the_same_job_gives_the_same_answer(found):
    again = place(small_job(), Asked("draft"))
    assert again.places == found.places


def test_the_equations_listed_are_the_equations_run():
    found, ran = executed(lambda: place(small_job(), Asked("draft")))
    assert_trail_is_true(found.trail, ran)


def test_a_job_without_layout_is_told_what_to_add():
    with pytest.raises(InputError, match="layout"):
        place(small_job(""), Asked("draft"))


def test_a_spot_that_is_not_there_is_refused():
    with pytest.raises(InputError, match="There is: B"):
        place(small_job(), Asked("draft", ("Z",)))


def test_ending_early_keeps_what_is_there():
    def watch(says, share):
        return not (says == "places" and share > 0)

    partial = place(small_job(), Asked("draft"), Helpers(watch=watch))
    assert not partial.finished
    assert [p.name for p in partial.places] == ["A"]
    assert any("Ended early" in f.text for f in partial.trail.findings)


@pytest.mark.slow
def test_figures_of_a_bed_hardly_change_from_two_centimetres_to_one():
    job = small_job()
    rough, fine = (
        settle(
            job, job.layout.outlet, preset=PRESETS[name], level_mg_l=17.5,
            settings=(2, lambda says, share: True),  # noqa: ARG005
        )
        for name in ("draft", "normal")
    )  # fmt: skip
    for of in (lambda c: bed_speeds_m_s(c)[0].mean(), lambda c: c.renewal_s.mean()):
        assert of(rough) == pytest.approx(of(fine), rel=0.35)
    speeds = [c.flows[-1].speed_m_s().mean() for c in (rough, fine)]
    assert speeds[0] == pytest.approx(speeds[1], rel=0.15)


def test_swept_spots_keep_clear_of_glass_and_stone():
    job = read_job(JOB)
    spots = sweep_spots(job, 24)
    assert 12 <= len(spots) <= 26
    for spot in spots:
        assert 3 <= spot.from_left_cm <= 117
        assert not (64 <= spot.from_left_cm <= 88 and 16 <= spot.from_front_cm <= 32)


def _figure(runs, error, up=True):
    return Figure(
        "dissolved_frac", "mist that dissolves", "%", np.array(runs, float), np.array(error, float), 1.0, up
    )


def test_a_difference_has_to_beat_twice_the_error_in_every_run():
    # 86 against 61 with an error of 3: gain 25 over 6. 86 against 84: gain 2 under 6.
    assert _figure([[86, 87], [61, 60]], [3, 3]).better(0, 1)
    assert not _figure([[86, 87], [84, 84]], [3, 3]).better(0, 1)
    # A run that says the opposite spoils it.
    assert not _figure([[90, 60], [61, 62]], [1, 1]).better(0, 1)
    assert _figure([[10, 11], [60, 61]], [3, 3], up=False).better(0, 1)


def test_ranks_are_shared_by_those_that_cannot_be_told_apart():
    assert ranks([_figure([[86, 87], [84, 85], [61, 60]], [3, 3, 3])], 3) == (1, 1, 3)


def test_the_sentence_names_the_loser_or_says_there_is_no_difference():
    told = judge(_figure([[86, 87], [84, 85], [61, 60]], [3, 3, 3]), ["A", "C", "B"])
    assert told.differs
    assert told.sentence.startswith("A and C overlap")
    assert "B is worse beyond the model's error" in told.sentence
    flat = judge(_figure([[86, 87], [86, 86]], [3, 3]), ["A", "B"])
    assert not flat.differs
    assert flat.sentence.startswith("no difference: A and B lie within")


def test_bands_hold_their_middles_and_widen_with_the_windows():
    even, apart = (
        factor_band(np.array([1.0, 1.0]), "s", factor=1.5),
        factor_band(np.array([0.7, 1.4]), "s", factor=1.5),
    )
    assert even.low < even.value < even.high
    assert apart.high / apart.low > even.high / even.low
    assert share_band(np.array([0.9, 0.92, 0.99, 0.8])).low == pytest.approx(0.8)
