"""A diffuser's bubbles together: sizes, shares, what is seen and what is lost."""

from __future__ import annotations

import sys
from dataclasses import replace

import numpy as np
import pytest

from fizzwright.engines.bubbles.cautions import path_findings
from fizzwright.engines.bubbles.diffusers import DiffuserSpread, diffuser_spread, volume_median_mm
from fizzwright.engines.bubbles.population import (
    RisePath,
    dissolved_share,
    plume_cost_frac,
    share_equations,
    skin_mix_frac,
    surfacing,
)
from fizzwright.job.words import Condition, DiffuserKind
from fizzwright.result import Level

CASES = [(kind, condition) for kind in DiffuserKind for condition in Condition]


def _spread(d32_mm: float, gsd: float = 1.6) -> DiffuserSpread:
    return DiffuserSpread(DiffuserKind.FINE_CERAMIC, Condition.USED, d32_mm, 0.7 * d32_mm, 1.4 * d32_mm, gsd)


@pytest.mark.parametrize(("kind", "condition"), CASES)
def test_every_kind_and_state_has_a_share(kind, condition):
    spread = diffuser_spread(kind, condition)
    assert spread.d32_low_mm < spread.d32_mm < spread.d32_high_mm
    share = dissolved_share(RisePath(0.35, 25.0), spread)
    assert share.share_frac.shape == (share.d32_mm.size, 2)
    assert np.all((share.share_frac > 0.0) & (share.share_frac <= 1.0))
    # A stiffer skin and a coarser grade dissolve less.
    assert np.all(share.share_frac[:, 0] <= share.share_frac[:, 1] + 1e-4)
    assert np.all(np.diff(share.share_frac, axis=0) <= 1e-6) or kind is DiffuserKind.LADDER


@pytest.mark.parametrize("kind", list(DiffuserKind))
def test_wear_makes_bubbles_coarser(kind):
    """Practice: a clogged or limed disc bubbles coarsely (common practice, no source)."""
    sizes = [diffuser_spread(kind, c).d32_mm for c in (Condition.CLEAN, Condition.USED, Condition.FOULED)]
    assert sizes == sorted(sizes)


def test_grades_follow_their_limits():
    spread = diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED)
    assert spread.d32_at_mm(np.array([-1.6449, 0.0, 1.6449])) == pytest.approx(
        [spread.d32_low_mm, spread.d32_mm, spread.d32_high_mm], rel=1e-4
    )


def test_sauter_mean_and_volume_median_by_direct_sums():
    """Lognormal sizes drawn from their quantiles: d32 = sum d^3 / sum d^2."""
    from statistics import NormalDist

    z = np.array([NormalDist().inv_cdf((i + 0.5) / 200_000) for i in range(0, 200_000, 10)])
    d = 0.3 * np.exp(np.log(1.6) * z)
    d32 = (d**3).sum() / (d**2).sum()
    middle = float(volume_median_mm(d32, 1.6))
    below = (d[d <= middle] ** 3).sum() / (d**3).sum()
    assert below == pytest.approx(0.5, abs=0.01)


TABLE = [
    # d32 mm, depth m: isolated stiff/tap, then with the column of 20 mL/min (percent).
    (0.3, 0.1, (97, 99), (86, 90)),
    (0.5, 0.1, (82, 92), (63, 75)),
    (0.5, 0.2, (93, 99), (86, 96)),
    (0.8, 0.2, (75, 94), (63, 88)),
    (0.8, 0.4, (90, 99), (85, 99)),
    (1.0, 0.2, (62, 89), (51, 81)),
    (2.0, 0.2, (25, 62), (20, 55)),
]


@pytest.mark.parametrize(("d32", "depth", "alone", "lifted"), TABLE)
def test_shares_of_whole_populations(d32, depth, alone, lifted):
    """Independent implementation; derived. 0.8 points alone, 5 with the column (two plume models)."""
    spread = _spread(d32)
    middle = spread.d32_mm == d32
    assert middle
    still = dissolved_share(RisePath(depth, 25.0, flow_ml_min_n=1e-6), spread).share_frac[4]
    moved = dissolved_share(RisePath(depth, 25.0, flow_ml_min_n=20.0), spread).share_frac[4]
    assert 100 * still == pytest.approx(alone, abs=0.8)
    assert 100 * moved == pytest.approx(lifted, abs=5.0)


def test_draws_are_read_between_the_nodes():
    share = dissolved_share(RisePath(0.2, 25.0), _spread(0.8))
    assert float(share.at(0.0, 0.0)) == float(share.share_frac[4, 0])
    assert float(share.at(0.0, 1.0)) == float(share.share_frac[4, 1])
    z, u = np.linspace(-3, 3, 40)[:, None], np.linspace(0, 1, 9)
    drawn = share.at(z, u)
    assert drawn.shape == (40, 9)
    assert np.all(np.diff(drawn, axis=0) <= 1e-12)
    assert np.all(np.diff(drawn, axis=1) >= -1e-12)
    # Halfway between two nodes, against a run of that very grade.
    between = 0.5 * (share.grade_z_number[5] + share.grade_z_number[6])
    exact = _spread(float(share.spread.d32_at_mm(between)))
    found = dissolved_share(RisePath(0.2, 25.0), exact).share_frac[4, 0]
    assert float(share.at(between, 0.0)) == pytest.approx(float(found), abs=4e-3)


def test_the_middle_skin_moves_from_stiff_to_tap_with_size():
    middle = skin_mix_frac(0.5, np.array([0.2, 0.6, 1.0, 2.0, 5.0]))
    assert np.all(np.diff(middle) >= 0.0)
    assert (float(middle[0]), round(float(middle[-1]), 2)) == (0.25, 0.84)


def test_what_is_seen_is_not_what_is_lost():
    """By number nearly all bubbles at the surface are air; by volume the rare large ones carry CO2 out.

    d32 0.5 mm: 0 to 2.4 % rich by number, 50 to 78 % CO2 in the escaping gas from 40 and 20 cm; 0.8 mm:
    4 to 14 % by number, 85 to 94 % CO2 (independent implementation; derived, stiff skin, isolated).
    """
    found = {
        (d, z): surfacing(RisePath(z, 25.0, flow_ml_min_n=1e-6), _spread(d))
        for d in (0.5, 0.8)
        for z in (0.2, 0.4)
    }
    for z in (0.2, 0.4):
        assert found[0.5, z].rich_seen_frac[0] < 0.024
        assert 0.025 < found[0.8, z].rich_seen_frac[0] < 0.14
    assert found[0.5, 0.4].escaping_co2_frac[0] == pytest.approx(0.50, abs=0.02)
    assert found[0.5, 0.2].escaping_co2_frac[0] == pytest.approx(0.78, abs=0.02)
    assert found[0.8, 0.4].escaping_co2_frac[0] == pytest.approx(0.85, abs=0.02)
    assert found[0.8, 0.2].escaping_co2_frac[0] == pytest.approx(0.94, abs=0.02)


def test_where_nothing_surfaces_nothing_is_rich():
    spread = replace(_spread(0.05, 1.05), d32_low_mm=0.04, d32_high_mm=0.06)
    found = surfacing(RisePath(1.0, 25.0, flow_ml_min_n=1e-6), spread)
    assert found.rich_seen_frac.tolist() == [0.0, 0.0]
    assert found.dissolved_frac == pytest.approx([1.0, 1.0], abs=1e-6)


def test_a_hose_and_a_ladder_win_time():
    """Practice: in-hose atomisers and ladders waste less than an open tube (common practice, no source)."""
    path = RisePath(0.2, 25.0)
    tube = dissolved_share(path, diffuser_spread(DiffuserKind.OPEN_TUBE, Condition.USED))
    ladder = dissolved_share(path, diffuser_spread(DiffuserKind.LADDER, Condition.USED))
    assert np.all(ladder.share_frac > tube.share_frac)
    inline = diffuser_spread(DiffuserKind.INLINE, Condition.USED)
    shares = [
        dissolved_share(replace(path, hose_length_m=m), inline).share_frac[6, 0] for m in (0.2, 0.6, 2.0)
    ]
    assert shares == sorted(shares)
    held = [
        dissolved_share(replace(path, held_s=s), ladder.spread).share_frac[4, 0] for s in (2.0, 6.0, 15.0)
    ]
    assert held == sorted(held)


def test_in_hose_population_with_its_rest_rising_from_the_outlet():
    # d32 0.3, gsd 1.6, 1 m of hose: 84 % in the hose, 96 % with 3 cm left to rise, 99 % with 10 cm (derived).
    spread = replace(_spread(0.3), kind=DiffuserKind.INLINE)
    found = [dissolved_share(RisePath(z, 25.0), spread).share_frac[4, 0] for z in (0.03, 0.10)]
    assert found == pytest.approx([0.96, 0.99], abs=0.012)
    coarse = replace(_spread(0.8), kind=DiffuserKind.INLINE)
    found = [dissolved_share(RisePath(z, 25.0), coarse).share_frac[4, 0] for z in (0.03, 0.10)]
    assert found == pytest.approx([0.61, 0.77], abs=0.03)


def test_the_column_costs_most_where_the_way_is_short():
    fine = _spread(0.5)
    shallow, deep = (plume_cost_frac(RisePath(z, 25.0, flow_ml_min_n=20.0), fine)[0] for z in (0.1, 0.4))
    assert shallow > 0.12
    assert deep < 0.03


def test_findings_name_hose_outlet_flow_and_wear():
    inline = diffuser_spread(DiffuserKind.INLINE, Condition.FOULED)
    poor = RisePath(0.01, 25.0, hose_length_m=0.2, hose_flow_l_h=150.0, hose_bore_mm=16.0)
    about = [f.about for f in path_findings(poor, inline)]
    assert about == ["hose", "hose", "outlet", "diffuser"]
    disc = diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED)
    busy = path_findings(RisePath(0.10, 25.0, flow_ml_min_n=60.0), disc)
    assert [f.level for f in busy] == [Level.NOTE, Level.CARE]
    assert path_findings(RisePath(0.45, 25.0, flow_ml_min_n=5.0), disc) == ()


def _names_run(call):
    """Names of the `@equation` functions that run during a call."""
    seen = set()

    def watch(frame, event, _):
        if event == "call" and "engines" in frame.f_globals.get("__name__", ""):
            function = frame.f_globals.get(frame.f_code.co_name)
            if hasattr(function, "__equation__"):
                seen.add(function.__equation__.name)

    sys.setprofile(watch)
    try:
        call()
    finally:
        sys.setprofile(None)
    return seen


@pytest.mark.parametrize("kind", [DiffuserKind.FINE_CERAMIC, DiffuserKind.LADDER, DiffuserKind.INLINE])
@pytest.mark.parametrize("current", [0.0, 0.05])
def test_the_listed_equations_are_those_that_run(kind, current):
    path = RisePath(0.3, 25.0, current_m_s=current)

    def run():
        dissolved_share(path, diffuser_spread(kind, Condition.USED)).at(0.3, 0.4)

    listed = share_equations(path, diffuser_spread(kind, Condition.USED))
    assert {f.__equation__.name for f in listed} == _names_run(run)
