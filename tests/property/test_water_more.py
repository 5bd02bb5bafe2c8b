"""Properties of mixing, powders, airing and fusion that must hold for any water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fizzwright.engines.water.airing import Glass, airing_curve
from fizzwright.engines.water.carbon import from_co2_and_alk, from_dic_and_alk
from fizzwright.engines.water.ionic import Ions
from fizzwright.engines.water.known_ions import ionic_water
from fizzwright.engines.water.mixing import bulk_from_co2, carbon_state, poured_together
from fizzwright.engines.water.powders import added_mmol_l, grams_for_g
from fizzwright.inference.fusion import KitKh, ProbeReading, Readings, estimated

alks = st.floats(0.1, 5.0)
levels = st.floats(0.3, 80.0)
warmths = st.floats(10.0, 32.0)


@given(levels, alks, warmths, st.floats(0.0, 1.0))
def test_mixing_a_water_with_itself_changes_nothing(level, alk, warmth, share):
    water = bulk_from_co2(level, alk, water_c=warmth, ionic_strength_mol_l=1e-3 * alk)
    state = carbon_state(poured_together(water, water, second_frac=share))
    assert float(state.co2_mg_l) == pytest.approx(level, rel=1e-5)


@given(levels, levels, alks, alks, st.floats(0.05, 0.95))
def test_a_mixture_lies_between_in_what_adds_up(one, other, alk, more, share):
    rest = {"water_c": 25.0, "ionic_strength_mol_l": 0.003}
    mixed = poured_together(
        bulk_from_co2(one, alk, **rest), bulk_from_co2(other, more, **rest), second_frac=share
    )
    assert min(alk, more) - 1e-9 <= float(mixed.alk_meq_l) <= max(alk, more) + 1e-9


@given(st.floats(0.01, 5.0), st.floats(1.0, 500.0), st.floats(20.0, 300.0), st.sampled_from([1.0, 2.0]))
def test_grams_and_back(rise, volume, molar, ratio):
    mass = grams_for_g(rise, volume, molar_g=molar, given_ratio=ratio)
    assert float(added_mmol_l(mass, volume, molar_g=molar, given_ratio=ratio)) == pytest.approx(rise)


@settings(max_examples=25)
@given(st.floats(0.1, 5.0), st.floats(0.5, 20.0), warmths)
def test_an_aired_sample_only_rises(alk, velocity, warmth):
    curve = airing_curve(25.0, alk, glass=Glass(5.0, velocity, warmth, 0.003, 0.7))
    assert np.all(np.diff(curve.ph) > 0.0)
    assert np.all(np.diff(curve.elapsed_h) > 0.0)


@settings(max_examples=25)
@given(levels, alks, warmths, st.floats(0.0, 3.0))
def test_carbon_goes_round_in_known_ions(level, alk, warmth, calcium):
    ions = Ions(ca_mmol_l=calcium, cl_mmol_l=calcium, na_mmol_l=alk)
    _, first = ionic_water(
        lambda c: from_co2_and_alk(level / 44.0095, alk, constants=c), ions, water_c=warmth
    )
    _, second = ionic_water(
        lambda c: from_dic_and_alk(first.dic_mmol_l, alk, constants=c), ions, water_c=warmth
    )
    assert float(second.co2_mmol_l) == pytest.approx(level / 44.0095, rel=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 12.0), st.floats(5.8, 7.6))
def test_more_kh_at_one_ph_is_more_co2(kh, ph):
    less, _ = estimated(Readings(water_c=25.0, kits=(KitKh(kh - 0.25, kh + 0.25),), probe=ProbeReading(ph)))
    more, _ = estimated(Readings(water_c=25.0, kits=(KitKh(kh + 0.75, kh + 1.25),), probe=ProbeReading(ph)))
    assert less.low <= less.value <= less.high
    assert less.value < more.value
