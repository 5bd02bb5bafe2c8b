"""A needle valve known by its points: between a nozzle and a fine gap."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.gasline import needle, regulator
from fizzwright.engines.gasline.needle_fit import (
    NeedlePoint,
    blend_flow_mg_h,
    needle_law,
    needle_law_from_one_point,
    warmed_flow_factor,
)
from fizzwright.errors import InputError


def test_both_points_lie_on_the_law():
    # derived: the law goes through the points it was made from
    law = needle_law(NeedlePoint(3.0, 1.5, 500.0), NeedlePoint(4.0, 2.0, 760.0))
    assert blend_flow_mg_h(law, 3.0, after_bara=1.5) == pytest.approx(500.0)
    assert blend_flow_mg_h(law, 4.0, after_bara=2.0) == pytest.approx(760.0)
    assert not law.clamped


def test_all_friction_is_the_fine_gap_law():
    # derived: flow ~ p1^2 - p2^2
    law = needle_law_from_one_point(NeedlePoint(3.01325, 2.01325, 500.0), 1.0)
    more = blend_flow_mg_h(law, 3.49325, after_bara=2.01325) / 500.0
    assert more == pytest.approx(regulator.laminar_multiplier_factor(3.01325, 3.49325, back_bara=2.01325))


def test_a_choked_nozzle_follows_the_absolute_pressure_and_nothing_behind_it():
    # IEC 60534-2-1 (memory): over the critical drop the flow goes with p1 alone
    law = needle_law_from_one_point(NeedlePoint(4.0, 1.1, 500.0), 0.0)
    flows = [blend_flow_mg_h(law, 5.0, after_bara=p) for p in (1.0, 1.3, 1.6)]
    assert flows == pytest.approx([625.0] * 3)


def test_the_blend_lies_by_the_iec_form():
    # IEC 60534-2-1 (memory): 2.0/1.0 bar g, outlet up by 0.96 bar, between linear 1.96 and choked 1.32: 1.45
    law = needle_law_from_one_point(NeedlePoint(3.01325, 2.01325, 500.0), 0.0)
    blend = blend_flow_mg_h(law, 3.97325, after_bara=2.01325) / 500.0
    kv = needle.required_kv_l_h(500.0, 3.01325, after_bara=2.01325, temperature_c=20.0)
    iec = needle.valve_flow_mg_h(kv, 3.97325, after_bara=2.01325, temperature_c=20.0) / 500.0
    assert iec == pytest.approx(1.45, abs=0.01)
    assert blend == pytest.approx(iec, rel=0.06)


def test_warmth_takes_flow_away():
    # derived: choked -0.17 %/K, fine gap -0.65 %/K near 20 degC
    assert warmed_flow_factor(0.0, start_c=20.0, end_c=21.0) == pytest.approx(1 - 0.0017, abs=2e-4)
    assert warmed_flow_factor(1.0, start_c=20.0, end_c=21.0) == pytest.approx(1 - 0.0065, abs=2e-4)


def test_points_that_bend_the_wrong_way_are_clamped():
    # flow grows faster than the cost: no positive square part
    law = needle_law(NeedlePoint(2.0, 1.5, 100.0), NeedlePoint(3.0, 1.5, 500.0))
    assert law.clamped
    assert law.speed_factor == 0.0


@pytest.mark.parametrize(
    "points",
    [
        (NeedlePoint(3.0, 1.5, 500.0), NeedlePoint(4.0, 1.5, 503.0)),
        (NeedlePoint(1.5, 1.5, 500.0), NeedlePoint(4.0, 1.5, 700.0)),
        (NeedlePoint(3.0, 1.5, 0.0), NeedlePoint(4.0, 1.5, 700.0)),
    ],
)
def test_points_that_tell_nothing_are_refused(points):
    with pytest.raises(InputError):
        needle_law(*points)


def test_no_pressure_no_flow():
    law = needle_law_from_one_point(NeedlePoint(3.0, 2.0, 500.0), np.array([0.0, 0.5, 1.0]))
    assert blend_flow_mg_h(law, 2.0, after_bara=2.0) == pytest.approx(np.zeros(3))
