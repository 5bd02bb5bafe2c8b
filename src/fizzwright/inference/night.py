"""What a night of pH readings with gas and lamp off tells about the surface's loss rate.

At fixed alkalinity CO2 is mirrored by pH, so the climb of pH traces CO2 settling towards what air and
breathing keep it at. The loss rate and that resting level pull the curve in almost the same way, and a
probe that drifts pulls it too; the fit carries all three and says when a night cannot tell them apart.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.engines.water.conditional import (
    CONDITIONAL_EQUATIONS,
    ConditionalConstants,
    alkalinity_at_co2_meq_l,
    co2_at_alkalinity_mmol_l,
    conditional_constants,
    speciation,
)
from fizzwright.engines.water.constants import CO2_G_MOL
from fizzwright.errors import Fault, InputError
from fizzwright.inference.night_grid import (
    Climb,
    NightPosterior,
    NightPrior,
    NightProbe,
    explore,
    night_curve_mg_l,
)
from fizzwright.result import Basis, Estimate
from fizzwright.units import number_text

__all__ = ["NIGHT_EQUATIONS", "NightFitPosterior", "NightPrior", "NightProbe", "NightWater", "fit_night"]

Array = NDArray[np.float64]

FEWEST_READINGS = 6
MOST_ENTRIES = 48
SHORTEST_H = 2.0
WHOLE_NIGHT_H = 6.0
FEWEST_HALF_LIVES = 1.0
FEW_HALF_LIVES = 1.5
FAR_SD = 2.6
LEAST_RISE_PH = 0.08
WIDEST_LOG_SD = 0.25
LEAST_GAIN_FACTOR = 0.75
ASIDE_SD = 4.0
JUMP_PH = 0.15

# What `fit_night` runs, for the trail of whoever calls it.
NIGHT_EQUATIONS: tuple[Callable[..., Any], ...] = (
    *CONDITIONAL_EQUATIONS,
    alkalinity_at_co2_meq_l,
    co2_at_alkalinity_mmol_l,
    night_curve_mg_l,
)


@dataclass(frozen=True)
class NightWater:
    """The tank's water: what turns pH into CO2. `scale_log_sd_number` is the doubt of that as a whole."""

    alk_meq_l: float
    water_c: float
    ionic_strength_mol_l: float
    scale_log_sd_number: float = 0.15


@dataclass(frozen=True)
class NightFitPosterior:
    """What the night told; bands are 90 %.

    `settles_mg_l` is the CO2 the water would settle at with the night's mean breathing. `usable` is false
    where the night told little beyond what was believed before; `verdict` says why in a sentence, and the
    numbers are then mostly the prior's. `scatter_ph` is what single readings scattered by.
    """

    usable: bool
    verdict: str
    loss_per_h: Estimate
    loss_log_sd_number: float
    settles_mg_l: Estimate
    breathing_mg_l_h: Estimate
    start_mg_l: float
    hours_h: float
    half_lives_number: float
    readings_count: int
    set_aside_count: int
    scatter_ph: float


def fit_night(
    elapsed_h: ArrayLike,
    ph: ArrayLike,
    *,
    water: NightWater,
    prior: NightPrior,
    probe: NightProbe | None = None,
) -> NightFitPosterior:
    """The surface's loss rate, and what CO2 settles at, from a night of pH readings.

    Take readings from half an hour after the last bubble, with gas and lamp off. Readings far off the curve
    are set aside and counted. The climb of pH is corrected for carbonate, which holds CO2 back in hard
    water above pH 7.8.

    Parameters
    ----------
    elapsed_h : hours since the gas went off, in any order, shape (n,). [h]
    ph : readings, shape (n,).
    water : alkalinity, temperature and ionic strength.
    prior : what the surface's looks, the survey and the room's air make likely.
    probe : noise and drift of the pH probe; 0.01 pH each unless given.

    Returns
    -------
    Posterior of loss rate, resting level and breathing, and whether the night told enough.

    Raises
    ------
    InputError : readings and times do not pair up, or too few of them are left.
    """
    probe = probe or NightProbe()
    hours_h, readings_ph = _in_order(elapsed_h, ph)
    constants = conditional_constants(water.water_c, water.ionic_strength_mol_l)
    kept = _without_jumps(readings_ph)
    while True:
        _need_readings(int(kept.sum()))
        night = _Night(hours_h, readings_ph, kept, water, constants)
        climb = _as_climb(night)
        posterior = explore(climb, prior, probe)
        level_log10 = posterior.predicted_log10(
            climb, clock_h=hours_h - hours_h[0], hours_h=_stretched(night)
        )
        far = np.abs(level_log10 - _level_log10(night, readings_ph)) > ASIDE_SD * posterior.noise_ph
        # Only ever fewer, so this ends; a fit led astray by one bad reading first loses that one.
        if not np.any(kept & far):
            break
        kept = kept & ~far
    rise_ph = float(np.median(readings_ph[kept][-3:]) - np.median(readings_ph[kept][:3]))
    return _answer(night, climb, posterior, prior=prior, rise_ph=rise_ph)


@dataclass(frozen=True)
class _Night:
    """Readings in order of time, which of them are kept, and the water they were read in."""

    hours_h: Array
    readings_ph: Array
    kept: NDArray[np.bool_]
    water: NightWater
    constants: ConditionalConstants


def _in_order(elapsed_h: ArrayLike, ph: ArrayLike) -> tuple[Array, Array]:
    """Times and readings sorted by time, without gaps; every fault at once."""
    hours, readings = np.asarray(elapsed_h, dtype=np.float64), np.asarray(ph, dtype=np.float64)
    if hours.ndim != 1 or hours.shape != readings.shape:
        allowed = "one pH for each time, both in a row"
        raise InputError([Fault("ph", f"{readings.shape} against {hours.shape}", allowed)])
    fine = np.isfinite(hours) & np.isfinite(readings) & (readings > 3.0) & (readings < 11.0)
    order = np.argsort(hours[fine], kind="stable")
    return hours[fine][order], readings[fine][order]


def _need_readings(count: int) -> None:
    """Refuse what no fit can be made of."""
    if count < FEWEST_READINGS:
        step = "Log the pH every ten minutes over a night with gas and lamp off"
        raise InputError([Fault("ph", f"{count} readings", f"at least {FEWEST_READINGS}", step)])


def _without_jumps(readings_ph: Array) -> NDArray[np.bool_]:
    """Which readings stay near the middle of their five neighbours; pH cannot jump in a tank."""
    if len(readings_ph) < FEWEST_READINGS:
        return np.ones(len(readings_ph), dtype=np.bool_)
    return np.asarray(np.abs(readings_ph - _running_median(readings_ph)) <= JUMP_PH)


def _running_median(values: Array) -> Array:
    """The median of each value and two neighbours either side."""
    padded = np.pad(values, 2, mode="reflect", reflect_type="odd")
    middle: Array = np.median(np.lib.stride_tricks.sliding_window_view(padded, 5), axis=1)
    return middle


def _level_log10(night: _Night, readings_ph: Array) -> Array:
    """CO2 as read, as a logarithm, floored where hydroxide alone explains the reading."""
    co2_mmol_l = co2_at_alkalinity_mmol_l(readings_ph, night.water.alk_meq_l, constants=night.constants)
    level: Array = np.log10(np.maximum(CO2_G_MOL * co2_mmol_l, 1e-3))
    return level


def _stretched(night: _Night) -> Array:
    """Hours that a plain exponential would have needed to the same CO2.

    Where carbonate turns into bicarbonate as CO2 leaves, free CO2 falls slower than the carbon lost; each
    stretch of time counts for the share dCO2/dDIC, read off the smoothed pH.
    """
    smooth_ph, alk = _running_median(night.readings_ph[night.kept]), night.water.alk_meq_l
    carbon, free = [], []
    for side in (-0.01, 0.01):
        co2 = co2_at_alkalinity_mmol_l(smooth_ph + side, alk, constants=night.constants)
        free.append(co2)
        carbon.append(speciation(smooth_ph + side, co2, constants=night.constants).dic_mmol_l)
    share = (free[1] - free[0]) / np.minimum(carbon[1] - carbon[0], -1e-12)
    share = np.clip(share, 0.02, 1.0)
    clock = night.hours_h[night.kept] - night.hours_h[0]
    rate = np.interp(night.hours_h - night.hours_h[0], clock, share)
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(night.hours_h)
    return np.concatenate([[0.0], np.cumsum(steps)])


def _as_climb(night: _Night) -> Climb:
    """Kept readings as the fit wants them; long logs are averaged into at most so many entries."""
    kept = night.kept
    clock = (night.hours_h - night.hours_h[0])[kept]
    columns = np.stack([clock, _stretched(night)[kept], _level_log10(night, night.readings_ph)[kept]])
    groups = np.array_split(np.arange(len(clock)), min(len(clock), MOST_ENTRIES))
    clock_h, hours_h, level = np.stack([columns[:, g].mean(axis=1) for g in groups], axis=1)
    # The level at the start, from a parabola: one reading alone would carry its noise into the curve.
    bend = np.polynomial.Polynomial.fit(hours_h, level, 2 if hours_h[-1] > 0 else 0)
    return Climb(
        clock_h=clock_h,
        hours_h=hours_h,
        level_log10=level,
        weight_count=np.array([float(len(g)) for g in groups]),
        start_mg_l=float(10.0 ** bend(0.0)),
        scale_log_sd_number=night.water.scale_log_sd_number,
    )


def _answer(
    night: _Night, climb: Climb, posterior: NightPosterior, *, prior: NightPrior, rise_ph: float
) -> NightFitPosterior:
    """Bands, half-lives covered and the verdict."""
    low, middle, high = (float(x) for x in posterior.loss_quantiles_per_h)
    half_lives = middle * float(climb.hours_h[-1]) / math.log(2.0)
    hours = float(climb.clock_h[-1])
    band = f"{number_text(low, 2)} to {number_text(high, 2)} /h"
    usable, verdict = _verdict(posterior, prior, rise_ph=rise_ph, length=(hours, half_lives))
    if usable:
        fixed = f"{number_text(middle, 2)} /h ({band})"
        verdict = f"The night fixes the loss at {fixed} over {half_lives:.1f} half-lives."
        if half_lives < FEW_HALF_LIVES:
            verdict += " Over so few half-lives it leans on the breathing assumed; a longer night tells more."
        if abs(math.log(middle / prior.loss_per_h)) > FAR_SD * prior.loss_log_sd_number:
            verdict += " That is far from what such a surface does: check that gas and lamp were off."
    else:
        verdict = f"{verdict} Taken at its word it would give {band}."
    return NightFitPosterior(
        usable=usable,
        verdict=verdict,
        loss_per_h=Estimate(middle, "per_h", low, high, Basis.FITTED),
        loss_log_sd_number=posterior.loss_log_sd_number,
        settles_mg_l=_estimate(posterior.settles_quantiles_mg_l, "mg_l"),
        breathing_mg_l_h=_estimate(posterior.breathing_quantiles_mg_l_h, "mg_l_h"),
        start_mg_l=climb.start_mg_l,
        hours_h=hours,
        half_lives_number=half_lives,
        readings_count=int(night.kept.sum()),
        set_aside_count=int((~night.kept).sum()),
        scatter_ph=posterior.noise_ph,
    )


def _estimate(quantiles: Array, unit: str) -> Estimate:
    low, middle, high = (float(x) for x in quantiles)
    return Estimate(middle, unit, low, high, Basis.FITTED)


def _verdict(
    posterior: NightPosterior, prior: NightPrior, *, rise_ph: float, length: tuple[float, float]
) -> tuple[bool, str]:
    """Whether the night told enough, and if not, why; `length` is in hours and in half-lives.

    A few hours in a slow tank are refused even where the band looks narrow: gas still leaving the line and
    water still mixing bend the first hours, and only a longer climb outweighs them.
    """
    hours, half_lives = length
    sd = posterior.loss_log_sd_number
    if rise_ph < max(LEAST_RISE_PH, 4 * posterior.noise_ph):
        return False, (
            f"pH rose by only {max(rise_ph, 0.0):.2f}: too little CO2 left the water to tell the loss from "
            "the resting level. Start from a higher CO2, and check that gas and lamp were off."
        )
    if hours < SHORTEST_H or (half_lives < FEWEST_HALF_LIVES and hours < WHOLE_NIGHT_H):
        return False, (
            f"{hours:.1f} hours are {half_lives:.1f} half-lives of this tank: too short to tell the loss "
            "from the resting level. Log a whole night with gas and lamp off."
        )
    if sd > WIDEST_LOG_SD:
        return False, (
            f"In {hours:.0f} hours loss, resting level and probe drift cannot be told apart. Log longer, "
            "calibrate the probe, or start from a higher CO2."
        )
    if sd > LEAST_GAIN_FACTOR * prior.loss_log_sd_number:
        return False, "The night adds little to what was known of the loss before."
    return True, ""
