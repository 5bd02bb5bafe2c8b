"""Two days with everything in them against SciPy's stiff integrator: air pump, meals, heat, events.

The balance is written out a second time; tolerance 1e-10; 0.1 % asked of CO2 and O2 at every node.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from fizzwright.engines.day.balance import Bed, TankDay
from fizzwright.engines.day.clock import Clock, Forcing
from fizzwright.engines.day.integrate import State
from fizzwright.engines.day.spells import Spell, run_spells, trimmed, water_changed
from fizzwright.engines.day.warmth import warmth_of, water_course_c
from fizzwright.engines.living.plants import canopy_for
from fizzwright.engines.water.diffusion import schmidt_co2_number
from fizzwright.engines.water.gases import co2_air_equilibrium_mg_l, o2_saturation_mg_l
from fizzwright.job.model import Density, PlantClass

pytestmark = pytest.mark.peers
M = 44.0095
HOT_C, SLOW_H, USUAL_C = 30.0, 9.0, 25.0
TRIM_MIN, CHANGE_MIN, END_MIN = 1130.0, 1700.0, 2880.0


def _split(carbon: float, alk: float, ratio: float) -> float:
    """Free CO2 by bisection on carbonate."""
    c = carbon / M

    def miss(co3: float) -> float:
        return (alk - 2 * co3) ** 2 - ratio * (c - alk + co3) * co3

    return M * (c - alk + brentq(miss, max(alk - c, 0.0), alk / 2, xtol=1e-18, rtol=1e-15))


def _whole(co2: float, alk: float, ratio: float) -> float:
    h = brentq(lambda x: x + 2 * x * x / (ratio * co2 / M) - alk, 0, alk, xtol=1e-18)
    return co2 + M * (h + h * h / (ratio * co2 / M))


def _within(minute: float, on: float, off: float) -> bool:
    return (minute - on) % 1440 < (off - on) % 1440


def _rhs(minute: float, y: np.ndarray, tank: TankDay, clock: Clock) -> list[float]:
    carbon, o2, alk = y
    can, ratio = tank.beds[0].canopy, float(tank.carbonate_ratio)
    co2 = _split(carbon, alk, ratio)
    warm_c = HOT_C + (USUAL_C - HOT_C) * np.exp(-(minute - clock.gas_on_min) / 60 / SLOW_H)
    move = (schmidt_co2_number(USUAL_C) / schmidt_co2_number(warm_c)) ** 0.5
    loss = float(move) * (
        tank.loss_per_h + tank.air_loss_per_h * _within(minute, clock.air_on_min, clock.air_off_min)
    )
    air = (
        tank.air_co2_mg_l * co2_air_equilibrium_mg_l(warm_c, 420.0) / co2_air_equilibrium_mg_l(USUAL_C, 420.0)
    )
    full = tank.o2_saturation_mg_l * o2_saturation_mg_l(warm_c) / o2_saturation_mg_l(USUAL_C)
    breathe = 2.0 ** ((warm_c - USUAL_C) / 10)
    since = (minute - clock.light_on_min) % 1440
    gross = 0.0
    if since < clock.lit_min:
        over = max(co2 - can.compensation_co2_mg_l, 0.0)
        p = can.pmax25_mg_g_h * over / (over + can.half_co2_mg_l)
        phi = can.quantum_yield_ratio * over / (over + can.yield_half_co2_mg_l)
        light, k = tank.par_umol_m2_s, 1 / can.shading_g_m2
        half = p / (158.4342 * phi * k)
        gross = p / k * np.log((light + half) / (light * np.exp(-k * can.biomass_g_m2) + half))
        gross *= 2.0 ** ((min(warm_c, 30.0) - 25) / 10) * tank.beds[0].area_m2
        # The leaf's half-saturating light is left at the usual warmth, as the engine says it does.
        gross *= 1 - tank.depression_frac * min(max((since - 300) / 60, 0.0), 1.0)
    dark = min(max((since - clock.lit_min) / (1440 - clock.lit_min), 0.0), 1.0)
    plants = can.respiration25_mg_g_h * can.biomass_g_m2 * tank.beds[0].area_m2 * (1 - 0.6 * dark)
    meal = sum(
        ((minute - at) % 1440) / 120 * np.exp(1 - ((minute - at) % 1440) / 120) for at in clock.meals_min
    )
    gas_since = (minute - clock.gas_on_min) % 1440
    gas = 1.0 if gas_since < clock.gas_min else clock.leak_frac
    source = tank.feed_mg_h * tank.dissolved_frac * gas - gross
    source += breathe * (tank.breathing_mg_h + plants + meal * tank.meal_o2_mg_h * 0.9 * M / 31.9988)
    used = tank.breathing_o2_mg_h + meal * tank.meal_o2_mg_h + plants * 31.9988 / M
    d = source / tank.volume_l - loss * (co2 - air) - tank.exchange_per_h * (co2 - tank.tap_co2_mg_l)
    o = (1.1 * gross * 31.9988 / M - breathe * used) / tank.volume_l
    o += loss * tank.o2_loss_per_h / tank.loss_per_h * (full - o2)
    return [float(d) / 60, float(o) / 60, tank.alk_drift_meq_l_h / 60]


def _case(seed: int) -> tuple[TankDay, Clock]:
    rng = np.random.default_rng(seed)
    on = float(rng.uniform(500, 700))
    loss = float(rng.uniform(0.08, 0.6))
    leak = float(rng.choice([0.0, 0.2]))
    clock = Clock(on, on + 500, on - rng.uniform(20, 150), on + 440, leak_frac=leak,
                  air_on_min=on + 500, air_off_min=on - 200 + 1440, meals_min=(on + 60, on + 400),
                  )  # fmt: skip
    canopy = canopy_for(PlantClass.FAST, Density.MEDIUM, USUAL_C)
    volume = float(rng.uniform(20, 200))
    beds = (Bed(volume / 400, canopy),)
    tank = TankDay(
        volume_l=volume, loss_per_h=loss, air_co2_mg_l=1.0, o2_loss_per_h=1.06 * loss, o2_saturation_mg_l=8.2,
        feed_mg_h=float(rng.uniform(8, 22)) * volume * loss, dissolved_frac=0.9, beds=beds,
        par_umol_m2_s=90.0, breathing_mg_h=0.2 * volume, breathing_o2_mg_h=0.15 * volume,
        exchange_per_h=0.001, tap_co2_mg_l=1.5, alk_drift_meq_l_h=-3e-4, carbonate_ratio=9.2e3,
        air_loss_per_h=0.8 * loss, meal_o2_mg_h=0.2 * volume, depression_frac=0.2,
    )  # fmt: skip
    return tank, clock


def _edges(clock: Clock) -> list[float]:
    daily = [clock.light_on_min, clock.light_off_min, clock.gas_on_min, clock.gas_off_min, clock.air_on_min,
             clock.air_off_min, clock.light_on_min + 300, clock.light_on_min + 360,
             *clock.meals_min]  # fmt: skip
    marks = {m % 1440 + 1440 * day for m in daily for day in range(3)} | {TRIM_MIN, CHANGE_MIN}
    return sorted(m for m in marks | {clock.gas_on_min, END_MIN} if clock.gas_on_min <= m <= END_MIN)


@pytest.mark.parametrize("seed", range(5))
def test_two_eventful_days_agree(seed: int) -> None:
    tank, clock = _case(seed)

    def warmed(course: Forcing) -> Forcing:
        def water_c(at_min: np.ndarray) -> np.ndarray:
            return water_course_c(at_min, USUAL_C, settles_c=[(clock.gas_on_min, HOT_C)], warming_h=SLOW_H)

        return replace(course, warmth=warmth_of(course, water_c, usual_c=USUAL_C))

    thin = trimmed(tank, 0.4)
    fresh = State(np.array([1.5]), np.array([8.0]), np.array([2.0]))
    spells = (
        Spell(TRIM_MIN, tank, clock, shaped=warmed),
        Spell(CHANGE_MIN, thin, clock, shaped=warmed),
        Spell(END_MIN, thin, clock, jump=water_changed(thin, 0.4, fresh=fresh), shaped=warmed),
    )
    start = State(np.array([4.0]), np.array([7.0]), np.array([1.4]))
    ours = run_spells(start, spells, from_min=clock.gas_on_min, step_min=10.0)
    assert float(ours.residual_frac().max()) < 1e-10
    ratio = float(tank.carbonate_ratio)
    y = np.array([_whole(4.0, 1.4, ratio), 7.0, 1.4])
    for a, b in itertools.pairwise(_edges(clock)):
        if a == CHANGE_MIN:
            y = y + 0.4 * (np.array([_whole(1.5, 2.0, ratio), 8.0, 2.0]) - y)
        now, middle = (tank if a < TRIM_MIN else thin), 0.5 * (a + b)
        done = solve_ivp(lambda t, v, m=middle, k=now: _rhs(t + np.sign(m - t) * 1e-7, v, k, clock),
                         (a, b), y, method="Radau", rtol=1e-10, atol=1e-10)  # fmt: skip
        y = done.y[:, -1]
        at = int(np.max(np.nonzero(np.abs(ours.at_min - b) < 1e-6)[0]) if b != CHANGE_MIN else
                 np.min(np.nonzero(np.abs(ours.at_min - b) < 1e-6)[0]))  # fmt: skip
        assert ours.co2_mg_l[at, 0] == pytest.approx(_split(y[0], y[2], ratio), rel=1e-3)
        assert ours.o2_mg_l[at, 0] == pytest.approx(y[1], rel=1e-3)
