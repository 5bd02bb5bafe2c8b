"""The tube from counter to diffuser: what its wall lets through, what it holds, how it starts and stops.

CO2 goes through a wall by its absolute pressure inside, so a line at 0 bar g still loses at 1 bar of
driving force. Outside, the room's 0.0004 bar of CO2 counts as none.
"""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.gas import ATM_BARA, CO2_G_MOL, GAS_CONSTANT_J_MOL_K, KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "closed_line_bara",
    "partial_pressure_bara",
    "permeability_barrer",
    "run_on_min",
    "siphon_lift_m",
    "startup_min",
    "tube_inlet_bara",
    "volume_ml",
    "wall_loss_mg_h",
    "wall_rate_per_h",
]

# 1 barrer = 1e-10 cm3(STP) cm/(cm2 s cmHg); with 22414 cm3/mol and 1333.22 Pa/cmHg, in mol m/(m2 s Pa).
BARRER_MOL_M_M2_S_PA = 1e-10 * 1e-2 / (22414.0 * 1333.22) * 1e4
CO2_VISCOSITY_PA_S = 1.468e-5
# Dry air outside the tube: oxygen; nitrogen with argon counted in.
AIR_O2_FRAC = 0.2095
AIR_N2_FRAC = 0.7905


@equation("polymer-handbook-permeability", where="Arrhenius form", valid={"temperature_c": (0.0, 50.0)})
def permeability_barrer(
    permeability_25c_barrer: Floats, temperature_c: Floats, *, activation_j_mol: Floats
) -> Floats:
    """The permeability of a tube material at the temperature it has, from its value at 25 °C.

    Parameters
    ----------
    permeability_25c_barrer : float or array
        CO2 permeability at 25 °C. [barrer]
    temperature_c : float or array
        Temperature of the wall. [°C]
    activation_j_mol : float or array
        Activation energy of permeation. [J/mol]

    Returns
    -------
    float or array
        CO2 permeability. [barrer]

    Examples
    --------
    >>> round(float(permeability_barrer(12.6, 35.0, activation_j_mol=38900.0)) / 12.6, 2)
    1.66
    """
    kelvin = np.asarray(temperature_c, dtype=float) + KELVIN
    factor: Floats = np.exp(-activation_j_mol / GAS_CONSTANT_J_MOL_K * (1.0 / kelvin - 1.0 / 298.15))
    return permeability_25c_barrer * factor


@equation("crank-1975", where="steady flow through a hollow cylinder")
def wall_loss_mg_h(
    co2_bara: Floats, permeability_barrer: Floats, *, length_m: Floats, bore_mm: Floats, outer_mm: Floats
) -> Floats:
    """The CO2 that goes through the wall of a tube held at a pressure.

    Parameters
    ----------
    co2_bara : float or array
        Absolute pressure of the CO2 inside. [bar abs]
    permeability_barrer : float or array
        CO2 permeability at the wall's temperature. [barrer]
    length_m : float or array
        Length of tube. [m]
    bore_mm : float or array
        Inner diameter. [mm]
    outer_mm : float or array
        Outer diameter. [mm]

    Returns
    -------
    float or array
        Loss while the pressure stands. [mg/h]

    Examples
    --------
    >>> round(float(wall_loss_mg_h(2.01325, 3250.0, length_m=2.0, bore_mm=4.0, outer_mm=6.0)))
    1075
    """
    shape: Floats = 2.0 * np.pi * length_m / np.log(np.divide(outer_mm, bore_mm))
    moles_s = shape * permeability_barrer * BARRER_MOL_M_M2_S_PA * co2_bara * 1e5
    return moles_s * CO2_G_MOL * 1e3 * 3600.0


@equation("gasline-geometry", where="round bore")
def volume_ml(length_m: Floats, bore_mm: Floats) -> Floats:
    """The gas space of a run of tube. [mL]

    Parameters
    ----------
    length_m : float or array
        Length of tube. [m]
    bore_mm : float or array
        Inner diameter. [mm]

    Returns
    -------
    float or array
        Inner volume. [mL]

    Examples
    --------
    >>> round(volume_ml(2.0, 4.0), 2)
    25.13
    """
    return np.pi / 4.0 * bore_mm**2 * length_m


@equation("hagen-poiseuille", where="isothermal gas: p1^2 - p2^2 = 256 mu L Rs T W / (pi d^4)")
def tube_inlet_bara(
    outlet_bara: Floats, flow_mg_h: Floats, *, length_m: Floats, bore_mm: Floats, temperature_c: Floats
) -> Floats:
    """The pressure needed at the start of a tube to push a flow through to its end.

    Parameters
    ----------
    outlet_bara : float or array
        Absolute pressure at the end. [bar abs]
    flow_mg_h : float or array
        Gas flow. [mg/h]
    length_m : float or array
        Length of tube. [m]
    bore_mm : float or array
        Inner diameter. [mm]
    temperature_c : float or array
        Temperature of the gas. [°C]

    Returns
    -------
    float or array
        Absolute pressure at the start; slow (laminar) flow, which a feed always is. [bar abs]
    """
    flow_kg_s = flow_mg_h * 1e-6 / 3600.0
    specific = GAS_CONSTANT_J_MOL_K / (CO2_G_MOL * 1e-3) * (temperature_c + KELVIN)
    rise = 256.0 * CO2_VISCOSITY_PA_S * length_m * specific * flow_kg_s / (np.pi * (bore_mm * 1e-3) ** 4)
    inlet: Floats = np.sqrt((outlet_bara * 1e5) ** 2 + rise)
    return inlet * 1e-5


@equation("gasline-line-filling", where="dm/dt = feed - loss m / m_open")
def startup_min(
    held_start_mg: Floats, held_open_mg: Floats, *, feed_mg_h: Floats, loss_open_mg_h: Floats
) -> Floats:
    """How long after the gas comes on the diffuser starts, while the feed fills the line.

    Parameters
    ----------
    held_start_mg : float or array
        Gas in the line when the gas comes on. [mg]
    held_open_mg : float or array
        Gas in the line when the diffuser opens. [mg]
    feed_mg_h : float or array
        Flow into the line. [mg/h]
    loss_open_mg_h : float or array
        Loss through the wall at the opening pressure. [mg/h]

    Returns
    -------
    float or array
        Minutes to the first bubble; infinite where the wall loses the whole feed first. [min]

    Examples
    --------
    >>> round(float(startup_min(54.9, 109.7, feed_mg_h=551.8, loss_open_mg_h=0.0)), 1)
    6.0
    """
    start, opened, feed, loss = np.broadcast_arrays(
        *(np.asarray(x, dtype=float) for x in (held_start_mg, held_open_mg, feed_mg_h, loss_open_mg_h))
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        share = loss / feed
        left = (1.0 - share) / (1.0 - share * start / opened)
        hours = np.where(share > 1e-6, -np.log(left) / share * opened, opened - start) / feed
    hours = np.where(opened <= start, 0.0, np.where(share < 1.0, hours, np.inf))
    minutes: Floats = 60.0 * hours
    return minutes[()] if isinstance(minutes, np.ndarray) else minutes


@equation("gasline-line-filling", where="linear bleed: tau = excess / flow")
def run_on_min(excess_mg: Floats, flow_mg_h: Floats) -> Floats:
    """The time constant with which a line bleeds out through the diffuser after the gas shuts.

    Parameters
    ----------
    excess_mg : float or array
        Gas in the line over what it holds once the pressure has gone. [mg]
    flow_mg_h : float or array
        Flow through the diffuser at the moment of shutting. [mg/h]

    Returns
    -------
    float or array
        Time constant; after three of them 95 % is out. Infinite where nothing flowed. [min]
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        minutes: Floats = np.where(
            np.asarray(flow_mg_h) > 0.0, 60.0 * np.divide(excess_mg, flow_mg_h), np.inf
        )[()]
    return minutes


@equation("crank-1975", where="hollow cylinder emptying its own bore")
def wall_rate_per_h(
    permeability_barrer: Floats, *, bore_mm: Floats, outer_mm: Floats, temperature_c: Floats
) -> Floats:
    """How fast a gas in a shut tube trades with the air outside, as a share of the difference.

    Parameters
    ----------
    permeability_barrer : float or array
        Permeability to that gas. [barrer]
    bore_mm : float or array
        Inner diameter. [mm]
    outer_mm : float or array
        Outer diameter. [mm]
    temperature_c : float or array
        Temperature. [°C]

    Returns
    -------
    float or array
        Rate constant of the partial pressure inside. [/h]
    """
    area_m2 = np.pi / 4.0 * (bore_mm * 1e-3) ** 2
    conductance: Floats = 2.0 * np.pi * permeability_barrer / np.log(np.divide(outer_mm, bore_mm))
    per_s = conductance * BARRER_MOL_M_M2_S_PA * GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN) / area_m2
    return per_s * 3600.0


@equation("gasline-shut-line", where="first-order trade of one gas")
def partial_pressure_bara(
    start_bara: Floats, outside_bara: Floats, *, rate_per_h: Floats, time_h: Floats
) -> Floats:
    """The partial pressure of one gas in a shut tube after a while.

    Parameters
    ----------
    start_bara : float or array
        Partial pressure when the line was shut. [bar abs]
    outside_bara : float or array
        Partial pressure in the room's air. [bar abs]
    rate_per_h : float or array
        Rate constant of the wall for that gas. [/h]
    time_h : float or array
        Time since the line was shut. [h]

    Returns
    -------
    float or array
        Partial pressure now. [bar abs]
    """
    left: Floats = np.exp(-np.multiply(rate_per_h, time_h))
    return outside_bara + (start_bara - outside_bara) * left


def closed_line_bara(
    time_h: Floats,
    start_bara: Floats,
    *,
    rates_per_h: tuple[Floats, Floats, Floats],
    ambient_bara: Floats = ATM_BARA,
) -> Floats:
    """The pressure in a tight, shut line, which falls below the air's as CO2 leaves faster than air enters.

    Parameters
    ----------
    time_h : float or array
        Time since the line was shut, full of CO2. [h]
    start_bara : float or array
        Absolute pressure then. [bar abs]
    rates_per_h : tuple of float or array
        Rate constants of the wall for CO2, oxygen and nitrogen. [/h]
    ambient_bara : float or array
        Air pressure. [bar abs]

    Returns
    -------
    float or array
        Absolute pressure now; no water and no air let in at the ends. [bar abs]
    """
    co2, oxygen, nitrogen = rates_per_h
    return (
        partial_pressure_bara(start_bara, 0.0, rate_per_h=co2, time_h=time_h)
        + partial_pressure_bara(0.0, AIR_O2_FRAC * ambient_bara, rate_per_h=oxygen, time_h=time_h)
        + partial_pressure_bara(0.0, AIR_N2_FRAC * ambient_bara, rate_per_h=nitrogen, time_h=time_h)
    )


def siphon_lift_m(line_bara: Floats, ambient_bara: Floats = ATM_BARA) -> Floats:
    """How high a line under suction can draw tank water up the tube; nil while it is over the air's. [m]

    Examples
    --------
    >>> round(float(siphon_lift_m(0.43)), 1)
    6.0
    """
    lift: Floats = np.maximum(ambient_bara - line_bara, 0.0) * 1e5 / (998.2 * 9.80665)
    return lift
