"""What a change of the diffuser buys, in grams a day and bottle days, for the same CO2 in the water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.job.model import Condition, DiffuserKind, Job
from fizzwright.result import Estimate
from fizzwright.stages.diffuser_result import Gain
from fizzwright.stages.diffuser_ways import OVER_GROUND_CM, Option, Side, share_frac
from fizzwright.stages.plan_bottle import bottle_forecast
from fizzwright.units import number_text, show

__all__ = ["Use", "gains", "use_of"]

Array = NDArray[np.float64]
# A pump turned to blow across the diffuser.
BLOWN_M_S = 0.05
WORTH_MOVING_CM = 3.0
DEEPER_OUTLET_M = 0.15


@dataclass(frozen=True)
class Use:
    """The gas used now and the bottle it comes from; `usable_g` is what of it can be used up."""

    gas_g_day: float
    others_g_day: float
    usable_g: float

    def days(self, own_g_day: Array) -> Array:
        """How long the bottle lasts at a use, others on it included."""
        found: Array = self.usable_g / np.maximum(own_g_day + self.others_g_day, 1e-9)
        return found


def use_of(job: Job, gas_g_day: float, others_g_day: Sequence[Estimate]) -> Use:
    """The use now, with the bottle as the plan reckons it. [g/day]"""
    forecast = bottle_forecast(job, np.full(2, gas_g_day), ())
    others = sum(other.value for other in others_g_day)
    return Use(gas_g_day, others, forecast.empty_days.value * gas_g_day)


def gains(job: Job, here: Option, side: Side, now_frac: Array, use: Use) -> tuple[Gain, ...]:
    """Every change worth a thought for the diffuser that is there.

    Parameters
    ----------
    job : Job
    here : Option
        The diffuser as it is.
    side : Side
        The draws; both sides of a comparison see the same skin and the same place in their range of sizes.
    now_frac : array, shape (draws,)
        Dissolved share as it is.
    use : Use
        Gas and bottle.
    """
    inline = here.spread.kind is DiffuserKind.INLINE
    changes = _of_hose(here) if inline else _of_tank(job, here)
    found = []
    for name, change, option in changes:
        share = share_frac(option, side)
        gas = use.gas_g_day * now_frac / share
        found.append(
            Gain(
                name,
                change,
                Estimate.from_draws(share, "frac"),
                Estimate.from_draws(use.gas_g_day - gas, "g_day"),
                Estimate.from_draws(use.days(gas), "days"),
                Estimate.from_draws(use.days(gas) - use.days(np.full_like(gas, use.gas_g_day)), "days"),
            )
        )
    return tuple(found)


def _cleaned(here: Option) -> Iterator[tuple[str, str, Option]]:
    spread = here.spread
    if spread.condition is not Condition.CLEAN:
        fresh = diffuser_spread(spread.kind, Condition.CLEAN)
        text = "out of the tank, as its maker says; rinse till no smell is left, never mix cleaners"
        yield "clean it", text, replace(here, spread=fresh)


def _of_tank(job: Job, here: Option) -> Iterator[tuple[str, str, Option]]:
    yield from _cleaned(here)
    path, kind = here.path, here.spread.kind
    if kind is not DiffuserKind.LADDER:
        halved = replace(path, flow_ml_min_n=0.5 * path.flow_ml_min_n)
        yield (
            "a second one",
            "the gas shared between two of the same kind, a hand apart",
            replace(here, path=halved),
        )
    if path.current_m_s < BLOWN_M_S:
        blown = replace(path, current_m_s=BLOWN_M_S)
        yield (
            "a current across it",
            f"{number_text(100 * BLOWN_M_S, 1)} cm/s from the outlet, level",
            replace(here, path=blown),
        )
    free_cm = job.tank.water_depth_cm - job.tank.substrate_depth_cm - OVER_GROUND_CM
    if free_cm > 100 * path.depth_m + WORTH_MOVING_CM:
        text = (
            f"{show(free_cm, 'cm', digits=2)} under the surface in place of {show(100 * path.depth_m, 'cm')}"
        )
        yield "set it deeper", text, replace(here, path=replace(path, depth_m=free_cm / 100))
    if kind is not DiffuserKind.FINE_CERAMIC:
        fine = diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED)
        yield "a fine ceramic disc", "used, in the same place", replace(here, spread=fine)


def _of_hose(here: Option) -> Iterator[tuple[str, str, Option]]:
    yield from _cleaned(here)
    path = here.path
    longer = replace(path, hose_length_m=path.hose_length_m + 1.0)
    yield "another metre of hose", "after the atomiser, without a high point", replace(here, path=longer)
    if path.depth_m < DEEPER_OUTLET_M:
        deeper = replace(path, depth_m=DEEPER_OUTLET_M)
        yield (
            "a deeper outlet",
            f"{show(100 * DEEPER_OUTLET_M, 'cm')} under the surface",
            replace(here, path=deeper),
        )
