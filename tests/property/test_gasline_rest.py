"""Needle, manifold, end of bottle and yeast over the whole range they are used in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.gasline.ending import EndingSetup, last_of_the_bottle
from fizzwright.engines.gasline.manifold import Branch, Manifold, cross_talk_factors, manifold_state
from fizzwright.engines.gasline.needle_fit import (
    NeedleLaw,
    NeedlePoint,
    blend_flow_mg_h,
    needle_law,
    needle_law_from_one_point,
)
from fizzwright.engines.gasline.other_sources import fermented_by_g

flows = st.floats(20.0, 20_000.0)
shares = st.floats(0.0, 1.0)
sets = st.floats(0.8, 6.0)
backs = st.floats(0.01, 0.9)


@settings(deadline=None)
@given(flows, shares, st.floats(1.5, 6.0), st.floats(1.05, 2.0))
def test_two_points_give_back_the_valve_they_were_made_with(flow, share, ratio, second):
    # both points stay under the critical drop, where what stands behind still counts
    before = 2.0 + ratio
    truth = needle_law_from_one_point(NeedlePoint(before, 0.6 * before, flow), share)
    more = float(blend_flow_mg_h(truth, second * before, after_bara=0.6 * before))
    found = needle_law(
        NeedlePoint(before, 0.6 * before, flow), NeedlePoint(second * before, 0.6 * before, more)
    )
    again = blend_flow_mg_h(found, 1.3 * before, after_bara=0.6 * before)
    assert float(again) == pytest.approx(
        float(blend_flow_mg_h(truth, 1.3 * before, after_bara=0.6 * before)), rel=1e-4
    )


@settings(deadline=None)
@given(st.floats(1e-6, 1e-2), st.floats(1e-10, 1e-5), st.floats(1.1, 8.0), st.floats(0.9, 1.1))
def test_more_pressure_never_gives_less(friction, speed, before, behind):
    law = NeedleLaw(friction, speed)
    steps = blend_flow_mg_h(law, before * np.linspace(1.0, 2.0, 9), after_bara=behind)
    assert np.all(np.diff(steps) >= 0.0)


@settings(deadline=None, max_examples=40)
@given(st.lists(st.tuples(flows, backs), min_size=2, max_size=6), sets, shares, st.floats(0.05, 0.4))
def test_a_manifold_balances_and_shutting_one_never_robs_the_rest(tanks, above, share, lock_up):
    set_barg = 1.0 + above
    branches = tuple(
        Branch(
            f"tank {n}",
            needle_law_from_one_point(NeedlePoint(set_barg + 1.01325, back + 1.01325, flow), share),
            back,
        )
        for n, (flow, back) in enumerate(tanks)
    )
    manifold = Manifold(branches, set_barg, sum(flow for flow, _ in tanks), lock_up)
    state = manifold_state(manifold)
    assert state.total_mg_h == pytest.approx(manifold.design_mg_h, rel=1e-6)
    found = cross_talk_factors(manifold, ["tank 0"])
    assert all(factor >= 1.0 - 1e-9 for factor in found.values())


@settings(deadline=None, max_examples=40)
@given(sets, backs, shares, st.floats(0.0, 0.03), st.floats(5.0, 35.0))
def test_the_end_of_a_bottle_only_ever_gives_more(above, back, share, effect, warm_c):
    set_barg = back + above
    law = needle_law_from_one_point(NeedlePoint(set_barg + 1.01325, back + 1.01325, 500.0), share)
    found = last_of_the_bottle(EndingSetup(2.67, warm_c, set_barg, back, effect, law))
    assert np.all(np.diff(found.left_g) < 0.0)
    assert np.all(np.diff(found.gauge_barg) <= 1e-9)
    assert np.all(np.diff(found.flow_factor[:, 0]) >= -1e-9)
    assert np.all(found.flow_factor >= 1.0 - 1e-9)


@settings(deadline=None)
@given(st.floats(10.0, 500.0), st.floats(1.0, 60.0), st.floats(0.1, 2.0))
def test_yeast_never_gives_more_than_its_sugar(total, peak, lag):
    given_g = fermented_by_g(np.linspace(0.0, 90.0, 50), total, peak_g_day=peak, lag_days=lag)
    assert np.all(np.diff(given_g) >= 0.0)
    assert np.all(given_g <= total)
