"""How far the reaction of CO2 with water speeds its loss through a still surface.

In a tank on gas it hardly does: alkalinity cannot leave, so bicarbonate cannot follow the CO2 through
the film. It matters only in still, hard water near the air's own level.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.carbonate import dic_from_co2_mmol_l, ph_from_co2
from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    conditional_constants,
)
from fizzwright.engines.water.constants import CO2_G_MOL, kelvin
from fizzwright.engines.water.diffusion import diffusivity_co2_jahne_m2_s
from fizzwright.sources import equation

__all__ = [
    "ENHANCEMENT_EQUATIONS",
    "enhancement_factor",
    "enhancement_negligible",
    "film_enhancement_factor",
    "hydration_johnson_per_s",
    "hydroxide_rate_pinsent_log10",
]

Array = NDArray[np.float64]

# Bicarbonate spreads 0.62 times as fast as CO2 (Zeebe 2011 gives 0.60 to 0.63 over 10 to 30 °C).
HCO3_OVER_CO2_RATIO = 0.62


@equation("johnson-1982", where="hydration fit", valid={"water_c": (5.0, 35.0)})
def hydration_johnson_per_s(water_c: ArrayLike) -> Array:
    """How fast dissolved CO2 reacts with water by itself.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Rate constant [/s], shape of `water_c`

    Examples
    --------
    >>> round(float(hydration_johnson_per_s(25.0)), 3)
    0.037
    """
    t = kelvin(water_c)
    result: Array = np.exp(1246.98 - 6.19e4 / t - 183.0 * np.log(t))
    return result


@equation("pinsent-1956", where="abstract, rate with hydroxide", valid={"water_c": (0.0, 40.0)})
def hydroxide_rate_pinsent_log10(water_c: ArrayLike) -> Array:
    """How fast dissolved CO2 reacts with hydroxide, which takes over above pH 8.

    Parameters
    ----------
    water_c : water temperature [°C]

    Returns
    -------
    Decimal logarithm of the rate constant [log10 of L/mol/s], shape of `water_c`

    Examples
    --------
    >>> round(float(hydroxide_rate_pinsent_log10(25.0)), 2)
    3.93
    """
    result: Array = 13.635 - 2895.0 / kelvin(water_c)
    return result


@equation("film-without-alkalinity-loss", where="linear film, closed form")
def film_enhancement_factor(reaction_number: ArrayLike, reserve_ratio: ArrayLike) -> Array:
    """How many times faster CO2 leaves through a film in which bicarbonate can turn back into CO2.

    Parameters
    ----------
    reaction_number : film thickness over the length CO2 spreads before it reacts [-]
    reserve_ratio : carbon carried by other forms over that carried as CO2, at equilibrium [-]

    Returns
    -------
    Flux over the flux without reaction [-], shape of the inputs broadcast

    Examples
    --------
    >>> round(float(film_enhancement_factor(1.0, 0.5)), 3)
    1.086
    """
    number = np.asarray(reaction_number, dtype=np.float64)
    reserve = np.asarray(reserve_ratio, dtype=np.float64)
    slowed = np.tanh(number) / number
    result: Array = (1.0 + reserve) / (1.0 + reserve * slowed)
    return result


ENHANCEMENT_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    diffusivity_co2_jahne_m2_s,
    hydration_johnson_per_s,
    hydroxide_rate_pinsent_log10,
    film_enhancement_factor,
)


def enhancement_factor(
    co2_mg_l: ArrayLike,
    alk_meq_l: ArrayLike,
    *,
    air_co2_mg_l: ArrayLike,
    velocity_cm_h: ArrayLike,
    water_c: ArrayLike,
) -> Array:
    """How much faster than by spreading alone CO2 crosses the surface, for its reaction with water.

    The equilibrium slope is taken between the bulk and where the film's ions actually get to, found by
    repetition; salts beside the alkalinity are left out.

    Parameters
    ----------
    co2_mg_l : free CO2 of the bulk, over the air's own level [mg/L]
    alk_meq_l : carbonate alkalinity [meq/L]
    air_co2_mg_l : CO2 the air leaves in the water [mg/L]
    velocity_cm_h : transfer velocity without reaction [cm/h]
    water_c : water temperature [°C]

    Returns
    -------
    Flux over the flux without reaction [-], shape of the inputs broadcast

    Examples
    --------
    >>> hard_still = {"air_co2_mg_l": 0.6, "velocity_cm_h": 1.0, "water_c": 25.0}
    >>> round(float(enhancement_factor(30.0, 1.43, **hard_still)), 2)
    1.0
    """
    bulk, surface = np.broadcast_arrays(
        np.asarray(co2_mg_l, dtype=np.float64), np.asarray(air_co2_mg_l, dtype=np.float64)
    )
    alk = np.asarray(alk_meq_l, dtype=np.float64)
    water: dict[str, Any] = {"water_c": water_c, "ionic_strength_mol_l": 1e-3 * np.maximum(alk, 1e-3)}
    kw = conditional_constants(**water).kw_mol_l
    spread = diffusivity_co2_jahne_m2_s(water_c)
    film_m = spread / (np.asarray(velocity_cm_h, dtype=np.float64) / 3.6e5)
    own, with_hydroxide = hydration_johnson_per_s(water_c), 10.0 ** hydroxide_rate_pinsent_log10(water_c)

    def held(co2: Array) -> Array:
        return CO2_G_MOL * dic_from_co2_mmol_l(co2, alk, **water) - co2

    ions_reach: Array = np.asarray(surface, dtype=np.float64)
    factor: Array = np.ones_like(ions_reach)
    for _ in range(40):
        reserve = HCO3_OVER_CO2_RATIO * (held(bulk) - held(ions_reach)) / (bulk - ions_reach)
        slope = (held(1.01 * ions_reach) - held(0.99 * ions_reach)) / (0.02 * ions_reach)
        rate = own + with_hydroxide * kw * 10.0 ** ph_from_co2(ions_reach, alk, **water)
        number = film_m * np.sqrt(rate / spread * (1.0 + 1.0 / (HCO3_OVER_CO2_RATIO * slope)))
        factor = film_enhancement_factor(number, reserve)
        reached = surface + factor * (bulk - surface) * np.tanh(number) / number
        ions_reach = 0.5 * (ions_reach + np.minimum(reached, 0.999 * bulk))
    return factor


def enhancement_negligible(co2_mg_l: float, velocity_cm_h: float, *, kh_dkh: float) -> bool:
    """Whether a tank's loss may be worked out without this effect, to about 10 %.

    True at 10 mg/L and more, or at 3 mg/L and more where the surface moves (4 cm/h), up to 8 dKH.
    """
    return kh_dkh <= 8.0 and (co2_mg_l >= 10.0 or (co2_mg_l >= 3.0 and velocity_cm_h >= 4.0))
