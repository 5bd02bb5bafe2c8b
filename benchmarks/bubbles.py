"""How long bubbles take: one cloud for a slider, one diffuser for a plan, ten thousand for an ensemble."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.bubbles.closures import contaminated_closure, stack, tap_closure
from fizzwright.engines.bubbles.diffusers import diffuser_spread
from fizzwright.engines.bubbles.fate import Release, Stepping, bubble_fate
from fizzwright.engines.bubbles.medium import bubble_water
from fizzwright.engines.bubbles.population import RisePath, dissolved_share
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.job.words import Condition, DiffuserKind
from fizzwright.stages.bench.bubble import BubbleQuestion, bubble
from fizzwright.stages.diffuser import dissolved_here_frac


class Bubbles:
    """Fates and shares in a 40 cm tank."""

    def setup(self) -> None:
        """Water, skins and sizes."""
        self.water = bubble_water(25.0)
        self.closure, self.columns = stack([contaminated_closure(self.water), tap_closure(self.water)])
        rng = np.random.default_rng(1)
        self.many = rng.lognormal(np.log(0.4e-3), 0.47, 10_000)
        self.which = self.columns[rng.integers(0, 2, self.many.size)]
        self.path = RisePath(0.35, 25.0)
        self.job = read_job(example_text("library-foyer-120.toml"))

    def teardown(self) -> None:
        """Nothing to put away."""

    def time_ten_thousand_to_the_end(self) -> None:
        """Every bubble followed until it arrives or is gone."""
        release = Release(self.many, 0.4, closure_column=self.which)
        bubble_fate(self.water, release, closure=self.closure)

    def time_sixty_sizes_two_skins(self) -> None:
        """The dissolved share alone."""
        sizes = np.geomspace(0.05e-3, 4e-3, 60)[:, None]
        rule = Stepping(enough_frac=5e-4)
        release = Release(sizes, 0.4, closure_column=self.columns)
        bubble_fate(self.water, release, closure=self.closure, stepping=rule)

    def time_dissolved_share_disc(self) -> None:
        """A disc for a plan, with the column it lifts."""
        dissolved_share(self.path, diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED))

    def time_dissolved_share_inline(self) -> None:
        """An atomiser for a plan, hose first."""
        dissolved_share(self.path, diffuser_spread(DiffuserKind.INLINE, Condition.USED))

    def time_bench_sum(self) -> None:
        """The single sum, without the start of the command."""
        bubble(BubbleQuestion(diameter_mm=1.0, depth_cm=30.0, water_c=25.0, co2_mg_l=15.0))

    def time_share_of_a_job(self) -> None:
        """The dissolved share of a whole job with its band, as a slider moves it."""
        dissolved_here_frac(self.job, 600.0)
