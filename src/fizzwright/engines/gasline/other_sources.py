"""Carbon from elsewhere: yeast, acid on bicarbonate, cartridges, tablets, and "liquid carbon"."""

from __future__ import annotations

import math

import numpy as np

from fizzwright.engines.gasline.gas import CO2_G_MOL, Floats
from fizzwright.sources import equation

__all__ = [
    "CITRIC_ACID_G_MOL",
    "LIQUID_CARBON_RATIO",
    "bicarbonate_for_acid_g",
    "carbonate_co2_g",
    "citric_acid_co2_g",
    "fermented_by_g",
    "fermenting_g_day",
    "fermenting_warmth_factor",
    "glutaraldehyde_co2_mg_l",
    "sealed_vessel_bara",
    "sugar_co2_g",
    "supply_lasts_days",
]

SUCROSE_G_MOL = 342.297
CITRIC_ACID_G_MOL = 192.124
BICARBONATE_G_MOL = 84.0066
CARBONATE_G_MOL = 100.0869
GLUTARALDEHYDE_G_MOL = 100.117
# Five carbons of glutaraldehyde as CO2, were every one of them oxidised.
LIQUID_CARBON_RATIO = 5.0 * CO2_G_MOL / GLUTARALDEHYDE_G_MOL
# Litres a mole of gas takes at 1 bar and 20 degC, and moles of CO2 a litre of water takes up at 1 bar.
_L_MOL_BAR = 24.4
_MOL_L_BAR = 0.034


@equation("stoichiometry", where="C12H22O11 + H2O to 4 C2H5OH + 4 CO2")
def sugar_co2_g(sugar_g: Floats, yield_frac: Floats = 0.9) -> Floats:
    """The CO2 that yeast makes of table sugar.

    Parameters
    ----------
    sugar_g : float or array
        Sucrose. [g]
    yield_frac : float or array
        Part of what the formula allows; 85 to 95 % is usual. [share]

    Returns
    -------
    float or array
        CO2 in all. [g]

    Examples
    --------
    >>> round(sugar_co2_g(1.0, 1.0), 4)
    0.5143
    """
    return sugar_g * 4.0 * CO2_G_MOL / SUCROSE_G_MOL * yield_frac


@equation("zwietering-1990", where="modified Gompertz curve")
def fermented_by_g(time_days: Floats, total_g: Floats, *, peak_g_day: Floats, lag_days: Floats) -> Floats:
    """The CO2 a bottle of yeast and sugar has given by a time.

    Parameters
    ----------
    time_days : float or array
        Time since it was mixed. [days]
    total_g : float or array
        CO2 it gives in the end. [g]
    peak_g_day : float or array
        Fastest rate. [g/day]
    lag_days : float or array
        Time before it gets going. [days]

    Returns
    -------
    float or array
        CO2 given so far. [g]

    Examples
    --------
    >>> round(float(fermented_by_g(30.0, 92.0, peak_g_day=15.0, lag_days=0.5)), 1)
    92.0
    """
    steep = peak_g_day * math.e / total_g * (lag_days - np.asarray(time_days, dtype=float)) + 1.0
    given: Floats = total_g * np.exp(-np.exp(steep))
    return given


def fermenting_g_day(time_days: Floats, total_g: Floats, *, peak_g_day: Floats, lag_days: Floats) -> Floats:
    """The rate of a bottle of yeast at a time, from its curve. [g/day]"""
    steep = peak_g_day * math.e / total_g * (lag_days - np.asarray(time_days, dtype=float)) + 1.0
    rate: Floats = peak_g_day * math.e * np.exp(steep - np.exp(steep))
    return rate


@equation(
    "white-munns-1951", where="rate doubles for each 10 K, judged", valid={"temperature_c": (10.0, 30.0)}
)
def fermenting_warmth_factor(temperature_c: Floats) -> Floats:
    """How much faster yeast works than at 22 °C.

    Parameters
    ----------
    temperature_c : float or array
        Where the bottle stands. [°C]

    Returns
    -------
    float or array
        Rate over that at 22 °C. [factor]

    Examples
    --------
    >>> round(float(fermenting_warmth_factor(32.0)), 2)
    2.0
    """
    factor: Floats = np.power(2.0, (np.asarray(temperature_c, dtype=float) - 22.0) / 10.0)
    return factor


@equation("stoichiometry", where="C6H8O7 + 3 NaHCO3 to 3 CO2")
def citric_acid_co2_g(acid_g: Floats, yield_frac: Floats = 0.9) -> Floats:
    """The CO2 that dry citric acid frees from bicarbonate enough for it.

    Parameters
    ----------
    acid_g : float or array
        Citric acid without water. [g]
    yield_frac : float or array
        Part that comes out as gas; 85 to 95 % is usual. [share]

    Returns
    -------
    float or array
        CO2. [g]

    Examples
    --------
    >>> round(citric_acid_co2_g(1.0, 1.0), 4)
    0.6872
    """
    return acid_g * 3.0 * CO2_G_MOL / CITRIC_ACID_G_MOL * yield_frac


@equation("stoichiometry", where="3 NaHCO3 to each C6H8O7")
def bicarbonate_for_acid_g(acid_g: Floats) -> Floats:
    """The bicarbonate that uses up citric acid.

    Parameters
    ----------
    acid_g : float or array
        Citric acid without water. [g]

    Returns
    -------
    float or array
        Sodium bicarbonate. [g]

    Examples
    --------
    >>> round(bicarbonate_for_acid_g(1.0), 3)
    1.312
    """
    return acid_g * 3.0 * BICARBONATE_G_MOL / CITRIC_ACID_G_MOL


@equation("stoichiometry", where="CaCO3 + 2 H+ to CO2")
def carbonate_co2_g(carbonate_g: Floats) -> Floats:
    """The most CO2 a carbonate tablet can give, with acid enough.

    Parameters
    ----------
    carbonate_g : float or array
        Calcium carbonate. [g]

    Returns
    -------
    float or array
        CO2. [g]

    Examples
    --------
    >>> round(carbonate_co2_g(1.0), 4)
    0.4397
    """
    return carbonate_g * CO2_G_MOL / CARBONATE_G_MOL


@equation("sealed-generator", where="gas law and Henry's law together")
def sealed_vessel_bara(co2_g: Floats, *, gas_space_l: Floats, water_l: Floats) -> Floats:
    """The pressure a vessel comes to if it is shut on a whole charge of acid and bicarbonate.

    Parameters
    ----------
    co2_g : float or array
        CO2 set free. [g]
    gas_space_l : float or array
        Space over the water. [L]
    water_l : float or array
        Water. [L]

    Returns
    -------
    float or array
        Pressure of the CO2 alone. [bar abs]

    Examples
    --------
    >>> round(sealed_vessel_bara(68.72, gas_space_l=1.5, water_l=0.5), 1)
    19.9
    """
    return co2_g / CO2_G_MOL / (gas_space_l / _L_MOL_BAR + _MOL_L_BAR * water_l)


@equation("stoichiometry", where="C5H8O2 oxidised whole to 5 CO2")
def glutaraldehyde_co2_mg_l(dose_mg_l: Floats) -> Floats:
    """The most CO2 a dose of glutaraldehyde could ever become in the tank.

    Parameters
    ----------
    dose_mg_l : float or array
        Glutaraldehyde added to the water. [mg/L]

    Returns
    -------
    float or array
        CO2, were all of it oxidised. [mg/L]

    Examples
    --------
    >>> round(glutaraldehyde_co2_mg_l(0.375), 3)
    0.824
    """
    return dose_mg_l * LIQUID_CARBON_RATIO


def supply_lasts_days(supply_g: Floats, *, flow_mg_h: Floats, hours_h: Floats) -> Floats:
    """How long a mass of gas lasts at a feed. [days]

    Parameters
    ----------
    supply_g : float or array
        Gas that can be drawn. [g]
    flow_mg_h : float or array
        Feed while on. [mg/h]
    hours_h : float or array
        Hours a day it is on. [h]

    Examples
    --------
    >>> round(supply_lasts_days(16.0, flow_mg_h=551.8, hours_h=8.0), 2)
    3.62
    """
    return supply_g * 1000.0 / (flow_mg_h * hours_h)
