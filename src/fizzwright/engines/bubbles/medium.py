"""The water round a bubble: its properties and the gases already dissolved in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import properties
from fizzwright.engines.water.constants import CO2_G_MOL, density_smow_kg_m3
from fizzwright.engines.water.diffusion import (
    diffusivity_co2_jahne_m2_s,
    diffusivity_o2_han_m2_s,
)
from fizzwright.engines.water.gases import (
    k0_volumetric_weiss_log10,
    n2_hamme_emerson_mol_kg,
    o2_benson_krause_mg_l,
    vapour_weiss_price_atm,
)

__all__ = ["CO2", "GASES", "N2", "O2", "WATER_EQUATIONS", "BubbleWater", "bubble_water"]

Array = NDArray[np.float64]

# Order of the gases wherever an array has one row for each.
GASES = ("CO2", "N2", "O2")
CO2, N2, O2 = 0, 1, 2
O2_G_MOL = 31.9988

WATER_EQUATIONS = (
    density_smow_kg_m3,
    properties.viscosity_iapws_pa_s,
    properties.surface_tension_iapws_n_m,
    vapour_weiss_price_atm,
    k0_volumetric_weiss_log10,
    n2_hamme_emerson_mol_kg,
    o2_benson_krause_mg_l,
    diffusivity_co2_jahne_m2_s,
    properties.diffusivity_n2_himmelblau_m2_s,
    diffusivity_o2_han_m2_s,
)


@dataclass(frozen=True, eq=False)
class BubbleWater:
    """Water as a bubble meets it; arrays have shape (3,) in the order CO2, N2, O2."""

    water_c: float
    surface_pa: float
    density_kg_m3: float
    viscosity_pa_s: float
    tension_n_m: float
    vapour_pa: float
    solubility_mol_m3_pa: Array
    diffusivity_m2_s: Array
    bulk_mol_m3: Array

    @property
    def kinematic_m2_s(self) -> float:
        """Viscosity over density. [m²/s]"""
        return self.viscosity_pa_s / self.density_kg_m3

    @property
    def head_pa_m(self) -> float:
        """Pressure gained for each metre of depth, the unit being Pa/m."""
        return self.density_kg_m3 * properties.GRAVITY

    @property
    def thermal_j_mol(self) -> float:
        """Gas constant times absolute temperature. [J/mol]"""
        return properties.GAS_CONSTANT * (self.water_c + properties.ZERO_C_K)


def bubble_water(
    water_c: float,
    surface_pa: float = properties.ATMOSPHERE_PA,
    *,
    co2_mg_l: float = 15.0,
    n2_saturation_ratio: float = 1.0,
    o2_saturation_ratio: float = 1.0,
) -> BubbleWater:
    """Gather what a bubble needs to know of its water.

    Parameters
    ----------
    water_c : water temperature [°C]
    surface_pa : air pressure over the water [Pa]
    co2_mg_l : free CO2 dissolved in the water [mg/L]
    n2_saturation_ratio, o2_saturation_ratio : dissolved air gases over what moist air of that pressure
        would leave in the water; a lit tank often has oxygen over 1 [-]

    Returns
    -------
    the frozen record of the water

    Examples
    --------
    >>> water = bubble_water(25.0)
    >>> round(float(water.bulk_mol_m3[CO2]), 3)
    0.341
    """
    density = float(density_smow_kg_m3(water_c))
    vapour = float(vapour_weiss_price_atm(water_c)) * properties.ATMOSPHERE_PA
    share = np.array([0.0, properties.N2_IN_AIR, properties.O2_IN_AIR])
    # What moist air at one atmosphere leaves in the water, over the pressure of that gas in it.
    from_air = np.array(
        [
            0.0,
            float(n2_hamme_emerson_mol_kg(water_c)) * density,
            float(o2_benson_krause_mg_l(water_c)) / O2_G_MOL,
        ]
    )
    solubility = from_air / np.maximum(share * (properties.ATMOSPHERE_PA - vapour), 1e-30)
    solubility[CO2] = 10.0 ** float(k0_volumetric_weiss_log10(water_c)) * 1000.0 / properties.ATMOSPHERE_PA
    bulk = (
        solubility * share * (surface_pa - vapour) * np.array([0.0, n2_saturation_ratio, o2_saturation_ratio])
    )
    bulk[CO2] = co2_mg_l / CO2_G_MOL
    diffusivity = np.array(
        [
            float(diffusivity_co2_jahne_m2_s(water_c)),
            float(properties.diffusivity_n2_himmelblau_m2_s(water_c)),
            float(diffusivity_o2_han_m2_s(water_c)),
        ]
    )
    return BubbleWater(
        water_c=float(water_c),
        surface_pa=float(surface_pa),
        density_kg_m3=density,
        viscosity_pa_s=float(properties.viscosity_iapws_pa_s(water_c)),
        tension_n_m=float(properties.surface_tension_iapws_n_m(water_c)),
        vapour_pa=vapour,
        solubility_mol_m3_pa=solubility,
        diffusivity_m2_s=diffusivity,
        bulk_mol_m3=bulk,
    )
