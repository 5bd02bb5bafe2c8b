"""Figures of steadiness on curves made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.plan import plan
from fizzwright.stages.stability import longest_over_h, overdose_mg_h_l

NODES = np.arange(0.0, 1441.0, 60.0)


def test_dose_of_a_triangle() -> None:
    # Over 30 mg/L for two hours with a peak of 34: area 0.5 x 2 h x 4 = 4 mg h/L.
    curve = np.full((25, 1), 20.0)
    curve[10:13, 0] = (30.0, 34.0, 30.0)
    assert overdose_mg_h_l(NODES, curve, ceiling_mg_l=30.0)[0] == pytest.approx(4.0)


def test_the_longest_run_goes_on_over_midnight() -> None:
    # Over from 22:00 to 24:00 and from 0:00 to 3:00: five hours in one.
    curve = np.full((25, 2), 20.0)
    curve[:4, 0] = curve[22:, 0] = 40.0
    # At noon and 13:00 alone: one hour.
    curve[12:14, 1] = 40.0
    hours = longest_over_h(NODES, curve, ceiling_mg_l=31.0)
    assert hours == pytest.approx([5.0, 1.0])


def test_never_over_is_nil_and_always_over_is_a_day() -> None:
    curve = np.stack([np.full(25, 10.0), np.full(25, 50.0)], axis=1)
    assert longest_over_h(NODES, curve, ceiling_mg_l=30.0) == pytest.approx([0.0, 24.0])


def test_a_plan_says_how_steady_it_is() -> None:
    found = plan(read_job(example_text("library-foyer-120.toml")), draws_count=200)
    steady, risk = found.stability, found.risk
    assert steady is not None
    assert risk is not None
    assert steady.lit_h == pytest.approx(8.0)
    assert 0 < steady.in_band_h.high <= steady.lit_h
    assert steady.lights_off_mg_l.value <= found.co2_peak_mg_l.value
    assert steady.night_low_mg_l.value < found.co2_at_lights_on_mg_l.value
    middle = 0.5 * (found.target_low_mg_l + found.target_high_mg_l)
    assert steady.lights_on_ratio.value == pytest.approx(found.co2_at_lights_on_mg_l.value / middle, rel=0.02)
    # With over 6 mg/L of oxygen the risk is CO2 over the ceiling.
    assert risk.peak_number.value == pytest.approx(
        found.co2_peak_mg_l.value / found.ceiling.soft_mg_l, rel=0.02
    )
    assert risk.p_over_frac >= found.p_over_ceiling_frac
    assert sum(share.share_frac for share in found.input_shares) == pytest.approx(1.0, abs=0.05)
    assert found.input_shares[0].name == "surface loss"
