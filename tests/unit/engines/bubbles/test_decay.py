"""The step all bubble integrations share, on an equation with a known answer."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.decay import heun_end, mean_decay, relax


def test_a_fixed_decay_is_exact_for_any_step():
    # n' = 3 - 2 n from 5: n = 1.5 + 3.5 exp(-2 t).
    for step in (1e-9, 0.1, 3.0, 200.0):
        found = relax(np.array([5.0]), np.array([2.0]), gain=np.array([3.0]), step=step)
        assert float(found[0]) == pytest.approx(1.5 + 3.5 * np.exp(-2 * step), rel=1e-12)
        pair = (np.array([2.0]), np.array([3.0]))
        end, _ = heun_end(np.array([5.0]), pair, late=pair, step=step)
        assert float(end[0]) == pytest.approx(1.5 + 3.5 * np.exp(-2 * step), rel=1e-9)


def test_mean_decay_has_no_hole_at_zero():
    assert np.allclose(mean_decay(np.array([0.0, 1e-13, 1e-6, 1.0])), [1.0, 1.0, 1.0 - 5e-7, 1 - np.exp(-1)])


def _march(steps: int) -> float:
    """n' = cos(t) + 1.2 - (1 + t^2) n to t = 2."""
    time, n = 0.0, np.array([2.0])
    step = 2.0 / steps

    def pair(t: float) -> tuple[np.ndarray, np.ndarray]:
        return np.array([1 + t * t]), np.array([np.cos(t) + 1.2])

    for _ in range(steps):
        n, _ = heun_end(n, pair(time), late=pair(time + step / 1.5), step=step)
        time += step
    return float(n[0])


def test_changing_rates_are_third_order():
    exact = _march(5000)
    coarse, fine = (abs(_march(k) - exact) for k in (40, 80))
    assert 6.5 < coarse / fine < 13.0


def test_a_quick_loss_settles_on_its_balance():
    # Loss 1e6 /s: the amount is gain over loss at the end of the step, whatever it was before.
    pair = (np.array([1e6]), np.array([7.0]))
    end, _ = heun_end(np.array([123.0]), pair, late=pair, step=1.0)
    assert float(end[0]) == pytest.approx(7e-6, rel=1e-9)


def test_amounts_never_turn_negative():
    start, late = (np.array([1.0]), np.array([0.0])), (np.array([50.0]), np.array([0.0]))
    for step in (0.01, 1.0, 100.0):
        end, _ = heun_end(np.array([1.0]), start, late=late, step=step)
        assert float(end[0]) >= 0.0
