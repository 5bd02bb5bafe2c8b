"""A tank's unknowns from whatever readings there are: a search for the best tank, then weighted draws.

All unknowns are held as standard normal scores, so the prior is plain. The search is a damped
Gauss-Newton; its end and its curvature give a cloud of tanks, every one is run through the same days, and
weights set the cloud right where the curvature alone would mislead. Slow departures of a tank from any
model are carried as a correlated error, so that a thousand readings of one probe do not count as a
thousand opinions.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.inference.draws import even_scores
from fizzwright.inference.evidence import Evidence, PhReadings, ReadingErrors
from fizzwright.inference.tank_prior import TANK_UNKNOWNS, TankDraws, TankPrior, draws_of
from fizzwright.inference.tank_run import Days, Past, shown_number, tank_run

__all__ = ["TankPosterior", "learn_tank"]

Array = NDArray[np.float64]

NUDGE_SCORE = 0.1
MOST_STEPS = 8
# Steps never straddle a switch, so an hour is fine enough to find the way; the draws are run finer.
SEARCH_STEP_MIN = 60.0
FAR_SCORE = 5.0
FURTHEST_SCORE = 4.0
MOST_ASIDE_FRAC = 0.15
TAIL_NUMBER = 8.0
# Under this share of useful weights the cloud missed; weights are then softened until they are.
LEAST_USEFUL_FRAC = 0.12
MASS_MODEL_FRAC = 0.03


@dataclass(frozen=True)
class TankPosterior:
    """What is believed of a tank after its readings: equal draws, and the days they ran.

    `wander_log10` is how far the tank stands from the model at the end of the readings, in decades of CO2,
    one for each draw. `misfit_ratio` is the mean square of what the best tank leaves over, 1 where
    readings err as stated. `narrowed_ratio` gives each unknown's spread left as a share of the prior's.
    `useful_frac` tells how well the weighted cloud fitted.
    """

    draws: TankDraws
    days: Days
    wander_log10: Array
    narrowed_ratio: tuple[tuple[str, float], ...]
    useful_frac: float
    misfit_ratio: float
    aside_count: int
    readings_count: int

    @property
    def end_mg_l(self) -> Array:
        """CO2 at the end of the readings, the tank's departure from the model counted. [mg/L]"""
        level: Array = self.days.co2_mg_l[-1] * 10.0**self.wander_log10
        return level

    def left_frac(self, name: str) -> float:
        """The spread of one unknown left, as a share of the prior's; 1 is nothing learnt."""
        return dict(self.narrowed_ratio)[name]


@dataclass(frozen=True)
class _Whitened:
    """Observed readings with the square root of their error, so that residuals become unit scores."""

    observed: Array
    root: Array

    def of(self, predicted: Array) -> Array:
        from scipy.linalg import solve_triangular

        scores: Array = solve_triangular(self.root, self.observed[:, None] - predicted, lower=True)
        return scores


def learn_tank(
    prior: TankPrior, past: Past, evidence: Evidence, *, draws_count: int = 600, seed_count: int = 7
) -> TankPosterior:
    """What readings tell of a tank's unknowns, as draws that all weigh the same.

    Parameters
    ----------
    prior : TankPrior
        What the survey makes likely.
    past : Past
        What was done while the readings were taken.
    evidence : Evidence
        The readings, with how each kind errs.
    draws_count : int
        How many draws to give back.
    seed_count : int
        Seed of the draws; the same readings always give the same tank.

    Returns
    -------
    TankPosterior

    Notes
    -----
    In the spirit of `emerick-reynolds-2013` (all unknowns from all readings at once); weights are cut off
    after `ionides-2008`.
    """
    rng = np.random.default_rng(seed_count)
    aside = 0
    best, jacobian, error = _search(prior, past, evidence)
    for _ in range(2):
        fewer = _without_far(prior, past, evidence, best)
        if fewer is None:
            break
        aside += _count(evidence) - _count(fewer)
        evidence = fewer
        best, jacobian, error = _search(prior, past, evidence)
    spread = np.linalg.inv(jacobian.T @ jacobian + np.eye(len(best)))
    spread = 0.5 * (spread + spread.T)
    root = np.linalg.cholesky(spread)
    wide = even_scores(TANK_UNKNOWNS, draws_count, rng).table
    tail = np.sqrt(TAIL_NUMBER / rng.chisquare(TAIL_NUMBER, draws_count))
    cloud = np.clip(best[:, None] + root @ (wide * tail), -FURTHEST_SCORE, FURTHEST_SCORE)
    draws = draws_of(cloud, prior, evidence.errors)
    days = tank_run(draws, prior, past)
    residual = error.of(shown_number(days, draws, prior, evidence))
    fit = -0.5 * (residual**2).sum(axis=0) - 0.5 * (cloud**2).sum(axis=0)
    reach = (wide * tail) ** 2
    size = len(best)
    proposed = -0.5 * (TAIL_NUMBER + size) * np.log1p(reach.sum(axis=0) / TAIL_NUMBER)
    weights, useful = _weights(fit - proposed)
    chosen = _resampled(weights, draws_count, rng)
    picked = draws_of(cloud[:, chosen], prior, evidence.errors)
    kept = Days(days.hours_h, days.co2_mg_l[:, chosen], days.alk_meq_l[:, chosen], days.fed_g)
    wander = _wander_log10(kept, picked, prior, evidence)
    left = cloud[:, chosen].std(axis=1) if draws_count > 1 else np.sqrt(np.diag(spread))
    return TankPosterior(
        draws=picked,
        days=kept,
        wander_log10=wander + _loose(evidence, kept) * rng.standard_normal(draws_count),
        narrowed_ratio=tuple((n, float(min(v, 1.0))) for n, v in zip(TANK_UNKNOWNS, left, strict=True)),
        useful_frac=useful,
        misfit_ratio=float((residual**2).mean(axis=0).min()) if len(residual) else 1.0,
        aside_count=aside,
        readings_count=_count(evidence),
    )


def _count(evidence: Evidence) -> int:
    parts = (evidence.ph, evidence.kit, evidence.checker, evidence.mass)
    return sum(len(part.hours_h) for part in parts if part is not None)


def _ph_covariance(readings: PhReadings, errors: ReadingErrors) -> Array:
    """White noise of averaged readings, and a slow departure that forgets itself over some hours."""
    apart = np.abs(readings.hours_h[:, None] - readings.hours_h[None, :])
    slow: Array = errors.wander_ph**2 * np.exp(-apart / errors.wander_h)
    # A logger's own rounding and mixing do not average out over more than a few readings.
    white = errors.noise_ph**2 / np.minimum(readings.weight_count, 4.0)
    return slow + np.diag(white)


def _whitened(evidence: Evidence, fed_g: float) -> _Whitened:
    """All readings with their errors; kinds do not share errors."""
    from scipy.linalg import block_diag

    observed, blocks = [], []
    if evidence.ph is not None:
        observed.append(evidence.ph.ph)
        blocks.append(_ph_covariance(evidence.ph, evidence.errors))
    if evidence.kit is not None:
        # The middle of what a drop kit's reading can mean, with the spread of an even share of a drop.
        observed.append(evidence.kit.kh_dkh - 0.5 * evidence.kit_step_dkh)
        blocks.append((0.29 * evidence.kit_step_dkh) ** 2 * np.eye(len(evidence.kit.kh_dkh)))
    if evidence.checker is not None:
        observed.append(evidence.checker.hue_deg)
        blocks.append(evidence.errors.hue_deg**2 * np.eye(len(evidence.checker.hue_deg)))
    if evidence.mass is not None:
        mass = evidence.mass
        first = {b: mass.gross_g[np.argmax(mass.bottle == b)] for b in np.unique(mass.bottle)}
        observed.append(np.array([first[b] for b in mass.bottle]) - mass.gross_g)
        same = (mass.bottle[:, None] == mass.bottle[None, :]).astype(float)
        # The first weighing of a bottle is in every difference to it.
        own = evidence.errors.scale_g**2 + (MASS_MODEL_FRAC * fed_g) ** 2
        blocks.append(own * np.eye(len(mass.gross_g)) + evidence.errors.scale_g**2 * same)
    if not observed:
        return _Whitened(np.zeros(0), np.zeros((0, 0)))
    return _Whitened(np.concatenate(observed), np.linalg.cholesky(block_diag(*blocks)))


def _search(prior: TankPrior, past: Past, evidence: Evidence) -> tuple[Array, Array, _Whitened]:
    """The likeliest scores, the slopes of the unit residuals there, and the error they were made with."""
    size = len(TANK_UNKNOWNS)
    fed = sum(s.feed_mg_h * max(min(s.end_h, past.span_h[1]) - s.start_h, 0.0) for s in past.spells) / 1000.0
    error = _whitened(evidence, fed)
    best, damping = np.zeros(size), 1e-2
    if not len(error.observed):
        return best, np.zeros((0, size)), error

    def residuals(table: Array) -> Array:
        draws = draws_of(np.clip(table, -FURTHEST_SCORE, FURTHEST_SCORE), prior, evidence.errors)
        run = tank_run(draws, prior, past, step_min=SEARCH_STEP_MIN)
        return error.of(shown_number(run, draws, prior, evidence))

    jacobian = np.zeros((len(error.observed), size))
    cost = np.inf
    for _ in range(MOST_STEPS):
        around = residuals(np.column_stack([best, best[:, None] + NUDGE_SCORE * np.eye(size)]))
        jacobian = (around[:, 1:] - around[:, :1]) / NUDGE_SCORE
        cost = float((around[:, 0] ** 2).sum() + (best**2).sum())
        slope = jacobian.T @ around[:, 0] + best
        normal = jacobian.T @ jacobian + np.eye(size)
        # Several dampings are tried side by side: one run serves them all.
        dampings = damping * np.array([0.1, 1.0, 10.0, 100.0])
        steps = np.stack([-np.linalg.solve(normal + d * np.diag(np.diag(normal)), slope) for d in dampings])
        tried = np.clip(best[:, None] + steps.T, -FURTHEST_SCORE, FURTHEST_SCORE)
        costs = (residuals(tried) ** 2).sum(axis=0) + (tried**2).sum(axis=0)
        pick = int(np.argmin(costs))
        damping = float(np.clip(dampings[pick], 1e-6, 1e4))
        if costs[pick] >= cost - 0.02:
            if costs[pick] < cost:
                best = tried[:, pick]
            break
        best = tried[:, pick]
    return best, jacobian, error


def _without_far(prior: TankPrior, past: Past, evidence: Evidence, best: Array) -> Evidence | None:
    """The evidence without pH readings no tank explains; None where there is none such, or too many."""
    if evidence.ph is None:
        return None
    draws = draws_of(best[:, None], prior, evidence.errors)
    alone = replace(evidence, kit=None, checker=None, mass=None)
    off = evidence.ph.ph - shown_number(tank_run(draws, prior, past), draws, prior, alone)[:, 0]
    spread = np.hypot(evidence.errors.noise_ph, evidence.errors.wander_ph)
    far = np.abs(off - np.median(off)) > FAR_SCORE * spread
    if not far.any() or far.mean() > MOST_ASIDE_FRAC:
        return None
    keep = ~far
    ph = PhReadings(evidence.ph.hours_h[keep], evidence.ph.ph[keep], evidence.ph.weight_count[keep])
    return replace(evidence, ph=ph)


def _weights(log_weights: Array) -> tuple[Array, float]:
    """Weights that add to one, cut off and if need be softened; and the share of draws they leave useful."""
    power = 1.0
    for _ in range(12):
        weights = np.exp(power * (log_weights - log_weights.max()))
        weights = np.minimum(weights, weights.mean() * np.sqrt(len(weights)))
        weights /= weights.sum()
        useful = float(1.0 / (weights**2).sum() / len(weights))
        if useful >= LEAST_USEFUL_FRAC:
            break
        power *= 0.6
    return weights, useful


def _resampled(weights: Array, count: int, rng: np.random.Generator) -> NDArray[np.intp]:
    """Draw numbers in proportion to weights, evenly spaced, so that little chance comes in."""
    places = (rng.random() + np.arange(count)) / count
    picked: NDArray[np.intp] = np.searchsorted(np.cumsum(weights), places).clip(0, len(weights) - 1)
    return picked


def _wander_log10(days: Days, draws: TankDraws, prior: TankPrior, evidence: Evidence) -> Array:
    """Where the tank stands off the model at the end, as the last readings tell, in decades of CO2."""
    if evidence.ph is None or not len(evidence.ph.hours_h):
        return np.zeros(draws.draws_count)
    readings, errors = evidence.ph, evidence.errors
    alone = replace(evidence, kit=None, checker=None, mass=None)
    off = readings.ph[:, None] - shown_number(days, draws, prior, alone)
    to_end = errors.wander_ph**2 * np.exp(-(days.hours_h[-1] - readings.hours_h) / errors.wander_h)
    told: Array = -(to_end @ np.linalg.solve(_ph_covariance(readings, errors), off))
    return told


def _loose(evidence: Evidence, days: Days) -> float:
    """The deviation of the departure at the end that the readings leave open, in decades."""
    errors = evidence.errors
    if evidence.ph is None or not len(evidence.ph.hours_h):
        return errors.wander_ph
    readings = evidence.ph
    to_end = errors.wander_ph**2 * np.exp(-(days.hours_h[-1] - readings.hours_h) / errors.wander_h)
    left = errors.wander_ph**2 - float(to_end @ np.linalg.solve(_ph_covariance(readings, errors), to_end))
    return float(np.sqrt(max(left, 0.0)))
