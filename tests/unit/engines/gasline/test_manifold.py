"""Several tanks on one regulator."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.gasline.manifold import Branch, Manifold, cross_talk_factors, manifold_state
from fizzwright.engines.gasline.needle_fit import NeedlePoint, needle_law_from_one_point
from fizzwright.errors import InputError

AIR = 1.01325


def manifold(backs=(1.28675, 1.28675), *, friction=1.0, set_bara=3.0, lock_up=0.2):
    flows = [500.0] * len(backs)
    branches = tuple(
        Branch(
            f"tank {n}",
            needle_law_from_one_point(NeedlePoint(set_bara, back + AIR, flow), friction),
            back,
        )
        for n, (back, flow) in enumerate(zip(backs, flows, strict=True))
    )
    return Manifold(branches, set_bara - AIR, sum(flows), lock_up)


def test_each_branch_gets_what_its_needle_was_set_for():
    state = manifold_state(manifold((0.3, 1.0, 1.7)))
    assert [branch.flow_mg_h for branch in state.branches] == pytest.approx([500.0] * 3)
    assert state.total_mg_h == pytest.approx(1500.0)
    assert state.outlet_barg == pytest.approx(3.0 - AIR)


def test_cross_talk_of_a_fine_gap():
    # derived: p1 3.0, p2 2.3 bar abs, outlet up by 0.1 bar: +16.4 %. One of two shut leaves half the flow and
    # more, so a lock-up rise of 0.2 bar gives just under 0.1 bar.
    found = cross_talk_factors(manifold(), ["tank 1"])
    assert found["tank 0"] == pytest.approx(1.164, abs=0.03)


@pytest.mark.parametrize(
    ("set_bara", "back_bara", "friction", "more"),
    [(3.0, 1.3, 0.0, 0.03), (3.0, 1.3, 1.0, 0.08), (3.0, 2.3, 1.0, 0.16), (2.0, 1.3, 1.0, 0.18)],
)
def test_cross_talk_at_a_tenth_of_a_bar(set_bara, back_bara, friction, more):
    # derived: dQ/Q = E dp1/p1 with E from 1 (choked) to 2 p1^2/(p1^2 - p2^2) (fine gap)
    lock_up = 0.1 * 1000.0 / (1000.0 - 500.0 * (1 + more))
    found = cross_talk_factors(
        manifold((back_bara - AIR,) * 2, friction=friction, set_bara=set_bara, lock_up=lock_up), ["tank 1"]
    )
    assert found["tank 0"] - 1 == pytest.approx(more, abs=0.012)


def test_higher_pressure_with_finer_needles_talks_less():
    low, high = (
        cross_talk_factors(manifold((0.7, 0.7), set_bara=p), ["tank 1"])["tank 0"] for p in (2.5, 5.0)
    )
    assert high < low


def test_a_tee_behind_a_needle_is_refused_with_the_reason():
    law = needle_law_from_one_point(NeedlePoint(3.0, 2.0, 500.0), 0.5)
    tee = Manifold((Branch("rack", law, 1.0, diffusers_count=2),), 2.0, 500.0)
    with pytest.raises(InputError, match="opens at the lower pressure"):
        manifold_state(tee)


def test_names_must_be_told_apart():
    law = needle_law_from_one_point(NeedlePoint(3.0, 2.0, 500.0), 0.5)
    twice = Manifold((Branch("a", law, 1.0), Branch("a", law, 1.0)), 2.0, 1000.0)
    with pytest.raises(InputError, match="named twice"):
        manifold_state(twice)
    with pytest.raises(InputError, match="none of the branches"):
        manifold_state(manifold(), ["tank 9"])
    with pytest.raises(InputError, match="at least one branch"):
        manifold_state(Manifold((), 2.0, 1.0))


def test_draws_go_through_together():
    one = manifold()
    many = Manifold(one.branches, np.full(4, one.set_barg), 1000.0, np.array([0.1, 0.2, 0.3, 0.4]))
    found = cross_talk_factors(many, ["tank 1"])["tank 0"]
    assert found.shape == (4,)
    assert np.all(np.diff(found) > 0)
