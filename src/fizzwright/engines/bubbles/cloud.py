"""A whole cloud of bubbles rising together, with the water it lifts.

Sizes, diffuser grades and skins are marched side by side over height, so that the water lifted at each
height comes from the gas that is really left there. The step is the one a single bubble takes, with
height in the place of time.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import plume
from fizzwright.engines.bubbles.closures import Closure
from fizzwright.engines.bubbles.decay import heun_end, relax
from fizzwright.engines.bubbles.film import Skins, film_rates
from fizzwright.engines.bubbles.medium import BubbleWater
from fizzwright.engines.bubbles.properties import ATMOSPHERE_PA, GAS_CONSTANT, GRAVITY, ZERO_C_K
from fizzwright.sources import equation

__all__ = ["PLUME_EQUATIONS", "Cloud", "CloudEnd", "Column", "rise_together"]

Array = NDArray[np.float64]
Columns = NDArray[np.intp]
# A millilitre a minute of gas at 20 °C and one atmosphere, in mol/s.
ML_MIN_MOL_S = 1e-6 / 60.0 * ATMOSPHERE_PA / (GAS_CONSTANT * (ZERO_C_K + 20.0))
# Water flow of the plumes and their momentum over density, shape (groups,) each: m³/s and m⁴/s².
Flux = tuple[NDArray[np.float64], NDArray[np.float64]]


@dataclass(frozen=True, eq=False)
class Cloud:
    """Groups of bubbles that share a plume; arrays of shape (groups, sizes) unless said.

    `gas_mol` (3, groups, sizes) is what each bubble holds when it is let go, `number_per_s` how many are let
    go. `column` is the first table column of each group's skin, shape (groups, 1). `lift_rise_m_s`
    (groups,) is the rise speed of the Sauter bubble.
    """

    gas_mol: Array
    number_per_s: Array
    column: Columns
    lift_rise_m_s: Array

    @classmethod
    def fed(
        cls,
        gas_mol: Array,
        flow_ml_min_n: float,
        *,
        weight_frac: Array | float,
        column: Columns,
        lift_rise_m_s: Array,
    ) -> Cloud:
        """The cloud that a gas flow feeds; `weight_frac` is the share of the gas in each size."""
        flow_mol_s = flow_ml_min_n * ML_MIN_MOL_S
        return cls(gas_mol, flow_mol_s * weight_frac / gas_mol.sum(axis=0), column, lift_rise_m_s)


@dataclass(frozen=True)
class Column:
    """The water column over the diffuser and what disturbs it."""

    depth_m: float
    flow_ml_min_n: float
    disc_mm: float
    current_m_s: float
    steps_count: int = 32


@dataclass(frozen=True, eq=False)
class CloudEnd:
    """What reaches the surface; `height_m` (steps + 1,) and `lift_m_s` (groups, steps + 1) draw the plume."""

    gas_mol: Array
    diameter_m: Array
    height_m: Array
    lift_m_s: Array

    @property
    def mean_lift_m_s(self) -> Array:
        """Mean upward water speed over the rise path, shape (groups,). [m/s]"""
        path = np.diff(self.height_m)
        middle = 0.5 * (self.lift_m_s[:, 1:] + self.lift_m_s[:, :-1])
        mean: Array = (middle * path).sum(axis=1) / path.sum()
        return mean


@dataclass(frozen=True, eq=False)
class _Slope:
    """Rates for each metre of height at one place of the march."""

    loss: Array
    gain: Array
    water_m2_s: Array
    momentum: Array
    diameter: Array


@dataclass(frozen=True, eq=False)
class _March:
    """Everything that stays the same while a cloud rises."""

    water: BubbleWater
    closure: Closure
    cloud: Cloud
    column: Column
    slip_from_m: Array
    parted_at_m: Array

    @classmethod
    def of(cls, water: BubbleWater, closure: Closure, cloud: Cloud, column: Column) -> _March:
        rise, flow = cloud.lift_rise_m_s, column.flow_ml_min_n
        slip = plume.crossover_height_m(flow, rise)
        parted = np.full_like(rise, np.inf)
        if column.current_m_s > 0.0:
            parted = plume.separation_height_m(flow, rise, current_m_s=column.current_m_s)
        return cls(water, closure, cloud, column, slip, parted)

    def lift(self, height: float, flux: Flux) -> Array:
        """Upward water speed the bubbles feel, shape (groups,)."""
        water_m3_s, momentum = flux
        speed = momentum / np.maximum(water_m3_s, 1e-12)
        capped = np.minimum(speed, plume.slip_plume_speed_m_s(self.cloud.lift_rise_m_s))
        speed = np.where(height > self.slip_from_m, capped, speed)
        return np.where(height > self.parted_at_m, 0.0, speed)

    def slope(self, height: float, mol: Array, *, flux: Flux, near: Array | None = None) -> _Slope:
        """Rates for each metre at this height, for these bubbles in this plume."""
        depth = max(self.column.depth_m - height, 0.0)
        skins = Skins(self.closure, self.cloud.column)
        rates = film_rates(mol, depth, water=self.water, skins=skins, near_m=near)
        water_m3_s, momentum = flux
        lift = self.lift(height, flux)
        slow = 1.0 / (rates.rise_m_s + lift[:, None])
        held = (self.cloud.number_per_s * rates.diameter_m**3 * slow).sum(axis=1) * (np.pi / 6.0)
        drawn = plume.entrainment_m2_s(water_m3_s / np.sqrt(np.pi * momentum), momentum / water_m3_s)
        push = plume.MOMENTUM_GAIN_FACTOR * GRAVITY * held
        return _Slope(rates.loss_per_s * slow, rates.gain * slow, drawn, push, rates.diameter_m)


def _first_flux(cloud: Cloud, column: Column) -> Flux:
    """Water flow and momentum just over the disc; a trace where there is no gas to lift anything."""
    speed = plume.start_speed_m_s(column.flow_ml_min_n, column.disc_mm, rise_m_s=cloud.lift_rise_m_s)
    area = np.pi * (0.5e-3 * column.disc_mm) ** 2
    speed = np.maximum(speed, 1e-9)
    return area * speed, area * speed**2


def _grown(flux: Flux, slope: _Slope, step: float) -> Flux:
    """The plume a little higher up."""
    return flux[0] + step * slope.water_m2_s, flux[1] + step * slope.momentum


def _step(march: _March, rise: tuple[float, float], gas: Array, flux: Flux) -> tuple[Array, Flux]:
    """One third-order step from one height to another (Heun's nodes at 0, 1/3 and 2/3)."""
    height, step = rise[0], rise[1] - rise[0]
    part = step / 3.0
    at0 = march.slope(height, gas, flux=flux)
    third = relax(gas, at0.loss, gain=at0.gain, step=part)
    at1 = march.slope(height + part, third, flux=_grown(flux, at0, part), near=at0.diameter)
    two = relax(gas, at1.loss, gain=at1.gain, step=2.0 * part)
    at2 = march.slope(height + 2.0 * part, two, flux=_grown(flux, at1, 2.0 * part), near=at1.diameter)
    end, _ = heun_end(gas, (at0.loss, at0.gain), late=(at2.loss, at2.gain), step=step)
    return end, _grown(_grown(flux, at0, 0.25 * step), at2, 0.75 * step)


@equation("bubble-plume", where="population of bubbles in a top-hat plume, stepped over height")
def rise_together(water: BubbleWater, cloud: Cloud, *, closure: Closure, column: Column) -> CloudEnd:
    """Follow a cloud of bubbles to the surface, lifted by the water it lifts.

    Parameters
    ----------
    water : water round the bubbles
    cloud : the bubbles let go at the diffuser
    closure : stacked table of skins
    column : depth, gas flow, disc and current

    Returns
    -------
    what each bubble still holds at the surface, and the upward water speed on the way
    """
    march = _March.of(water, closure, cloud, column)
    # Steps grow with height: gas leaves the smallest bubbles, and the plume forms, close to the disc.
    height = column.depth_m * np.linspace(0.0, 1.0, column.steps_count + 1) ** 2
    gas, flux = cloud.gas_mol, _first_flux(cloud, column)
    lifts = [march.lift(0.0, flux)]
    for low, high in itertools.pairwise(height):
        gas, flux = _step(march, (float(low), float(high)), gas, flux)
        lifts.append(march.lift(float(high), flux))
    last = film_rates(gas, 0.0, water=water, skins=Skins(closure, cloud.column))
    return CloudEnd(gas, last.diameter_m, height, np.stack(lifts, axis=1))


PLUME_EQUATIONS = (
    rise_together,
    plume.start_speed_m_s,
    plume.crossover_height_m,
    plume.slip_plume_speed_m_s,
    plume.entrainment_m2_s,
)
