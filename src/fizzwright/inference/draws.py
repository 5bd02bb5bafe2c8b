"""Even samples of what is not known, and what each unknown does to an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

__all__ = ["Scores", "band_after", "even_scores", "shares_of_spread"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Scores:
    """Standard normal scores of several unknowns: `table` has shape (unknowns, draws)."""

    names: tuple[str, ...]
    table: Array

    def of(self, name: str) -> Array:
        """The scores of one unknown, shape (draws,)."""
        row: Array = self.table[self.names.index(name)]
        return row

    def uniform(self, name: str) -> Array:
        """The same scores as shares between 0 and 1, shape (draws,)."""
        below = NormalDist().cdf
        return np.array([below(score) for score in self.of(name)])


def even_scores(names: Sequence[str], count: int, rng: np.random.Generator) -> Scores:
    """Standard normal scores that cover every unknown evenly (a Latin hypercube).

    Parameters
    ----------
    names : sequence of str
        The unknowns.
    count : int
        Draws wanted.
    rng : numpy Generator
        Seeded by the caller, so that the same job gives the same plan.

    Returns
    -------
    Scores
        Each unknown's draws fall one to each slice of equal probability, in an order of their own.

    Notes
    -----
    McKay, Beckman & Conover 1979. One draw taken alone sits at the middle of every unknown.
    """
    if count == 1:
        return Scores(tuple(names), np.zeros((len(names), 1)))
    slices = np.stack([rng.permutation(count) for _ in names])
    shares = (slices + rng.random((len(names), count))) / count
    # The standard library's inverse is exact to round-off and spares the load time of a larger library.
    score = NormalDist().inv_cdf
    return Scores(tuple(names), np.array([[score(share) for share in row] for row in shares.tolist()]))


def shares_of_spread(scores: Scores, answer: Array) -> dict[str, float]:
    """How much of the spread of an answer each unknown carries, as shares of the explained variance.

    A straight-line fit of the logarithm of `answer` (draws,) on the scores; enough to say which input
    to measure first, not a proof.
    """
    slopes, _ = _log_slopes(scores, answer)
    variance = slopes**2
    total = float(variance.sum()) or 1.0
    return {name: float(v) / total for name, v in zip(scores.names, variance, strict=True)}


def band_after(scores: Scores, answer: Array, sharpened: dict[str, float]) -> tuple[float, float]:
    """The 90 % band an answer would have if some unknowns were known better.

    Parameters
    ----------
    scores : Scores
        The scores the draws were made from.
    answer : array, shape (draws,)
        Positive answers.
    sharpened : dict
        For each unknown measured, the share of its present standard deviation that would be left.

    Returns
    -------
    tuple of float
        Low and high limit, in the unit of the answer, about its present middle.
    """
    slopes, rest = _log_slopes(scores, answer)
    left = np.array([sharpened.get(name, 1.0) for name in scores.names])
    deviation = float(np.sqrt(np.sum((slopes * left) ** 2) + rest**2))
    middle = float(np.median(answer))
    reach = float(np.exp(1.6449 * deviation))
    return middle / reach, middle * reach


def _log_slopes(scores: Scores, answer: Array) -> tuple[Array, float]:
    """Slopes of ln(answer) on each unknown's score, and the deviation they leave unexplained."""
    y = np.log(np.maximum(answer, 1e-9))
    y = y - y.mean()
    design = (scores.table - scores.table.mean(axis=1, keepdims=True)).T
    slopes, *_ = np.linalg.lstsq(design, y, rcond=None)
    rest = y - design @ slopes
    return slopes, float(rest.std())
