"""Constants of the water against general libraries that code the same or better sources themselves."""

from __future__ import annotations

import numpy as np
import pytest

from fizzwright.engines.water.constants import (
    density_smow_kg_m3,
    k1_millero_log10,
    k1_plummer_log10,
    k2_millero_log10,
    k2_plummer_log10,
    kw_millero_log10,
)
from fizzwright.engines.water.gases import (
    co2_air_equilibrium_mg_l,
    fugacity_weiss_factor,
    k0_volumetric_weiss_log10,
    k0_weiss_log10,
    vapour_weiss_price_atm,
)

pytestmark = pytest.mark.peers

WARMTHS = np.linspace(5.0, 35.0, 13)


@pytest.fixture(scope="module")
def fresh():
    """PyCO2SYS for fresh water (its option 8), all constants at the warmths asked."""
    library = pytest.importorskip("PyCO2SYS")
    return library.sys(
        par1=1000.0, par1_type=1, par2=7.0, par2_type=3, salinity=0.0, temperature=WARMTHS, opt_k_carbonic=8
    )


def test_solubility_of_co2(fresh):
    """Weiss 1974 as coded there, the same coefficients typed by another hand."""
    theirs = np.log10(fresh["k_CO2"])
    assert np.max(np.abs(k0_weiss_log10(WARMTHS) - theirs)) < 1e-6


def test_fugacity_and_vapour(fresh):
    assert fugacity_weiss_factor(WARMTHS, pressure_atm=1.0) == pytest.approx(
        fresh["fugacity_factor"], abs=2e-5
    )
    assert vapour_weiss_price_atm(WARMTHS) == pytest.approx(1.0 - fresh["vp_factor"], rel=1e-6)


def test_air_equilibrium_within_half_a_percent(fresh):
    """420 ppm of dry air over fresh water, with their solubility, vapour and fugacity."""
    molal = fresh["k_CO2"] * 420e-6 * fresh["vp_factor"] * fresh["fugacity_factor"]
    theirs = molal * 44009.5 * density_smow_kg_m3(WARMTHS) / 1000.0
    assert co2_air_equilibrium_mg_l(WARMTHS, 420.0) == pytest.approx(theirs, rel=0.001)


def test_dissociation_constants(fresh):
    assert k1_millero_log10(WARMTHS) == pytest.approx(np.log10(fresh["k_carbonic_1"]), abs=1e-5)
    assert k2_millero_log10(WARMTHS) == pytest.approx(np.log10(fresh["k_carbonic_2"]), abs=1e-5)
    assert kw_millero_log10(WARMTHS) == pytest.approx(np.log10(fresh["k_water"]), abs=1e-5)


def test_the_choice_of_constants_does_not_matter():
    """Two sets from other laboratory work: under 0.002 in pK1 is under 0.5 % of CO2."""
    assert np.max(np.abs(k1_plummer_log10(WARMTHS) - k1_millero_log10(WARMTHS))) < 0.002
    assert np.max(np.abs(k2_plummer_log10(WARMTHS) - k2_millero_log10(WARMTHS))) < 0.002


def test_two_forms_of_the_solubility_agree_through_the_density():
    """Weiss 1974 prints one fit for a kilogram and one for a litre."""
    litre = 10.0 ** k0_weiss_log10(WARMTHS) * density_smow_kg_m3(WARMTHS) / 1000.0
    assert 10.0 ** k0_volumetric_weiss_log10(WARMTHS) == pytest.approx(litre, rel=0.002)


def test_density_and_vapour_against_the_steam_tables():
    """IAPWS 1995 as coded in CoolProp."""
    props = pytest.importorskip("CoolProp.CoolProp")
    kelvins = WARMTHS + 273.15
    density = [props.PropsSI("D", "T", t, "P", 101325.0, "Water") for t in kelvins]
    assert density_smow_kg_m3(WARMTHS) == pytest.approx(density, rel=2e-5)
    vapour = [props.PropsSI("P", "T", t, "Q", 0, "Water") / 101325.0 for t in kelvins]
    assert vapour_weiss_price_atm(WARMTHS) == pytest.approx(vapour, rel=0.002)
