"""How much of a diffuser's gas dissolves, over the doubts in bubble size and in the state of the skin."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import held, transfer
from fizzwright.engines.bubbles.closures import (
    CONTAMINATED_EQUATIONS,
    TAP_EQUATIONS,
    contaminated_closure,
    stack,
    tap_closure,
)
from fizzwright.engines.bubbles.cloud import PLUME_EQUATIONS, Cloud, CloudEnd, Column, rise_together
from fizzwright.engines.bubbles.diffusers import DiffuserSpread, diffuser_spread, volume_median_mm
from fizzwright.engines.bubbles.film import FILM_EQUATIONS, Skins, bubble_amount_mol
from fizzwright.engines.bubbles.medium import CO2, WATER_EQUATIONS, BubbleWater, bubble_water
from fizzwright.engines.bubbles.plume import separation_height_m
from fizzwright.engines.bubbles.properties import ATMOSPHERE_PA
from fizzwright.engines.bubbles.stays import stirred_skins
from fizzwright.job.words import DiffuserKind
from fizzwright.sources import equation

__all__ = [
    "DiffuserSpread",
    "DissolvedShare",
    "RisePath",
    "Surfacing",
    "diffuser_spread",
    "dissolved_share",
    "plume_cost_frac",
    "share_equations",
    "skin_mix_frac",
    "surfacing",
]

Array = NDArray[np.float64]
# Shares read off a table for draws, and numbers or arrays handed in.
Shares = NDArray[np.float64]
Values = float | Array

# Volume-weighted normal scores of the size classes: wide enough below to count the small ones too.
SIZE_Z = np.linspace(-4.4, 3.4, 24)
GRADE_Z = np.linspace(-2.4, 2.4, 9)
# Bubbles over this size break up on their own way.
LARGEST_BUBBLE_M = 12e-3
# A ladder walks its bubbles up over the lower half of the depth.
LADDER_MIDDLE, LADDER_TOP = 0.75, 0.5
# Smaller ones count as dissolved away.
SEEN_M = 10e-6


@dataclass(frozen=True)
class RisePath:
    """Where the gas is let go and what water it rises through.

    `depth_m` counts from the surface down to the diffuser; for an in-hose atomiser it is the depth of the
    hose's outlet. Hose fields matter only there. `held_s` overrides how long a ladder keeps its bubbles.
    """

    depth_m: float
    water_c: float
    surface_pa: float = ATMOSPHERE_PA
    bulk_co2_mg_l: float = 15.0
    flow_ml_min_n: float = 15.0
    disc_mm: float = 25.0
    current_m_s: float = 0.0
    hose_length_m: float = 1.0
    hose_bore_mm: float = 12.7
    hose_flow_l_h: float = 600.0
    held_s: float | None = None
    n2_saturation_ratio: float = 1.0
    o2_saturation_ratio: float = 1.0

    def water(self) -> BubbleWater:
        """The water of this path."""
        return bubble_water(
            self.water_c, self.surface_pa, co2_mg_l=self.bulk_co2_mg_l,
            n2_saturation_ratio=self.n2_saturation_ratio, o2_saturation_ratio=self.o2_saturation_ratio,
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class DissolvedShare:
    """Dissolved share over grades of bubble size (rows) and skins (columns: contaminated, tap).

    `grade_z_number` (rows,) are normal scores of ln d32, `d32_mm` (rows,) the Sauter means there.
    `mean_lift_m_s` is the water's mean upward speed over the path, same shape as `share_frac`.
    """

    grade_z_number: Array
    d32_mm: Array
    share_frac: Array
    mean_lift_m_s: Array
    spread: DiffuserSpread

    def at(self, d32_z_number: Values, closure_u_frac: Values) -> Shares:
        """The dissolved share for draws of bubble size and skin.

        Parameters
        ----------
        d32_z_number : standard normal scores of ln d32 [-]
        closure_u_frac : numbers evenly spread over 0 to 1; 0 is a stiff skin, 1 the one of tap water [-]

        Returns
        -------
        share of the CO2 that dissolves, common shape of the inputs [-]
        """
        z, u = np.broadcast_arrays(
            np.asarray(d32_z_number, dtype=float), np.asarray(closure_u_frac, dtype=float)
        )
        z = np.clip(z, self.grade_z_number[0], self.grade_z_number[-1])
        stiff = np.interp(z, self.grade_z_number, self.share_frac[:, 0])
        tap = np.interp(z, self.grade_z_number, self.share_frac[:, 1])
        share: Shares = stiff + skin_mix_frac(u, self.spread.d32_at_mm(z)) * (tap - stiff)
        return share


@equation("skin-by-size", where="stiff under 0.6 mm, like tap water over 2 mm", valid={"d32_mm": (0.05, 6.0)})
def skin_mix_frac(closure_u_frac: Values, d32_mm: Values) -> Array:
    """Place between the stiff skin (0) and the one of tap water (1) for an even draw.

    Small bubbles are stiff within moments of leaving the diffuser, while one over 2 mm is at the surface
    before its skin has gathered a film: the middle draw moves from a quarter to five sixths.

    Parameters
    ----------
    closure_u_frac : numbers evenly spread over 0 to 1 [-]
    d32_mm : Sauter mean of the bubbles [mm]

    Returns
    -------
    weight of the tap-water skin [-], common shape of the inputs

    Examples
    --------
    >>> round(float(skin_mix_frac(0.5, 0.4)), 2), round(float(skin_mix_frac(0.5, 2.5)), 2)
    (0.25, 0.84)
    """
    bend = np.clip(2.0 * (np.asarray(d32_mm, dtype=float) / 0.5) ** -1.5, 0.25, 2.0)
    weight: Array = np.asarray(closure_u_frac, dtype=float) ** bend
    return weight


def _class_weights() -> Array:
    """Share of the gas in each size class."""
    weight = np.exp(-0.5 * SIZE_Z**2)
    shares: Array = weight / weight.sum()
    return shares


def _release(path: RisePath, water: BubbleWater, d32_mm: Array, gsd: float) -> Array:
    """Gas in each bubble as it leaves the diffuser, shape (3, grades, sizes)."""
    middle = 1e-3 * volume_median_mm(d32_mm, gsd)
    d = np.minimum(middle[:, None] * np.exp(np.log(gsd) * SIZE_Z), LARGEST_BUBBLE_M)
    gas = np.zeros((3, *d.shape))
    gas[CO2] = bubble_amount_mol(d, path.depth_m, water=water)
    return gas


@dataclass(frozen=True, eq=False)
class _Run:
    """One population followed to the surface; groups are (contaminated, tap) x grades."""

    start_mol: Array
    number_per_s: Array
    end: CloudEnd

    def dissolved(self) -> Array:
        """Share of the CO2 that dissolved, shape (groups,)."""
        left = self.end.gas_mol[CO2] / self.start_mol[CO2]
        share: Array = 1.0 - (left * _class_weights()).sum(axis=1)
        return share


def _stay(path: RisePath, spread: DiffuserSpread) -> float:
    """How long a ladder keeps its bubbles; 0 for the other kinds. [s]"""
    return spread.held_s if path.held_s is None else path.held_s


def _kept(path: RisePath, spread: DiffuserSpread, gas: Array, skins: Skins) -> Array:
    """What is left in the bubbles after the hose or the ladder, where there is one."""
    water, groups = path.water(), gas.shape[1]
    if spread.kind is DiffuserKind.INLINE:
        stirred, firsts = stirred_skins(water, path.hose_flow_l_h, bore_mm=path.hose_bore_mm)
        in_hose = Skins(stirred, np.repeat(firsts, groups // 2)[:, None])
        speed = float(held.hose_speed_m_s(path.hose_flow_l_h, path.hose_bore_mm))
        stay = path.hose_length_m / speed
        return held.held_gas_mol(water, gas, skins=in_hose, held_s=stay, depth_m=path.depth_m)
    stay = _stay(path, spread)
    if stay > 0.0:
        return held.held_gas_mol(water, gas, skins=skins, held_s=stay, depth_m=LADDER_MIDDLE * path.depth_m)
    return gas


def _run(path: RisePath, spread: DiffuserSpread, d32_mm: Array) -> _Run:
    """March every grade with both skins, through hose or ladder first where there is one."""
    water = path.water()
    closure, columns = stack([contaminated_closure(water), tap_closure(water)])
    gas = _release(path, water, d32_mm, spread.gsd_ratio)
    start = np.concatenate([gas, gas], axis=1)
    column = np.repeat(columns, d32_mm.size)[:, None]
    rise = closure.speeds_m_s(np.tile(1e-3 * d32_mm, 2), column[:, 0])[0]
    fed = Cloud.fed(
        start, path.flow_ml_min_n, weight_frac=_class_weights(), column=column, lift_rise_m_s=rise
    )
    cloud = replace(fed, gas_mol=_kept(path, spread, start, Skins(closure, column)))
    lift_flow = path.flow_ml_min_n
    if spread.kind is DiffuserKind.INLINE:
        # A filter outlet scatters its bubbles; they lift no column of their own.
        cloud, lift_flow = replace(cloud, number_per_s=0.0 * fed.number_per_s), 0.0
    exit_depth = path.depth_m * (LADDER_TOP if _stay(path, spread) > 0.0 else 1.0)
    place = Column(exit_depth, lift_flow, path.disc_mm, path.current_m_s)
    return _Run(start, fed.number_per_s, rise_together(water, cloud, closure=closure, column=place))


def dissolved_share(path: RisePath, spread: DiffuserSpread) -> DissolvedShare:
    """Share of a diffuser's CO2 that dissolves before the surface, for all grades and both skins.

    Parameters
    ----------
    path : depth, water, gas flow, current
    spread : bubble sizes of the diffuser

    Returns
    -------
    table of shares, to be read with `at`

    Examples
    --------
    >>> from fizzwright.job.words import Condition
    >>> spread = diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED)
    >>> share = dissolved_share(RisePath(depth_m=0.35, water_c=25.0), spread)
    >>> bool(0.95 < share.at(0.0, 0.5) < 1.0)
    True
    """
    d32_mm = spread.d32_at_mm(GRADE_Z)
    run = _run(path, spread, d32_mm)
    share = run.dissolved().reshape(2, -1).T.copy()
    lift = run.end.mean_lift_m_s.reshape(2, -1).T.copy()
    return DissolvedShare(GRADE_Z, d32_mm, share, lift, spread)


def plume_cost_frac(path: RisePath, spread: DiffuserSpread) -> Array:
    """Share of the gas lost only because the bubbles lift a column of water and ride up with it.

    Parameters
    ----------
    path : depth, water, gas flow, current
    spread : bubble sizes of the diffuser, taken at their middle

    Returns
    -------
    dissolved share without the column less that with it [-], shape (2,): contaminated, tap
    """
    middle = np.array([spread.d32_mm])
    alone = _run(replace(path, flow_ml_min_n=0.0), spread, middle).dissolved()
    cost: Array = alone - _run(path, spread, middle).dissolved()
    return cost


def share_equations(path: RisePath, spread: DiffuserSpread) -> tuple[Callable[..., Any], ...]:
    """Every equation that a dissolved share for this path and diffuser runs, draws read off it included."""
    run: list[Callable[..., Any]] = [
        *WATER_EQUATIONS, *CONTAMINATED_EQUATIONS, *TAP_EQUATIONS, *FILM_EQUATIONS, *PLUME_EQUATIONS,
        volume_median_mm, skin_mix_frac, diffuser_spread,
    ]  # fmt: skip
    if path.current_m_s > 0.0:
        run.append(separation_height_m)
    if spread.kind is DiffuserKind.INLINE:
        run += [
            held.hose_speed_m_s, held.hose_eddy_m_s, transfer.transfer_turbulent_rigid_m_s,
            transfer.transfer_turbulent_mobile_m_s,
        ]  # fmt: skip
    if spread.kind is DiffuserKind.INLINE or _stay(path, spread) > 0.0:
        run.append(held.held_gas_mol)
    return tuple(run)


@dataclass(frozen=True, eq=False)
class Surfacing:
    """What reaches the surface, as the eye counts it and as the bottle pays for it (contaminated, tap).

    A bubble is CO2-rich when over half of its dry gas is CO2. `rich_seen_frac` counts bubbles,
    `rich_lost_frac` weighs them by gas volume; `escaping_co2_frac` is the CO2 in all gas that escapes.
    """

    rich_seen_frac: Array
    rich_lost_frac: Array
    escaping_co2_frac: Array
    dissolved_frac: Array


def surfacing(path: RisePath, spread: DiffuserSpread) -> Surfacing:
    """What the bubbles at the surface are made of: by number, as seen, and by volume, as lost.

    Parameters
    ----------
    path : depth, water, gas flow, current
    spread : bubble sizes of the diffuser, taken at their middle

    Returns
    -------
    shares of CO2-rich bubbles by number and by gas volume, for both skins
    """
    run = _run(path, spread, np.array([spread.d32_mm]))
    left, total = run.end.gas_mol[CO2], run.end.gas_mol.sum(axis=0)
    number = np.where(run.end.diameter_m > SEEN_M, run.number_per_s, 0.0)
    rich = left > 0.5 * total

    def share(part: Array, whole: Array) -> Array:
        # Where nothing arrives there is nothing to be rich in CO2.
        found: Array = part.sum(axis=1) / np.maximum(whole.sum(axis=1), 1e-300)
        return found

    return Surfacing(
        rich_seen_frac=share(number * rich, number),
        rich_lost_frac=share(number * total * rich, number * total),
        escaping_co2_frac=share(number * left, number * total),
        dissolved_frac=run.dissolved(),
    )
