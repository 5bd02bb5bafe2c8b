"""Days in which something happens: spells of one tank and clock each, and jumps of the water between them.

An event either changes the water at once (a water change) or changes the tank or its clock from then on
(a pump that stops, a trim, a valve that sticks). Either way one spell ends and the next begins.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import Bed, TankDay, free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.day.clock import Clock, Forcing, forcing
from fizzwright.engines.day.integrate import DayRun, State, day_from

__all__ = ["Course", "Spell", "run_spells", "trimmed", "water_changed", "with_loss"]

Array = NDArray[np.float64]
Jump = Callable[[State], State]


@dataclass(frozen=True)
class Spell:
    """A stretch of time in which tank and clock stay as they are.

    `jump` changes the water as the spell begins. `shaped` may add to the forcing (a course of
    temperatures); it gets the spell's own.
    """

    until_min: float
    tank: TankDay
    clock: Clock
    jump: Jump | None = None
    shaped: Callable[[Forcing], Forcing] | None = None


@dataclass(frozen=True)
class Course:
    """Curves over several spells; where the water jumps, the minute stands twice.

    `at_min` counts in tank time from midnight of the first day, shape (nodes,); curves (nodes, ...draws).
    """

    at_min: Array
    co2_mg_l: Array
    o2_mg_l: Array
    alk_meq_l: Array
    runs: tuple[DayRun, ...]

    @property
    def end(self) -> State:
        """The water when the last spell ends."""
        return self.runs[-1].end

    def residual_frac(self) -> Array:
        """The largest share of carbon in any spell that its books do not account for."""
        worst: Array = np.max(np.abs([run.residual_frac() for run in self.runs]), axis=0)
        return worst


def run_spells(start: State, spells: Sequence[Spell], *, from_min: float, step_min: float) -> Course:
    """The water through one spell after another.

    Parameters
    ----------
    start : State
        Water before the first spell.
    spells : sequence of Spell
        In order; each runs until its minute.
    from_min : float
        Tank time at which the first spell begins. [min]
    step_min : float
        The longest step. [min]
    """
    state, since, runs = start, from_min, []
    for spell in spells:
        if spell.jump is not None:
            state = spell.jump(state)
        course = forcing([spell.clock], step_min, span_min=(since, spell.until_min))
        if spell.shaped is not None:
            course = spell.shaped(course)
        runs.append(day_from(state, spell.tank, course))
        state, since = runs[-1].end, spell.until_min
    # An unbroken seam is one node; a jump keeps both.
    keep = [slice(0 if i == 0 or spell.jump is not None else 1, None) for i, spell in enumerate(spells)]
    at, co2, o2, alk = (
        np.concatenate([getattr(run, name)[cut] for run, cut in zip(runs, keep, strict=True)])
        for name in ("nodes_min", "co2_mg_l", "o2_mg_l", "alk_meq_l")
    )
    return Course(at, co2, o2, alk, tuple(runs))


def water_changed(tank: TankDay, share_frac: float, *, fresh: State) -> Jump:
    """The water just after a share of it was replaced; total carbon and alkalinity mix, CO2 follows.

    `fresh` is the new water at the tank's temperature.
    """

    def mixed(state: State) -> State:
        ratio = tank.carbonate_ratio

        def mix(old: Array, new: Array) -> Array:
            share: Array = old + share_frac * (new - old)
            return share

        carbon = mix(
            total_carbon_mg_l(state.co2_mg_l, state.alk_meq_l, carbonate_ratio=ratio),
            total_carbon_mg_l(fresh.co2_mg_l, fresh.alk_meq_l, carbonate_ratio=ratio),
        )
        alk = mix(state.alk_meq_l, fresh.alk_meq_l)
        co2 = free_co2_mg_l(carbon, alk, carbonate_ratio=ratio)
        return State(co2, mix(state.o2_mg_l, fresh.o2_mg_l), alk)

    return mixed


def trimmed(tank: TankDay, left_frac: float) -> TankDay:
    """The tank after a trim that leaves this share of every bed standing."""
    beds = tuple(
        Bed(bed.area_m2, replace(bed.canopy, biomass_g_m2=bed.canopy.biomass_g_m2 * left_frac))
        for bed in tank.beds
    )
    return replace(tank, beds=beds)


def with_loss(tank: TankDay, factor: Array | float) -> TankDay:
    """The tank with its surface moving more or less: CO2 and oxygen cross it so many times as fast."""
    return replace(tank, loss_per_h=tank.loss_per_h * factor, o2_loss_per_h=tank.o2_loss_per_h * factor)
