"""What all readings together leave of carbonate alkalinity, pH, CO2 and the probe's error, on one grid."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.inference.fusion_likelihood import (
    Beside,
    aired_factor,
    bell_factor,
    beside_carbonate,
    blunder_frac,
    checker_factor,
    kit_factor,
    night_factor,
)
from fizzwright.inference.fusion_readings import Readings
from fizzwright.inference.fusion_water import (
    PER_KELVIN,
    Span,
    WaterGrid,
    salt_spread_factor,
    water_grid,
)
from fizzwright.units import DKH_MEQ_L

__all__ = ["Posterior", "posterior", "weighted_limits"]

Array = NDArray[np.float64]

# Before any reading: any KH up to 25 dKH alike, and any order of magnitude of CO2 alike.
LOW_DKH, HIGH_DKH = 0.01, 25.0
LOW_CO2_MG_L, HIGH_CO2_MG_L = 0.1, 400.0
OFFSET_COUNT = 25
BINS = 1200


@dataclass(frozen=True)
class Posterior:
    """Weights over the nodes of a grid; they add up to one. `ln_` spreads are standard deviations.

    `left_out` names a reading that was not used.
    """

    readings: Readings
    grid: WaterGrid
    beside: Beside
    weight_frac: Array
    offset_ph: Array
    offset_frac: Array
    warmth_number: float
    salts_number: float

    @property
    def ln_co2_number(self) -> Array:
        """Logarithm of CO2 at every node, shape (n, m)."""
        return np.log(np.maximum(self.grid.co2_mg_l, 1e-6))

    @property
    def beside_grid_number(self) -> float:
        """Spread of the logarithm of CO2 that lies beside the grid: temperature and salts."""
        return math.hypot(self.warmth_number, self.salts_number)


def posterior(readings: Readings) -> Posterior:
    """What the readings leave, found on a coarse grid first and then where it lies.

    Parameters
    ----------
    readings : all readings of one water

    Returns
    -------
    `Posterior`
    """
    coarse = _weighed(readings, _wide_span(readings))
    found = _weighed(readings, _narrowed(coarse))
    alk_share = found.weight_frac.sum(axis=1)
    ph_share = found.weight_frac.sum(axis=0)
    alk = float(np.sum(alk_share * found.grid.alk_meq_l))
    ph = float(np.sum(ph_share * found.grid.ph))
    if readings.probe is None:
        return found
    return dataclasses.replace(
        found,
        warmth_number=PER_KELVIN * readings.error_c,
        salts_number=salt_spread_factor(readings, alk, ph),
    )


def _wide_span(readings: Readings) -> Span:
    low, high = LOW_DKH, HIGH_DKH
    if readings.kits and blunder_frac(readings) == 0.0:
        high = min(HIGH_DKH, 1.5 + 1.4 * max(kit.high_dkh for kit in readings.kits))
    if readings.probe is None:
        return Span(low, high, 4.3, 9.8, alk_count=80, ph_count=120)
    reach = 4.5 * math.hypot(readings.offset_error_ph, readings.probe.noise_ph) + 0.02
    return Span(low, high, readings.probe.ph - reach, readings.probe.ph + reach, alk_count=90, ph_count=41)


def _narrowed(coarse: Posterior) -> Span:
    """The part of the grid that holds all but a hundred-thousandth."""
    alk = _held(coarse.weight_frac.sum(axis=1), np.log(coarse.grid.alk_meq_l))
    ph = _held(coarse.weight_frac.sum(axis=0), coarse.grid.ph)
    low_dkh, high_dkh = (math.exp(edge) / DKH_MEQ_L for edge in alk)
    return Span(low_dkh, high_dkh, *ph)


def _held(share: Array, axis: Array) -> tuple[float, float]:
    step = axis[1] - axis[0]
    kept = np.flatnonzero(share > 1e-5 * share.max())
    return float(axis[kept[0]] - step), float(axis[kept[-1]] + step)


def _weighed(readings: Readings, span: Span) -> Posterior:
    grid = water_grid(readings, span)
    strength = float(np.quantile(grid.ionic_strength_mol_l, 0.5))
    beside = beside_carbonate(readings.beside, grid.ph, water_c=readings.water_c, strength_mol_l=strength)
    # Nodes lie even in the logarithm of alkalinity; a flat prior in dKH weighs them by their size.
    weight = np.broadcast_to(grid.alk_meq_l[:, None], grid.co2_mg_l.shape).copy()
    weight *= (grid.co2_mg_l > LOW_CO2_MG_L) & (grid.co2_mg_l < HIGH_CO2_MG_L)
    wrong = blunder_frac(readings)
    for kit in readings.kits:
        weight *= kit_factor(kit, grid, beside=beside, wrong_frac=wrong)
    if readings.checkers:
        weight *= checker_factor(readings.checkers, grid.co2_mg_l, water_c=readings.water_c, wrong_frac=wrong)
    offsets, prior = _offsets(readings)
    by_alk = np.broadcast_to(prior, (len(grid.alk_meq_l), len(offsets))).copy()
    if readings.aired is not None:
        by_alk *= aired_factor(readings.aired, readings, grid=grid, offsets_ph=offsets)
    if readings.night is not None:
        by_alk *= night_factor(readings.night, grid, offsets_ph=offsets)
    by_ph = np.ones((len(grid.ph), len(offsets)))
    if readings.probe is not None:
        off = readings.probe.ph - grid.ph[:, None] - offsets[None, :]
        by_ph = bell_factor(off, max(readings.probe.noise_ph, 0.004))
    # Plain sums, not a matrix library: its threads cost more than they bring at this size.
    joint = weight * np.einsum("nk,mk->nm", by_alk, by_ph)
    offset_share = (by_alk * np.einsum("nm,mk->nk", weight, by_ph)).sum(axis=0)
    total = joint.sum()
    if not total > 0.0:
        joint, total = np.ones_like(joint), float(joint.size)
    return Posterior(
        readings=readings,
        grid=grid,
        beside=beside,
        weight_frac=joint / total,
        offset_ph=offsets,
        offset_frac=offset_share / max(float(offset_share.sum()), 1e-300),
        warmth_number=0.0,
        salts_number=0.0,
    )


def _offsets(readings: Readings) -> tuple[Array, Array]:
    """Errors of the probe's calibration, and how likely each is."""
    error = max(readings.offset_error_ph, 1e-4)
    scores = np.linspace(-3.2, 3.2, OFFSET_COUNT)
    return error * scores, np.exp(-0.5 * scores**2)


def weighted_limits(
    values_number: Array, weight_frac: Array, *, blur_number: float = 0.0
) -> tuple[float, float, float]:
    """The 5 %, 50 % and 95 % points of weighted values, after a blur of some standard deviation."""
    flat, share = values_number.ravel(), weight_frac.ravel()
    kept = share > 1e-9 * share.max()
    flat, share = flat[kept], share[kept]
    low, high = float(flat.min()), float(flat.max())
    edge = 3.5 * blur_number + 1e-6 * max(abs(low), abs(high), 1.0)
    width = (high - low + 2.0 * edge) / BINS
    place = ((flat - low + edge) / width).astype(int)
    counts = np.bincount(np.clip(place, 0, BINS - 1), weights=share, minlength=BINS)
    if blur_number > 0.5 * width:
        reach = int(3.5 * blur_number / width) + 1
        kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * width / blur_number) ** 2)
        counts = np.convolve(counts, kernel / kernel.sum(), mode="same")
    below = np.concatenate([[0.0], np.cumsum(counts)])
    edges = low - edge + width * np.arange(BINS + 1)
    points = np.interp(np.array([0.05, 0.5, 0.95]) * below[-1], below, edges)
    return float(points[0]), float(points[1]), float(points[2])
