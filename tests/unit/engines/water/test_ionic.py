"""Ionic strength from an analysis, from conductivity, from a pen, from alkalinity."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.ionic import (
    Ions,
    SaltBasis,
    cations_from_ec_meq_l,
    ionic_strength_best,
    ionic_strength_from_cations_mol_l,
    ionic_strength_from_ec_mol_l,
    ionic_strength_from_ions_mol_l,
    ionic_strength_from_tds_mol_l,
)


def test_full_analysis_by_hand():
    """Ca 0.9, Mg 0.35, SO4 0.45 (x4); Na 0.9, K 0.1, Cl 1.1734, alk 1.4266: 0.5 x (6.8 + 3.6) = 5.2."""
    tap = Ions(ca_mmol_l=0.9, mg_mmol_l=0.35, na_mmol_l=0.9, k_mmol_l=0.1, cl_mmol_l=1.1734, so4_mmol_l=0.45)
    assert float(ionic_strength_from_ions_mol_l(tap, 1.4266)) == pytest.approx(0.0052, rel=1e-4)


def test_rules_of_thumb():
    assert float(ionic_strength_from_ec_mol_l(350.0)) == pytest.approx(0.0056)
    assert float(ionic_strength_from_tds_mol_l(200.0)) == pytest.approx(0.005)


def test_conductivity_of_plain_bicarbonate():
    """NaHCO3 at infinite dilution conducts 50.1 + 44.5 = 94.6 per meq/L (CRC Handbook, from memory)."""
    assert float(cations_from_ec_meq_l(0.946, 0.01)) == pytest.approx(0.01, rel=0.01)


def test_conductivity_never_gives_less_charge_than_the_alkalinity():
    assert float(cations_from_ec_meq_l(10.0, 2.0)) == 2.0


def test_divalent_ions_add_once_more_by_hand():
    """3 meq/L of cations, 1.25 mmol/L of them doubly charged, 1 meq/L of other anions, 0.225 of it again."""
    found = ionic_strength_from_cations_mol_l(3.0, 2.0, hardness_mmol_l=1.25)
    assert float(found) == pytest.approx(1e-3 * (3.0 + 1.25 + 0.225))


def test_best_choice_goes_conductivity_pen_alkalinity():
    assert ionic_strength_best(1.4, ec_us_cm=300.0, tds_mg_l=900.0).basis is SaltBasis.EC
    assert ionic_strength_best(1.4, tds_mg_l=180.0).basis is SaltBasis.TDS
    assert ionic_strength_best(1.4).basis is SaltBasis.ALKALINITY
    # A pen of 0.6: 180 mg/L stands for 300 µS/cm.
    pen = ionic_strength_best(1.4, tds_mg_l=180.0)
    meter = ionic_strength_best(1.4, ec_us_cm=300.0)
    assert float(pen.ionic_strength_mol_l) == pytest.approx(float(meter.ionic_strength_mol_l))
    assert pen.ionic_high_mol_l > meter.ionic_high_mol_l


def test_known_hardness_narrows_the_doubt():
    loose = ionic_strength_best(1.4, ec_us_cm=350.0)
    tight = ionic_strength_best(1.4, ec_us_cm=350.0, hardness_mmol_l=1.2)
    assert tight.ionic_high_mol_l / tight.ionic_low_mol_l < loose.ionic_high_mol_l / loose.ionic_low_mol_l
    assert float(tight.hardness_low_mmol_l) == float(tight.hardness_high_mmol_l) == 1.2


def test_hardness_is_capped_by_the_charge_there_is():
    """A GH of 5 mmol/L cannot stand in a water of 50 µS/cm."""
    found = ionic_strength_best(0.2, ec_us_cm=50.0, hardness_mmol_l=5.0)
    assert found.hardness_mmol_l <= 0.5 * cations_from_ec_meq_l(50.0, 0.2) + 1e-12


def test_alkalinity_alone_with_and_without_hardness():
    """Known hardness sets at least three times its amount: 3 x 1.5 = 4.5 mmol/L."""
    assert float(ionic_strength_best(1.0).ionic_strength_mol_l) == pytest.approx(0.0015)
    known = ionic_strength_best(1.0, hardness_mmol_l=1.5)
    assert float(known.ionic_strength_mol_l) == pytest.approx(0.0045)


def test_draws_of_alkalinity_keep_their_shape():
    found = ionic_strength_best(np.linspace(0.0, 3.0, 7), ec_us_cm=300.0)
    assert found.ionic_strength_mol_l.shape == found.hardness_mmol_l.shape == (7,)
