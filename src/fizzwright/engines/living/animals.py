"""What animals breathe: oxygen in, CO2 out, from their mass and the water's temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = [
    "ACTIVITY_FACTOR",
    "ANIMAL_LOG_SD_NUMBER",
    "ANIMAL_QUOTIENT_RATIO",
    "co2_breathed_mg_h",
    "resting_o2_mg_h",
    "routine_o2_mg_h",
]

Draws = float | NDArray[np.float64]

O2_MG_MMOL = 31.9988
CO2_FOR_O2_RATIO = 44.0095 / 31.9988
# Fed fish going about their day use 1.5 to 2.5 times the resting rate; 1.8 is the middle of the logs.
ACTIVITY_FACTOR = 1.8
ANIMAL_QUOTIENT_RATIO = 0.9
# Species scatter, activity and guessed mass together: a factor of 1.8 either way at 90 %.
ANIMAL_LOG_SD_NUMBER = 0.35


@equation(
    "clarke-johnston-1999",
    where="abstract: ln R = 15.7 - 5020/T for 50 g, mass exponent 0.80",
    valid={"mass_g": (0.05, 5000.0), "water_c": (0.0, 34.0)},
)
def resting_o2_mg_h(mass_g: Draws, water_c: Draws) -> Draws:
    """The oxygen one resting fish uses in an hour.

    Parameters
    ----------
    mass_g : mass of one animal. [g]
    water_c : water temperature. [degC]

    Returns
    -------
    Oxygen used by one animal. [mg O2/h]

    Examples
    --------
    >>> round(float(resting_o2_mg_h(1.0, 25.0)), 3)
    0.449
    """
    kelvin = np.asarray(water_c) + 273.15
    rate: Draws = O2_MG_MMOL * np.exp(15.7 - 5020.0 / kelvin) * (np.asarray(mass_g) / 50.0) ** 0.80
    return rate


def routine_o2_mg_h(mass_g: Draws, water_c: Draws, *, activity_factor: Draws = ACTIVITY_FACTOR) -> Draws:
    """The oxygen one fed animal going about its day uses in an hour.

    Parameters
    ----------
    mass_g : mass of one animal. [g]
    water_c : water temperature. [degC]
    activity_factor : routine over resting rate; 1.5 to 2.5. [-]

    Returns
    -------
    Oxygen used by one animal. [mg O2/h]

    Examples
    --------
    >>> round(30 * float(routine_o2_mg_h(0.7, 25.0)), 1)
    18.2
    """
    return activity_factor * resting_o2_mg_h(mass_g, water_c)


@equation("gas-exchange-quotients", where="mole ratio of CO2 to O2; respiratory quotient 0.8-1.0")
def co2_breathed_mg_h(o2_mg_h: Draws, quotient_ratio: Draws = ANIMAL_QUOTIENT_RATIO) -> Draws:
    """The CO2 breathed out for the oxygen used.

    Parameters
    ----------
    o2_mg_h : oxygen used. [mg/h]
    quotient_ratio : mol CO2 for each mol O2; 0.8 to 1.0. [mol/mol]

    Returns
    -------
    CO2 breathed out. [mg/h]

    Examples
    --------
    >>> round(co2_breathed_mg_h(18.2), 1)
    22.5
    """
    return quotient_ratio * o2_mg_h * CO2_FOR_O2_RATIO
