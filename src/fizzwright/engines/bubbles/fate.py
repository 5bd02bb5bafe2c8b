"""The life of bubbles released at a depth: what dissolves, what arrives, how big, how late."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import Closure, clean_closure, contaminated_closure, tap_closure
from fizzwright.engines.bubbles.film import LEAST_MOL, bubble_amount_mol, bubble_diameter_m
from fizzwright.engines.bubbles.march import Live, Stepping, advance
from fizzwright.engines.bubbles.medium import CO2, BubbleWater, bubble_water
from fizzwright.engines.bubbles.properties import N2_IN_AIR, O2_IN_AIR
from fizzwright.errors import Fault, InputError, NotConverged
from fizzwright.sources import equation

__all__ = [
    "BubbleFate", "BubbleTrack", "Release", "Stepping", "bubble_fate", "bubble_track", "clean_bubble",
    "contaminated_bubble", "released", "supersaturated_bubble", "tap_bubble",
]  # fmt: skip

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Values = float | Array


@dataclass(frozen=True, eq=False)
class Release:
    """Bubbles as they leave the diffuser; numbers or arrays that broadcast.

    `up_m_s` is the upward speed of the water itself; a down-flow stronger than the bubble's rise holds it
    at its release depth. `co2_frac` is the CO2 share of the dry gas fed, the rest being air.
    `closure_column` is the first table column of each bubble's skin (see `closures.stack`).
    """

    diameter_m: Values
    depth_m: Values
    up_m_s: Values = 0.0
    co2_frac: Values = 1.0
    closure_column: Any = 0


@dataclass(frozen=True, eq=False)
class BubbleFate:
    """How bubbles ended; every array has the shape of the release.

    `surfaced` is false for bubbles that dissolved away (or outlived `Stepping.longest_s`); their
    `surface_co2_frac` is not a number.
    `start_mol` and `end_mol` have shape (3, ...) in the order CO2, N2, O2.
    """

    dissolved_frac: Array
    surface_co2_frac: Array
    end_diameter_m: Array
    end_s: Array
    end_depth_m: Array
    surfaced: Flags
    start_mol: Array
    end_mol: Array

    @property
    def end_diameter_mm(self) -> Array:
        """Diameter at the end. [mm]"""
        return 1e3 * self.end_diameter_m


@dataclass(frozen=True, eq=False)
class BubbleTrack:
    """One bubble's way up, step by step, for drawing; every array has the shape (moments,)."""

    time_s: Array
    height_m: Array
    diameter_mm: Array
    co2_frac: Array
    dissolved_frac: Array


def _check(release: Release) -> None:
    """Refuse bubbles that no law here covers, all faults at once."""
    faults = []
    limits = {
        "diameter_m": (4e-6, 15e-3),
        "depth_m": (1e-4, 20.0),
        "up_m_s": (-2.0, 2.0),
        "co2_frac": (1e-6, 1.0),
    }
    for field in fields(release):
        low, high = limits.get(field.name, (0.0, np.inf))
        value = np.asarray(getattr(release, field.name), dtype=float)
        if not bool(np.all((value >= low) & (value <= high))):
            faults.append(Fault(field.name, str(value), f"allowed {low:g} to {high:g}"))
    if faults:
        raise InputError(faults)


def released(release: Release, water: BubbleWater) -> tuple[Live, tuple[int, ...]]:
    """Fill the bubbles with gas at their release depth."""
    _check(release)
    d, depth, up, co2, first = np.broadcast_arrays(
        release.diameter_m, release.depth_m, release.up_m_s, release.co2_frac, release.closure_column
    )
    shape = d.shape
    d, depth, up, share = (np.ravel(x).astype(float) for x in (d, depth, up, co2))
    air = (1.0 - share) / (N2_IN_AIR + O2_IN_AIR)
    mol = bubble_amount_mol(d, depth, water=water) * np.stack([share, air * N2_IN_AIR, air * O2_IN_AIR])
    return Live.at_release(mol, d, depth_m=depth, up_m_s=up, column=np.ravel(first).astype(np.intp)), shape


@equation("bubble-balance", where="three gases and depth of one bubble, stepped in time")
def bubble_fate(
    water: BubbleWater, release: Release, *, closure: Closure, stepping: Stepping | None = None
) -> BubbleFate:
    """Follow bubbles from the diffuser until they reach the surface or are gone.

    Parameters
    ----------
    water : water round them
    release : sizes, depths, water's upward speed
    closure : state of the skin, from `closures`
    stepping : how finely to step

    Returns
    -------
    what dissolved and how each bubble ended, arrays of the shape of the release

    Raises
    ------
    InputError for sizes or depths no law here covers; NotConverged where stepping does not end

    Examples
    --------
    >>> water = bubble_water(25.0)
    >>> fate = bubble_fate(water, Release(1e-3, 0.30), closure=contaminated_closure(water))
    >>> round(float(fate.dissolved_frac), 3)
    0.942
    """
    rule = stepping or Stepping()
    live, shape = released(release, water)
    start, end_mol = live.gas_mol, np.empty_like(live.gas_mol)
    depth, clock = np.empty_like(live.depth_m), np.empty_like(live.clock_s)
    surfaced = np.zeros(depth.size, dtype=bool)
    for _ in range(rule.most_steps_count):
        done, arrived = advance(live, rule, water=water, closure=closure)
        if not done.any():
            continue
        place = live.place[done]
        end_mol[:, place], clock[place] = live.gas_mol[:, done], live.clock_s[done]
        depth[place], surfaced[place] = np.maximum(live.depth_m[done], 0.0), arrived[done]
        live.keep(~done)
        if live.place.size == 0:
            return _report(water, (start, end_mol), (depth, clock, surfaced), shape)
    raise NotConverged(f"{live.place.size} bubbles were still under way after {rule.most_steps_count} steps")


def _report(
    water: BubbleWater, mol: tuple[Array, Array], end: tuple[Array, Array, Any], shape: tuple[int, ...]
) -> BubbleFate:
    """Put the ends together in the shape of the release."""
    (start, left), (depth, clock, surfaced) = mol, end
    total = left.sum(axis=0)
    return BubbleFate(
        dissolved_frac=(1.0 - left[CO2] / start[CO2]).reshape(shape),
        surface_co2_frac=np.where(surfaced, left[CO2] / np.maximum(total, LEAST_MOL), np.nan).reshape(shape),
        end_diameter_m=bubble_diameter_m(total, depth, water=water).reshape(shape),
        end_s=clock.reshape(shape),
        end_depth_m=depth.reshape(shape),
        surfaced=surfaced.reshape(shape),
        start_mol=start.reshape((3, *shape)),
        end_mol=left.reshape((3, *shape)),
    )


@equation("bubble-balance", where="one bubble, every step kept")
def bubble_track(
    water: BubbleWater, release: Release, *, closure: Closure, stepping: Stepping | None = None
) -> BubbleTrack:
    """Diameter and gas of one bubble against its height over the diffuser.

    Parameters
    ----------
    water : water round it
    release : one bubble
    closure : state of the skin, from `closures`
    stepping : how finely to step

    Returns
    -------
    time, height, diameter, CO2 share and dissolved share at each step
    """
    rule = stepping or Stepping()
    live, _ = released(release, water)
    if live.place.size != 1:
        raise InputError([Fault("release", f"{live.place.size} bubbles", "one bubble has one track")])
    moments = [(0.0, float(live.depth_m[0]), live.gas_mol[:, 0])]
    for _ in range(rule.most_steps_count):
        done, _ = advance(live, rule, water=water, closure=closure)
        if live.clock_s[0] > moments[-1][0]:
            moments.append((float(live.clock_s[0]), float(live.depth_m[0]), live.gas_mol[:, 0]))
        if done[0]:
            return _track(water, moments)
    raise NotConverged(f"the bubble was still under way after {rule.most_steps_count} steps")


def _track(water: BubbleWater, moments: list[tuple[float, float, Array]]) -> BubbleTrack:
    """Turn the kept steps into curves."""
    time, depth = np.array([m[0] for m in moments]), np.maximum([m[1] for m in moments], 0.0)
    mol = np.stack([m[2] for m in moments], axis=1)
    total = mol.sum(axis=0)
    return BubbleTrack(
        time_s=time,
        height_m=depth[0] - depth,
        diameter_mm=1e3 * bubble_diameter_m(total, depth, water=water),
        co2_frac=mol[CO2] / np.maximum(total, LEAST_MOL),
        dissolved_frac=1.0 - mol[CO2] / mol[CO2, 0],
    )


def contaminated_bubble(
    diameter_mm: Values,
    depth_m: Values,
    *,
    water_c: float = 25.0,
    co2_mg_l: float = 15.0,
    up_m_s: Values = 0.0,
) -> BubbleFate:
    """The fate of CO2 bubbles with the stiff skin of lived-in water.

    Parameters
    ----------
    diameter_mm : size at release [mm]
    depth_m : release depth under the surface [m]
    water_c : water temperature [°C]
    co2_mg_l : free CO2 in the water [mg/L]
    up_m_s : upward speed of the water itself [m/s]

    Returns
    -------
    the bubbles' fate, common shape of the inputs
    """
    water = bubble_water(water_c, co2_mg_l=co2_mg_l)
    release = Release(1e-3 * np.asarray(diameter_mm, dtype=float), depth_m, up_m_s)
    return bubble_fate(water, release, closure=contaminated_closure(water))


def tap_bubble(
    diameter_mm: Values,
    depth_m: Values,
    *,
    water_c: float = 25.0,
    co2_mg_l: float = 15.0,
    up_m_s: Values = 0.0,
) -> BubbleFate:
    """The fate of CO2 bubbles with the half-mobile skin of ordinary fresh water.

    Parameters
    ----------
    diameter_mm : size at release [mm]
    depth_m : release depth under the surface [m]
    water_c : water temperature [°C]
    co2_mg_l : free CO2 in the water [mg/L]
    up_m_s : upward speed of the water itself [m/s]

    Returns
    -------
    the bubbles' fate, common shape of the inputs
    """
    water = bubble_water(water_c, co2_mg_l=co2_mg_l)
    release = Release(1e-3 * np.asarray(diameter_mm, dtype=float), depth_m, up_m_s)
    return bubble_fate(water, release, closure=tap_closure(water))


def clean_bubble(
    diameter_mm: Values,
    depth_m: Values,
    *,
    water_c: float = 25.0,
    co2_mg_l: float = 15.0,
    up_m_s: Values = 0.0,
) -> BubbleFate:
    """The fate of CO2 bubbles with the fully mobile skin of purified water.

    Parameters
    ----------
    diameter_mm : size at release [mm]
    depth_m : release depth under the surface [m]
    water_c : water temperature [°C]
    co2_mg_l : free CO2 in the water [mg/L]
    up_m_s : upward speed of the water itself [m/s]

    Returns
    -------
    the bubbles' fate, common shape of the inputs
    """
    water = bubble_water(water_c, co2_mg_l=co2_mg_l)
    release = Release(1e-3 * np.asarray(diameter_mm, dtype=float), depth_m, up_m_s)
    return bubble_fate(water, release, closure=clean_closure(water))


def supersaturated_bubble(
    diameter_mm: Values,
    depth_m: Values,
    *,
    water_c: float = 25.0,
    n2_saturation_ratio: float = 1.0,
    o2_saturation_ratio: float = 1.5,
) -> BubbleFate:
    """The fate of CO2 bubbles with a stiff skin in water over-full of air gases, as in a lit tank.

    Parameters
    ----------
    diameter_mm : size at release [mm]
    depth_m : release depth under the surface [m]
    water_c : water temperature [°C]
    n2_saturation_ratio, o2_saturation_ratio : dissolved gases over saturation with air [-]

    Returns
    -------
    the bubbles' fate, common shape of the inputs, at 15 mg/L of free CO2
    """
    water = bubble_water(
        water_c, n2_saturation_ratio=n2_saturation_ratio, o2_saturation_ratio=o2_saturation_ratio
    )
    release = Release(1e-3 * np.asarray(diameter_mm, dtype=float), depth_m)
    return bubble_fate(water, release, closure=contaminated_closure(water))
