"""What a planted square metre takes out of the water in the light and gives back in the dark.

One canopy model serves every bed: a hyperbola of light under Beer-Lambert self-shading, with leaf capacity
and light-use efficiency both falling when CO2 runs short. All plants are treated as living on dissolved
CO2 alone, which is what injected tanks select for. A tank is the sum over its beds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fizzwright.job.words import Density, PlantClass
from fizzwright.sources import equation

__all__ = [
    "DEMAND_LOG_SD_NUMBER",
    "NIGHT_MEAN_RATIO",
    "PLANT_QUOTIENT_RATIO",
    "Canopy",
    "afternoon_factor",
    "canopy_for",
    "energy_ceiling_mg_m2_h",
    "fixed_co2_g_day",
    "gross_uptake_mg_m2_h",
    "oxygen_for_carbon_mg_m2_h",
    "respiration_mg_m2_h",
    "sustainable_biomass_g_m2",
    "uptake_warmth_factor",
]

Draws = float | NDArray[np.float64]

# One mol CO2 for each mol of photons, at 1 umol/m2/s for an hour: 44.0095 g/mol x 3600 s / 1000.
CO2_FOR_LIGHT_MG = 44.0095 * 3600 / 1000
CO2_FOR_O2_RATIO = 44.0095 / 31.9988
PLANT_QUOTIENT_RATIO = 1.1
# A factor of 2 either way at 90 %: plants of one class and density differ that much between tanks.
DEMAND_LOG_SD_NUMBER = float(np.log(2.0) / 1.6449)
DAWN_RATIO = 0.4
NIGHT_MEAN_RATIO = (1 + DAWN_RATIO) / 2
FLAT_FROM_C = 30.0
FALLS_FROM_C = 33.0
FALL_PER_K = 0.1


@dataclass(frozen=True)
class Canopy:
    """One planted bed at one water temperature; every number may be an array of draws that broadcast.

    Attributes
    ----------
    pmax25_mg_g_h : leaf capacity at 25 degC, light and CO2 not limiting. [mg CO2 per g dry mass per h]
    quantum_yield_ratio : light-use efficiency in dim light with CO2 not limiting. [mol CO2/mol photon]
    shading_g_m2 : dry mass over a square metre that lets 1/e of the light through. [g/m2]
    biomass_g_m2 : standing dry mass over the bottom. [g/m2]
    respiration25_mg_g_h : respiration at 25 degC at dusk. [mg CO2 per g dry mass per h]
    water_c : water temperature. [degC]
    half_co2_mg_l : CO2 over compensation at which leaf capacity is halved. [mg/L]
    yield_half_co2_mg_l : CO2 over compensation at which light-use efficiency is halved. [mg/L]
    compensation_co2_mg_l : CO2 at which gross uptake stops. [mg/L]
    uptake_q10_factor, respiration_q10_factor : rise for 10 K.
    demand_factor : scales uptake and respiration together; carries the doubt of the whole bed.
    """

    pmax25_mg_g_h: Draws
    quantum_yield_ratio: Draws
    shading_g_m2: Draws
    biomass_g_m2: Draws
    respiration25_mg_g_h: Draws
    water_c: Draws = 25.0
    half_co2_mg_l: Draws = 6.0
    yield_half_co2_mg_l: Draws = 1.5
    compensation_co2_mg_l: Draws = 0.2
    uptake_q10_factor: Draws = 2.0
    respiration_q10_factor: Draws = 2.0
    demand_factor: Draws = 1.0

    @cached_property
    def _shape(self) -> tuple[Draws, Draws, Draws, Draws]:
        """Saturated uptake, half-saturating light, light let through and its rest, worked out once."""
        p = self.pmax25_mg_g_h * uptake_warmth_factor(self.water_c, self.uptake_q10_factor)
        saturated = self.demand_factor * p * self.shading_g_m2
        half_light = p * self.shading_g_m2 / (CO2_FOR_LIGHT_MG * self.quantum_yield_ratio)
        through = np.exp(-self.biomass_g_m2 / self.shading_g_m2)
        return saturated, half_light, through, 1.0 - through

    @cached_property
    def _dusk_mg_m2_h(self) -> Draws:
        """Respiration at dusk, worked out once."""
        warmth = self.respiration_q10_factor ** ((self.water_c - 25.0) / 10)
        return self.demand_factor * self.respiration25_mg_g_h * self.biomass_g_m2 * warmth


def uptake_warmth_factor(water_c: Draws, q10_factor: Draws = 2.0) -> Draws:
    """Leaf capacity against 25 degC: Q10 to 30 degC, flat to 33 degC, then falling to nil at 43 degC."""
    rise = q10_factor ** ((np.minimum(water_c, FLAT_FROM_C) - 25.0) / 10)
    fall: Draws = np.clip(1.0 - FALL_PER_K * (np.asarray(water_c) - FALLS_FROM_C), 0.0, 1.0)
    return rise * fall


@equation(
    "monsi-saeki-1953",
    where="light integral of a shading canopy; constants judged from `van-1976`, `best-1986`, `orr-1988`, "
    "`kahara-vermaat-2003` and `sher-kaul-1995`",
    valid={"co2_mg_l": (0.0, 60.0), "par_umol_m2_s": (0.0, 1000.0)},
)
def gross_uptake_mg_m2_h(co2_mg_l: Draws, par_umol_m2_s: Draws, canopy: Canopy) -> Draws:
    """The CO2 a bed takes up in the light, before its own respiration is set against it.

    Pg = p/kB ln[(E + KE)/(E exp(-kB B) + KE)], with p the leaf capacity at this CO2 and temperature, kB the
    shading of a gram, B the biomass and KE = p/(phi kB) the light at half saturation. What depends on the
    canopy alone is worked out at the first call, so repeated calls inside an integration cost little.

    Parameters
    ----------
    co2_mg_l : CO2 in the water at the leaves. [mg/L]
    par_umol_m2_s : light at the top of the bed. [umol/m2/s]
    canopy : the bed.

    Returns
    -------
    Gross uptake over the bed's own area. [mg CO2/m2/h], shape of the inputs broadcast together.

    Examples
    --------
    >>> bed = Canopy(10, 0.050, 50, 60, 0.8)
    >>> round(float(gross_uptake_mg_m2_h(10.0, 80.0, bed)), 1)
    183.6
    """
    saturated, half_light, through, caught = canopy._shape
    over = np.maximum(co2_mg_l - canopy.compensation_co2_mg_l, 0.0)
    limited = over + canopy.half_co2_mg_l
    # Capacity falls faster than efficiency as CO2 runs out, so the bed saturates in dimmer light.
    shaded = par_umol_m2_s * through * limited + half_light * (over + canopy.yield_half_co2_mg_l)
    layers: Draws = np.log1p(par_umol_m2_s * caught * limited / shaded)
    return layers * (saturated * over / limited)


@equation(
    "orr-1988",
    where="respiration against temperature, Q10 2.0; decline over the night from kragh-2017",
    valid={"night_frac": (0.0, 1.0)},
)
def respiration_mg_m2_h(canopy: Canopy, night_frac: Draws = 0.0) -> Draws:
    """The CO2 a bed breathes out, full at dusk and down to 0.4 of that at dawn.

    Parameters
    ----------
    canopy : the bed.
    night_frac : share of the dark hours gone by; 0 while the lamp is lit. [-]

    Returns
    -------
    Respiration over the bed's own area. [mg CO2/m2/h]

    Examples
    --------
    >>> bed = Canopy(10, 0.050, 50, 60, 0.8)
    >>> respiration_mg_m2_h(bed, 0.0)
    48.0
    """
    return canopy._dusk_mg_m2_h * (1.0 - (1.0 - DAWN_RATIO) * night_frac)


@equation("gas-exchange-quotients", where="mole ratio of O2 to CO2")
def oxygen_for_carbon_mg_m2_h(co2_mg_m2_h: Draws, quotient_ratio: Draws = PLANT_QUOTIENT_RATIO) -> Draws:
    """The oxygen that goes with a flow of CO2: made with uptake, used with respiration.

    Parameters
    ----------
    co2_mg_m2_h : CO2 taken up (or breathed out). [mg/m2/h]
    quotient_ratio : mol O2 for each mol CO2; 1.1 for growth in the light, 1.0 for the dark. [mol/mol]

    Returns
    -------
    Oxygen. [mg O2/m2/h]

    Examples
    --------
    >>> round(oxygen_for_carbon_mg_m2_h(48.0, 1.0), 1)
    34.9
    """
    return quotient_ratio * co2_mg_m2_h / CO2_FOR_O2_RATIO


@equation(
    "kragh-2017",
    where="afternoon depression of lake communities, qualitative; size is judgement",
    valid={"depression_frac": (0.0, 0.3)},
)
def afternoon_factor(lit_h: Draws, depression_frac: Draws) -> Draws:
    """How much of the morning's uptake is left after so many hours of light.

    Full for 5 h, then falling over one hour to 1 - depression. The depression is seen where oxygen
    piles up (over 120 % of saturation); 0 leaves it out.

    Parameters
    ----------
    lit_h : hours since the lamp came on. [h]
    depression_frac : share lost late in the day, 0 to 0.3. [-]

    Returns
    -------
    Factor on gross uptake. [-]

    Examples
    --------
    >>> round(float(afternoon_factor(8.0, 0.2)), 2)
    0.8
    """
    left: Draws = 1.0 - depression_frac * np.clip(np.asarray(lit_h) - 5.0, 0.0, 1.0)
    return left


@equation("attard-glud-2020", where="light-use efficiency, upper limit 0.125 mol O2/mol photon")
def energy_ceiling_mg_m2_h(par_umol_m2_s: Draws, quantum_yield_ratio: Draws = 0.125 / 1.1) -> Draws:
    """The most CO2 the light itself can pay for, however dense the planting.

    Parameters
    ----------
    par_umol_m2_s : light at the top of the bed. [umol/m2/s]
    quantum_yield_ratio : mol CO2 for each mol of photons; the default is the limit of nature. [mol/mol]

    Returns
    -------
    Uptake that no plant passes. [mg CO2/m2/h]

    Examples
    --------
    >>> round(energy_ceiling_mg_m2_h(100.0, 0.050), 1)
    792.2
    """
    return CO2_FOR_LIGHT_MG * quantum_yield_ratio * par_umol_m2_s


@equation("plant-composition", where="dry over wet mass 0.08, carbon 38 % of dry mass")
def fixed_co2_g_day(wet_g_day: Draws) -> Draws:
    """The CO2 a tank's plants fixed, from the wet mass of the trimmings.

    Weigh a month of trimmings, shaken dry, and divide by the days: it checks the net uptake assumed.

    Parameters
    ----------
    wet_g_day : wet mass trimmed, as a daily mean. [g/day]

    Returns
    -------
    CO2 fixed. [g/day]

    Examples
    --------
    >>> round(7 * fixed_co2_g_day(100 / 7), 1)
    11.1
    """
    return wet_g_day * 0.08 * 0.38 * 44.0095 / 12.011


@equation("canopy-carbon-balance", where="day's gross uptake = day's and night's respiration")
def sustainable_biomass_g_m2(canopy: Canopy, par_umol_m2_s: float, *, co2_mg_l: float, lit_h: float) -> float:
    """The dry mass over a square metre that this light can keep alive; denser beds thin themselves.

    Parameters
    ----------
    canopy : the bed, with plain numbers; its own biomass is not used.
    par_umol_m2_s : light at the top of the bed. [umol/m2/s]
    co2_mg_l : CO2 while the lamp is lit. [mg/L]
    lit_h : lit hours a day. [h]

    Returns
    -------
    Biomass at which a day's uptake and respiration meet; 0 where even a thin stand starves. [g/m2]

    Examples
    --------
    >>> mixed = canopy_for(PlantClass.MIXED, Density.MEDIUM, 25.0)
    >>> round(sustainable_biomass_g_m2(mixed, 40.0, co2_mg_l=25.0, lit_h=8.0))
    94
    """
    breathing_h = lit_h + (24.0 - lit_h) * NIGHT_MEAN_RATIO

    def gain(biomass_g_m2: float) -> float:
        stand = replace(canopy, biomass_g_m2=biomass_g_m2)
        taken = gross_uptake_mg_m2_h(co2_mg_l, par_umol_m2_s, stand)
        return float(lit_h * taken - breathing_h * respiration_mg_m2_h(stand))

    low, high = 0.1, 5000.0
    if gain(low) <= 0:
        return 0.0
    for _ in range(40):
        middle = float(np.sqrt(low * high))
        low, high = (middle, high) if gain(middle) > 0 else (low, middle)
    return float(np.sqrt(low * high))


@dataclass(frozen=True)
class _Habit:
    """How fast plants of one class work, per gram of dry mass at 25 degC."""

    pmax25_mg_g_h: float
    quantum_yield_ratio: float
    shading_g_m2: float
    respiration25_mg_g_h: float


_HABITS = {
    PlantClass.SHADE: _Habit(4.0, 0.045, 50.0, 0.3),
    PlantClass.MIXED: _Habit(10.0, 0.050, 50.0, 0.8),
    PlantClass.FAST: _Habit(18.0, 0.060, 40.0, 1.4),
}
# Middles of 10-30, 30-80 and 80-200 g dry mass over a square metre; field stands reach 60-200.
_BIOMASS_G_M2 = {Density.SPARSE: 20.0, Density.MEDIUM: 55.0, Density.DENSE: 140.0}


def canopy_for(grows: PlantClass, density: Density, water_c: Draws) -> Canopy:
    """The bed to expect where only its kind of plant and its density were noted.

    Parameters
    ----------
    grows : slow shade plants, mixed, or fast stems and carpet.
    density : sparse, medium or dense.
    water_c : water temperature. [degC]

    Returns
    -------
    A canopy at the middle of its class; the doubt is a factor of 2 either way (`DEMAND_LOG_SD_NUMBER`).

    Examples
    --------
    >>> bed = canopy_for(PlantClass.MIXED, Density.MEDIUM, 25.0)
    >>> net = gross_uptake_mg_m2_h(25.0, 90.0, bed) - respiration_mg_m2_h(bed)
    >>> round(float(net))
    173
    """
    habit = _HABITS[grows]
    return Canopy(
        pmax25_mg_g_h=habit.pmax25_mg_g_h,
        quantum_yield_ratio=habit.quantum_yield_ratio,
        shading_g_m2=habit.shading_g_m2,
        biomass_g_m2=_BIOMASS_G_M2[density],
        respiration25_mg_g_h=habit.respiration25_mg_g_h,
        water_c=water_c,
    )
