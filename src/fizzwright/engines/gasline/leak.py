"""Leak tests: how fast a shut line loses pressure, how long to watch it, and what a leak costs.

Flows are CO2 at 20 °C and 1 atm. A soft tube's wall loss looks like a leak; take it off first.
"""

from __future__ import annotations

from fizzwright.engines.gasline.bottle import vapour_only_density_kg_m3, virial_pressure_bara
from fizzwright.engines.gasline.gas import ATM_BARA, KELVIN, Floats
from fizzwright.sources import equation
from fizzwright.units import CO2_MG_PER_ML_20C

__all__ = [
    "PASS_LIMIT_ML_MIN_N",
    "PASS_SHARE_FRAC",
    "SOAP_HIGH_ML_MIN_N",
    "SOAP_LOW_ML_MIN_N",
    "WEIGHING_LIMIT_G_DAY",
    "corrected_end_bara",
    "decay_leak_ml_min_n",
    "feed_share_frac",
    "high_side_leak_ml_min_n",
    "high_side_still_bara",
    "leak_cost_g_day",
    "watch_time_min",
    "weighed_leak_g_day",
]

# Common practice for a whole low-pressure side: half a gram of CO2 in four days.
PASS_LIMIT_ML_MIN_N = 0.05
# Common practice: of what is fed in a day, counting only the hours the low side is under pressure.
PASS_SHARE_FRAC = 0.01
# Common practice: a gram in a week at the bottle's nut, valve open and needle shut.
WEIGHING_LIMIT_G_DAY = 1.0 / 7.0
# Test liquid finds 1e-4 to 1e-3 Pa m3/s, as quoted from the non-destructive testing trade.
SOAP_LOW_ML_MIN_N, SOAP_HIGH_ML_MIN_N = 0.06, 0.6


@equation("pressure-decay", where="same gas at two temperatures")
def corrected_end_bara(end_bara: Floats, *, start_c: Floats, end_c: Floats) -> Floats:
    """The end pressure as it would read had the line kept its temperature.

    Parameters
    ----------
    end_bara : float or array
        Pressure at the end. [bar abs]
    start_c : float or array
        Temperature at the start. [°C]
    end_c : float or array
        Temperature at the end. [°C]

    Returns
    -------
    float or array
        Corrected end pressure. [bar abs]

    Examples
    --------
    >>> round((corrected_end_bara(3.01325, start_c=20.0, end_c=19.0) - 3.01325) * 1000, 1)
    10.3
    """
    return end_bara * (start_c + KELVIN) / (end_c + KELVIN)


@equation("pressure-decay", where="V dp / (p_atm t)")
def decay_leak_ml_min_n(
    volume_ml: Floats, time_min: Floats, *, start_bara: Floats, end_bara: Floats, temperature_c: Floats
) -> Floats:
    """The leak of a shut low-pressure line from its fall in pressure.

    Parameters
    ----------
    volume_ml : float or array
        Gas space under test. [mL]
    time_min : float or array
        Time between the readings. [min]
    start_bara : float or array
        Pressure at the start. [bar abs]
    end_bara : float or array
        Pressure at the end, corrected for temperature. [bar abs]
    temperature_c : float or array
        Temperature at the start. [°C]

    Returns
    -------
    float or array
        Leak. [mL/min at 20 °C, 1 atm]

    Examples
    --------
    >>> round(decay_leak_ml_min_n(30.0, 60.0, start_bara=3.0, end_bara=2.9797, temperature_c=20.0), 4)
    0.01
    """
    return (
        volume_ml
        * (start_bara - end_bara)
        / (ATM_BARA * time_min)
        * (20.0 + KELVIN)
        / (temperature_c + KELVIN)
    )


@equation("pressure-decay", where="real gas: V (drho/dp)(dp/dt)")
def high_side_leak_ml_min_n(
    volume_ml: Floats, drift_bar_h: Floats, *, pressure_bara: Floats, temperature_c: Floats
) -> Floats:
    """The leak of a shut high-pressure side, where CO2 is far from an ideal gas and the gauge falls slowly.

    Parameters
    ----------
    volume_ml : float or array
        Gas space between bottle valve and regulator seat. [mL]
    drift_bar_h : float or array
        Fall of the gauge. [bar/h]
    pressure_bara : float or array
        Pressure, with no liquid in the space. [bar abs]
    temperature_c : float or array
        Temperature. [°C]

    Returns
    -------
    float or array
        Leak; within a tenth below 50 bar, a fifth near saturation. [mL/min at 20 °C, 1 atm]
    """
    step_bara = 0.5
    above = vapour_only_density_kg_m3(pressure_bara, temperature_c)
    below = vapour_only_density_kg_m3(pressure_bara - step_bara, temperature_c)
    grams_min = volume_ml * 1e-3 * (above - below) / step_bara * drift_bar_h / 60.0
    return grams_min * 1e3 / CO2_MG_PER_ML_20C


@equation("gasline-virial", where="pressure of the same gas at another temperature")
def high_side_still_bara(start_bara: Floats, *, start_c: Floats, end_c: Floats) -> Floats:
    """What a shut high-pressure side would read at another temperature, had nothing leaked.

    Parameters
    ----------
    start_bara : float or array
        Pressure at the start, with no liquid in the space. [bar abs]
    start_c : float or array
        Temperature at the start. [°C]
    end_c : float or array
        Temperature at the end. [°C]

    Returns
    -------
    float or array
        Pressure to expect. [bar abs]
    """
    return virial_pressure_bara(vapour_only_density_kg_m3(start_bara, start_c), end_c)


@equation("weighing-statistics", where="two weighings, what was fed taken off")
def weighed_leak_g_day(
    start_g: Floats, end_g: Floats, *, time_days: Floats, fed_g_day: Floats = 0.0
) -> Floats:
    """The leak of a whole line from two weighings of its bottle.

    Parameters
    ----------
    start_g : float or array
        Weight at the start, with all that hangs on the bottle. [g]
    end_g : float or array
        Weight at the end, with the same. [g]
    time_days : float or array
        Time between. [days]
    fed_g_day : float or array
        Gas fed on purpose meanwhile. [g/day]

    Returns
    -------
    float or array
        Leak. [g/day]

    Examples
    --------
    >>> round(weighed_leak_g_day(5000.0, 4999.0, time_days=7.0) * 365)
    52
    """
    return (start_g - end_g) / time_days - fed_g_day


def feed_share_frac(leak_ml_min_n: Floats, *, hours_h: Floats, fed_g_day: Floats) -> Floats:
    """What a leak takes as a share of the day's feed, over the hours the line is under pressure. [share]"""
    return leak_cost_g_day(leak_ml_min_n, hours_h) / fed_g_day


@equation("pressure-decay", where="V dp / (p_atm L), twice over")
def watch_time_min(volume_ml: Floats, limit_ml_min_n: Floats, *, resolution_barg: Floats) -> Floats:
    """How long to watch the gauge before a leak at the limit would show for certain.

    Parameters
    ----------
    volume_ml : float or array
        Gas space under test. [mL]
    limit_ml_min_n : float or array
        Leak to be found. [mL/min at 20 °C, 1 atm]
    resolution_barg : float or array
        Smallest fall the gauge shows. [bar]

    Returns
    -------
    float or array
        Time to watch, twice the bare minimum. [min]

    Examples
    --------
    >>> round(watch_time_min(30.0, 0.05, resolution_barg=0.02) / 2, 1)
    11.8
    """
    return 2.0 * volume_ml * resolution_barg / (ATM_BARA * limit_ml_min_n)


def leak_cost_g_day(leak_ml_min_n: Floats, hours_h: Floats = 24.0) -> Floats:
    """The gas a leak takes in a day. [g/day]

    Parameters
    ----------
    leak_ml_min_n : float or array
        Leak. [mL/min at 20 °C, 1 atm]
    hours_h : float or array
        Hours a day the leaking part is under pressure. [h]

    Examples
    --------
    >>> round(leak_cost_g_day(0.1) * 365, 1)
    96.7
    """
    return leak_ml_min_n * CO2_MG_PER_ML_20C * 60.0 * hours_h / 1000.0
