"""Whether the bubble sums are solved rightly: gas that leaves arrives, and errors fall as they should.

Beside these stand, in test_fate.py, the resting bubbles of Epstein and Plesset (CO2, and nitrogen pressed
away by its skin alone), and in tests/peers the same bubble in other unknowns by SciPy.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.bubbles import cloud as cloud_module
from fizzwright.engines.bubbles import march
from fizzwright.engines.bubbles.closures import (
    Closure,
    clean_closure,
    contaminated_closure,
    stack,
    tap_closure,
)
from fizzwright.engines.bubbles.cloud import Cloud, Column, rise_together
from fizzwright.engines.bubbles.fate import Release, Stepping, bubble_fate, bubble_track, released
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.march import advance
from fizzwright.engines.bubbles.medium import CO2, bubble_water


def _arriving(amount, start, late, step):
    """What the water gets in a step, from the rates alone: the loss of the mean amount less the gain.

    The bubble's own end is not looked at. Loss and gain are the means at Heun's nodes; between them the
    amount runs towards gain over loss, and the late gain's drift stays in the bubble.
    """
    (loss0, gain0), (loss2, gain2) = start, late
    loss, gain = 0.25 * loss0 + 0.75 * loss2, 0.25 * gain0 + 0.75 * gain2
    x = loss * step
    rest = gain / loss
    mean_amount = rest + (amount - rest) * -np.expm1(-x) / x
    drift = 1.5 * (loss0 * gain2 - loss2 * gain0) * step**2 / (12.0 + x * (6.0 + 2.0 * x))
    return x * mean_amount - gain * step - drift


@pytest.mark.parametrize("make", [contaminated_closure, tap_closure, clean_closure])
def test_each_gas_that_leaves_a_bubble_arrives_in_the_water(make, monkeypatch):
    """CO2, N2 and O2 to 1e-10 of the gas let go, rejected steps, landings and finished bubbles included."""
    passed = []
    whole = march.heun_end

    def watched(amount, start, *, late, step):
        passed.append(_arriving(amount, start, late, step))
        return whole(amount, start, late=late, step=step)

    monkeypatch.setattr(march, "heun_end", watched)
    water = bubble_water(25.0, o2_saturation_ratio=1.3)
    sizes = np.array([0.2e-3, 0.5e-3, 0.9e-3, 1.6e-3, 3e-3])
    live, _ = released(Release(sizes, 0.3, co2_frac=0.97), water)
    first, account, last = live.gas_mol, np.zeros((3, sizes.size)), np.zeros((3, sizes.size))
    closure, rule = make(water), Stepping(error_frac=1e-3)
    while live.place.size:
        before = live.clock_s
        done, _ = advance(live, rule, water=water, closure=closure)
        taken = live.clock_s > before
        account[:, live.place[taken]] += passed[-1][:, taken]
        last[:, live.place[done]] = live.gas_mol[:, done]
        live.keep(~done)
    left_over = (first - last - account) / first.sum(axis=0)
    assert np.abs(left_over).max() < 1e-10


def test_each_gas_a_cloud_loses_is_what_its_plume_takes_up(monkeypatch):
    """Fed less escaping is the sum of what every step hands to the water: 1e-10 for each gas."""
    passed = []
    whole = cloud_module.heun_end

    def watched(amount, start, *, late, step):
        passed.append(_arriving(amount, start, late, step))
        return whole(amount, start, late=late, step=step)

    monkeypatch.setattr(cloud_module, "heun_end", watched)
    water = bubble_water(25.0)
    sizes = 1e-3 * np.array([[0.3, 0.5, 0.8, 1.2, 2.0]])
    gas = np.zeros((3, *sizes.shape))
    gas[CO2] = bubble_amount_mol(sizes, 0.3, water=water)
    closure = contaminated_closure(water)
    rise = closure.speeds_m_s(sizes[:, 2])[0]
    place = np.zeros((1, 1), dtype=np.intp)
    fed = Cloud.fed(gas, 20.0, weight_frac=0.2, column=place, lift_rise_m_s=rise)
    end = rise_together(water, fed, closure=closure, column=Column(0.3, 20.0, 25.0, 0.0))
    lost = (fed.number_per_s * (gas - end.gas_mol)).sum(axis=(1, 2))
    taken = (fed.number_per_s * np.sum(passed, axis=0)).sum(axis=(1, 2))
    whole_flow = float((fed.number_per_s * gas[CO2]).sum())
    assert np.abs((lost - taken) / whole_flow).max() < 1e-10


def test_behind_a_tight_skin_every_mole_is_kept():
    """Nothing lost to round-off over a whole rise, and d goes with P^(-1/3): 1.03216 from 1 m (analytic)."""
    skin = contaminated_closure(bubble_water(25.0))
    water = replace(bubble_water(25.0), tension_n_m=0.0)
    tight = Closure(skin.table_m_s * np.array([[1.0], [1e-18], [1e-18], [1e-18]]))
    found = bubble_fate(water, Release(1e-3, 1.0, co2_frac=0.5), closure=tight)
    assert np.abs(found.end_mol / found.start_mol - 1.0).max() < 1e-10
    assert float(found.end_diameter_m) / 1e-3 == pytest.approx(1.03216, rel=2e-5)


def test_errors_fall_with_the_third_power_of_the_step():
    """From loose to tight steps the error of the dissolved share falls about as steps to the power -3."""
    water = bubble_water(25.0)
    # Laws without the kinks between table nodes: the size does not change them.
    flat = Closure(
        np.repeat([[0.10], [1.5e-4], [1.6e-4], [1.6e-4]], contaminated_closure(water).table_m_s.shape[1], 1)
    )
    release = Release(1.2e-3, 0.3)

    def share(error: float) -> tuple[float, int]:
        rule = Stepping(error_frac=error, most_steps_count=200_000)
        track = bubble_track(water, release, closure=flat, stepping=rule)
        return float(track.dissolved_frac[-1]), track.time_s.size

    exact, _ = share(1e-9)
    found = [share(error) for error in (1e-3, 1e-5, 1e-7)]
    errors = np.log([abs(value - exact) for value, _ in found])
    steps = np.log([count for _, count in found])
    order = -np.polyfit(steps, errors, 1)[0]
    assert 2.5 < order < 4.0


def test_tighter_steps_change_nothing_anybody_could_see():
    """Every skin, a wide range of sizes: steps far tighter move no share by 0.05 points."""
    water = bubble_water(25.0)
    closure, columns = stack([contaminated_closure(water), tap_closure(water), clean_closure(water)])
    release = Release(np.geomspace(0.1e-3, 5e-3, 15)[:, None], 0.25, closure_column=columns)
    usual = bubble_fate(water, release, closure=closure)
    tight = bubble_fate(
        water, release, closure=closure, stepping=Stepping(error_frac=3e-8, most_steps_count=100_000)
    )
    assert np.abs(usual.dissolved_frac - tight.dissolved_frac).max() < 5e-4
