"""Water lifted by bubbles: hand formulas, and the cloud against single bubbles."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.bubbles.closures import contaminated_closure
from fizzwright.engines.bubbles.cloud import Cloud, Column, rise_together
from fizzwright.engines.bubbles.compare import one_size_plume
from fizzwright.engines.bubbles.fate import contaminated_bubble
from fizzwright.engines.bubbles.film import bubble_amount_mol
from fizzwright.engines.bubbles.medium import CO2, bubble_water
from fizzwright.engines.bubbles.plume import (
    FIRST_FROUDE_NUMBER,
    crossover_height_m,
    entrainment_m2_s,
    plume_speed_m_s,
    separation_height_m,
    slip_plume_speed_m_s,
    start_speed_m_s,
)


def _cloud(sizes_mm: list[float], depth_m: float, flow: float) -> tuple[Cloud, np.ndarray]:
    water = bubble_water(25.0)
    closure = contaminated_closure(water)
    d = 1e-3 * np.array([sizes_mm])
    gas = np.zeros((3, *d.shape))
    gas[CO2] = bubble_amount_mol(d, depth_m, water=water)
    rise = closure.speeds_m_s(d[:, 0])[0]
    column = np.zeros((1, 1), dtype=np.intp)
    weight = 1.0 / len(sizes_mm)
    return Cloud.fed(gas, flow, weight_frac=weight, column=column, lift_rise_m_s=rise), gas


def test_plume_speed_by_hand():
    # B = 9.80665 * 20e-6/60 = 3.269e-6; 2.55 * (3.269e-6/0.2)^(1/3) = 2.55 * 0.025379 = 0.0647 m/s.
    assert float(plume_speed_m_s(20.0, 0.2)) == pytest.approx(0.0647, rel=1e-3)
    # Where that equals the rise speed is the crossover: 3.269e-6 * (2.55/0.06)^3 = 0.251 m.
    assert float(crossover_height_m(20.0, 0.06)) == pytest.approx(0.251, rel=2e-3)


def test_separation_heights_in_a_usual_current():
    # 20 mL/min and 5 cm/s: 39 cm for 3 cm/s, 9 for 6, 2 for 12, 0.6 for 22 (Socolofsky & Adams 2002; seen).
    heights = separation_height_m(20.0, np.array([0.03, 0.06, 0.12, 0.22]), current_m_s=0.05)
    assert 100 * heights == pytest.approx([39, 9, 2, 0.6], rel=0.06)


def test_slip_plume_speed_is_three_tenths_of_the_bubble_speed():
    rise = 0.22
    lift = float(slip_plume_speed_m_s(rise))
    assert lift / (lift + rise) == pytest.approx(0.30, abs=0.03)


def test_entrainment_by_hand():
    # 2 pi * 0.083 * 0.03 m * 0.05 m/s = 7.82e-4 m2/s.
    assert float(entrainment_m2_s(0.03, 0.05)) == pytest.approx(7.823e-4, rel=1e-3)


def test_the_first_speed_has_the_froude_number_it_should():
    flow, disc, rise = 20.0, 25.0, 0.055
    w = float(start_speed_m_s(flow, disc, rise_m_s=rise))
    radius, gas = 0.0125, 20e-6 / 60
    void = gas / (np.pi * (0.8 * radius) ** 2 * (w + rise))
    assert w / np.sqrt(2 * 0.8 * radius * 9.80665 * void) == pytest.approx(FIRST_FROUDE_NUMBER, rel=1e-6)
    assert float(start_speed_m_s(0.0, disc, rise_m_s=rise)) == pytest.approx(0.0, abs=1e-9)


def test_without_flow_the_cloud_is_many_single_bubbles():
    """Stepped over height with two dozen sizes, or in time one by one: the same share to 0.05 points."""
    water, sizes = bubble_water(25.0), [0.3, 0.5, 0.7, 0.9, 1.2, 2.0, 3.5]
    for depth in (0.1, 0.3, 0.5):
        cloud, gas = _cloud(sizes, depth, 0.0)
        end = rise_together(
            water, cloud, closure=contaminated_closure(water), column=Column(depth, 0.0, 25.0, 0.0)
        )
        alone = contaminated_bubble(np.array(sizes), depth)
        share = 1.0 - end.gas_mol[CO2, 0] / gas[CO2, 0]
        assert np.abs(share - alone.dissolved_frac).max() < 5e-4
        late = alone.end_diameter_mm > 0.2
        assert end.diameter_m[0][late] * 1e3 == pytest.approx(alone.end_diameter_mm[late], rel=5e-3)
        assert float(end.mean_lift_m_s[0]) < 1e-6


def test_steps_over_height_are_third_order():
    water = bubble_water(25.0)
    cloud, _ = _cloud([1.6, 2.0, 2.4], 0.2, 0.0)

    def left(steps: int) -> np.ndarray:
        column = Column(0.2, 0.0, 25.0, 0.0, steps)
        return rise_together(water, cloud, closure=contaminated_closure(water), column=column).gas_mol[CO2, 0]

    exact = left(400)
    coarse, fine = (np.abs(left(k) / exact - 1.0).max() for k in (4, 8))
    assert fine < 2e-5
    assert coarse / fine > 4.0


def test_carbon_in_the_plume_adds_up():
    """What the bubbles lose over each step is what the film laws pass on, summed by Simpson's rule."""
    water = bubble_water(25.0)
    closure = contaminated_closure(water)
    cloud, gas = _cloud([0.6, 1.0, 1.6], 0.3, 20.0)
    whole = rise_together(water, cloud, closure=closure, column=Column(0.3, 20.0, 25.0, 0.0, 128))
    usual = rise_together(water, cloud, closure=closure, column=Column(0.3, 20.0, 25.0, 0.0))
    lost = (cloud.number_per_s * (gas[CO2] - whole.gas_mol[CO2])).sum()
    again = (cloud.number_per_s * (gas[CO2] - usual.gas_mol[CO2])).sum()
    fed = (cloud.number_per_s * gas[CO2]).sum()
    # 20 mL/min of ideal gas at 20 degC and 1 atm is 20e-6/60 * 101325/(8.31446*293.15) = 1.3857e-5 mol/s.
    assert float(fed) == pytest.approx(1.3857e-5, rel=1e-4)
    assert abs(float(lost - again)) < 3e-4 * float(fed)


def test_speeds_over_a_disc():
    # 20 mL/min of 0.5 mm bubbles: 6.4/5.9/4.9/3.2/2.4 cm/s at 2/5/10/20/30 cm (independent model; derived).
    plume = one_size_plume(0.5, 0.4, flow_ml_min_n=20.0)
    speeds = np.interp([0.02, 0.05, 0.10, 0.20, 0.30], plume.height_m, plume.lift_m_s)
    assert 100 * speeds == pytest.approx([6.4, 5.9, 4.9, 3.2, 2.4], rel=0.3)
    assert plume.mean_lift_m_s == pytest.approx(
        float(np.interp(0.13, plume.height_m, plume.lift_m_s)), rel=0.4
    )


def test_more_gas_lifts_more_water_and_dissolves_less_of_itself():
    plumes = [one_size_plume(0.8, 0.25, flow_ml_min_n=q) for q in (2.0, 10.0, 40.0)]
    assert np.all(np.diff([p.mean_lift_m_s for p in plumes]) > 0.0)
    assert np.all(np.diff([p.dissolved_frac for p in plumes]) < 0.0)


def test_a_current_across_parts_the_column():
    """Practice: a pump blowing over the disc keeps the mist down (common practice, no source)."""
    still = one_size_plume(0.9, 0.3, flow_ml_min_n=20.0)
    blown = one_size_plume(0.9, 0.3, flow_ml_min_n=20.0, current_m_s=0.05)
    alone = float(contaminated_bubble(0.9, 0.3).dissolved_frac)
    assert still.dissolved_frac + 0.02 < blown.dissolved_frac <= alone + 1e-3
    assert float(blown.lift_m_s[-1]) == 0.0


def test_coarse_bubbles_outrun_their_water():
    plume = one_size_plume(3.0, 0.4, flow_ml_min_n=200.0)
    high = plume.height_m > 0.1
    # Rise about 25 cm/s: at most 0.43 of it.
    assert np.all(plume.lift_m_s[high] <= 0.43 * 0.256)
