"""The faults tried on a tank: what each changes of tank or clock, and when it begins."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import TankDay
from fizzwright.engines.day.clock import DAY_MIN, Clock, Forcing, Warmth, clock_moved
from fizzwright.engines.day.spells import Spell, trimmed, with_loss
from fizzwright.engines.day.warmth import warming_h, warmth_of, water_course_c
from fizzwright.engines.water.exchange import SURFACE_PRIORS
from fizzwright.job.model import SurfaceClass
from fizzwright.stages.plan_inputs import Surveyed

__all__ = [
    "HEAT_K", "LEAK_BY_FRAC", "POWER_CUT_H", "PROBE_OFF_PH", "TRIM_LEFT_FRAC", "Fault", "Ground", "faults",
    "hottest_c", "still_ratio",
]  # fmt: skip

Array = NDArray[np.float64]

LEAK_BY_FRAC = 0.15
POWER_CUT_H = 12.0
PROBE_OFF_PH = 0.2
TRIM_LEFT_FRAC = 0.35
HEAT_K = 10.0
# A lamp and pumps hold the water about a degree over its room where no heater does.
LAMP_K = 1.0


@dataclass(frozen=True)
class Ground:
    """What every fault starts from: the tank at its planned feed, its clock, and what the line would do.

    `coarse_frac` is the share that dissolves out of coarse bubbles, `end_rise_factor` how much more flows
    when the bottle runs empty, `lit_mg_l` each draw's mean CO2 in the light, `room_ppm` the room's air
    some minutes after the whole bottle was let go over what it was.
    """

    known: Surveyed
    tank: TankDay
    clock: Clock
    coarse_frac: Array
    end_rise_factor: Array | float
    lit_mg_l: Array
    room_factor: Callable[[Array], Array]


@dataclass(frozen=True)
class Fault:
    """One fault: its spells from `begins_min` on; `failure_words` says it in words. [min]"""

    name: str
    begins_min: float
    spells: tuple[Spell, ...]


def still_ratio(looks: SurfaceClass) -> float:
    """How much of the loss rate is left when nothing moves the surface any more."""
    return min(SURFACE_PRIORS[SurfaceClass.FILMED].median_cm_h / SURFACE_PRIORS[looks].median_cm_h, 1.0)


def hottest_c(known: Surveyed) -> float:
    """Where the water ends in the heat wave. [degC]"""
    room_c = known.job.room.temperature_c + HEAT_K
    return max(known.job.water.temperature_c, room_c + LAMP_K)


def faults(ground: Ground) -> Iterator[Fault]:
    """Every fault of the tank, one after another."""
    yield from _valve(ground)
    yield from _bottle_and_diffuser(ground)
    yield from _power(ground)
    yield from _clock(ground)
    yield from _hands(ground)
    yield _heat(ground)
    yield _bottle_let_go(ground)


def _one(tank: TankDay, clock: Clock, *, since_min: float, hours_h: float) -> tuple[Spell, ...]:
    return (Spell(since_min + 60.0 * hours_h, tank, clock),)


def _off(tank: TankDay) -> TankDay:
    return replace(tank, feed_mg_h=0.0 * np.asarray(tank.feed_mg_h))


def _valve(g: Ground) -> Iterator[Fault]:
    off, on = g.clock.gas_off_min % DAY_MIN, g.clock.gas_on_min % DAY_MIN
    open_all_day = replace(g.clock, always_on=True)
    yield Fault("valve stuck open", off, _one(g.tank, open_all_day, since_min=off, hours_h=24))
    yield Fault("valve stuck shut", on, _one(_off(g.tank), g.clock, since_min=on, hours_h=24))
    leaking = replace(g.clock, leak_frac=LEAK_BY_FRAC)
    yield Fault("valve leaking by", off, _one(g.tank, leaking, since_min=off, hours_h=48))


def _bottle_and_diffuser(g: Ground) -> Iterator[Fault]:
    on = g.clock.gas_on_min % DAY_MIN
    more = replace(g.tank, feed_mg_h=g.tank.feed_mg_h * g.end_rise_factor)
    yield Fault("end of the bottle", on, _one(more, g.clock, since_min=on, hours_h=48))
    coarse = replace(g.tank, dissolved_frac=np.minimum(g.coarse_frac, g.tank.dissolved_frac))
    yield Fault("diffuser cracked", on, _one(coarse, g.clock, since_min=on, hours_h=48))


def _power(g: Ground) -> Iterator[Fault]:
    lamp, on = g.clock.light_on_min % DAY_MIN, g.clock.gas_on_min % DAY_MIN
    still = with_loss(g.tank, still_ratio(g.known.job.surface.looks))
    dark = replace(_off(still), par_umol_m2_s=0.0)
    spells = (Spell(lamp + 60 * POWER_CUT_H, dark, g.clock), Spell(lamp + DAY_MIN, g.tank, g.clock))
    yield Fault("power cut", lamp, spells)
    yield Fault("pump stopped, gas on", on, _one(still, g.clock, since_min=on, hours_h=24))


def _clock(g: Ground) -> Iterator[Fault]:
    dusk = g.clock.light_off_min % DAY_MIN
    for name, by_min in (("gas clock an hour early", -60.0), ("gas clock an hour late", 60.0)):
        yield Fault(name, dusk, _one(g.tank, clock_moved(g.clock, by_min), since_min=dusk, hours_h=36))


def _hands(g: Ground) -> Iterator[Fault]:
    on = g.clock.gas_on_min % DAY_MIN
    # The hand turns the needle until the probe shows what it used to: CO2 is then 10^offset times as high.
    up, air = 10.0**PROBE_OFF_PH, np.asarray(g.tank.air_co2_mg_l)
    raised = np.maximum((up * g.lit_mg_l - air) / np.maximum(g.lit_mg_l - air, 0.1), 1.0)
    more = replace(g.tank, feed_mg_h=g.tank.feed_mg_h * raised)
    yield Fault("probe reads high", on, _one(more, g.clock, since_min=on, hours_h=48))
    if g.tank.beds:
        cut = trimmed(g.tank, TRIM_LEFT_FRAC)
        yield Fault("big trim", on, _one(cut, g.clock, since_min=on, hours_h=48))


def _heat(g: Ground) -> Fault:
    on, job, size = g.clock.gas_on_min % DAY_MIN, g.known.job, g.known.geometry
    usual_c = job.water.temperature_c
    # Four sides and the top face the room; the sides are taken from a square tank of the same surface.
    outside_m2 = size.surface_area_m2 + 4 * float(np.sqrt(size.surface_area_m2)) * size.mean_depth_m
    slow_h = float(warming_h(size.net_volume_l, outside_m2))

    def warmed(course: Forcing) -> Forcing:
        def water_c(at_min: Array) -> Array:
            return water_course_c(at_min, usual_c, settles_c=[(on, hottest_c(g.known))], warming_h=slow_h)

        return replace(course, warmth=warmth_of(course, water_c, usual_c=usual_c))

    return Fault("heat wave", on, (Spell(on + 3 * DAY_MIN, g.tank, g.clock, shaped=warmed),))


def _bottle_let_go(g: Ground) -> Fault:
    on = g.clock.gas_on_min % DAY_MIN

    def aired(course: Forcing) -> Forcing:
        inside = course.inside_min()
        one = np.ones_like(inside)
        return replace(course, warmth=Warmth(one, g.room_factor(inside - on), one, one, one))

    spell = Spell(on + DAY_MIN, _off(g.tank), g.clock, shaped=aired)
    return Fault("whole bottle into the room", on, (spell,))
