"""What a KH kit counts, and how it rounds."""

from __future__ import annotations

import pytest

from fizzwright.engines.water.conditional import conditional_constants
from fizzwright.engines.water.kit import (
    drop_kit_low_dkh,
    end_point_bias_meq_l,
    minor_alkalinity,
    organic_alk_fakhraei_meq_l,
    organic_alk_hruska_meq_l,
    phosphate_alk_meq_l,
)
from fizzwright.engines.water.weak_acids import triprotic_charge_number

DKH = 0.35665
WATER = {"water_c": 25.0, "ionic_strength_mol_l": 0.004}


def test_mean_charge_by_hand():
    """Halfway between two steps far apart: 1.5. Far over the last: 3."""
    steps = {"second_log10": -7.0, "third_log10": -12.0}
    assert float(triprotic_charge_number(7.0, -2.0, **steps)) == pytest.approx(1.5, abs=1e-4)
    assert float(triprotic_charge_number(15.0, -2.0, **steps)) == pytest.approx(3.0, abs=2e-3)


def test_phosphate_by_hand():
    """pH 7, I 0.004: pK2' = 7.207 - 3 x 0.0294 = 7.119, share 10^-0.119/(1+10^-0.119) = 0.432.

    20 mg/L PO4 is 0.2106 mmol/L; the step below counts 0.002 less: 0.2106 x (0.432 + 0.004) = 0.0917.
    """
    assert float(phosphate_alk_meq_l(20.0, 7.0, **WATER)) == pytest.approx(0.0917, rel=0.01)


def test_phosphate_at_fertiliser_doses_is_about_one_percent():
    assert float(phosphate_alk_meq_l(5.0, 6.6, **WATER)) < 0.012 * 4.0 * DKH


def test_later_end_point_counts_more():
    early = phosphate_alk_meq_l(20.0, 7.0, **WATER, end_ph=5.4)
    late = phosphate_alk_meq_l(20.0, 7.0, **WATER, end_ph=4.3)
    assert early < late
    assert organic_alk_hruska_meq_l(20.0, 7.0, end_ph=5.4) < organic_alk_hruska_meq_l(20.0, 7.0, end_ph=4.3)


def test_two_studies_of_tannins_agree_within_half():
    for ph in (6.0, 6.5, 7.0):
        first, second = organic_alk_hruska_meq_l(10.0, ph), organic_alk_fakhraei_meq_l(10.0, ph)
        assert 0.5 < float(second / first) < 1.5


def test_minor_terms_by_hand():
    """pH 7: 20 mg/L SiO2, 0.3329 mmol/L x 10^(7-9.831) = 0.00049; 0.5 mg/L B, 0.0463 x 10^-2.24 = 0.00027.

    1 mg/L NH4-N, 0.0714 x 10^-2.244 = 0.00041 meq/L.
    """
    found = minor_alkalinity(7.0, water_c=25.0, silica_mg_l=20.0, boron_mg_l=0.5, ammonium_n_mg_l=1.0)
    assert float(found.silicate_meq_l) == pytest.approx(0.00049, rel=0.02)
    assert float(found.borate_meq_l) == pytest.approx(0.00027, rel=0.02)
    assert float(found.ammonia_meq_l) == pytest.approx(0.00041, rel=0.02)


def test_end_point_by_hand():
    """To pH 4.5 with the CO2 shaken out: over-counts [H] = 10^-4.5 x 0.997 / 0.934 = 0.0338 meq/L."""
    constants = conditional_constants(25.0, 0.004)
    vented = end_point_bias_meq_l(10.0, DKH, end_ph=4.5, kept_frac=0.0, constants=constants)
    assert float(vented) == pytest.approx(0.0338, rel=0.01)
    # Kept in the vial: 0.227 + 8 x 0.357 = 3.08 mmol/L, of which 10^-4.5 leaves 1.5 % as bicarbonate.
    kept = end_point_bias_meq_l(10.0, 8.0 * DKH, end_ph=4.5, kept_frac=1.0, constants=constants)
    assert float(kept) == pytest.approx(0.0338 - 3.08 * 0.0149, abs=0.002)


def test_a_colour_that_turns_early_reads_low_in_a_still_vial():
    constants = conditional_constants(25.0, 0.003)
    early = end_point_bias_meq_l(30.0, 4.0 * DKH, end_ph=5.4, kept_frac=1.0, constants=constants)
    shaken = end_point_bias_meq_l(30.0, 4.0 * DKH, end_ph=5.4, kept_frac=0.0, constants=constants)
    assert float(early) < -0.1
    assert 0.0 < float(shaken) < 0.01


def test_drop_kit():
    assert float(drop_kit_low_dkh(4.0, 1.0)) == 3.0
    assert float(drop_kit_low_dkh(1.0, 1.0)) == 0.0
    assert float(drop_kit_low_dkh(0.5, 1.0)) == 0.0
