"""The water's movement: steps beside what memory can give and what NumPy does; a placement."""

from __future__ import annotations

import os
import tempfile
import time
from pathlib import Path

import numpy as np

from fizzwright.machine import prepare_compiler

CUBE = 64
STEPS = 20


class Loops:
    """One cube of water stirred, in compiled loops and in NumPy; the triad says how fast the memory is."""

    def setup(self) -> None:
        """A stirred cube, warm, and its speed in million cells a second beside the triad's."""
        prepare_compiler()
        from fizzwright.engines.current.drive import Jet, Sink, drive_for
        from fizzwright.engines.current.flow import Box, _Run, start_state
        from fizzwright.engines.current.grid import Grid, scene_for
        from fizzwright.job.layout import OutletKind

        scene = scene_for(Grid(0.01, CUBE, CUBE, CUBE))
        jet = Jet(OutletKind.NOZZLE, (0.02, 0.32, 0.32), (1.0, 0.0, 0.0), 600.0, 1.256, 13.0)
        drive = drive_for(scene, jet, Sink((0.62, 0.1, 0.1)))
        self.run = _Run(scene, drive, Box(threads=os.cpu_count() or 1), start_state(scene))
        self.triad = [np.ones(4_000_000) for _ in range(3)]
        self.time_steps_64()
        seconds = min(self._timed(self.time_steps_64) for _ in range(3)) / STEPS
        plain = min(self._timed(self.time_plain_numpy_64) for _ in range(2))
        triad = min(self._timed(self.time_triad) for _ in range(3))
        print(
            f"  {CUBE**3 / seconds / 1e6:.0f} million cell-steps/s, advection in NumPy alone "
            f"{CUBE**3 / plain / 1e6:.1f}, triad {3 * 8 * 4 / 1000 / triad:.0f} GB/s"
        )

    def teardown(self) -> None:
        """Nothing to put away."""

    @staticmethod
    def _timed(call) -> float:
        start = time.perf_counter()
        call()
        return time.perf_counter() - start

    def time_steps_64(self) -> None:
        """Twenty steps of 64 cubed."""
        for count in range(STEPS):
            self.run.step(count)

    def time_plain_numpy_64(self) -> None:
        """The rates of one component by whole-array NumPy, for comparison: a third of one step."""
        shape = tuple(n + 5 for n in self.run.shape)
        u, v, w = self.run.state.vel.reshape(3, *shape)
        out = np.zeros(shape, np.float32)
        for axis, speed in ((2, u), (1, v), (0, w)):
            b, c = np.roll(u, 1, axis), u
            z, d = np.roll(u, 2, axis), np.roll(u, -1, axis)
            s = speed + np.roll(speed, 1, 2)
            flux = s * (7 * (b + c) - (z + d)) + np.abs(s) * ((d - z) - 3 * (c - b))
            out += flux - np.roll(flux, -1, axis)

    def time_triad(self) -> None:
        """a = b + s c over memory."""
        a, b, c = self.triad
        np.multiply(c, 3.0, out=a)
        np.add(a, b, out=a)


class Placement:
    """A whole placement of the example tank, loops warm."""

    def setup(self) -> None:
        """The example job in a folder."""
        from fizzwright.app import App
        from fizzwright.job.examples import example_text

        prepare_compiler()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "library-foyer-120.toml"
        self.path.write_text(example_text(self.path.name), encoding="utf-8")
        self.app = App()

    def teardown(self) -> None:
        """Remove the folder."""
        self.folder.cleanup()

    def time_draft(self) -> None:
        """Three places in a draft."""
        from fizzwright.stages.place import Asked

        self.app.place(self.path, Asked("draft"))
