"""An invented tank surveyed, planned and logged as a technician would, for the calibration tests."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fizzwright.engines.living.plants import gross_uptake_mg_m2_h, respiration_mg_m2_h
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.derive import canopies
from fizzwright.stages.plan_choice import decide
from tests.calibration.invented_tanks import Doings, Truth, drawn, kit_dkh, probe, run

BASE = read_job(example_text("library-foyer-120.toml"), name="library-foyer-120.toml")
LOOKS = ("smooth but moving", "rippled", "strongly rippled")


@dataclass
class Case:
    """One invented tank with its survey, plan and gas clock (hours of the day)."""

    job: object
    decided: object
    truth: Truth
    on_h: float
    off_h: float
    rng: np.random.Generator


def case(seed: int, draws_count: int = 120) -> Case:
    """Tank number `seed`: a survey whose numbers are the tank's within instrument error."""
    rng = np.random.default_rng(1000 + seed)
    kh_true = rng.uniform(2.2, 8.0)
    step = 0.5
    surface = BASE.surface.model_copy(update={"looks": type(BASE.surface.looks)(LOOKS[seed % 3])})
    water = BASE.water.model_copy(update={"kh_dkh": kit_dkh(kh_true, step), "kh_step_dkh": step, "ph": None})
    job = BASE.model_copy(update={"surface": surface, "water": water, "target": None})
    decided = decide(job, draws_count=draws_count)
    tank = decided.middle.scene.tank
    beds = canopies(job)
    uptake = sum(
        b.area_m2 * float(gross_uptake_mg_m2_h(1e3, job.light.par_umol_m2_s, b.canopy)) for b in beds
    )
    dusk = sum(b.area_m2 * float(respiration_mg_m2_h(b.canopy, 0.0)) for b in beds)
    median = Truth(
        volume_l=float(np.ravel(tank.volume_l)[0]), loss_per_h=float(np.ravel(tank.loss_per_h)[0]),
        air_mg_l=float(np.ravel(tank.air_co2_mg_l)[0]),
        night_mg_h=float(np.ravel(tank.breathing_mg_h)[0]) + dusk,
        dawn_share=0.5, uptake_mg_h=uptake, half_mg_l=6.0, sag=0.1,
        dissolved=float(np.ravel(tank.dissolved_frac)[0]), flow=1.0, kh_dkh=kh_true,
        water_c=job.water.temperature_c, ionic=0.0041,
        light_on_h=job.light.on_min / 60, light_off_h=job.light.off_min / 60,
    )  # fmt: skip
    truth = drawn(rng, median=median, seed=seed)
    truth = type(truth)(**{**truth.__dict__, "kh_dkh": kh_true})
    clock = decided.chosen.choice.clock
    return Case(job, decided, truth, clock.gas_on_min / 60, clock.gas_off_min / 60, rng)


def spells(a: Case, feeds: list[float]) -> list[tuple[float, float, float]]:
    """A gas spell a day at each day's feed; hours from the first midnight."""
    length = (a.off_h - a.on_h) % 24
    return [(24 * d + a.on_h, 24 * d + a.on_h + length, f) for d, f in enumerate(feeds)]


def day_log(a: Case, feeds: list[float], end_h: float, start_mg_l: float = 3.0):
    """Truth and readings up to `end_h`, hours from the first midnight."""
    hours, co2 = run(a.truth, Doings(spells(a, feeds)), end_h, start_mg_l)
    ph = probe(a.truth, hours, co2, np.random.default_rng(a.truth.seed + 5))
    return hours, co2, ph
