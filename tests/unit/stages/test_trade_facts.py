"""What the trade takes for granted, checked against the plan. Common practice, no source, throughout."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.catalogue.limits import GROUP_LIMITS, TRADE_BAND_HIGH_MG_L, TRADE_BAND_LOW_MG_L
from fizzwright.engines.bubbles.fate import contaminated_bubble, tap_bubble
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.rise import rise_contaminated_m_s, rise_tap_wueest_m_s
from fizzwright.job.model import AnimalGroup
from fizzwright.stages.ceiling import ceiling_for
from tests.unit.stages.test_plan import example


def test_twenty_to_thirty_is_the_usual_band() -> None:
    # Common practice, no source: 20 to 30 mg/L while the lamp is lit.
    assert (TRADE_BAND_LOW_MG_L, TRADE_BAND_HIGH_MG_L) == (20.0, 30.0)


def test_a_tank_of_plants_alone_is_planned_for_the_usual_band() -> None:
    job = example("shallow-bench-90").model_copy(update={"animals": (), "target": None})
    found = ceiling_for(job)
    assert (found.target_low_mg_l, found.target_high_mg_l) == (20.0, 30.0)


@pytest.mark.parametrize("group", AnimalGroup)
def test_no_animal_is_planned_for_over_the_usual_band(group: AnimalGroup) -> None:
    assert GROUP_LIMITS[group].target_high_mg_l <= TRADE_BAND_HIGH_MG_L
    assert (
        GROUP_LIMITS[group].target_high_mg_l <= GROUP_LIMITS[group].soft_mg_l < GROUP_LIMITS[group].hard_mg_l
    )


def test_larger_bubbles_rise_faster_and_lose_more() -> None:
    # Common practice, no source: the coarser the mist, the sooner it is up and the more is wasted.
    diameters_m = np.array([0.2, 0.4, 0.7, 1.0]) * 1e-3
    water = bubble_water(25.0)
    for speeds in (rise_contaminated_m_s(diameters_m, water), rise_tap_wueest_m_s(diameters_m)):
        assert np.all(np.diff(speeds) > 0)
    for bubble in (contaminated_bubble, tap_bubble):
        shares = [float(np.ravel(bubble(d * 1e3, 0.1, water_c=25.0).dissolved_frac)[0]) for d in diameters_m]
        assert np.all(np.diff(shares) <= 1e-9)
        assert shares[-1] < 0.9 < shares[0]
