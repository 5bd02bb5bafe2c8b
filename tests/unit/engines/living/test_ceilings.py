"""Ceilings: reductions and the index of CO2 and oxygen, worked by hand; the table is in order."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.catalogue.limits import GROUP_LIMITS, PLANTS_ONLY
from fizzwright.engines.living.ceilings import combined_risk_number, reduction_factor
from fizzwright.job.model import AnimalGroup
from fizzwright.sources import all_sources


def test_reduction_for_warm_or_stale_water() -> None:
    np.testing.assert_allclose(reduction_factor(np.array([25.0, 28.0, 28.1])), [1.0, 1.0, 0.8])
    np.testing.assert_allclose(reduction_factor(25.0, np.array([7.0, 6.0, 5.9])), [1.0, 1.0, 0.8])
    assert float(reduction_factor(29.0, 5.0)) == pytest.approx(0.8)


def test_index_counts_short_oxygen() -> None:
    """15 of 30 mg/L is 0.5; with oxygen at 3 of the 6 mg/L wanted it doubles to 1."""
    assert float(combined_risk_number(15.0, 30.0, 8.0)) == pytest.approx(0.5)
    assert float(combined_risk_number(15.0, 30.0, 3.0)) == pytest.approx(1.0)


def test_every_group_has_ordered_limits_and_a_known_source() -> None:
    assert set(GROUP_LIMITS) == set(AnimalGroup)
    for row in (*GROUP_LIMITS.values(), PLANTS_ONLY):
        assert row.target_low_mg_l < row.target_high_mg_l < row.soft_mg_l < row.hard_mg_l
        assert row.source in all_sources()
        assert "safe" not in row.why.lower()
