"""How long the day takes: many draws at once, one draw in a general integrator, a whole plan, a slider."""

from __future__ import annotations

import time

import numpy as np

from fizzwright.engines.day.balance import free_co2_mg_l
from fizzwright.engines.day.clock import Clock, forcing, gas_share_frac, light_share_frac, night_share_frac
from fizzwright.engines.day.integrate import State, day_from
from fizzwright.engines.day.rates import uptake_mg_h
from fizzwright.engines.living.plants import respiration_mg_m2_h
from fizzwright.inference.draws import even_scores
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.plan import plan
from fizzwright.stages.plan_inputs import UNKNOWNS, bubble_side, scene_of, surveyed
from fizzwright.stages.plan_scene import fed, take
from fizzwright.stages.plan_slider import day_at, ready

EXAMPLE = "library-foyer-120"
DRAWS = 10_000
TIMES_FASTER = 200
FEED_MG_H = 1100.0
CLOCK = Clock(720, 1200, 420, 1140)


def scene(draws: int):
    """The example tank under so many draws."""
    job = read_job(example_text(f"{EXAMPLE}.toml"))
    scores = even_scores(UNKNOWNS, draws, np.random.default_rng(1))
    share = bubble_side(job, FEED_MG_H)
    return scene_of(surveyed(job), scores, feed_mg_h=FEED_MG_H, share=share, night=None)[0]


def start(alk: np.ndarray) -> State:
    """A midnight to begin at."""
    return State(np.full(alk.shape, 3.0), np.full(alk.shape, 7.5), alk)


class DayEngine:
    """Two days at five minutes."""

    def setup(self) -> None:
        """Tank and grid, and what one draw of many costs."""
        self.scene = scene(DRAWS)
        self.tank = fed(self.scene, FEED_MG_H)
        self.course = forcing([CLOCK], 5.0, span_min=(0.0, 2880.0))
        began = time.perf_counter()
        self.time_ten_thousand_draws()
        self.each_s = (time.perf_counter() - began) / DRAWS

    def teardown(self) -> None:
        """Nothing to put away."""

    def time_ten_thousand_draws(self) -> None:
        """Ten thousand draws at once."""
        day_from(start(self.scene.alk_meq_l), self.tank, self.course)

    def time_one_draw_in_solve_ivp(self) -> None:
        """One draw in SciPy's LSODA at 1e-6; fails where it is not a good deal slower than a draw above."""
        from scipy.integrate import solve_ivp

        one = take(self.scene, np.array([0]))
        tank, alk = fed(one, FEED_MG_H), one.alk_meq_l
        began = time.perf_counter()
        solve_ivp(
            lambda t, y: _slope(60 * t, y, tank, alk), (0.0, 48.0), [60.0, 7.5], "LSODA", rtol=1e-6, atol=1e-6
        )
        taken = time.perf_counter() - began
        assert taken > TIMES_FASTER * self.each_s, f"only {taken / self.each_s:.0f} times as fast"


def _slope(minute: float, state: np.ndarray, tank, alk: np.ndarray) -> list[float]:
    """The same balance for one draw, as one would hand it to a general integrator."""
    at = np.array([minute % 1440])
    free = free_co2_mg_l(np.array([state[0]]), alk, carbonate_ratio=tank.carbonate_ratio)
    light = float(light_share_frac(CLOCK, (at - CLOCK.light_on_min) % 1440)[0])
    gas = gas_share_frac(CLOCK, (at - CLOCK.gas_on_min) % 1440)
    night = night_share_frac(CLOCK, (at - CLOCK.light_on_min) % 1440)
    taken = np.asarray(uptake_mg_h(free, tank, light))
    breath = sum(bed.area_m2 * respiration_mg_m2_h(bed.canopy, night) for bed in tank.beds)
    gain = tank.feed_mg_h * tank.dissolved_frac * gas + tank.breathing_mg_h + breath - taken
    carbon = gain / tank.volume_l - tank.loss_per_h * (free - tank.air_co2_mg_l)
    o2 = (0.727 * (1.1 * taken - breath) - tank.breathing_o2_mg_h) / tank.volume_l
    o2 = o2 + tank.o2_loss_per_h * (tank.o2_saturation_mg_l - state[1])
    return [float(np.ravel(carbon)[0]), float(np.ravel(o2)[0])]


class WholePlan:
    """A plan and a slider, without starting a process."""

    def setup(self) -> None:
        """The example tank, and the slider made ready."""
        self.job = read_job(example_text(f"{EXAMPLE}.toml"))
        self.ready = ready(self.job, draws_count=200)
        self.feed = 800.0

    def teardown(self) -> None:
        """Nothing to put away."""

    def time_plan_2000_draws(self) -> None:
        """Everything a plan says, from two thousand draws."""
        plan(self.job, draws_count=2000)

    def time_slider_200_draws(self) -> None:
        """The day at a feed slid to, two hundred draws."""
        self.feed = 800.0 if self.feed > 1200.0 else self.feed * 1.1
        day_at(self.ready, feed_mg_h=self.feed, gas_on_min=420.0, gas_off_min=1140.0)
