"""CO2 and pH against PHREEQC, in waters drawn at random and speciated on the spot.

PHREEQC counts ion pairs and uses extended Debye-Hückel activities, so it is another model, not another
spelling of ours. Both databases are those shipped with phreeqpython.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pytest

from fizzwright.engines.water.carbonate import (
    co2_from_dic_mg_l,
    co2_from_ph_mg_l,
    dic_from_co2_mmol_l,
    ph_from_co2,
    ph_from_dic,
)
from fizzwright.engines.water.constants import density_smow_kg_m3
from fizzwright.engines.water.ionic import (
    Ions,
    ionic_strength_best,
    ionic_strength_from_ions_mol_l,
)
from fizzwright.engines.water.kit import minor_alkalinity, phosphate_alk_meq_l

pytestmark = pytest.mark.peers

CO2_G_MOL = 44.0095
CASES = 40
NAMES = {"Ca": "ca", "Mg": "mg", "Na": "na", "K": "k", "Cl": "cl", "S(6)": "so4", "N(5)": "no3"}


@dataclass(frozen=True)
class Water:
    """One water for both: molal amounts for PHREEQC, litres for ours."""

    water_c: float
    ph: float
    alk: float
    ions: dict[str, float]
    extra: dict[str, float] = field(default_factory=dict)

    @property
    def litre_kg(self) -> float:
        return float(density_smow_kg_m3(self.water_c)) / 1000.0

    @property
    def alk_meq_l(self) -> float:
        return self.alk * self.litre_kg

    @property
    def hardness_mmol_l(self) -> float:
        return (self.ions.get("Ca", 0.0) + self.ions.get("Mg", 0.0)) * self.litre_kg

    @property
    def ionic_strength_mol_l(self) -> float:
        named = {f"{NAMES[ion]}_mmol_l": amount * self.litre_kg for ion, amount in self.ions.items()}
        return float(ionic_strength_from_ions_mol_l(Ions(**named), self.alk_meq_l))

    def speciated(self, engine):
        amounts = {**self.ions, **self.extra, "Alkalinity": self.alk}
        return engine.add_solution({"units": "mmol/kgw", "temp": self.water_c, "pH": self.ph, **amounts})

    def co2_mg_l(self, solution) -> float:
        return solution.species["CO2"] * 1000.0 * CO2_G_MOL * self.litre_kg


def _bicarbonate(rng, alk):
    return {rng.choice(["Na", "K"]): alk}


def _balanced(alk, cations, anions):
    """Chloride makes up the charge, as tap water's does."""
    charge = sum((2 if ion in ("Ca", "Mg") else 1) * amount for ion, amount in cations.items())
    short = charge - alk - sum((2 if ion == "S(6)" else 1) * amount for ion, amount in anions.items())
    return {**cations, **anions, "Cl": max(short, 0.05)}


def _tap(rng, alk):
    calcium = rng.uniform(0.4, 1.0) * min(max(alk, 0.6), 3.0)  # at most 23 dGH with the magnesium
    cations = {"Ca": calcium, "Mg": 0.35 * calcium, "Na": rng.uniform(0.2, 1.2)}
    return _balanced(alk, cations, {"S(6)": rng.uniform(0.1, 0.3) * cations["Ca"]})


def _remineralised(rng, alk):
    gh = rng.uniform(0.4, 1.4)
    cations = {"Ca": 0.65 * gh, "Mg": 0.35 * gh, "K": alk + rng.uniform(0.1, 1.0)}
    return _balanced(alk, cations, {"S(6)": 0.8 * gh, "N(5)": rng.uniform(0.05, 0.5)})


KINDS = {"bicarbonate": _bicarbonate, "tap": _tap, "remineralised": _remineralised}


def drawn(kind, seed, *, ph=(5.5, 7.8), count=CASES):
    rng = np.random.default_rng(seed)
    waters = []
    for _ in range(count):
        alk = float(np.exp(rng.uniform(np.log(0.15), np.log(5.0))))
        waters.append(Water(rng.uniform(10.0, 32.0), rng.uniform(*ph), alk, KINDS[kind](rng, alk)))
    return waters


@pytest.fixture(scope="module")
def engine():
    phreeqpython = pytest.importorskip("phreeqpython")
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


@pytest.mark.parametrize("kind", KINDS)
def test_co2_from_ph_within_one_percent(engine, kind):
    worst = 0.0
    for water in drawn(kind, 11):
        solution = water.speciated(engine)
        ours = co2_from_ph_mg_l(
            water.ph,
            water.alk_meq_l,
            water_c=water.water_c,
            ionic_strength_mol_l=water.ionic_strength_mol_l,
            hardness_mmol_l=water.hardness_mmol_l,
        )
        worst = max(worst, abs(float(ours) / water.co2_mg_l(solution) - 1.0))
        solution.forget()
    assert worst < 0.01


@pytest.mark.parametrize(
    ("kind", "allowed"), [("bicarbonate", 0.005), ("tap", 0.04), ("remineralised", 0.015)]
)
def test_leaving_ion_pairs_out_costs_little(engine, kind, allowed):
    """Without a hardness CO2 reads high, by what calcium and magnesium hold."""
    for water in drawn(kind, 12):
        solution = water.speciated(engine)
        ours = co2_from_ph_mg_l(
            water.ph,
            water.alk_meq_l,
            water_c=water.water_c,
            ionic_strength_mol_l=water.ionic_strength_mol_l,
        )
        assert -0.005 < float(ours) / water.co2_mg_l(solution) - 1.0 < allowed
        solution.forget()


@pytest.mark.parametrize("kind", KINDS)
def test_conductivity_stands_in_for_an_analysis(engine, kind):
    """Conductivity and GH instead of the ions: within 1.2 %; conductivity alone: within 3 %."""
    for water in drawn(kind, 13):
        solution = water.speciated(engine)
        truth = water.co2_mg_l(solution)
        # PHREEQC's conductivity is at the water's own temperature; a meter compensates to 25 °C.
        at_25 = Water(25.0, water.ph, water.alk, water.ions).speciated(engine)
        conductivity = at_25.sc
        for known, allowed in ((water.hardness_mmol_l, 0.012), (None, 0.03)):
            salt = ionic_strength_best(water.alk_meq_l, ec_us_cm=conductivity, hardness_mmol_l=known)
            ours = co2_from_ph_mg_l(
                water.ph,
                water.alk_meq_l,
                water_c=water.water_c,
                ionic_strength_mol_l=salt.ionic_strength_mol_l,
                hardness_mmol_l=salt.hardness_mmol_l,
            )
            assert abs(float(ours) / truth - 1.0) < allowed
        solution.forget()
        at_25.forget()


@pytest.mark.parametrize("kind", KINDS)
def test_stated_ionic_strength_limits_hold(engine, kind):
    """The 90 % limits of the conductivity route hold nine waters in ten."""
    held = 0
    waters = drawn(kind, 14)
    for water in waters:
        solution = Water(25.0, water.ph, water.alk, water.ions).speciated(engine)
        salt = ionic_strength_best(water.alk_meq_l, ec_us_cm=solution.sc)
        held += float(salt.ionic_low_mol_l) * 0.999 <= solution.I <= float(salt.ionic_high_mol_l) * 1.001
        solution.forget()
    assert held >= 0.9 * len(waters)


@pytest.mark.parametrize("kind", KINDS)
def test_ph_from_co2_and_from_dic(engine, kind):
    for water in drawn(kind, 15):
        solution = water.speciated(engine)
        given = {
            "water_c": water.water_c,
            "ionic_strength_mol_l": water.ionic_strength_mol_l,
            "hardness_mmol_l": water.hardness_mmol_l,
        }
        # 1 % of CO2 is 0.0043 pH.
        ph = ph_from_co2(water.co2_mg_l(solution), water.alk_meq_l, **given)
        assert float(ph) == pytest.approx(water.ph, abs=0.0045)
        dic = solution.total_element("C") * water.litre_kg
        # Near pH 7.8 the carbon is almost all bicarbonate, so that pH hangs on a small difference.
        assert float(ph_from_dic(dic, water.alk_meq_l, **given)) == pytest.approx(water.ph, abs=0.01)
        back = dic_from_co2_mmol_l(water.co2_mg_l(solution), water.alk_meq_l, **given)
        assert float(back) == pytest.approx(dic, rel=0.004)
        solution.forget()


def test_mixing_keeps_alkalinity_and_carbon(engine):
    """Two bicarbonate waters half and half: CO2 follows from the mean alkalinity and the mean carbon."""
    rng = np.random.default_rng(16)
    for _ in range(10):
        parts = drawn("bicarbonate", int(rng.integers(1_000_000)), count=2)
        parts = [Water(24.0, part.ph, part.alk, {"Na": part.alk}) for part in parts]
        made = [part.speciated(engine) for part in parts]
        mixed = engine.mix_solutions({made[0]: 0.5, made[1]: 0.5})
        alk = 0.5 * sum(part.alk_meq_l for part in parts)
        dic = 0.5 * sum(one.total_element("C") for one in made) * parts[0].litre_kg
        ours = co2_from_dic_mg_l(dic, alk, water_c=24.0, ionic_strength_mol_l=1e-3 * alk)
        assert float(ours) == pytest.approx(parts[0].co2_mg_l(mixed), rel=0.01)
        for one in (*made, mixed):
            one.forget()


@pytest.mark.parametrize("phosphate_mg_l", [1.0, 5.0, 20.0, 100.0])
def test_phosphate_taken_off_the_kit(engine, phosphate_mg_l):
    """PHREEQC's alkalinity counts phosphate as a titration to pH 4.5 does; less our share it gives CO2."""
    for ph in (6.0, 6.6, 7.2):
        for kh in (1.0, 4.0):
            amount = phosphate_mg_l / 94.9714
            alk = 0.35665 * kh + 1.5 * amount
            water = Water(25.0, ph, alk, {"K": alk}, {"P": amount})
            solution = water.speciated(engine)
            # Phosphate brings its own ions: each step of charge adds to the ionic strength.
            strength = solution.I * water.litre_kg
            counted = phosphate_alk_meq_l(phosphate_mg_l, ph, water_c=25.0, ionic_strength_mol_l=strength)
            # PHREEQC's zero of phosphate alkalinity is H2PO4-, our kit's is pH 4.5, 0.002 apart.
            ours = co2_from_ph_mg_l(
                ph, water.alk_meq_l - float(counted), water_c=25.0, ionic_strength_mol_l=strength
            )
            assert float(ours) == pytest.approx(water.co2_mg_l(solution), rel=0.02)
            solution.forget()


def test_borate_and_silicate_are_next_to_nothing_below_ph_8(engine):
    for ph in (6.5, 7.5, 8.2):
        water = Water(25.0, ph, 1.4266, {"K": 1.4266}, {"B": 4.5 / 10.81, "Si": 20.0 / 60.0843})
        solution = water.speciated(engine)
        minor = minor_alkalinity(ph, water_c=25.0, silica_mg_l=20.0, boron_mg_l=4.5)
        others = float(minor.silicate_meq_l + minor.borate_meq_l)
        ours = co2_from_ph_mg_l(
            ph, water.alk_meq_l - others, water_c=25.0, ionic_strength_mol_l=solution.I * water.litre_kg
        )
        assert float(ours) == pytest.approx(water.co2_mg_l(solution), rel=0.01)
        assert others < 0.004 * water.alk_meq_l or ph > 7.0
        solution.forget()
