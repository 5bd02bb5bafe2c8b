"""The compiled loops made ready: each run once on a thimble of water, which compiles what is not cached."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.current.drive import Drive, Jet, Sink, drive_for
from fizzwright.engines.current.flow import Box, Flow, Spell, settle_flow, start_state
from fizzwright.engines.current.grid import Grid, Scene, scene_for
from fizzwright.engines.current.mist import Release, follow_mist
from fizzwright.engines.current.scalar import age_of_water_s, transport_for
from fizzwright.job.layout import OutletKind
from fizzwright.job.model import Condition, DiffuserKind

__all__ = ["probe_flow", "ready_steps"]


def _thimble(edge: int) -> tuple[Scene, Drive]:
    scene = scene_for(Grid(0.01, edge, edge, edge))
    middle = 0.005 * edge
    jet = Jet(OutletKind.NOZZLE, (0.02, middle, middle), (1.0, 0.0, 0.0), 60.0, 0.2, 10.0)
    return scene, drive_for(scene, jet, Sink((0.01 * edge - 0.01, middle, middle)))


def probe_flow(edge: int, threads: int, *, seconds_s: float) -> Flow:
    """A cube of water stirred for a moment, to be timed by the caller."""
    scene, drive = _thimble(edge)
    spell = Spell(0.0, seconds_s, 1)
    return settle_flow(
        scene, drive, spell=spell, state=start_state(scene), settings=(Box(threads=threads), _on)
    )[0]


def _on(share: float) -> bool:  # noqa: ARG001 - the form of a watcher
    return True


def ready_steps() -> Iterator[tuple[str, Callable[[], object]]]:
    """Each compiled part by name, and what to call to have it ready; to be called in this order."""
    kept: list[Flow] = []
    water = bubble_water(25.0)
    spread = diffuser_spread(DiffuserKind.AIR_STONE, Condition.CLEAN)

    def mist() -> object:
        release = Release((0.04, 0.04, 0.02), 1.0, 10.0, spread, water, tracks=4)
        return follow_mist(kept[0], release, np.random.default_rng(1))

    yield "the current", lambda: kept.append(probe_flow(8, 1, seconds_s=1.0))
    yield "dissolved gas", lambda: age_of_water_s(transport_for(kept[0]))
    yield "the mist", mist
