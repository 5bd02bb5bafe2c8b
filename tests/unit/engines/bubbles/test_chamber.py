"""A down-flow reactor by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fizzwright.engines.bubbles.chamber import (
    cushion_absorption_mg_h,
    pure_saturation_mg_l,
    swept_out_frac,
    swept_share_frac,
)
from fizzwright.engines.bubbles.medium import bubble_water


def test_share_swept_out_goes_with_the_cube():
    # (0.5/2)^3 = 1/64; smaller bubbles than the held size all go out.
    assert float(swept_out_frac(0.5, 2.0)) == pytest.approx(1 / 64)
    assert float(swept_out_frac(0.5, 0.3)) == 1.0


def test_cushion_by_hand():
    # Area pi/4 0.075^2 = 4.418e-3 m2; 1e-4 m/s; 1380 g/m3: 6.097e-4 g/s = 2195 mg/h.
    found = float(cushion_absorption_mg_h(75.0, 1e-4, saturation_mg_l=1400.0, bulk_mg_l=20.0))
    assert found == pytest.approx(math.pi / 4 * 0.075**2 * 1e-4 * 1380 * 3.6e6, rel=1e-12)
    assert float(cushion_absorption_mg_h(75.0, 1e-4, saturation_mg_l=10.0, bulk_mg_l=20.0)) == 0.0


@pytest.mark.parametrize(("water_c", "mg_l"), [(20.0, 1681.0), (25.0, 1448.0), (30.0, 1258.0)])
def test_water_under_pure_co2(water_c, mg_l):
    """C* at one atmosphere less vapour: 1681, 1448, 1258 mg/L (independent implementation; derived)."""
    assert pure_saturation_mg_l(bubble_water(water_c)) == pytest.approx(mg_l, rel=0.004)


def test_a_wider_chamber_and_coarser_gas_lose_less():
    """Practice: a cone or wide foot lets nothing out (common practice, no source)."""
    flow, size = np.full(3, 600.0), np.full(3, 1.5)
    wide = swept_share_frac(
        flow, np.array([50.0, 75.0, 100.0]), diameter_mm=size, hose_length_m=0.2, water_c=25.0
    )
    assert wide.shape == (2, 3)
    assert np.all(np.diff(wide[0]) > 0.0)
    coarse = swept_share_frac(
        flow, np.full(3, 75.0), diameter_mm=np.array([0.3, 1.0, 3.0]), hose_length_m=0.2, water_c=25.0
    )
    assert np.all(np.diff(coarse[0]) > 0.0)
    assert np.all((coarse > 0.0) & (coarse <= 1.0))
