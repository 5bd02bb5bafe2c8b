"""Animals, bottom and bacteria: what they use, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.living.animals import co2_breathed_mg_h, resting_o2_mg_h, routine_o2_mg_h
from fizzwright.engines.living.demand import (
    BOTTOM_LOG_SD_NUMBER,
    BOTTOM_O2_MG_M2_H,
    ammonia_n_mg_h,
    bottom_o2_mg_h,
    nitrification_drift_dkh_day,
    nitrification_o2_mg_h,
)


def test_fifty_grams_at_25_c() -> None:
    """exp(15.7 - 5020/298.15) = exp(-1.13719) = 0.32072 mmol/h x 31.9988 = 10.263 mg/h."""
    assert float(resting_o2_mg_h(50.0, 25.0)) == pytest.approx(10.263, rel=1e-3)


def test_mass_scales_with_the_power_four_fifths() -> None:
    ratio = resting_o2_mg_h(32.0, 25.0) / resting_o2_mg_h(1.0, 25.0)
    assert float(ratio) == pytest.approx(16.0)  # 32^0.8 = 2^4


def test_activity_and_arrays() -> None:
    rates = routine_o2_mg_h(np.array([1.0, 2.0]), 25.0, activity_factor=2.0)
    np.testing.assert_allclose(rates, 2 * resting_o2_mg_h(np.array([1.0, 2.0]), 25.0))


def test_co2_breathed() -> None:
    """31.9988 mg O2 at quotient 0.9 is 0.9 x 44.0095 = 39.609 mg CO2."""
    assert co2_breathed_mg_h(31.9988) == pytest.approx(39.60855)


def test_bottom_and_food() -> None:
    """1 g food with 45 % protein: 72 mg N, 60 % nitrified = 43.2 mg/day = 1.8 mg/h; x 4.57 = 8.2 mg O2/h."""
    assert bottom_o2_mg_h(2.0, 26.0) == pytest.approx(52.0)
    assert ammonia_n_mg_h(1.0) == pytest.approx(1.8)
    assert nitrification_o2_mg_h(1.8) == pytest.approx(8.226)


def test_drift_of_hardness_ammonium_against_protein() -> None:
    """1 mg/L NH4-N in 1 L over a day: 2/14.007 = 0.14279 meq/L = 0.4004 dKH; protein half of that."""
    ammonium = nitrification_drift_dkh_day(1 / 24, 1.0, eq_per_mol_ratio=2.0)
    assert ammonium == pytest.approx(-0.4004, rel=1e-3)
    assert nitrification_drift_dkh_day(1 / 24, 1.0) == pytest.approx(ammonium / 2)


def test_warmth_as_printed() -> None:
    """seen: Q10 of 1.83 between 0 and 30 degC across species (Clarke & Johnston 1999, abstract)."""
    ratio = float(resting_o2_mg_h(50.0, 30.0) / resting_o2_mg_h(50.0, 0.0))
    assert ratio ** (1 / 3) == pytest.approx(1.83, abs=0.01)


def test_bottom_prior_has_the_spread_and_mean_of_river_cores() -> None:
    """seen: 0.19-1.41, mean 0.62 g/m2/d (Rong et al. 2016), i.e. 7.9-58.8, mean 25.8 mg/m2/h."""
    middle, spread = BOTTOM_O2_MG_M2_H, BOTTOM_LOG_SD_NUMBER
    assert middle * np.exp(spread**2 / 2) == pytest.approx(25.8, rel=0.05)
    assert middle * np.exp(-1.6449 * spread) == pytest.approx(7.9, rel=0.06)
    assert middle * np.exp(1.6449 * spread) == pytest.approx(58.8, rel=0.03)
