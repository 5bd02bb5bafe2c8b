"""The heavy part of a placement: a settled current for each outlet, and on it one measurement for each spot.

Both are plain functions of plain data, so that they can be run on other machines; the same inputs give the
same numbers there.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.drive import turnover_s
from fizzwright.engines.current.flow import Box, Flow, Spell, State, carry_over, settle_flow, start_state
from fizzwright.engines.current.gas import Exchange, GasSolver
from fizzwright.engines.current.mist import (
    Mist,
    Release,
    at_size,
    follow_mist,
    plume_drive,
    push_ratio,
    share_in_frac,
)
from fizzwright.engines.current.scalar import Transport, transport_for
from fizzwright.engines.current.spread import renewal_time_s
from fizzwright.engines.current.zones import leaf_speeds_m_s
from fizzwright.job.layout import OutletPlace
from fizzwright.job.model import Job
from fizzwright.stages.place_scene import (
    Setting,
    exchange_for,
    feed_mg_h,
    release_for,
    released_at_outlet,
    setting_for,
    water_size_m,
)

__all__ = [
    "PRESETS", "Current", "Measured", "Preset", "Watch", "bed_speeds_m_s", "measure", "settle",
]  # fmt: skip

Array = NDArray[np.float64]
# Told what is being done and the share of it done; False ends the run early.
Watch = Callable[[str, float], bool]

SEED = 20250117
# Bubbles that lift the water with a fifth of the outlet's push change the current: it is run again with them.
PLUME_MATTERS_RATIO = 0.2
LOW_Z, HIGH_Z = -1.645, 1.645


@dataclass(frozen=True)
class Preset:
    """How finely to look: the wished cell and the most cells, turns to settle and to average, bubble paths.

    `steps_up` is how many coarser grids, each of twice the cell, the current settles on first.
    """

    cell_m: float
    cells_most: int
    steps_up: int
    settle_turns_number: float
    window_turns_number: float
    tracks: int

    def cell_for_m(self, size_m: tuple[float, float, float]) -> float:
        """The cell for a tank of this length, width and depth. [m]"""
        # A draft has at least eighteen layers, as far as its cells go.
        least: float = (size_m[0] * size_m[1] * size_m[2] / self.cells_most) ** (1.0 / 3.0)
        return max(self.cell_m, least)


PRESETS = {
    "draft": Preset(0.02, 9_000, 0, 4.0, 1.0, 700),
    "normal": Preset(0.01, 110_000, 1, 0.7, 0.9, 1500),
    "fine": Preset(0.005, 600_000, 2, 0.4, 0.6, 3000),
}
COARSE_TURNS_NUMBER = 4.0


@dataclass(eq=False)
class Current:
    """A settled current for one outlet: its windows, how it hands matter on, and where to go on from.

    `renewal_s` has shape (windows, beds).
    """

    setting: Setting
    flows: tuple[Flow, ...]
    transports: tuple[Transport, ...]
    exchange: Exchange
    solvers: tuple[GasSolver, ...]
    renewal_s: Array
    state: State
    turn_s: float
    finished: bool = True


@dataclass(frozen=True, eq=False)
class Measured:
    """What one diffuser spot does on one current, for each window.

    `dissolved_frac` has shape (4,): both windows at middle bubbles, then smaller and larger ones. The bed
    tables have shape (windows, beds).
    """

    dissolved_frac: Array
    mist: Mist
    co2_mg_l: Array
    co2_low_mg_l: Array
    mist_frac: Array
    short_frac: Array
    field_mg_l: Array
    uneven_frac: Array
    residual_frac: float
    plume_ratio: float
    current: Current
    finished: bool = True


def settle(
    job: Job, outlet: OutletPlace, *, preset: Preset, level_mg_l: float, settings: tuple[int, Watch]
) -> Current:
    """The current of one outlet, settled from coarse cells to fine ones.

    Parameters
    ----------
    job : Job
    outlet : OutletPlace
    preset : Preset
    level_mg_l : float
        Mean CO2 that uptake is worked out at. [mg/L]
    settings : tuple
        Number of threads, and whom to tell.
    """
    threads, watch = settings
    cell = preset.cell_for_m(water_size_m(job))
    ladder = [setting_for(job, outlet, cell * 2.0**up) for up in range(preset.steps_up, -1, -1)]
    turn = turnover_s(ladder[-1].scene, ladder[-1].jet)
    state = start_state(ladder[0].scene)
    flows: tuple[Flow, ...] = ()
    for rung, setting in enumerate(ladder):
        last = rung == len(ladder) - 1
        if rung:
            state = carry_over(state, ladder[rung - 1].scene, setting.scene)
        settle_turns = COARSE_TURNS_NUMBER if rung == 0 and not last else preset.settle_turns_number
        spell = Spell(settle_turns * turn, preset.window_turns_number * turn, 2 if last else 0)
        box = Box(threads=threads if setting.scene.grid.cells > 30_000 else 1)
        says = f"current, {100 * setting.scene.grid.cell_m:.1f} cm cells"
        found = settle_flow(
            setting.scene,
            setting.drive,
            spell=spell,
            state=state,
            settings=(box, partial(watch, says)),
        )
        flows = found if last else flows
        if not last and not watch(says, 1.0):
            # Ended before the finest cells: one short window here is better than nothing.
            spell = Spell(0.0, 0.2 * turn, 2)
            flows = settle_flow(
                setting.scene, setting.drive, spell=spell, state=state, settings=(box, _nobody_asks)
            )
            return _known(
                job, setting, flows, state=state, level_mg_l=level_mg_l, turn_s=turn, finished=False
            )
    finished = len(flows) == 2
    if not flows:
        spell = Spell(0.0, 0.05 * turn, 1)
        flows = settle_flow(
            ladder[-1].scene,
            ladder[-1].drive,
            spell=spell,
            state=state,
            settings=(Box(threads=threads), _nobody_asks),
        )
    return _known(job, ladder[-1], flows, state=state, level_mg_l=level_mg_l, turn_s=turn, finished=finished)


def _nobody_asks(share: float) -> bool:  # noqa: ARG001 - the form of a watcher
    return True


def _known(
    job: Job, setting: Setting, flows: tuple[Flow, ...], *, state: State, level_mg_l: float, turn_s: float,
    finished: bool,
) -> Current:  # fmt: skip
    transports = tuple(transport_for(flow) for flow in flows)
    exchange, _ = exchange_for(job, setting.scene, level_mg_l)
    renewal = np.array([
        [renewal_time_s(transport, cells) for cells in setting.scene.beds] for transport in transports
    ])  # fmt: skip
    solvers = tuple(GasSolver(transport, exchange) for transport in transports)
    return Current(setting, flows, transports, exchange, solvers, renewal, state, turn_s, finished)


def _rng(place: tuple[float, float, float]) -> np.random.Generator:
    """Chance that depends on the spot alone, so that order and machine do not matter."""
    return np.random.default_rng([SEED, *(round(1000 * value) % 100_000 for value in place)])


def measure(
    job: Job,
    current: Current,
    at_m: tuple[float, float, float],
    *,
    preset: Preset,
    settings: tuple[int, Watch],
) -> Measured:
    """What a diffuser at one place does: its mist, its gas, and where the beds stand with both.

    Where its bubbles lift the water as hard as a fifth of the outlet's push, the current is first run on
    with them in it.
    """
    threads, watch = settings
    at = _outlet_mouth(current) if released_at_outlet(job) else at_m
    supply = current.solvers[0].supply_mg_l_h()
    gas = feed_mg_h(job, supply, current.setting.scene)
    release = release_for(job, at, gas_mg_h=gas, level_mg_l=current.exchange.level_mg_l, tracks=preset.tracks)
    mist = follow_mist(current.flows[-1], release, _rng(at))
    jet = current.setting.jet
    ratio = push_ratio(current.flows[-1], mist, jet.flow_l_h / 3.6e6 * jet.speed_m_s)
    if ratio > PLUME_MATTERS_RATIO:
        current = _with_bubbles(job, current, mist, settings=(threads, watch))
    return _taken(current, release, ratio=ratio, low_mg_l=_short_below(job), rng=_rng(at))


def _outlet_mouth(current: Current) -> tuple[float, float, float]:
    """A place a cell in front of the outlet."""
    jet, h = current.setting.jet, current.setting.scene.grid.cell_m
    x, y, z = (p + h * t for p, t in zip(jet.place_m, jet.toward, strict=True))
    return x, y, z


def _short_below(job: Job) -> float:
    return 0.0 if job.target is None else job.target.low_mg_l


def _with_bubbles(job: Job, current: Current, mist: Mist, *, settings: tuple[int, Watch]) -> Current:
    """The current run on with the lift of the mist, from where it stood."""
    setting = current.setting
    lifted = replace(setting, drive=plume_drive(setting.drive, current.flows[-1], mist))
    state = State(**{name: getattr(current.state, name) for name in State.__dataclass_fields__})
    for name in ("vel", "rate", "before", "eddy", "slow", "scratch"):
        setattr(state, name, getattr(current.state, name).copy())
    lift = 9.81 * float(mist.held_frac.sum()) * setting.scene.grid.cell_m**3
    push = setting.jet.flow_l_h / 3.6e6 * setting.jet.speed_m_s
    turn = current.turn_s / math.sqrt(1.0 + lift / max(push, 1e-12))
    spell = Spell(1.0 * turn, 0.6 * turn, 2)
    box = Box(threads=settings[0] if setting.scene.grid.cells > 30_000 else 1)
    flows = settle_flow(
        setting.scene, lifted.drive, spell=spell, state=state,
        settings=(box, lambda s: settings[1]("current with the bubbles in it", s)),
    )  # fmt: skip
    if not flows:
        return replace(current, finished=False)
    return _known(
        job,
        lifted,
        flows,
        state=state,
        level_mg_l=current.exchange.level_mg_l,
        turn_s=turn,
        finished=len(flows) == 2,
    )


def _taken(
    current: Current, release: Release, *, ratio: float, low_mg_l: float, rng: np.random.Generator
) -> Measured:
    flows, beds = current.flows, current.setting.scene.beds
    first, last = flows[0], flows[-1]
    mists = [follow_mist(flow, release, rng) for flow in flows]
    small = follow_mist(first, at_size(release, LOW_Z), rng)
    large = follow_mist(last, at_size(release, HIGH_Z), rng)
    fields = [solver.field(mist.source_frac) for solver, mist in zip(current.solvers, mists, strict=True)]
    wet = current.setting.scene.water

    def by_bed(of: Callable[[Array], float]) -> Array:
        return np.array([[of(field.co2_mg_l[cells]) for cells in beds] for field in fields])

    return Measured(
        dissolved_frac=np.array([
            mists[0].dissolved_frac, mists[-1].dissolved_frac, small.dissolved_frac, large.dissolved_frac,
        ]),
        mist=mists[-1],
        co2_mg_l=by_bed(lambda c: float(c.mean())),
        co2_low_mg_l=by_bed(lambda c: float(np.quantile(c, 0.05))),
        mist_frac=np.array([[share_in_frac(mist, cells) for cells in beds] for mist in mists]),
        short_frac=by_bed(lambda c: float((c < low_mg_l).mean())),
        field_mg_l=np.mean([field.co2_mg_l for field in fields], axis=0),
        uneven_frac=np.array([float(f.co2_mg_l[wet].std() / f.co2_mg_l[wet].mean()) for f in fields]),
        residual_frac=max(abs(field.residual_frac) for field in fields),
        plume_ratio=ratio,
        current=current,
        finished=current.finished,
    )  # fmt: skip


def bed_speeds_m_s(current: Current) -> tuple[Array, Array]:
    """Median and slow leaf speeds, shape (windows, beds) each. [m/s]"""
    pairs = np.array(
        [[leaf_speeds_m_s(flow, cells) for cells in current.setting.scene.beds] for flow in current.flows]
    )
    shaped = pairs.reshape(len(current.flows), len(current.setting.scene.beds), 2)
    return shaped[..., 0], shaped[..., 1]
