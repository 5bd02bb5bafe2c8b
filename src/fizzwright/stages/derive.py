"""What several stages read off a job before their own sums: sizes, losses, plants, animals.

Every function takes the frozen job and returns a frozen answer: medians as plain numbers, the doubt beside
them as the standard deviation of the logarithm (`..._log_sd_number`, 90 % is 1.645 of them either way), and
the `@equation` functions run, for the caller's trail. Where a value came from the class of a thing and not
from a reading, `assumptions` says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.engines.day.balance import Bed
from fizzwright.engines.living.animals import (
    ANIMAL_LOG_SD_NUMBER,
    co2_breathed_mg_h,
    resting_o2_mg_h,
    routine_o2_mg_h,
)
from fizzwright.engines.living.demand import (
    BARE_BOTTOM_O2_MG_M2_H,
    BOTTOM_LOG_SD_NUMBER,
    BOTTOM_O2_MG_M2_H,
    BOTTOM_QUOTIENT_RATIO,
    FOOD_SHARE_PER_DAY_FRAC,
    ammonia_n_mg_h,
    bottom_o2_mg_h,
    nitrification_drift_dkh_day,
    nitrification_o2_mg_h,
)
from fizzwright.engines.living.plants import canopy_for
from fizzwright.engines.water.diffusion import schmidt_co2_number
from fizzwright.engines.water.exchange import (
    SURFACE_PRIORS,
    SurfacePrior,
    loss_per_h,
    transfer_velocity_cm_h,
)
from fizzwright.engines.water.gases import (
    CO2_AIR_EQUATIONS,
    O2_EQUATIONS,
    ROOM_AIR,
    co2_air_equilibrium_mg_l,
    o2_saturation_mg_l,
)
from fizzwright.job.model import Job, Lid
from fizzwright.result import Assumption
from fizzwright.stages.ceiling import CeilingFor, ceiling_for

__all__ = [
    "AirSide", "AnimalRates", "BottomRates", "CeilingFor", "Geometry", "LossPrior",
    "air_side", "animal_rates", "bottom_rates", "canopies", "ceiling_for", "loss_prior", "tank_geometry",
]  # fmt: skip

Functions = tuple[Callable[..., Any], ...]
NINETY = 1.6449
# A room's CO2 wanders over a day even where it was read once.
READ_ROOM_LOG_SD_NUMBER = 0.10
FITTED_LOSS_LOG_SD_NUMBER = 0.10
CLOSED_HOOD_LOG_SD_NUMBER = 0.30


@dataclass(frozen=True)
class Geometry:
    """Water and surface of the tank; `mean_depth_m` is net volume over surface, what the loss rate sees."""

    net_volume_l: float
    net_volume_log_sd_number: float
    surface_area_m2: float
    bottom_area_m2: float
    mean_depth_m: float
    free_depth_m: float


@dataclass(frozen=True)
class LossPrior:
    """How fast the surface gives CO2 away at the water's temperature, before or after a fitted night.

    `basis` is "fitted" or the class of the surface in words. `equations` are the functions run.
    """

    median_per_h: float
    log_sd_number: float
    schmidt_exponent: float
    basis: str
    equations: Functions
    assumptions: tuple[Assumption, ...] = ()

    @property
    def low_per_h(self) -> float:
        """The 5 % point. [1/h]"""
        return self.median_per_h * math.exp(-NINETY * self.log_sd_number)

    @property
    def high_per_h(self) -> float:
        """The 95 % point. [1/h]"""
        return self.median_per_h * math.exp(NINETY * self.log_sd_number)


@dataclass(frozen=True)
class AnimalRates:
    """What all animals together breathe, and what their food costs in oxygen and hardness."""

    o2_mg_h: float
    co2_mg_h: float
    log_sd_number: float
    mass_g: float
    food_g_day: float
    nitrification_o2_mg_h: float
    nitrification_dkh_day: float
    equations: Functions
    assumptions: tuple[Assumption, ...] = ()


@dataclass(frozen=True)
class BottomRates:
    """What the bottom breathes."""

    o2_mg_h: float
    co2_mg_h: float
    log_sd_number: float
    equations: Functions
    assumptions: tuple[Assumption, ...] = ()


@dataclass(frozen=True)
class AirSide:
    """What the air over the water would hold it at, with no gas, plants or animals."""

    room_co2_ppm: float
    room_co2_log_sd_number: float
    co2_mg_l: float
    o2_saturation_mg_l: float
    equations: Functions
    assumptions: tuple[Assumption, ...] = ()


def tank_geometry(job: Job) -> Geometry:
    """Net water, surface and depth: water over the substrate, pore water, less hardscape, plus filter.

    The doubt of the volume adds half a centimetre of water level, one per cent of the inside sizes, 0.05 of
    porosity, a quarter of the hardscape and a sixth of the extra water, and is never put under 2 %.
    """
    tank = job.tank
    area_m2 = tank.length_cm * tank.width_cm / 1e4
    free_m = (tank.water_depth_cm - tank.substrate_depth_cm) / 100
    free_l = 1000 * area_m2 * free_m
    bed_l = 1000 * area_m2 * tank.substrate_depth_cm / 100
    net_l = free_l + tank.substrate_porosity_frac * bed_l - tank.hardscape_volume_l + tank.extra_volume_l
    sd_l = math.hypot(
        free_l * math.hypot(0.005 / free_m, 0.01),
        0.05 * bed_l,
        tank.hardscape_volume_l / 4,
        tank.extra_volume_l / 6,
    )
    return Geometry(
        net_volume_l=net_l,
        net_volume_log_sd_number=max(sd_l / net_l, 0.02),
        surface_area_m2=area_m2,
        bottom_area_m2=area_m2,
        mean_depth_m=net_l / 1000 / area_m2,
        free_depth_m=free_m,
    )


def loss_prior(job: Job) -> LossPrior:
    """The surface's loss rate: the job's own fitted one, else what surfaces of its looks do.

    Under a closed hood the lost CO2 hangs over the water, so the class tells less and the band is wider.
    """
    tank, looks, fitted_per_h = tank_geometry(job), job.surface.looks, job.surface.loss_per_h
    row = SURFACE_PRIORS[looks]
    if fitted_per_h is not None:
        log_sd = job.surface.loss_spread_frac or FITTED_LOSS_LOG_SD_NUMBER
        return LossPrior(fitted_per_h, log_sd, row.schmidt_exponent, "fitted", ())
    velocity_cm_h = transfer_velocity_cm_h(
        row.median_cm_h, schmidt_co2_number(job.water.temperature_c), schmidt_exponent=row.schmidt_exponent
    )
    log_sd = math.log(row.high_cm_h / row.low_cm_h) / (2 * NINETY)
    taken = [
        Assumption(f"transfer velocity (k600) of a {looks} surface", _range_text(row), source=row.source)
    ]
    if job.tank.lid is Lid.CLOSED:
        log_sd = math.hypot(log_sd, CLOSED_HOOD_LOG_SD_NUMBER)
        taken.append(Assumption("closed hood: loss rate less certain by", "x/÷ 1.6", source="judgement"))
    return LossPrior(
        median_per_h=float(loss_per_h(velocity_cm_h, tank.surface_area_m2, volume_l=tank.net_volume_l)),
        log_sd_number=log_sd,
        schmidt_exponent=row.schmidt_exponent,
        basis=looks.value,
        equations=(schmidt_co2_number, transfer_velocity_cm_h, loss_per_h),
        assumptions=tuple(taken),
    )


def _range_text(row: SurfacePrior) -> str:
    """A surface class's k600 and its 90 % limits in words."""
    return f"{row.median_cm_h:g} cm/h ({row.low_cm_h:g} to {row.high_cm_h:g})"


def canopies(job: Job) -> tuple[Bed, ...]:
    """Every planted bed with the canopy of its class and density at the tank's temperature."""
    bottom_m2 = tank_geometry(job).bottom_area_m2
    return tuple(
        Bed(bed.cover_frac * bottom_m2, canopy_for(bed.grows, bed.density, job.water.temperature_c))
        for bed in job.plants
    )


def animal_rates(job: Job) -> AnimalRates:
    """Oxygen used and CO2 breathed by all animals, fed and going about their day."""
    if not job.animals:
        return AnimalRates(0.0, 0.0, ANIMAL_LOG_SD_NUMBER, 0.0, 0.0, 0.0, 0.0, ())
    water_c = job.water.temperature_c
    o2_mg_h = sum(a.count * float(routine_o2_mg_h(a.mass_g, water_c)) for a in job.animals)
    mass_g = sum(a.count * a.mass_g for a in job.animals)
    food_g_day = FOOD_SHARE_PER_DAY_FRAC * mass_g
    nitrogen_mg_h = float(ammonia_n_mg_h(food_g_day))
    volume_l = tank_geometry(job).net_volume_l
    return AnimalRates(
        o2_mg_h=o2_mg_h,
        co2_mg_h=float(co2_breathed_mg_h(o2_mg_h)),
        log_sd_number=ANIMAL_LOG_SD_NUMBER,
        mass_g=mass_g,
        food_g_day=food_g_day,
        nitrification_o2_mg_h=float(nitrification_o2_mg_h(nitrogen_mg_h)),
        nitrification_dkh_day=float(nitrification_drift_dkh_day(nitrogen_mg_h, volume_l)),
        equations=(
            resting_o2_mg_h,
            co2_breathed_mg_h,
            ammonia_n_mg_h,
            nitrification_o2_mg_h,
            nitrification_drift_dkh_day,
        ),
        assumptions=(
            Assumption(
                "oxygen of fed animals against resting fish of their mass", "1.8 x", source="from memory"
            ),
            Assumption("dry food a day, as a share of the animals' mass", "1.5 %"),
        ),
    )


def bottom_rates(job: Job) -> BottomRates:
    """Oxygen used and CO2 breathed by the substrate."""
    bare = job.tank.substrate_depth_cm == 0
    demand_mg_m2_h = BARE_BOTTOM_O2_MG_M2_H if bare else BOTTOM_O2_MG_M2_H
    o2_mg_h = float(bottom_o2_mg_h(tank_geometry(job).bottom_area_m2, demand_mg_m2_h))
    what = "bare bottom" if bare else "settled substrate; fresh organic soil uses about twice as much"
    return BottomRates(
        o2_mg_h=o2_mg_h,
        co2_mg_h=float(co2_breathed_mg_h(o2_mg_h, BOTTOM_QUOTIENT_RATIO)),
        log_sd_number=BOTTOM_LOG_SD_NUMBER,
        equations=(bottom_o2_mg_h, co2_breathed_mg_h),
        assumptions=(
            Assumption(f"oxygen demand of a {what}", f"{demand_mg_m2_h:.0f} mg/m²/h", source="rong-2016"),
        ),
    )


def air_side(job: Job) -> AirSide:
    """CO2 and oxygen the room's air would keep in the water."""
    read = job.room.co2_ppm
    ppm = ROOM_AIR.median_ppm if read is None else read
    log_sd = math.log(ROOM_AIR.high_ppm / ROOM_AIR.low_ppm) / (2 * NINETY)
    range_text = f"{ROOM_AIR.median_ppm:.0f} ppm ({ROOM_AIR.low_ppm:.0f} to {ROOM_AIR.high_ppm:.0f})"
    guessed = Assumption("CO2 of the room's air", range_text, source=ROOM_AIR.source)
    water_c, altitude_m = job.water.temperature_c, job.room.altitude_m
    return AirSide(
        room_co2_ppm=ppm,
        room_co2_log_sd_number=log_sd if read is None else READ_ROOM_LOG_SD_NUMBER,
        co2_mg_l=float(co2_air_equilibrium_mg_l(water_c, ppm, altitude_m=altitude_m)),
        o2_saturation_mg_l=float(o2_saturation_mg_l(water_c, altitude_m=altitude_m)),
        equations=(*CO2_AIR_EQUATIONS, *O2_EQUATIONS),
        assumptions=(guessed,) if read is None else (),
    )
