"""The room: what its air comes to when gas gets out, mixed through the room.

A mixed-room figure understates the floor: cold CO2 is half again as heavy as air and pools in pits,
cellars and cabinets, where children and pets breathe. Carbon dioxide is harmful in itself, with oxygen
still near normal: an oxygen meter is no CO2 alarm.
"""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "OUTDOOR_PPM",
    "clearing_h",
    "displaced_ppm",
    "fatal_load_ppm",
    "hours_above_h",
    "mass_to_reach_g",
    "slow_release_peak_ppm",
    "steady_rise_ppm",
    "whole_release_rise_ppm",
]

OUTDOOR_PPM = 420.0
# Volume of a kilogram of CO2 at 20 degC and 1 atm.
_M3_KG_20C = 0.54367


@equation("well-mixed-room", where="gas added to the air", valid={"release_g": (0.0, 60000.0)})
def whole_release_rise_ppm(release_g: Floats, volume_m3: Floats, *, temperature_c: Floats = 20.0) -> Floats:
    """The rise in a shut room when a mass of CO2 gets out at once and mixes.

    Parameters
    ----------
    release_g : float or array
        CO2 let go. [g]
    volume_m3 : float or array
        Air volume of the room. [m³]
    temperature_c : float or array
        Temperature of the room. [°C]

    Returns
    -------
    float or array
        Rise over what was there, on the high side above 10 %. [ppm]

    Examples
    --------
    >>> round(whole_release_rise_ppm(1000.0, 40.0)) + 420
    14012
    """
    per_g_m3 = _M3_KG_20C * 1e-3 * (temperature_c + KELVIN) / (20.0 + KELVIN)
    return 1e6 * release_g * per_g_m3 / volume_m3


@equation("well-mixed-room", where="mixed air pushed out while gas comes in")
def displaced_ppm(rise_ppm: Floats) -> Floats:
    """The same rise where the incoming gas pushes mixed air out of the room.

    Parameters
    ----------
    rise_ppm : float or array
        Rise counted as simply added. [ppm]

    Returns
    -------
    float or array
        Rise, a few per cent lower below 14 % and never over 100 %. [ppm]

    Examples
    --------
    >>> round(float(displaced_ppm(135_918.0)))
    127086
    """
    share: Floats = -np.expm1(-np.asarray(rise_ppm, dtype=float) * 1e-6)
    return 1e6 * share


@equation("well-mixed-room", where="whole release turned round")
def mass_to_reach_g(limit_ppm: Floats, volume_m3: Floats, *, background_ppm: Floats = OUTDOOR_PPM) -> Floats:
    """The mass whose sudden loss would bring a shut room to a limit.

    Parameters
    ----------
    limit_ppm : float or array
        Limit in room air. [ppm]
    volume_m3 : float or array
        Air volume of the room. [m³]
    background_ppm : float or array
        CO2 already there. [ppm]

    Returns
    -------
    float or array
        Mass at 20 °C. [g]

    Examples
    --------
    >>> round(mass_to_reach_g(5000.0, 40.0))
    337
    """
    return (limit_ppm - background_ppm) * 1e-6 * volume_m3 / (_M3_KG_20C * 1e-3)


@equation("well-mixed-room", where="steady source against airing")
def steady_rise_ppm(flow_mg_h: Floats, volume_m3: Floats, *, air_changes_per_h: Floats) -> Floats:
    """The rise in a room that takes a steady flow of CO2 for hours on end.

    Parameters
    ----------
    flow_mg_h : float or array
        Flow into the room. [mg/h]
    volume_m3 : float or array
        Air volume of the room. [m³]
    air_changes_per_h : float or array
        Changes of air. [/h]

    Returns
    -------
    float or array
        Rise over the air outside. [ppm]

    Examples
    --------
    >>> round(steady_rise_ppm(551.8, 40.0, air_changes_per_h=0.5))
    15
    """
    return flow_mg_h * _M3_KG_20C / (air_changes_per_h * volume_m3)


@equation("well-mixed-room", where="release spread over a time, with airing")
def slow_release_peak_ppm(rise_ppm: Floats, *, over_h: Floats, air_changes_per_h: Floats) -> Floats:
    """The highest rise when the gas gets out over a time while the room is aired.

    Parameters
    ----------
    rise_ppm : float or array
        Rise if it all came at once. [ppm]
    over_h : float or array
        Time over which it comes; 0 for at once. [h]
    air_changes_per_h : float or array
        Changes of air. [/h]

    Returns
    -------
    float or array
        Rise at the end of the release, which is the peak. [ppm]

    Examples
    --------
    >>> round(float(slow_release_peak_ppm(13592.0, over_h=24.0, air_changes_per_h=0.5)))
    1133
    """
    turns = np.maximum(np.multiply(over_h, air_changes_per_h), 1e-12)
    share: Floats = -np.expm1(-turns) / turns
    return rise_ppm * share


@equation("well-mixed-room", where="airing after the release")
def clearing_h(
    start_ppm: Floats, end_ppm: Floats, *, air_changes_per_h: Floats, background_ppm: Floats
) -> Floats:
    """How long airing takes to bring a room down from one level to another.

    Parameters
    ----------
    start_ppm : float or array
        Level at the start. [ppm]
    end_ppm : float or array
        Level wanted, over the background. [ppm]
    air_changes_per_h : float or array
        Changes of air. [/h]
    background_ppm : float or array
        Level of the air let in. [ppm]

    Returns
    -------
    float or array
        Time; nil if the level is already there. [h]

    Examples
    --------
    >>> round(float(clearing_h(68_000.0, 5_000.0, air_changes_per_h=0.5, background_ppm=420.0)), 1)
    5.4
    """
    over = np.maximum(np.divide(start_ppm - background_ppm, end_ppm - background_ppm), 1.0)
    hours: Floats = np.log(over) / air_changes_per_h
    return hours


def hours_above_h(
    limit_ppm: float, rise_ppm: Floats, *, over_h: float, air_changes_per_h: Floats, background_ppm: float
) -> Floats:
    """How long the mixed room stays over a limit, from the first crossing to the last. [h]

    Parameters
    ----------
    limit_ppm : float
        Limit in room air. [ppm]
    rise_ppm : float or array
        Rise if all the gas came at once. [ppm]
    over_h : float
        Time over which it comes; 0 for at once. [h]
    air_changes_per_h : float or array
        Changes of air. [/h]
    background_ppm : float
        CO2 of the air let in. [ppm]
    """
    peak = slow_release_peak_ppm(rise_ppm, over_h=over_h, air_changes_per_h=air_changes_per_h)
    after = clearing_h(
        peak + background_ppm, limit_ppm, air_changes_per_h=air_changes_per_h, background_ppm=background_ppm
    )
    reached = np.asarray(peak + background_ppm) > limit_ppm
    turns = np.maximum(np.multiply(over_h, air_changes_per_h), 1e-12)
    # On the way up the rise runs to rise/turns; the limit is crossed at a share of that.
    share = np.minimum((limit_ppm - background_ppm) * turns / np.maximum(rise_ppm, 1e-12), 1.0 - 1e-12)
    crossed = -np.log1p(-share) / air_changes_per_h
    hours: Floats = np.where(reached, after + np.maximum(over_h - crossed, 0.0), 0.0)[()]
    return hours


@equation("hse-toxic-load-co2", where="C^8 t = 1.5e40 ppm^8 min", valid={"time_min": (0.5, 120.0)})
def fatal_load_ppm(time_min: Floats) -> Floats:
    """The level at which authorities count on first deaths after a time: no figure to plan by.

    Parameters
    ----------
    time_min : float or array
        Time of breathing it. [min]

    Returns
    -------
    float or array
        Level. [ppm]

    Examples
    --------
    >>> round(float(fatal_load_ppm(10.0)) / 1e4, 2)
    7.89
    """
    level: Floats = np.power(1.5e40 / np.asarray(time_min, dtype=float), 1 / 8)
    return level
