"""The survey stage: sizes by hand, priors against a tank test, ceilings, findings, and an honest trail."""

from __future__ import annotations

import dataclasses
import math
import sys
from datetime import date
from typing import Any

import pytest

from fizzwright.engines.water.conditional import conditional_constants
from fizzwright.job.model import Job
from fizzwright.result import Estimate, Level
from fizzwright.sources import equation_of
from fizzwright.stages.ceiling import ceiling_for
from fizzwright.stages.derive import air_side, animal_rates, bottom_rates, canopies, loss_prior, tank_geometry
from fizzwright.stages.survey import survey
from fizzwright.stages.survey_result import SurveyResult

BENCH: dict[str, Any] = {
    "job": {"name": "shallow bench 90"},
    "tank": {
        "length": "90 cm", "width": "45 cm", "height": "45 cm", "water_depth": "42 cm",
        "substrate_depth": "6 cm", "hardscape_volume": "6 L", "extra_volume": "5 L",
    },
    "water": {"kh": "4 dKH", "kh_step": "0.5 dKH", "temperature": "25 C", "ec": "250 uS/cm"},
    "surface": {"looks": "smooth but moving"},
    "light": {"on": "10:00", "off": "18:00", "par": "90 umol/m2/s"},
    "plants": [{"cover": "60 %"}, {"grows": "fast stems or carpet", "cover": "20 %", "density": "dense"}],
    "animals": [{"group": "robust small tropical fish", "count": 30, "mass": "0.7 g"}],
    "gasline": {
        "bottle": {"charge": "500 g", "tested": "2024-03"},
        "diffuser": {"kind": "fine ceramic disc", "depth": "35 cm"},
    },
    "room": {"volume": "80 m3"},
}  # fmt: skip


def _job(**changes: Any) -> Job:
    """The bench tank with some parts changed; a dict is merged into its part, anything else replaces it."""
    parts = dict(BENCH)
    for part, change in changes.items():
        both = isinstance(change, dict) and isinstance(parts.get(part), dict)
        parts[part] = {**parts[part], **change} if both else change
    return Job.model_validate(parts)


def _said(result: SurveyResult, about: str) -> list[tuple[Level, str]]:
    return [(f.level, f.text) for f in result.trail.findings if f.about == about]


def test_geometry_by_hand() -> None:
    """0.405 m2 x 36 cm = 145.8 L; pores 0.4 x 24.3 = 9.72 L; less 6, plus 5: 154.52 L; depth 0.38153 m."""
    tank = tank_geometry(_job())
    assert tank.net_volume_l == pytest.approx(154.52)
    assert tank.surface_area_m2 == pytest.approx(0.405)
    assert tank.mean_depth_m == pytest.approx(0.381531, rel=1e-5)
    assert tank.free_depth_m == pytest.approx(0.36)
    assert 0.02 <= tank.net_volume_log_sd_number <= 0.04


def test_vague_sizes_widen_the_volume() -> None:
    rocky = tank_geometry(_job(tank={"hardscape_volume": "60 L", "substrate_depth": "15 cm"}))
    assert rocky.net_volume_log_sd_number > 2 * tank_geometry(_job()).net_volume_log_sd_number


@pytest.mark.parametrize(
    ("looks", "start", "after", "hours"),
    [
        ("rippled", 33.0, 24.0, 1.0),
        ("rippled", 33.0, 17.0, 2.0),
        ("smooth but moving", 33.0, 28.5, 1.0),
    ],
)
def test_a_published_tank_test_lies_inside_the_prior(
    looks: str, start: float, after: float, hours: float
) -> None:
    """seen (excerpt): Booth & Booth 1992, 122 x 46 cm surface, 299 L, 26 degC, titration good to 2 mg/L.

    Loss by hand: ln((33 - 0.6)/(C - 0.6)) / t, e.g. ln(32.4/23.4) = 0.325 /h in the first hour.
    """
    tank = {
        "length": "122 cm", "width": "46 cm", "height": "61 cm", "water_depth": "53.3 cm",
        "substrate_depth": "0 cm", "hardscape_volume": "0 L", "extra_volume": "0 L",
    }  # fmt: skip
    prior = loss_prior(_job(tank=tank, surface={"looks": looks}, water={"temperature": "26 C"}))
    measured = math.log((start - 0.6) / (after - 0.6)) / hours
    assert prior.low_per_h < measured < prior.high_per_h


def test_fitted_loss_replaces_the_look_of_the_surface() -> None:
    fitted = loss_prior(_job(surface={"looks": "rippled", "loss": "0.12 /h", "loss_spread": "8 %"}))
    assert (fitted.median_per_h, fitted.log_sd_number, fitted.basis) == (0.12, 0.08, "fitted")
    assert fitted.equations == ()
    assert fitted.high_per_h == pytest.approx(0.12 * math.exp(1.6449 * 0.08))


def test_closed_hood_widens_the_loss() -> None:
    open_top, hood = loss_prior(_job()), loss_prior(_job(tank={"lid": "closed hood"}))
    assert hood.median_per_h == open_top.median_per_h
    assert hood.log_sd_number == pytest.approx(math.hypot(open_top.log_sd_number, 0.30))


def test_living_rates_by_hand() -> None:
    """30 fish of 0.7 g: 18.2 mg O2/h, x 1.3754 x 0.9 = 22.5 mg CO2/h; bottom 0.405 x 22 = 8.91 mg O2/h."""
    animals, bottom = animal_rates(_job()), bottom_rates(_job())
    assert animals.o2_mg_h == pytest.approx(18.2, abs=0.05)
    assert animals.co2_mg_h == pytest.approx(22.5, abs=0.1)
    assert animals.food_g_day == pytest.approx(0.315)
    assert bottom.o2_mg_h == pytest.approx(8.91)
    assert bottom_rates(_job(tank={"substrate_depth": "0 cm"})).o2_mg_h == pytest.approx(3.24)
    assert animal_rates(_job(animals=[])).o2_mg_h == 0.0


def test_beds_take_their_share_of_the_bottom() -> None:
    assert [bed.area_m2 for bed in canopies(_job())] == pytest.approx([0.243, 0.081])


def test_room_air_measured_or_guessed() -> None:
    """25 degC: 1000 ppm leaves 1.443 mg/L at sea level (derived, independent implementation)."""
    read = air_side(_job(room={"co2": "1000 ppm", "altitude": "0 m"}))
    assert read.co2_mg_l == pytest.approx(1.443, abs=0.002)
    assert read.assumptions == ()
    guess = air_side(_job())
    assert guess.room_co2_log_sd_number > 3 * read.room_co2_log_sd_number
    assert guess.assumptions


def _animals(*groups: str) -> dict[str, Any]:
    return {"animals": [{"group": group, "count": 5, "mass": "0.5 g"} for group in groups]}


@pytest.mark.parametrize(
    ("groups", "soft", "hard", "low", "high"),
    [
        ((), 45, 60, 20, 30),
        (("robust small tropical fish",), 30, 40, 15, 25),
        (("robust small tropical fish", "hardy dwarf shrimp"), 25, 30, 10, 20),
        (("snails or mussels", "goldfish or carp"), 25, 35, 10, 20),
        (("robust small tropical fish", "fry, breeding, sick or unknown fish"), 12, 20, 5, 10),
    ],
)
def test_strictest_group_sets_the_ceiling(
    groups: tuple[str, ...], soft: float, hard: float, low: float, high: float
) -> None:
    found = ceiling_for(_job(**_animals(*groups)))
    assert (found.ceiling.soft_mg_l, found.ceiling.hard_mg_l) == (soft, hard)
    assert (found.target_low_mg_l, found.target_high_mg_l) == (low, high)


def test_warm_water_lowers_the_ceiling_by_a_fifth_but_not_twice_for_warm_kinds() -> None:
    warm = {"water": {"temperature": "29 C"}}
    assert ceiling_for(_job(**_animals("robust small tropical fish"), **warm)).ceiling.soft_mg_l == 24.0
    assert ceiling_for(_job(**_animals("large cichlids or discus"), **warm)).ceiling.soft_mg_l == 22.0
    both = _animals("robust small tropical fish", "large cichlids or discus")
    assert ceiling_for(_job(**both, **warm)).ceiling.set_by == "large cichlids or discus"
    stale = ceiling_for(_job(), dawn_o2_mg_l=5.5)
    assert stale.ceiling.soft_mg_l == 24.0


def test_own_target_is_kept_and_held_against_the_ceiling() -> None:
    kept = ceiling_for(_job(target={"low": "20 mg/L", "high": "35 mg/L"}))
    assert (kept.target_high_mg_l, kept.target_chosen_by) == (35.0, "user")
    assert [f.level for f in kept.findings if f.about == "target"] == [Level.CARE]
    over = ceiling_for(_job(target={"low": "20 mg/L", "high": "45 mg/L"}))
    assert [f.level for f in over.findings if f.about == "target"] == [Level.STOP]


def test_survey_of_the_bench() -> None:
    found = survey(_job(), today=date(2026, 3, 1))
    assert found.net_volume_l.value == pytest.approx(154.5, abs=0.3)
    assert found.net_volume_l.low < 150.5
    assert found.net_volume_l.high > 158.5
    assert found.half_life_h.value == pytest.approx(math.log(2) / found.loss_per_h.value, rel=0.01)
    # A drop kit of 0.5 dKH read 4: the truth lies between 3.5 and 4, a shade nearer the softer end.
    assert found.carbonate_kh_dkh.value == pytest.approx(3.75, abs=0.05)
    assert 3.4 < found.carbonate_kh_dkh.low < found.carbonate_kh_dkh.high < 4.0
    # Bands: x/÷ 2 for the plants at 90 %.
    demand = found.plant_demand_mg_h
    assert demand.high / demand.value == pytest.approx(2.0, rel=0.03)
    # Mixed 210.7 - 44, fast 469.2 - 196 mg/m2/h at 20 mg/L: 0.243 x 166.7 + 0.081 x 273.2 = 62.6.
    assert demand.value == pytest.approx(62.6, rel=0.01)
    assert found.ceiling.set_by == "robust small tropical fish"
    assert found.whole_release_ppm.value == pytest.approx(
        700 + 500 * 0.54367e-3 * 1e6 / 80 * 294.15 / 293.15, rel=0.003
    )
    assert not [f for f in found.trail.findings if f.level is Level.STOP]


def test_target_ph_follows_from_carbonate_and_target() -> None:
    """pH = pK1' + log10(HCO3/CO2): 3.75 dKH = 1.3374 meq/L against 20 mg/L = 0.45445 mmol/L, band a drop."""
    found = survey(_job())
    constants = conditional_constants(25.0, 0.0035)
    by_hand = -math.log10(float(constants.k1_mol_l)) + math.log10(3.75 * 0.356650 / (20 / 44.0095))
    assert found.target_ph.value == pytest.approx(by_hand, abs=0.01)
    # Half a drop either way is 6.7 % of alkalinity, 0.028 pH.
    assert found.target_ph.high - found.target_ph.low == pytest.approx(0.055, abs=0.012)


def test_phosphate_and_tint_are_taken_off_the_kit() -> None:
    plain = survey(_job()).carbonate_kh_dkh.value
    # 100 mg/L PO4 counts as 1.28 dKH at pH 7.0 and 0.58 at 6.5 (derived, independent implementation).
    buffered = survey(_job(water={"phosphate": "100 mg/L"})).carbonate_kh_dkh.value
    assert 0.58 < plain - buffered < 1.28
    tinted = survey(_job(water={"tint_doc": "20 mg/L"})).carbonate_kh_dkh.value
    assert 0.12 < plain - tinted < 0.26


NOTED = [
    ("room", {"room": {"volume": "20 m3"}}, Level.CARE, "15-minute"),
    ("room", {"room": {"volume": "6 m3"}}, Level.STOP, "immediately dangerous"),
    ("room", {"room": {"volume": "50 m3"}}, Level.NOTE, "8-hour"),
    ("bottle", {"gasline": {**BENCH["gasline"], "bottle": {"charge": "500 g"}}}, Level.CARE, "not noted"),
    ("tube", {"gasline": {**BENCH["gasline"], "tube": {"material": "silicone"}}}, Level.CARE, "Silicone"),
    (
        "diffuser",
        {"gasline": {**BENCH["gasline"], "diffuser": {"kind": "in-hose atomiser", "depth": "20 cm"}}},
        Level.CARE,
        "length is not noted",
    ),
    (
        "diffuser",
        {"gasline": {**BENCH["gasline"], "diffuser": {"kind": "air stone", "depth": "20 cm"}}},
        Level.CARE,
        "break the surface",
    ),
    (
        "diffuser",
        {"gasline": {**BENCH["gasline"], "diffuser": {"kind": "glass frit", "depth": "40 cm"}}},
        Level.CARE,
        "below the top",
    ),
    ("lid", {"tank": {"lid": "closed hood"}}, Level.CARE, "hood"),
    ("surface", {"surface": {"looks": "filmed or still"}}, Level.CARE, "filmed"),
    ("surface", {"tank": {"extra_volume": "40 L"}}, Level.NOTE, "sump"),
    ("kh", {"water": {"kh": "1 dKH", "kh_step": "1 dKH"}}, Level.CARE, "cannot tell"),
    ("kh", {"water": {"kh": "3 dKH", "kh_step": "1 dKH"}}, Level.CARE, "One drop"),
    ("ec", {"water": {"ec": None}}, Level.NOTE, "Conductivity"),
    ("tint", {"water": {"kh": "1 dKH", "tint_doc": "10 mg/L"}}, Level.CARE, "Tannins"),
    ("phosphate", {"water": {"phosphate": "50 mg/L"}}, Level.NOTE, "phosphate"),
    ("temperature", {"water": {"temperature": "29 C"}}, Level.CARE, "less oxygen"),
    ("plants", {"plants": []}, Level.CARE, "No plants"),
    ("plants", {"plants": [{"cover": "10 %"}]}, Level.NOTE, "worth it"),
    ("plants", {"light": {"par": "30 umol/m2/s"}}, Level.NOTE, "thin itself"),
    ("light", {"light": {"off": "21:30"}}, Level.NOTE, "11.5 hours"),
    ("light", {"light": {"par": "15 umol/m2/s"}}, Level.NOTE, "little light"),
    ("oxygen", {"surface": {"looks": "filmed or still"}}, Level.CARE, "end of the night"),
    ("animals", {**_animals("snails or mussels"), "water": {"kh": "2 dKH"}}, Level.CARE, "Shells"),
]


@pytest.mark.parametrize(("about", "change", "level", "words"), NOTED)
def test_findings(about: str, change: dict[str, Any], level: Level, words: str) -> None:
    hits = [(lv, text) for lv, text in _said(survey(_job(**change)), about) if words in text]
    assert [lv for lv, _ in hits] == [level]
    plain = [text for _, text in _said(survey(_job()), about) if words in text]
    assert plain == []


def test_bottle_age_needs_a_day_to_count_from() -> None:
    assert _said(survey(_job()), "bottle") == []
    assert _said(survey(_job(), today=date(2026, 3, 1)), "bottle") == []
    assert [lv for lv, _ in _said(survey(_job(), today=date(2030, 3, 1)), "bottle")] == [Level.NOTE]
    assert [lv for lv, _ in _said(survey(_job(), today=date(2034, 3, 1)), "bottle")] == [Level.CARE]
    assert "future" in _said(survey(_job(), today=date(2020, 1, 1)), "bottle")[0][1]


def test_crowded_still_tank_is_stopped_for_oxygen() -> None:
    crowd = [{"group": "robust small tropical fish", "count": 120, "mass": "1.5 g"}]
    found = survey(_job(animals=crowd, surface={"looks": "filmed or still"}))
    assert [lv for lv, _ in _said(found, "oxygen")] == [Level.STOP]
    assert found.trail.findings[0].level is Level.STOP


def test_night_oxygen_meets_the_worked_example() -> None:
    """derived (independent implementation): 41.5 mg/h, 100 L, 0.25 m2, kL 2 cm/h: 3.74 mg/L down after 12 h.

    Our survey divides by a loss of CO2 and carries it to oxygen with 1.06; here that product is 0.05 /h.
    """
    job = _job(
        tank={
            "length": "50 cm", "width": "50 cm", "height": "45 cm", "water_depth": "40 cm",
            "substrate_depth": "0 cm", "hardscape_volume": "0 L", "extra_volume": "0 L",
        },
        surface={"looks": "filmed or still", "loss": f"{0.05 / 1.06} /h", "loss_spread": "0.5 %"},
        light={"on": "08:00", "off": "20:00"},
        plants=[],
        animals=[{"group": "robust small tropical fish", "count": 57, "mass": "0.7 g"}],
    )  # fmt: skip
    animals, bottom, air = animal_rates(job), bottom_rates(job), air_side(job)
    used = animals.o2_mg_h + animals.nitrification_o2_mg_h + bottom.o2_mg_h
    expected = air.o2_saturation_mg_l - 3.74 * used / 41.5
    assert survey(job).dawn_o2_mg_l.value == pytest.approx(expected, abs=0.05)


JOBS = [
    {},
    {"plants": []},
    {"animals": []},
    {"water": {"ec": None}},
    {"water": {"ec": None, "tds": "150 mg/L", "phosphate": "5 mg/L"}},
    {"water": {"tint_doc": "10 mg/L"}, "room": {"co2": "800 ppm"}},
    {"surface": {"loss": "0.2 /h"}, "tank": {"lid": "closed hood"}},
]


@pytest.mark.parametrize("change", JOBS)
def test_equations_listed_are_the_equations_run(change: dict[str, Any]) -> None:
    job, ran = _job(**change), set()

    def watch(frame: Any, event: str, _: Any) -> None:
        if event == "call" and "fizzwright" in frame.f_code.co_filename:
            ran.add((frame.f_globals["__name__"], frame.f_code.co_qualname))

    sys.setprofile(watch)
    try:
        found = survey(job)
    finally:
        sys.setprofile(None)
    executed = set()
    for module, name in ran:
        function = getattr(sys.modules[module], name, None)
        if hasattr(function, "__equation__"):
            executed.add(equation_of(function).name)
    assert {eq.name for eq in found.trail.equations} == executed


def test_every_estimate_is_in_order_and_says_its_unit() -> None:
    found = survey(_job())
    for field in dataclasses.fields(found):
        value = getattr(found, field.name)
        if isinstance(value, Estimate):
            assert value.low <= value.value <= value.high
            assert field.name.endswith(value.unit)


def test_same_job_gives_the_same_survey() -> None:
    assert survey(_job()) == survey(_job())


def test_nothing_is_promised() -> None:
    texts = [f.text for f in survey(_job(room={"volume": "20 m3"})).trail.findings]
    assert not [t for t in texts if "safe" in t.lower() or "!" in t]
