"""The bubble counter: how big a bubble leaves its tip, and how much CO2 that bubble holds.

A slow bubble's volume is set by the tip's rim and the liquid's surface tension, not by pressure; its
mass therefore goes with the absolute pressure in the counter. In thick liquids the bubble also grows
while it tears off, so its volume goes with the rate.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fizzwright.engines.gasline.gas import CO2_G_MOL, GAS_CONSTANT_J_MOL_K, GRAVITY_M_S2, KELVIN, Floats
from fizzwright.sources import equation

__all__ = [
    "NOMINAL_TIP_MM",
    "THIN_PA_S",
    "TIP_KNOWN_SPREAD_FRAC",
    "UNKNOWN_TIP",
    "VolumeBand",
    "benzing_myers_volume_ul",
    "calibrated_bubble_mg",
    "critical_flow_l_h",
    "known_tip_band",
    "kumar_kuloor_volume_ul",
    "mg_per_bubble_mg",
    "tate_volume_ul",
    "volume_factor",
    "water_vapour_bara",
]

# 90 % half width of the volume when the rim is measured: wetting, chamfer and a tilted tip.
TIP_KNOWN_SPREAD_FRAC = 0.15
# Stands in for a rim nobody measured; UNKNOWN_TIP then gives the doubt as a share of the middle.
NOMINAL_TIP_MM = 2.0
# Up to this viscosity a bubble keeps its slow size; over it the two-stage model speaks.
THIN_PA_S = 0.002
_SPHERE = 3.0 / (4.0 * np.pi)


@dataclass(frozen=True)
class VolumeBand:
    """The volume of one bubble with its 90 % limits, as common practice gives them. [µL]"""

    low_ul: float
    mid_ul: float
    high_ul: float


UNKNOWN_TIP = VolumeBand(25.0, 47.0, 90.0)


@equation("tate-1864", where="buoyancy = surface tension at the rim", valid={"rim_mm": (0.5, 6.0)})
def tate_volume_ul(rim_mm: Floats, *, tension_n_m: Floats, density_kg_m3: Floats) -> Floats:
    """The volume of a slow bubble from a tip, by the weight its rim can hold.

    Parameters
    ----------
    rim_mm : float or array
        Wetted rim of the tip: inner diameter if the liquid wets it, outer if not. [mm]
    tension_n_m : float or array
        Surface tension of the liquid. [N/m]
    density_kg_m3 : float or array
        Density of the liquid; the gas's own 2 to 6 kg/m³ is left out. [kg/m³]

    Returns
    -------
    float or array
        Volume of one bubble. [µL]

    Examples
    --------
    >>> round(tate_volume_ul(2.0, tension_n_m=0.0728, density_kg_m3=998.2), 1)
    46.7
    """
    return np.pi * rim_mm * 1e-3 * tension_n_m / (density_kg_m3 * GRAVITY_M_S2) * 1e9


@equation("benzing-myers-1955", where="fit to orifices at low rate", valid={"rim_mm": (0.5, 6.0)})
def benzing_myers_volume_ul(rim_mm: Floats, *, tension_n_m: Floats, density_kg_m3: Floats) -> Floats:
    """The volume of a slow bubble as fitted to bubbles from orifices; it meets the force balance to 1 %.

    Parameters
    ----------
    rim_mm : float or array
        Diameter of the orifice. [mm]
    tension_n_m : float or array
        Surface tension of the liquid. [N/m]
    density_kg_m3 : float or array
        Density of the liquid. [kg/m³]

    Returns
    -------
    float or array
        Volume of one bubble. [µL]

    Examples
    --------
    >>> round(float(benzing_myers_volume_ul(2.0, tension_n_m=0.0728, density_kg_m3=998.2)), 1)
    47.0
    """
    cube = 1.82**3 * rim_mm * 1e-3 * tension_n_m / (density_kg_m3 * GRAVITY_M_S2)
    return np.pi / 6.0 * cube * 1e9


@equation("oguz-prosperetti-1993", where="critical flow for quasi-static bubbles")
def critical_flow_l_h(rim_mm: Floats, *, tension_n_m: Floats, density_kg_m3: Floats) -> Floats:
    """The gas flow, at counter pressure, over which bubbles no longer have their slow size.

    Parameters
    ----------
    rim_mm : float or array
        Wetted rim of the tip. [mm]
    tension_n_m : float or array
        Surface tension of the liquid. [N/m]
    density_kg_m3 : float or array
        Density of the liquid. [kg/m³]

    Returns
    -------
    float or array
        Volume flow at the pressure and temperature in the counter. [L/h]

    Examples
    --------
    >>> round(float(critical_flow_l_h(2.0, tension_n_m=0.0728, density_kg_m3=998.2)) * 1000 / 60)
    131
    """
    reach = tension_n_m * rim_mm * 0.5e-3 / density_kg_m3
    flow: Floats = np.pi * (16.0 / (3.0 * GRAVITY_M_S2**2)) ** (1 / 6) * np.power(reach, 5 / 6)
    return flow * 3.6e6


@equation("kumar-kuloor-1970", where="constant flow, two stages", valid={"viscosity_pa_s": (0.0005, 2.0)})
def kumar_kuloor_volume_ul(
    flow_l_h: Floats, rim_mm: Floats, *, tension_n_m: Floats, density_kg_m3: Floats, viscosity_pa_s: Floats
) -> Floats:
    """The volume of a bubble in a liquid thick enough that it keeps growing while it tears off.

    The bubble first swells on the tip until buoyancy beats surface tension, drag and the liquid it has
    to push; then it rises by its own radius while still fed, and parts.

    Parameters
    ----------
    flow_l_h : float or array
        Gas flow at the pressure and temperature in the counter. [L/h]
    rim_mm : float or array
        Wetted rim of the tip. [mm]
    tension_n_m : float or array
        Surface tension of the liquid. [N/m]
    density_kg_m3 : float or array
        Density of the liquid. [kg/m³]
    viscosity_pa_s : float or array
        Viscosity of the liquid. [Pa s]

    Returns
    -------
    float or array
        Volume of one bubble. [µL]

    Examples
    --------
    >>> glycerol = {"tension_n_m": 0.0634, "density_kg_m3": 1261.0, "viscosity_pa_s": 1.41}
    >>> round(float(kumar_kuloor_volume_ul(0.3, 2.0, **glycerol)))
    83
    """
    flow, rim, tension, rho, mu = np.broadcast_arrays(
        *(np.asarray(x, dtype=float) for x in (flow_l_h, rim_mm, tension_n_m, density_kg_m3, viscosity_pa_s))
    )
    flow_m3_s = np.maximum(flow, 1e-6) / 3.6e6
    pull = np.pi * rim * 1e-3 * tension / (GRAVITY_M_S2 * rho)
    grown = _grown_on_the_tip_m3(flow_m3_s, pull, mu / rho)
    factor = _growth_while_parting(flow_m3_s, grown, pull, mu / rho)
    volume: Floats = (grown * factor * 1e9)[()]
    return volume


_GrowthArray = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def _grown_on_the_tip_m3(flow: _GrowthArray, pull: _GrowthArray, nu: _GrowthArray) -> _GrowthArray:
    """First stage: the volume at which the bubble starts to rise, by halving a bracket in the logarithm."""
    inertia = 11.0 * flow**2 / (192.0 * np.pi * _SPHERE ** (2 / 3) * GRAVITY_M_S2)
    drag = 1.5 * nu * flow / (_SPHERE ** (1 / 3) * GRAVITY_M_S2)
    low = np.log(pull)
    high = np.log(pull + inertia**0.6 + drag**0.75) + 2.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        v = np.exp(middle)
        over = v ** (5 / 3) > inertia + drag * v ** (1 / 3) + pull * v ** (2 / 3)
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(np.exp(0.5 * (low + high)))


def _growth_while_parting(
    flow: _GrowthArray, grown: _GrowthArray, pull: _GrowthArray, nu: _GrowthArray
) -> _GrowthArray:
    """Second stage: the factor by which it grows until it has risen by its radius at first lift."""
    radius = (_SPHERE * grown) ** (1 / 3)
    # Equation of motion with added mass 11/16 and drag on the mean radius, 1.25 times the first one.
    a = 1.0 + 120.0 * np.pi * radius * nu / (11.0 * flow)
    buoyancy = 16.0 * GRAVITY_M_S2 / (11.0 * flow) * grown
    tension = 16.0 * GRAVITY_M_S2 / (11.0 * flow) * pull
    drag = 24.0 * nu / (11.0 * _SPHERE ** (1 / 3)) * grown ** (-1 / 3)
    start = buoyancy / (a + 1.0) - tension / a - drag / (a - 1.0 / 3.0)

    def risen(factor: _GrowthArray) -> _GrowthArray:
        path = 0.5 * buoyancy / (a + 1.0) * (factor**2 - 1.0) - tension / a * (factor - 1.0)
        path = path - 1.5 * drag / (a - 1.0 / 3.0) * (factor ** (2 / 3) - 1.0)
        # a is 1 only for a liquid without viscosity, where the power turns into a logarithm.
        power = np.where(
            a > 1.0 + 1e-9, (1.0 - factor ** (1.0 - a)) / np.maximum(a - 1.0, 1e-9), np.log(factor)
        )
        return np.asarray((path - start * power) * grown / flow)

    low, high = np.zeros_like(grown), np.full_like(grown, np.log(1e4))
    for _ in range(50):
        middle = 0.5 * (low + high)
        over = risen(np.exp(middle)) > radius
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(np.exp(0.5 * (low + high)))


@equation("alduchov-eskridge-1996", where="over plane water", valid={"temperature_c": (0.0, 50.0)})
def water_vapour_bara(temperature_c: Floats) -> Floats:
    """The share of a bubble's pressure that is water vapour, in a counter filled with water.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the counter. [°C]

    Returns
    -------
    float or array
        Saturation pressure of water. [bar abs]

    Examples
    --------
    >>> round(float(water_vapour_bara(20.0)), 4)
    0.0233
    """
    warm = np.asarray(temperature_c, dtype=float)
    vapour: Floats = 6.1094e-3 * np.exp(17.625 * warm / (243.04 + warm))
    return vapour


@equation("gasline-ideal-gas", where="m = (p - p_w) V M / (R T)", valid={"pressure_bara": (0.0, 4.0)})
def mg_per_bubble_mg(
    volume_ul: Floats, pressure_bara: Floats, *, temperature_c: Floats, vapour_bara: Floats = 0.0
) -> Floats:
    """The CO2 in one bubble at the absolute pressure in the counter.

    Parameters
    ----------
    volume_ul : float or array
        Volume of the bubble. [µL]
    pressure_bara : float or array
        Absolute pressure in the counter. [bar abs]
    temperature_c : float or array
        Temperature of the counter. [°C]
    vapour_bara : float or array
        Water vapour in the bubble: saturated over water, nil over oil. [bar abs]

    Returns
    -------
    float or array
        Mass of CO2 in one bubble. [mg]

    Examples
    --------
    >>> round(mg_per_bubble_mg(46.7, 2.0, temperature_c=22.0, vapour_bara=0.0264), 3)
    0.165
    """
    amount = (pressure_bara - vapour_bara) * 1e5 * volume_ul * 1e-9
    return amount / (GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN)) * CO2_G_MOL * 1e3


def calibrated_bubble_mg(
    mg_per_bubble_mg: Floats, pressure_bara: Floats, *, calibration_bara: Floats
) -> Floats:
    """A calibrated bubble carried over to another counter pressure. [mg]

    Parameters
    ----------
    mg_per_bubble_mg : float or array
        Mass per bubble as calibrated. [mg]
    pressure_bara : float or array
        Absolute pressure in the counter now. [bar abs]
    calibration_bara : float or array
        Absolute pressure in the counter at the calibration. [bar abs]
    """
    return mg_per_bubble_mg * pressure_bara / calibration_bara


def known_tip_band(mid_ul: float) -> VolumeBand:
    """The 90 % band of the volume when the rim is measured: 15 % either way."""
    return VolumeBand(mid_ul * (1 - TIP_KNOWN_SPREAD_FRAC), mid_ul, mid_ul * (1 + TIP_KNOWN_SPREAD_FRAC))


def volume_factor(band: VolumeBand, score_number: Floats) -> Floats:
    """The bubble volume as a factor on the middle of its band, at a standard normal score.

    Parameters
    ----------
    band : VolumeBand
        Middle and 90 % limits.
    score_number : float or array
        Standard normal scores; 0 is the middle, plus and minus 1.645 the limits.

    Returns
    -------
    float or array
        Factor: log-normal on either side of the middle.

    Examples
    --------
    >>> round(float(volume_factor(UNKNOWN_TIP, 1.6449)) * 47)
    90
    """
    z = np.asarray(score_number, dtype=float) / 1.6448536
    up, down = np.log(band.high_ul / band.mid_ul), np.log(band.mid_ul / band.low_ul)
    factor: Floats = np.exp(np.where(z > 0, z * up, z * down))
    return factor
