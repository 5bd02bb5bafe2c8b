"""The repeating day a second time: the balance written out anew and stepped by Heun's rule each minute.

Shares nothing with the day engine but the numbers it is given: no time grid, no closed form for free CO2,
no search for the repeating day (it runs day after day until nothing changes).
"""

from __future__ import annotations

from typing import Any

import numpy as np

M_CO2, M_O2 = 44.0095, 31.9988


def free_co2(carbon_mg_l: np.ndarray, alk_meq_l: np.ndarray, ratio: float, guess: np.ndarray) -> np.ndarray:
    """Mass action solved by fixed-point steps from the last answer (Stumm & Morgan 1996, derived)."""
    total, x = carbon_mg_l / M_CO2, guess / M_CO2
    for _ in range(4):
        ratio_x = ratio * np.maximum(x, 1e-9)
        bicarbonate = 2 * alk_meq_l / (1 + np.sqrt(1 + 8 * alk_meq_l / ratio_x))
        x = x + (total - x - bicarbonate - bicarbonate**2 / ratio_x)
    return x * M_CO2


def _on(minute: float, on: float, off: float) -> float:
    return 1.0 if (minute - on) % 1440 < ((off - on) % 1440 or 1440) else 0.0


def _lamp(minute: float, clock: Any) -> float:
    since, lit = (minute - clock.light_on_min) % 1440, (clock.light_off_min - clock.light_on_min) % 1440
    if since >= lit:
        return 0.0
    return min(1.0, since / clock.ramp_min, (lit - since) / clock.ramp_min) if clock.ramp_min > 0 else 1.0


def _gas(minute: float, clock: Any) -> float:
    span = (clock.gas_off_min - clock.gas_on_min) % 1440
    since, lag = (minute - clock.gas_on_min) % 1440, clock.line_lag_min
    if since < span:
        return 1.0 if since >= lag else 0.0
    return max(0.0, 1 - (since - span) / (2 * lag)) if lag > 0 else 0.0


def _slopes(minute: float, state: tuple[np.ndarray, ...], tank: Any, clock: Any) -> tuple[np.ndarray, ...]:
    carbon, o2, alk, guess = state
    co2 = free_co2(carbon, alk, tank.carbonate_ratio, guess)
    light, lit = tank.par_umol_m2_s * _lamp(minute, clock), (clock.light_off_min - clock.light_on_min) % 1440
    dark = min(max(((minute - clock.light_on_min) % 1440 - lit) / (1440 - lit), 0.0), 1.0)
    gross, breath = np.zeros_like(co2), np.zeros_like(co2)
    for bed in tank.beds:
        c, k = bed.canopy, 1 / bed.canopy.shading_g_m2
        over = np.maximum(co2 - c.compensation_co2_mg_l, 0)
        p = c.pmax25_mg_g_h * c.uptake_q10_factor ** ((c.water_c - 25) / 10) * over / (over + c.half_co2_mg_l)
        phi = c.quantum_yield_ratio * over / (over + c.yield_half_co2_mg_l)
        half = p / (158.4342 * np.maximum(phi, 1e-12) * k)
        if light > 0:
            reach = np.log((light + half) / (light * np.exp(-k * c.biomass_g_m2) + half))
            gross = gross + bed.area_m2 * c.demand_factor * p / k * reach
        warm = c.respiration_q10_factor ** ((c.water_c - 25) / 10)
        rate = c.respiration25_mg_g_h * c.biomass_g_m2 * warm * (1 - 0.6 * dark)
        breath = breath + bed.area_m2 * c.demand_factor * rate
    late = min(max(((minute - clock.light_on_min) % 1440 - 300) / 60, 0.0), 1.0)
    gross = gross * (1 - tank.depression_frac * late)
    gas = tank.feed_mg_h * tank.dissolved_frac * _gas(minute, clock)
    d = (gas + tank.breathing_mg_h + breath - gross) / tank.volume_l
    d = d - tank.loss_per_h * (co2 - tank.air_co2_mg_l) - tank.exchange_per_h * (co2 - tank.tap_co2_mg_l)
    o = (M_O2 / M_CO2 * (1.1 * gross - breath) - tank.breathing_o2_mg_h) / tank.volume_l
    return d, o + tank.o2_loss_per_h * (tank.o2_saturation_mg_l - o2), co2


def repeating_peak(tank: Any, clock: Any, alk_meq_l: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Highest CO2 and lowest O2 of each draw's repeating day. [mg/L]"""
    shape, step = alk_meq_l.shape, 1.0
    co2, o2 = np.full(shape, 3.0), np.full(shape, 7.0)
    for _ in range(25):
        began, alk = (co2.copy(), o2.copy()), alk_meq_l.copy()
        bicarbonate = 2 * alk / (1 + np.sqrt(1 + 8 * alk / (tank.carbonate_ratio * co2 / M_CO2)))
        carbon = co2 + M_CO2 * (bicarbonate + bicarbonate**2 / (tank.carbonate_ratio * co2 / M_CO2))
        peak, low = co2.copy(), o2.copy()
        for minute in np.arange(0.0, 1440.0, step):
            # Switches fall between whole minutes or on them: read just inside.
            a = _slopes(minute + 1e-6, (carbon, o2, alk, co2), tank, clock)
            drift = tank.alk_drift_meq_l_h * step / 60
            ahead = (carbon + a[0] * step / 60, o2 + a[1] * step / 60, alk + drift, a[2])
            b = _slopes(minute + step - 1e-6, ahead, tank, clock)
            carbon, o2 = carbon + (a[0] + b[0]) * step / 120, o2 + (a[1] + b[1]) * step / 120
            alk, co2 = alk + drift, b[2]
            peak, low = np.maximum(peak, co2), np.minimum(low, o2)
        if np.max(np.abs(co2 - began[0])) < 1e-3 and np.max(np.abs(o2 - began[1])) < 1e-3:
            return peak, low
    raise AssertionError("the second day does not repeat itself")
