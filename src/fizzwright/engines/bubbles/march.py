"""Many bubbles stepped in time, each at its own pace, until they arrive or are gone.

Amounts of the three gases and the depth advance by an exponential third-order step (rates at Heun's
nodes); the second-order mean of the same rates gives the error that sets each bubble's next step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import Closure
from fizzwright.engines.bubbles.decay import heun_end, relax
from fizzwright.engines.bubbles.film import Skins, film_rates
from fizzwright.engines.bubbles.medium import CO2, BubbleWater

__all__ = ["Live", "Stepping", "advance"]

Array = NDArray[np.float64]
Places = NDArray[np.intp]
Flags = NDArray[np.bool_]

# A bubble counts as arrived when its middle is this close to the surface.
ARRIVED_M = 1e-7
# Amounts under this share of the start need no relative accuracy: the bubble is all but gone.
FAINT_FRAC = 3e-5


@dataclass(frozen=True)
class Stepping:
    """How finely to step: error of one step, the size that counts as gone, the longest life followed.

    `enough_frac` stops a bubble early, once its CO2 is down to this share of the gas it started with:
    quicker by far where only the dissolved share matters. Such a bubble counts as not surfaced.
    """

    error_frac: float = 3e-4
    gone_m: float = 2e-6
    longest_s: float = 1800.0
    most_steps_count: int = 4000
    enough_frac: float = 0.0


@dataclass
class Live:
    """The bubbles still under way, squeezed together as others finish; `gas_mol` has shape (3, bubbles).

    `near_m` is the diameter at the last place visited, `column` the first table column of each skin.
    """

    place: Places
    gas_mol: Array
    depth_m: Array
    clock_s: Array
    step_s: Array
    near_m: Array
    start_m: Array
    start_mol: Array
    up_m_s: Array
    column: Places

    @classmethod
    def at_release(
        cls, gas_mol: Array, diameter_m: Array, *, depth_m: Array, up_m_s: Array, column: Places
    ) -> Live:
        """All bubbles at their release; the first step is left to `advance`."""
        nil = np.zeros(diameter_m.size)
        return cls(
            np.arange(diameter_m.size), gas_mol, depth_m.copy(), nil, nil, diameter_m.copy(),
            depth_m.copy(), gas_mol.sum(axis=0), up_m_s.copy(), column.copy(),
        )  # fmt: skip

    def keep(self, mask: Flags) -> None:
        """Drop the bubbles whose mask is false."""
        self.gas_mol = self.gas_mol[:, mask]
        for name in (
            "place",
            "depth_m",
            "clock_s",
            "step_s",
            "near_m",
            "start_m",
            "start_mol",
            "up_m_s",
            "column",
        ):
            setattr(self, name, getattr(self, name)[mask])

    def depth_after_m(self, rise_m_s: Array, step_s: Array) -> Array:
        """Depth after a step; a down-flow holds a bubble at its release depth but takes it no deeper. [m]"""
        after: Array = np.minimum(self.depth_m - step_s * (rise_m_s + self.up_m_s), self.start_m)
        return after


def _attempt(live: Live, water: BubbleWater, closure: Closure) -> tuple[Array, Array, Array]:
    """One step of every live bubble: amounts, depth, error estimate."""
    skins, gas = Skins(closure, live.column), live.gas_mol
    at0 = film_rates(gas, live.depth_m, water=water, skins=skins, near_m=live.near_m)
    if not live.step_s.any():
        live.step_s = 0.02 / at0.loss_per_s.max(axis=0)
    step, live.near_m = live.step_s, at0.diameter_m
    third = relax(gas, at0.loss_per_s, gain=at0.gain, step=step / 3.0)
    depth = np.maximum(live.depth_after_m(at0.rise_m_s, step / 3.0), 0.0)
    at1 = film_rates(third, depth, water=water, skins=skins, near_m=at0.diameter_m)
    two = relax(gas, at1.loss_per_s, gain=at1.gain, step=step / 1.5)
    depth = np.maximum(live.depth_after_m(at1.rise_m_s, step / 1.5), 0.0)
    at2 = film_rates(two, depth, water=water, skins=skins, near_m=at1.diameter_m)
    end, mean = heun_end(gas, (at0.loss_per_s, at0.gain), late=(at2.loss_per_s, at2.gain), step=step)
    depth = live.depth_after_m(0.25 * at0.rise_m_s + 0.75 * at2.rise_m_s, step)
    # Third-order mean less second-order mean of the same rates.
    loss = 0.75 * (at0.loss_per_s + at2.loss_per_s) - 1.5 * at1.loss_per_s
    gain = 0.75 * (at0.gain + at2.gain) - 1.5 * at1.gain
    rise = 0.75 * (at0.rise_m_s + at2.rise_m_s) - 1.5 * at1.rise_m_s
    off = (np.abs(loss * two - gain) * mean).max(axis=0) / (end.sum(axis=0) + FAINT_FRAC * live.start_mol)
    return end, depth, step * (off + np.abs(rise) / live.start_m)


def advance(live: Live, rule: Stepping, *, water: BubbleWater, closure: Closure) -> tuple[Flags, Flags]:
    """Try one step for all bubbles and keep the good ones.

    Parameters
    ----------
    live : the bubbles under way, changed in place
    rule : how finely to step
    water : water round them
    closure : table of rise and film laws

    Returns
    -------
    which bubbles have ended, and which stand at the surface
    """
    gas, depth, error = _attempt(live, water, closure)
    over = depth < -ARRIVED_M
    good = (error <= rule.error_frac) & ~over
    # A step past the surface is taken again at the length that lands on it.
    landing = live.depth_m / np.maximum(live.depth_m - depth, 1e-30)
    factor = np.minimum(np.maximum(0.9 * np.cbrt(rule.error_frac / np.maximum(error, 1e-30)), 0.2), 3.0)
    live.clock_s = live.clock_s + good * live.step_s
    live.gas_mol = np.where(good, gas, live.gas_mol)
    live.depth_m = np.where(good, depth, live.depth_m)
    live.step_s = live.step_s * np.where(over, np.minimum(landing, factor), factor)
    arrived = live.depth_m <= ARRIVED_M
    over = (live.near_m < rule.gone_m) | (live.clock_s >= rule.longest_s)
    over |= live.gas_mol[CO2] < rule.enough_frac * live.start_mol
    return good & (arrived | over), arrived
