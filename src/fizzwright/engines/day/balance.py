"""The right-hand side of the day: what adds carbon, oxygen and alkalinity to the water, what takes them.

Carbon is carried as total inorganic carbon in mg of CO2 a litre, because that is what is conserved; the
free CO2 that escapes, feeds plants and harms animals follows from it and the alkalinity. Arrays of draws
ride along in every term.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.living.plants import (
    PLANT_QUOTIENT_RATIO,
    Canopy,
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
)
from fizzwright.sources import equation

__all__ = [
    "CO2_MG_MMOL", "Bed", "Coefficients", "DaySums", "TankDay", "coefficients", "day_ph", "day_sums",
    "free_co2_mg_l", "total_carbon_mg_l", "uptake_mg_h",
]  # fmt: skip

CO2_MG_MMOL = 44.0095
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Bed:
    """One planted area: its bottom area and its canopy."""

    area_m2: float
    canopy: Canopy


@dataclass(frozen=True)
class TankDay:
    """Everything the balance needs that does not change over the day; each field a number or an array.

    Arrays broadcast against each other, usually (draws,) or (candidates, draws). `feed_mg_h` is the gas
    that reaches the diffuser while the valve is open and the line is full; `dissolved_frac` the share of
    it the bubbles give up. `breathing_mg_h` is the CO2 animals and ground give off, `breathing_o2_mg_h`
    the O2 they take. The doubt about plants rides in each canopy's `demand_factor`. `carbonate_ratio`
    is K1/K2 at the tank's temperature and ionic strength.
    """

    volume_l: Array | float
    loss_per_h: Array | float
    air_co2_mg_l: Array | float
    o2_loss_per_h: Array | float
    o2_saturation_mg_l: Array | float
    feed_mg_h: Array | float
    dissolved_frac: Array | float
    beds: tuple[Bed, ...]
    par_umol_m2_s: float
    breathing_mg_h: Array | float
    breathing_o2_mg_h: Array | float
    exchange_per_h: Array | float
    tap_co2_mg_l: Array | float
    alk_drift_meq_l_h: Array | float
    carbonate_ratio: Array | float


@dataclass(frozen=True)
class Coefficients:
    """The balance gathered into few arrays, so that a step costs few operations; all for a litre.

    Carbon: base + gas share x gas_mg_l_h + night share x night_mg_l_h - leave_per_h x CO2 - uptake.
    Oxygen: o2_base + night share x o2_night + o2_per_uptake x uptake - o2_leave_per_h x O2.
    """

    base_mg_l_h: Array | float
    gas_mg_l_h: Array | float
    night_mg_l_h: Array | float
    leave_per_h: Array | float
    o2_base_mg_l_h: Array | float
    o2_night_mg_l_h: Array | float
    o2_leave_per_h: Array | float
    o2_per_uptake_ratio: float


@dataclass(frozen=True)
class DaySums:
    """A day's total of every stream of carbon, as mg of CO2 for the whole tank.

    `dissolved`, `breathing`, `plant_breathing` came in; `surface`, `plants`, `water_change` went out.
    `fed` is the gas that reached the diffuser.
    """

    fed_mg: Array
    dissolved_mg: Array
    breathing_mg: Array
    plant_breathing_mg: Array
    surface_mg: Array
    plants_mg: Array
    water_change_mg: Array

    def gained_mg(self) -> Array:
        """All that came in. [mg]"""
        return self.dissolved_mg + self.breathing_mg + self.plant_breathing_mg

    def net_mg(self) -> Array:
        """All that came in less all that went out. [mg]"""
        return self.gained_mg() - self.surface_mg - self.plants_mg - self.water_change_mg


@equation(source="carbonate-closed-form", where="quadratic in CO3 at fixed alkalinity, OH and H left out")
def free_co2_mg_l(carbon_mg_l: Array, alk_meq_l: Array, *, carbonate_ratio: Array | float) -> Array:
    """The free CO2 in water whose total inorganic carbon and carbonate alkalinity are known.

    Parameters
    ----------
    carbon_mg_l : array
        Total inorganic carbon, as mg of CO2. [mg/L]
    alk_meq_l : array
        Carbonate alkalinity. [meq/L]
    carbonate_ratio : array or float
        K1/K2 with activities, dimensionless.

    Returns
    -------
    array
        Free CO2. [mg/L]

    Notes
    -----
    With x = HCO3, y = CO3: A = x + 2y, DIC = C + x + y and x² = R C y give
    (R - 4) y² + (R (DIC - A) + 4A) y - A² = 0. Leaving out OH and H shifts CO2 by under 0.1 % for pH 5.5 to
    8.5 at 0.5 dKH and more.
    """
    excess = carbon_mg_l / CO2_MG_MMOL - alk_meq_l
    b = carbonate_ratio * excess + 4.0 * alk_meq_l
    more = carbonate_ratio - 4.0
    # The root loses digits as a share of CO3, but CO3 is then tiny beside the CO2 it is added to.
    carbonate = (np.sqrt(b * b + 4.0 * more * alk_meq_l * alk_meq_l) - b) / (2.0 * more)
    return CO2_MG_MMOL * (excess + carbonate)


@equation(source="carbonate-closed-form", where="the same balance, solved for DIC")
def total_carbon_mg_l(co2_mg_l: Array, alk_meq_l: Array, *, carbonate_ratio: Array | float) -> Array:
    """The total inorganic carbon (as CO2) of water whose free CO2 and carbonate alkalinity are known.

    Parameters
    ----------
    co2_mg_l : array
        Free CO2. [mg/L]
    alk_meq_l : array
        Carbonate alkalinity. [meq/L]
    carbonate_ratio : array or float
        K1/K2 with activities, dimensionless.

    Returns
    -------
    array
        Total inorganic carbon, as mg of CO2. [mg/L]
    """
    co2 = co2_mg_l / CO2_MG_MMOL
    rc = carbonate_ratio * co2
    # y from (A - 2y)² = R C y, the smaller root, written so that it does not cancel.
    b = rc + 4.0 * alk_meq_l
    carbonate = 2.0 * alk_meq_l * alk_meq_l / (b + np.sqrt(b * b - 16.0 * alk_meq_l * alk_meq_l))
    return CO2_MG_MMOL * (co2 + alk_meq_l - carbonate)


@equation(source="carbonate-closed-form", where="pH = -log10(K1 C / HCO3)")
def day_ph(co2_mg_l: Array, alk_meq_l: Array, *, carbonate_ratio: Array | float, k1_mol_l: float) -> Array:
    """The pH a probe would show at a free CO2 and a carbonate alkalinity.

    Parameters
    ----------
    co2_mg_l : array
        Free CO2. [mg/L]
    alk_meq_l : array
        Carbonate alkalinity. [meq/L]
    carbonate_ratio : array or float
        K1/K2 with activities, dimensionless.
    k1_mol_l : float
        First constant on the pH scale, concentrations otherwise. [mol/L]

    Returns
    -------
    array
        pH on the activity scale. [pH]
    """
    co2 = co2_mg_l / CO2_MG_MMOL
    b = carbonate_ratio * co2 + 4.0 * alk_meq_l
    carbonate = 2.0 * alk_meq_l * alk_meq_l / (b + np.sqrt(b * b - 16.0 * alk_meq_l * alk_meq_l))
    ph: Array = -np.log10(k1_mol_l * co2 / (alk_meq_l - 2.0 * carbonate))
    return ph


def _breathing_of_plants_mg_h(tank: TankDay) -> tuple[Array | float, Array | float]:
    """Respiration of all beds at dusk, and how much less it is at dawn; it runs straight between them."""
    dusk = sum(bed.area_m2 * respiration_mg_m2_h(bed.canopy, 0.0) for bed in tank.beds)
    dawn = sum(bed.area_m2 * respiration_mg_m2_h(bed.canopy, 1.0) for bed in tank.beds)
    return dusk, dawn - dusk


def coefficients(tank: TankDay) -> Coefficients:
    """The balance of one tank gathered for stepping."""
    dusk, falls = _breathing_of_plants_mg_h(tank)
    arriving = tank.loss_per_h * tank.air_co2_mg_l + tank.exchange_per_h * tank.tap_co2_mg_l
    o2_for_breath = oxygen_for_carbon_mg_m2_h(1.0, 1.0) if tank.beds else 0.0
    o2_for_uptake = oxygen_for_carbon_mg_m2_h(1.0, PLANT_QUOTIENT_RATIO) if tank.beds else 0.0
    return Coefficients(
        base_mg_l_h=(tank.breathing_mg_h + dusk) / tank.volume_l + arriving,
        gas_mg_l_h=tank.feed_mg_h * tank.dissolved_frac / tank.volume_l,
        night_mg_l_h=falls / tank.volume_l,
        leave_per_h=tank.loss_per_h + tank.exchange_per_h,
        o2_base_mg_l_h=tank.o2_loss_per_h * tank.o2_saturation_mg_l
        - (tank.breathing_o2_mg_h + o2_for_breath * dusk) / tank.volume_l,
        o2_night_mg_l_h=-o2_for_breath * falls / tank.volume_l,
        o2_leave_per_h=tank.o2_loss_per_h,
        o2_per_uptake_ratio=float(o2_for_uptake),
    )


def uptake_mg_h(co2_mg_l: Array, tank: TankDay, light_frac: float) -> Array | float:
    """What all beds take up at a CO2 and a share of full light, for the whole tank. [mg/h]"""
    par = tank.par_umol_m2_s * light_frac
    if par <= 0:
        return 0.0
    return sum(bed.area_m2 * gross_uptake_mg_m2_h(co2_mg_l, par, bed.canopy) for bed in tank.beds)


def day_sums(
    tank: TankDay, *, co2_mg_h_l: Array, plants_mg: Array, gas_h: Array | float, night_h: float
) -> DaySums:
    """Every stream's total from the few integrals a day leaves behind.

    Parameters
    ----------
    tank : TankDay
    co2_mg_h_l : array
        Integral of free CO2 over the 24 h. [mg h/L]
    plants_mg : array
        Uptake of the day. [mg]
    gas_h : array or float
        Integral of the share of full feed. [h]
    night_h : float
        Integral of the share of the night gone by. [h]
    """
    dusk, falls = _breathing_of_plants_mg_h(tank)
    nothing = np.zeros_like(co2_mg_h_l)
    fed = tank.feed_mg_h * gas_h + nothing
    return DaySums(
        fed_mg=fed,
        dissolved_mg=fed * tank.dissolved_frac,
        breathing_mg=24.0 * tank.breathing_mg_h + nothing,
        plant_breathing_mg=24.0 * dusk + night_h * falls + nothing,
        surface_mg=tank.loss_per_h * (co2_mg_h_l - 24.0 * tank.air_co2_mg_l) * tank.volume_l,
        plants_mg=plants_mg + nothing,
        water_change_mg=tank.exchange_per_h * (co2_mg_h_l - 24.0 * tank.tap_co2_mg_l) * tank.volume_l,
    )
