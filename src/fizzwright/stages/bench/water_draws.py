"""Even draws of what a keeper's readings leave open, without any heavy library.

Each unknown takes every slice of its own distribution once, in a seeded order of its own (a Latin
hypercube), so that 90 % limits are steady from call to call.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

__all__ = ["Draws", "limits", "shares_of_spread"]

Array = NDArray[np.float64]

DRAWS = 2000
SEED = 20_260_101


@cache
def _normal_slices(count: int) -> Array:
    """Standard normal scores in the middle of equal slices of probability."""
    middle = NormalDist()
    return np.array([middle.inv_cdf((i + 0.5) / count) for i in range(count)])


class Draws:
    """A seeded source of even draws; each call gives the next unknown's column."""

    def __init__(self, count: int = DRAWS) -> None:
        """Start afresh with the same seed, so that equal questions give equal answers."""
        self._rng = np.random.default_rng(SEED)
        self._count = count

    def normal(self, mean: float, deviation: float) -> Array:
        """A bell curve about `mean`."""
        return mean + deviation * self._rng.permutation(_normal_slices(self._count))

    def even(self, low: float, high: float) -> Array:
        """Anywhere between two limits alike."""
        slices = np.array([(i + 0.5) / self._count for i in range(self._count)])
        return low + (high - low) * self._rng.permutation(slices)

    def split(self, *limits_in_order: float) -> Array:
        """Half the draws evenly below a median, half above: give low, median, high; none pass them."""
        low, median, high = limits_in_order
        share = self.even(0.0, 1.0)
        below = low + (median - low) * 2.0 * share
        return np.where(share < 0.5, below, median + (high - median) * (2.0 * share - 1.0))

    def skewed(self, *limits_in_order: float) -> Array:
        """A log-normal with a width of its own on each side: give its 5 %, 50 % and 95 % points."""
        low, median, high = limits_in_order
        score = self.normal(0.0, 1.0)
        down, up = float(np.log(median / low)), float(np.log(high / median))
        reach: Array = np.where(score < 0.0, down, up)
        result: Array = median * np.exp(score * reach / 1.6448536)
        return result


def limits(draws: Array) -> tuple[float, float]:
    """The 5 % and 95 % points of draws."""
    # By hand: numpy's own quantile loads its masked arrays, a tenth of a whole command's time.
    ranked = np.sort(draws)
    low, high = np.interp([0.05, 0.95], np.linspace(0.0, 1.0, len(ranked)), ranked)
    return float(low), float(high)


def shares_of_spread(
    answer: Callable[[Mapping[str, Array]], Array],
    middles: Mapping[str, Array],
    *,
    drawn: Mapping[str, Array],
) -> dict[str, float]:
    """How much of the spread each unknown makes by itself, largest first, adding up to one.

    The answer is worked out with one unknown drawn and the others at their middle; shares are those of
    the squared width of the 90 % band.
    """
    widths = {}
    for name, column in drawn.items():
        low, high = limits(answer({**middles, name: column}))
        widths[name] = (high - low) ** 2
    total = sum(widths.values())
    if total <= 0.0:
        return {}
    ranked = sorted(widths.items(), key=lambda item: -item[1])
    return {name: width / total for name, width in ranked}
