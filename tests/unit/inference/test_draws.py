"""Even samples, and what each unknown does to an answer."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.inference.draws import band_after, even_scores, shares_of_spread


def test_each_unknown_is_covered_evenly() -> None:
    scores = even_scores(["a", "b"], 200, np.random.default_rng(1))
    for name in ("a", "b"):
        slices = np.floor(np.sort(scores.uniform(name)) * 200)
        assert np.array_equal(slices, np.arange(200))


def test_one_draw_sits_in_the_middle() -> None:
    assert even_scores(["a", "b"], 1, np.random.default_rng(1)).table == pytest.approx(np.zeros((2, 1)))


def test_same_seed_same_draws() -> None:
    one, other = (even_scores(["a"], 50, np.random.default_rng(4)).table for _ in range(2))
    assert np.array_equal(one, other)


def test_shares_and_bands_of_a_known_answer() -> None:
    # ln y = 0.3 a + 0.4 b: shares 9/25 and 16/25, deviation 0.5; with b known to a quarter 0.3, 0.1.
    scores = even_scores(["a", "b", "c"], 4000, np.random.default_rng(2))
    y = 10 * np.exp(0.3 * scores.of("a") + 0.4 * scores.of("b"))
    shares = shares_of_spread(scores, y)
    assert shares["a"] == pytest.approx(0.36, abs=0.02)
    assert shares["b"] == pytest.approx(0.64, abs=0.02)
    assert shares["c"] < 0.001
    low, high = band_after(scores, y, {})
    assert np.log(high / low) == pytest.approx(2 * 1.6449 * 0.5, rel=0.03)
    low, high = band_after(scores, y, {"b": 0.25})
    assert np.log(high / low) == pytest.approx(2 * 1.6449 * np.hypot(0.3, 0.1), rel=0.03)
