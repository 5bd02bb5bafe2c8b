"""How much gas is left in a bottle, from its gauge or from a scale, and how long it lasts."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from fizzwright.engines.gasline.bottle import (
    CRITICAL_C,
    knee_barg,
    knee_g,
    vapour_only_g,
)
from fizzwright.engines.gasline.gas import ATM_BARA, Floats
from fizzwright.engines.gasline.hot import dense_density_kg_m3
from fizzwright.sources import equation

__all__ = [
    "PLATEAU_MARGIN_BARG",
    "STOP_USE_BARG",
    "Contents",
    "Days",
    "GaugeShows",
    "contents_from_gauge",
    "days_left",
    "rate_sd_g_day",
    "usable_g",
    "weighing_interval_days",
]

# About 1 K of doubt in the temperature of the liquid, as pressure.
PLATEAU_MARGIN_BARG = 1.5
# Common practice: under this the regulator leaves its range and air or damp may get in.
STOP_USE_BARG = 10.0
# Common practice: a needle valve's own drift from week to week, one standard deviation.
VALVE_DRIFT_FRAC = 0.12
_NORMAL_90 = 1.6449


class GaugeShows(StrEnum):
    """What a gauge reading means."""

    LIQUID = "liquid present"
    VAPOUR = "vapour only"
    ONE_PHASE = "one phase, liquid-full or over 31 °C"


@dataclass(frozen=True)
class Contents:
    """The gas in a bottle: middle and limits, and what the gauge shows.

    On the plateau the limits are the whole range the gauge cannot tell apart, not 90 %.
    """

    shows: GaugeShows
    low_g: float
    mid_g: float
    high_g: float


@dataclass(frozen=True)
class Days:
    """How many days a bottle lasts, with 90 % limits."""

    low_days: float
    mid_days: float
    high_days: float


def contents_from_gauge(
    gauge_barg: float, temperature_c: float, *, charge_g: float, water_capacity_l: float, error_barg: float
) -> Contents:
    """What is left in a bottle, as far as its gauge can tell.

    While liquid is left the gauge says only that: the mass lies anywhere between the knee and the charge.

    Parameters
    ----------
    gauge_barg : float
        Gauge reading at rest. [bar g]
    temperature_c : float
        Temperature of the bottle. [°C]
    charge_g : float
        Charge of a full bottle. [g]
    water_capacity_l : float
        Inner volume. [L]
    error_barg : float
        Error of the gauge, its class times its full scale. [bar]

    Returns
    -------
    Contents
        Middle and limits, and what the gauge shows.
    """
    error = error_barg + PLATEAU_MARGIN_BARG
    plateau = float(knee_barg(temperature_c))
    if temperature_c < CRITICAL_C and abs(gauge_barg - plateau) <= error:
        knee = float(knee_g(temperature_c, water_capacity_l=water_capacity_l))
        low = min(_vapour_g(gauge_barg - error_barg, temperature_c, water_capacity_l), knee)
        low, high = min(low, charge_g), charge_g
        return Contents(GaugeShows.LIQUID, low, 0.5 * (min(knee, high) + high), high)
    if temperature_c < CRITICAL_C and gauge_barg < plateau:
        low, mid, high = (
            _vapour_g(gauge_barg + step, temperature_c, water_capacity_l)
            for step in (-error_barg, 0.0, error_barg)
        )
        return Contents(GaugeShows.VAPOUR, low, mid, high)
    low, mid, high = (
        water_capacity_l * dense_density_kg_m3(max(gauge_barg + step, 0.0) + ATM_BARA, temperature_c)
        for step in (-error_barg, 0.0, error_barg)
    )
    return Contents(GaugeShows.ONE_PHASE, low, mid, high)


def _vapour_g(gauge_barg: float, temperature_c: float, water_capacity_l: float) -> float:
    pressure = max(gauge_barg, 0.0)
    return float(vapour_only_g(pressure, temperature_c, water_capacity_l=water_capacity_l))


def usable_g(remaining_g: Floats, temperature_c: Floats, *, water_capacity_l: Floats) -> Floats:
    """The gas that can still be drawn before the bottle is down to 10 bar g, where it is left. [g]

    Parameters
    ----------
    remaining_g : float or array
        Gas in the bottle. [g]
    temperature_c : float or array
        Temperature of the bottle. [°C]
    water_capacity_l : float or array
        Inner volume. [L]
    """
    kept = vapour_only_g(STOP_USE_BARG, temperature_c, water_capacity_l=water_capacity_l)
    left: Floats = np.maximum(remaining_g - kept, 0.0)
    return left


@equation("weighing-statistics", where="slope of equally spaced weighings")
def rate_sd_g_day(scale_sd_g: Floats, span_days: Floats, *, weighings_count: Floats = 2) -> Floats:
    """How well a row of weighings tells the daily use: one standard deviation.

    Parameters
    ----------
    scale_sd_g : float or array
        One standard deviation of the scale. [g]
    span_days : float or array
        Time from first to last weighing. [days]
    weighings_count : float or array
        Number of weighings, equally spaced, 2 or more. [count]

    Returns
    -------
    float or array
        Standard deviation of the rate. [g/day]

    Examples
    --------
    >>> round(float(rate_sd_g_day(5.0, 14.14)), 2)
    0.5
    """
    n = np.asarray(weighings_count, dtype=float)
    spread: Floats = scale_sd_g * np.sqrt(12.0 * (n - 1.0) / (n * (n + 1.0))) / span_days
    return spread


@equation("weighing-statistics", where="two weighings")
def weighing_interval_days(scale_sd_g: Floats, rate_g_day: Floats, *, wanted_frac: Floats) -> Floats:
    """How long to wait between two weighings for the daily use to be known well enough.

    Parameters
    ----------
    scale_sd_g : float or array
        One standard deviation of the scale. [g]
    rate_g_day : float or array
        Use in a day, roughly. [g/day]
    wanted_frac : float or array
        Wanted standard deviation of the rate as a share of it. [share]

    Returns
    -------
    float or array
        Time between the weighings. [days]

    Examples
    --------
    >>> round(weighing_interval_days(5.0, 5.0, wanted_frac=0.1), 1)
    14.1
    """
    return 1.4142135623730951 * scale_sd_g / (wanted_frac * rate_g_day)


def days_left(
    usable_g: float,
    rate_g_day: float,
    *,
    usable_sd_g: float,
    rate_sd_g_day: float,
    drift_frac: float = VALVE_DRIFT_FRAC,
) -> Days:
    """How many days the gas lasts, with the doubt of mass, rate and the valve's own drift.

    Parameters
    ----------
    usable_g : float
        Gas that can still be drawn. [g]
    rate_g_day : float
        Use in a day. [g/day]
    usable_sd_g : float
        One standard deviation of the mass. [g]
    rate_sd_g_day : float
        One standard deviation of the rate. [g/day]
    drift_frac : float
        Drift of the valve, one standard deviation. [share]

    Returns
    -------
    Days
        Middle and 90 % limits, log-normal.
    """
    middle = usable_g / rate_g_day
    if usable_g <= 0.0:
        return Days(0.0, 0.0, 0.0)
    share = np.hypot(np.hypot(usable_sd_g / usable_g, rate_sd_g_day / rate_g_day), drift_frac)
    width = float(np.exp(_NORMAL_90 * share))
    return Days(middle / width, middle, middle * width)
