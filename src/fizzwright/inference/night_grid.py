"""The night curve, and the search over loss rate and breathing that fits it to readings.

Loss rate, breathing, the air's CO2 and the scale of the readings are laid out on a grid; the offset of the
level and a straight drift of the probe are linear in the curve and integrated out exactly. The grid is laid
twice, the second time over what the first one left possible.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fizzwright.sources import equation

__all__ = ["Climb", "NightPosterior", "NightPrior", "NightProbe", "explore", "night_curve_mg_l"]

Array = NDArray[np.float64]

# Three-point Gauss-Hermite rule for a standard normal: points and the log of their weights.
NODES = np.array([-np.sqrt(3.0), 0.0, np.sqrt(3.0)])
NODE_LOG_WEIGHTS = np.log(np.array([1 / 6, 2 / 3, 1 / 6]))
# The loss rate's prior has Student's tails with the 5 % and 95 % points kept, so that a night can overrule
# a surface put in the wrong class.
TAIL_FREEDOM = 5.0
TAIL_FACTOR = 1.6449 / 2.0150
NOISE_PRIOR_COUNT = 4.0
CURVE_PARAMETERS_COUNT = 4
LOSSES_COUNT = 61
BREATHS_COUNT = 15


@dataclass(frozen=True)
class NightPrior:
    """What is believed before the night: loss rate, breathing at dusk, CO2 that air keeps in the water.

    Each median has the standard deviation of its logarithm beside it. `breathing_falls_per_h` is the share
    of the dusk rate lost each hour, because plants breathe less as the night wears on.
    """

    loss_per_h: float
    loss_log_sd_number: float
    breathing_mg_l_h: float
    breathing_log_sd_number: float
    air_co2_mg_l: float
    air_log_sd_number: float = 0.38
    breathing_falls_per_h: float = 0.0


@dataclass(frozen=True)
class NightProbe:
    """How the pH probe errs: noise of one reading, and drift over eight hours, one standard deviation."""

    noise_ph: float = 0.01
    drift_8h_ph: float = 0.01


@dataclass(frozen=True)
class Climb:
    """Readings made ready: CO2 as read against hours counted so that a plain exponential fits.

    `level_log10` is the logarithm of CO2 in mg/L; `weight_count` says how many readings each entry stands
    for; `start_mg_l` is the smoothed level at hour 0; `scale_log_sd_number` the doubt of the level as a
    whole; `hours_h` is shorter than `clock_h` where carbonate holds the CO2 back.
    """

    clock_h: Array
    hours_h: Array
    level_log10: Array
    weight_count: Array
    start_mg_l: float
    scale_log_sd_number: float


@dataclass(frozen=True)
class NightPosterior:
    """What the grid left: quantiles (5, 50, 95 %), the best curve's misses, and the noise they show."""

    loss_log_sd_number: float
    loss_quantiles_per_h: Array
    settles_quantiles_mg_l: Array
    breathing_quantiles_mg_l_h: Array
    best_loss_per_h: float
    best_settles_mg_l: float
    best_falls_mg_l_h: float
    offset_log10: float
    drift_per_h: float
    noise_ph: float

    def predicted_log10(self, climb: Climb, *, clock_h: Array, hours_h: Array) -> Array:
        """The best curve at other times, as the logarithm of CO2. [log10 of mg/L]"""
        curve = night_curve_mg_l(
            hours_h,
            climb.start_mg_l,
            loss_per_h=self.best_loss_per_h,
            settles_mg_l=self.best_settles_mg_l,
            settles_falls_mg_l_h=self.best_falls_mg_l_h,
        )
        level: Array = np.log10(np.maximum(curve, 1e-6)) + self.offset_log10 + self.drift_per_h * clock_h
        return level


@equation("night-curve", where="first-order loss with breathing that falls in a straight line")
def night_curve_mg_l(
    elapsed_h: ArrayLike,
    start_mg_l: ArrayLike,
    *,
    loss_per_h: ArrayLike,
    settles_mg_l: ArrayLike,
    settles_falls_mg_l_h: ArrayLike = 0.0,
) -> Array:
    """The CO2 left in the water some hours after gas and lamp went off.

    Parameters
    ----------
    elapsed_h : hours since gas and lamp went off. [h]
    start_mg_l : CO2 at that time. [mg/L]
    loss_per_h : loss rate of the surface. [1/h]
    settles_mg_l : level that loss and breathing at dusk would balance at. [mg/L]
    settles_falls_mg_l_h : how fast that level sinks as plants breathe less. [mg/L/h]

    Returns
    -------
    CO2 in the water, shape of the inputs broadcast. [mg/L]

    Examples
    --------
    >>> round(float(night_curve_mg_l(8.0, 30.0, loss_per_h=0.1, settles_mg_l=0.61)), 2)
    13.82
    """
    hours, rate = np.asarray(elapsed_h, dtype=np.float64), np.asarray(loss_per_h, dtype=np.float64)
    sinks = np.asarray(settles_falls_mg_l_h, dtype=np.float64)
    # The water lags a sinking level by one time constant.
    trails = np.asarray(settles_mg_l, dtype=np.float64) + sinks / rate
    left: Array = trails - sinks * hours + (np.asarray(start_mg_l) - trails) * np.exp(-rate * hours)
    return left


@dataclass(frozen=True)
class _Grid:
    """Every combination of the unknowns, flat; `log_prior` without a constant."""

    log_loss: Array
    log_breathing: Array
    air_mg_l: Array
    scale: Array
    log_prior: Array


def _grid(log_loss: Array, log_breathing: Array, prior: NightPrior, scale_sd: float) -> _Grid:
    """Lay the grid over given loss rates and breathing, with three levels each of air and scale."""
    loss, breath, air, scale = (
        axis.ravel() for axis in np.meshgrid(log_loss, log_breathing, NODES, NODES, indexing="ij")
    )
    weight = np.add.outer(NODE_LOG_WEIGHTS, NODE_LOG_WEIGHTS).ravel()
    off_loss = (loss - np.log(prior.loss_per_h)) / (TAIL_FACTOR * prior.loss_log_sd_number)
    off_breath = (breath - np.log(prior.breathing_mg_l_h)) / prior.breathing_log_sd_number
    log_prior = np.tile(weight, len(log_loss) * len(log_breathing)) - 0.5 * off_breath**2
    log_prior -= 0.5 * (TAIL_FREEDOM + 1) * np.log1p(off_loss**2 / TAIL_FREEDOM)
    air_mg_l = prior.air_co2_mg_l * np.exp(prior.air_log_sd_number * air)
    return _Grid(loss, breath, air_mg_l, np.exp(scale_sd * scale), log_prior)


@dataclass(frozen=True)
class _Fit:
    """Posterior weights on a grid and the best point's own level, drift and misses."""

    grid: _Grid
    share: Array
    best: int
    offset: float
    drift: float
    misses: Array


def _fit(grid: _Grid, climb: Climb, prior: NightPrior, drift_sd: float, noise_sd: float) -> _Fit:
    """Weigh every grid point by how well its curve, freely shifted and drifting, meets the readings."""
    rate, breath = np.exp(grid.log_loss), np.exp(grid.log_breathing)
    dusk = (grid.air_mg_l + breath / rate) / grid.scale
    falls = prior.breathing_falls_per_h * breath / rate / grid.scale
    curves = night_curve_mg_l(
        climb.hours_h,
        climb.start_mg_l,
        loss_per_h=rate[:, None],
        settles_mg_l=dusk[:, None],
        settles_falls_mg_l_h=falls[:, None],
    )
    misses = climb.level_log10 - np.log10(np.maximum(curves, 1e-6))
    weight = climb.weight_count / climb.weight_count.sum()
    hours = climb.clock_h - weight @ climb.clock_h
    offsets = misses @ weight
    misses -= offsets[:, None]
    precision = climb.weight_count / noise_sd**2
    squares = np.einsum("gi,gi,i->g", misses, misses, precision)
    tilt = misses @ (precision * hours)
    stiffness = precision @ hours**2 + 1.0 / drift_sd**2
    log_share = grid.log_prior - 0.5 * (squares - tilt**2 / stiffness)
    best = int(np.argmax(log_share))
    share = np.exp(log_share - log_share[best])
    drift = float(tilt[best] / stiffness)
    offset = float(offsets[best] - drift * (weight @ climb.clock_h))
    return _Fit(grid, share / share.sum(), best, offset, drift, misses[best] - drift * hours)


def _noise(fit: _Fit, climb: Climb, probe_noise_sd: float) -> float:
    """Scatter of one reading: what the probe's maker grants, corrected by what the misses show.

    Misses that follow each other are worth fewer readings, so their scatter counts for more.
    """
    squares = float(climb.weight_count @ fit.misses**2) + NOISE_PRIOR_COUNT * probe_noise_sd**2
    freedom = max(fit.misses.size - CURVE_PARAMETERS_COUNT, 0) + NOISE_PRIOR_COUNT
    scaled = fit.misses * np.sqrt(climb.weight_count)
    power = float(scaled @ scaled)
    follow = float(scaled[1:] @ scaled[:-1]) / power if power > 0 else 0.0
    follow = min(max(follow, 0.0), 0.8)
    inflated: float = squares / freedom * (1 + follow) / (1 - follow)
    return math.sqrt(inflated)


def _spread(values: Array, share: Array) -> tuple[float, float]:
    """Mean and standard deviation of weighted values."""
    mean = float(share @ values)
    return mean, math.sqrt(max(float(share @ (values - mean) ** 2), 0.0))


def _quantiles(values: Array, share: Array) -> Array:
    """The 5, 50 and 95 % points of weighted values."""
    order = np.argsort(values)
    risen = np.cumsum(share[order]) - 0.5 * share[order]
    points: Array = np.interp([0.05, 0.5, 0.95], risen, values[order])
    return points


def _closer(axis: Array, mean: float, sd: float) -> Array:
    """The next, finer axis: what the last one left possible, and never less than a step of it."""
    reach = max(4.0 * sd, 1.5 * float(axis[1] - axis[0]))
    return np.linspace(mean - reach, mean + reach, len(axis))


def explore(climb: Climb, prior: NightPrior, probe: NightProbe) -> NightPosterior:
    """Fit one night.

    Parameters
    ----------
    climb : readings made ready.
    prior : what is believed before.
    probe : noise and drift of the probe.

    Returns
    -------
    What is believed after.
    """
    loss_mid, breath_mid = np.log(prior.loss_per_h), np.log(prior.breathing_mg_l_h)
    loss_sd, breath_sd = prior.loss_log_sd_number, prior.breathing_log_sd_number
    drift_sd = max(probe.drift_8h_ph, 1e-6) / 8.0
    losses = loss_mid + max(5.0 * loss_sd, 2.5) * np.linspace(-1.0, 1.0, LOSSES_COUNT)
    breaths = breath_mid + breath_sd * np.linspace(-3.0, 3.0, BREATHS_COUNT)
    noise_sd = probe.noise_ph
    for _ in range(3):
        fit = _fit(_grid(losses, breaths, prior, climb.scale_log_sd_number), climb, prior, drift_sd, noise_sd)
        noise_sd = _noise(fit, climb, probe.noise_ph)
        fit = _fit(fit.grid, climb, prior, drift_sd, noise_sd)
        losses = _closer(losses, *_spread(fit.grid.log_loss, fit.share))
        breaths = _closer(breaths, *_spread(fit.grid.log_breathing, fit.share))
    return _posterior(fit, climb, prior, noise_sd)


def _posterior(fit: _Fit, climb: Climb, prior: NightPrior, noise_sd: float) -> NightPosterior:
    """Read bands and the best curve off a weighted grid."""
    grid, share, best = fit.grid, fit.share, fit.best
    rate, breath = np.exp(grid.log_loss), np.exp(grid.log_breathing)
    over_night = breath * max(1.0 - 0.5 * prior.breathing_falls_per_h * float(climb.clock_h[-1]), 0.1)
    return NightPosterior(
        loss_log_sd_number=_spread(grid.log_loss, share)[1],
        loss_quantiles_per_h=np.exp(_quantiles(grid.log_loss, share)),
        settles_quantiles_mg_l=_quantiles(grid.air_mg_l + over_night / rate, share),
        breathing_quantiles_mg_l_h=_quantiles(over_night, share),
        best_loss_per_h=float(rate[best]),
        best_settles_mg_l=float((grid.air_mg_l[best] + breath[best] / rate[best]) / grid.scale[best]),
        best_falls_mg_l_h=float(prior.breathing_falls_per_h * breath[best] / rate[best] / grid.scale[best]),
        offset_log10=fit.offset,
        drift_per_h=fit.drift,
        noise_ph=noise_sd,
    )
