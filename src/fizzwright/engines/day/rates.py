"""The right-hand side of the day: what adds carbon and oxygen to the water at a moment, what takes them.

Everything that does not depend on the state is gathered before stepping starts, so that a step costs few
operations; arrays of draws ride along in every term.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import DaySums, TankDay
from fizzwright.engines.day.clock import Forcing
from fizzwright.engines.living.animals import ANIMAL_QUOTIENT_RATIO, CO2_FOR_O2_RATIO
from fizzwright.engines.living.plants import (
    PLANT_QUOTIENT_RATIO,
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
)

__all__ = ["Moment", "Rates", "day_sums", "rates_of", "uptake_mg_h"]

Array = NDArray[np.float64]
Draws = Array | float


class Moment(NamedTuple):
    """The balance at one moment; all for a litre.

    Carbon: rise - leave x CO2 - uptake. Oxygen: breath + ratio x uptake - o2_leave x O2.
    `light_frac` is the share of full light and `uptake_factor` scales what plants take up. The surface
    alone carries off stirred x (CO2 - air).
    """

    rise_mg_l_h: Draws
    leave_per_h: Draws
    breath_mg_l_h: Draws
    o2_leave_per_h: Draws
    light_frac: float
    uptake_factor: Draws
    stirred_per_h: Draws
    air_mg_l: Draws


@dataclass(frozen=True)
class Rates:
    """One tank's rates gathered for stepping through one course.

    `plain` says that surface, air and breathing keep one value over the course: no air pump, no meals, one
    temperature. `falls_mg_h` is how much less plants breathe at dawn than at dusk.
    """

    tank: TankDay
    course: Forcing
    gas_frac: Array
    plain: bool
    dusk_mg_h: Draws
    falls_mg_h: Draws
    base_mg_l_h: Draws
    gas_mg_l_h: Draws
    night_mg_l_h: Draws
    leave_per_h: Draws
    o2_base_mg_l_h: Draws
    o2_night_mg_l_h: Draws
    o2_ratio: float
    breath_o2_ratio: float

    def at(self, step: int, part: int) -> Moment:
        """The balance at the start (0), middle (1) or end (2) of a step."""
        tank, course = self.tank, self.course
        light = float(course.light_frac[step, part])
        late = float(course.afternoon_frac[step, part])
        sag: Draws = 1.0 - tank.depression_frac * late if late > 0 and light > 0 and tank.beds else 1.0
        if not self.plain:
            return self._changing(step, part, light=light, sag=sag)
        gas = self.gas_frac[step, part]
        rise = (
            self.base_mg_l_h
            if gas.size == 1 and gas.flat[0] == 0
            else self.base_mg_l_h + self.gas_mg_l_h * gas
        )
        breath, night = self.o2_base_mg_l_h, float(course.night_frac[step, part])
        if night > 0:
            rise = rise + self.night_mg_l_h * night
            breath = breath + self.o2_night_mg_l_h * night
        return Moment(
            rise, self.leave_per_h, breath, tank.o2_loss_per_h, light, sag, tank.loss_per_h, tank.air_co2_mg_l
        )

    def _changing(self, step: int, part: int, *, light: float, sag: Draws) -> Moment:
        """The same where the surface, the temperature or the animals' breathing change over the course."""
        tank, course, warmth = self.tank, self.course, self.course.warmth
        loss, air, saturation, breathe, grow = (1.0,) * 5
        if warmth is not None:
            loss, air, saturation, breathe, grow = (
                float(factor[step, part])
                for factor in (
                    warmth.loss_factor, warmth.air_co2_factor, warmth.o2_saturation_factor,
                    warmth.breath_factor, warmth.uptake_factor,
                )
            )  # fmt: skip
        pumped, meal = float(course.air_frac[step, part]), float(course.meal_frac[step, part])
        stirred = loss * (tank.loss_per_h + pumped * tank.air_loss_per_h)
        # An air pump moves oxygen and CO2 across bubbles as the surface does, in the same ratio.
        o2_stirred = stirred * (tank.o2_loss_per_h / tank.loss_per_h)
        night = float(course.night_frac[step, part])
        plants = self.dusk_mg_h + night * self.falls_mg_h
        meal_co2 = meal * tank.meal_o2_mg_h * ANIMAL_QUOTIENT_RATIO * CO2_FOR_O2_RATIO
        air_mg_l = tank.air_co2_mg_l * air
        rise = (
            breathe * (tank.breathing_mg_h + plants + meal_co2) / tank.volume_l
            + self.gas_mg_l_h * self.gas_frac[step, part]
            + stirred * air_mg_l
            + tank.exchange_per_h * tank.tap_co2_mg_l
        )
        used = tank.breathing_o2_mg_h + meal * tank.meal_o2_mg_h + self.breath_o2_ratio * plants
        breath = o2_stirred * tank.o2_saturation_mg_l * saturation - breathe * used / tank.volume_l
        return Moment(
            rise, stirred + tank.exchange_per_h, breath, o2_stirred, light, sag * grow, stirred, air_mg_l
        )


def rates_of(tank: TankDay, course: Forcing, gas_frac: Array) -> Rates:
    """The rates of one tank over one course.

    Parameters
    ----------
    tank : TankDay
    course : Forcing
    gas_frac : array, shape (steps, 3, ...)
        The course's gas shares, shaped to broadcast against the draws.
    """
    dusk, dawn = (sum(bed.area_m2 * respiration_mg_m2_h(bed.canopy, share) for bed in tank.beds)
                  for share in (0.0, 1.0))  # fmt: skip
    o2_breath = oxygen_for_carbon_mg_m2_h(1.0, 1.0) if tank.beds else 0.0
    o2_uptake = oxygen_for_carbon_mg_m2_h(1.0, PLANT_QUOTIENT_RATIO) if tank.beds else 0.0
    arriving = tank.loss_per_h * tank.air_co2_mg_l + tank.exchange_per_h * tank.tap_co2_mg_l
    pumped = bool(np.any(course.air_frac)) and bool(np.any(np.asarray(tank.air_loss_per_h)))
    fed = bool(np.any(course.meal_frac)) and bool(np.any(np.asarray(tank.meal_o2_mg_h)))
    return Rates(
        tank=tank,
        course=course,
        gas_frac=gas_frac,
        plain=course.warmth is None and not pumped and not fed,
        dusk_mg_h=dusk,
        falls_mg_h=dawn - dusk,
        base_mg_l_h=(tank.breathing_mg_h + dusk) / tank.volume_l + arriving,
        gas_mg_l_h=tank.feed_mg_h * tank.dissolved_frac / tank.volume_l,
        night_mg_l_h=(dawn - dusk) / tank.volume_l,
        leave_per_h=tank.loss_per_h + tank.exchange_per_h,
        o2_base_mg_l_h=tank.o2_loss_per_h * tank.o2_saturation_mg_l
        - (tank.breathing_o2_mg_h + o2_breath * dusk) / tank.volume_l,
        o2_night_mg_l_h=-o2_breath * (dawn - dusk) / tank.volume_l,
        o2_ratio=float(o2_uptake),
        breath_o2_ratio=float(o2_breath),
    )


def uptake_mg_h(co2_mg_l: Array, tank: TankDay, light_frac: float) -> Array | float:
    """What all beds take up at a CO2 and a share of full light, for the whole tank. [mg/h]"""
    par = tank.par_umol_m2_s * light_frac
    if par <= 0 or not tank.beds:
        return 0.0
    first, *others = (gross_uptake_mg_m2_h(co2_mg_l, par, bed.canopy) * bed.area_m2 for bed in tank.beds)
    return sum(others, first)


def _simpson_h(course: Forcing, shares: Array) -> Array:
    """The integral over the course of a share known at each step's start, middle and end. [h]"""
    width = (np.diff(course.nodes_min) / 60.0).reshape(-1, *[1] * (shares.ndim - 2))
    total: Array = (width * (shares[:, 0] + 4.0 * shares[:, 1] + shares[:, 2]) / 6.0).sum(axis=0)
    return total


def day_sums(rates: Rates, *, co2_mg_h_l: Array, plants_mg: Array, surface_mg_l: Array | None) -> DaySums:
    """Every stream's total from the few integrals the stepping leaves behind.

    Parameters
    ----------
    rates : Rates
    co2_mg_h_l : array
        Integral of free CO2 over the course. [mg h/L]
    plants_mg : array
        Uptake. [mg]
    surface_mg_l : array or None
        What the surface carried off, where it changed over the course; else it follows from the integral
        of CO2. [mg/L]
    """
    tank, course = rates.tank, rates.course
    hours, nothing = course.hours_h, np.zeros_like(co2_mg_h_l)
    warmer = course.warmth.breath_factor if course.warmth is not None else np.ones_like(course.night_frac)
    breath_h, night_h, meal_h = (
        float(_simpson_h(course, warmer * share)) for share in (1.0, course.night_frac, course.meal_frac)
    )
    if surface_mg_l is None:
        surface_mg_l = tank.loss_per_h * (co2_mg_h_l - hours * tank.air_co2_mg_l)
    meal = tank.meal_o2_mg_h * ANIMAL_QUOTIENT_RATIO * CO2_FOR_O2_RATIO if not rates.plain else 0.0
    fed = tank.feed_mg_h * _simpson_h(course, rates.gas_frac) + nothing
    return DaySums(
        fed_mg=fed,
        dissolved_mg=fed * tank.dissolved_frac,
        breathing_mg=breath_h * tank.breathing_mg_h + meal_h * meal + nothing,
        plant_breathing_mg=breath_h * rates.dusk_mg_h + night_h * rates.falls_mg_h + nothing,
        surface_mg=surface_mg_l * tank.volume_l,
        plants_mg=plants_mg + nothing,
        water_change_mg=tank.exchange_per_h * (co2_mg_h_l - hours * tank.tap_co2_mg_l) * tank.volume_l,
    )
