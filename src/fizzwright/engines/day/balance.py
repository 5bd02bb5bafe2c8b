"""What a tank's day is made of, and how its carbon splits into free CO2 and the rest.

Carbon is carried as total inorganic carbon in mg of CO2 a litre, because that is what is conserved; the
free CO2 that escapes, feeds plants and harms animals follows from it and the alkalinity. Arrays of draws
ride along in every term.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.living.plants import Canopy
from fizzwright.sources import equation

__all__ = [
    "CO2_MG_MMOL", "Bed", "DaySums", "TankDay", "day_ph", "free_co2_mg_l", "total_carbon_mg_l",
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
    is K1/K2 at the tank's temperature and ionic strength. `air_loss_per_h` is what an air pump adds to the
    loss while it runs, `meal_o2_mg_h` the O2 animals take over their mean two hours after a meal,
    `depression_frac` the share of the uptake lost late in the lit hours.
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
    air_loss_per_h: Array | float = 0.0
    meal_o2_mg_h: Array | float = 0.0
    depression_frac: Array | float = 0.0


@dataclass(frozen=True)
class DaySums:
    """The total of every stream of carbon over a day (or any span), as mg of CO2 for the whole tank.

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
    carbonate = b * b
    carbonate += 4.0 * more * alk_meq_l * alk_meq_l
    carbonate = np.sqrt(carbonate)
    carbonate -= b
    carbonate *= 0.5 / more
    carbonate += excess
    carbonate *= CO2_MG_MMOL
    return carbonate


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
