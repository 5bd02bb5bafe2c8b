"""The stage `place`: where the water goes in a tank, and whether it matters where the diffuser stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.current.closures import outlet_reynolds_number
from fizzwright.engines.current.scalar import age_of_water_s
from fizzwright.engines.current.spread import mixing_time_s
from fizzwright.engines.current.zones import dead_frac
from fizzwright.errors import Fault, InputError
from fizzwright.job.layout import OutletPlace, Spot
from fizzwright.job.model import Job
from fizzwright.result import Basis, Estimate, make_trail
from fizzwright.stages.ceiling import ceiling_for
from fizzwright.stages.place_bands import LEAF_FACTOR, SPEED_FACTOR, TIME_FACTOR, factor_band, share_band
from fizzwright.stages.place_compare import Figure, judge, ranks
from fizzwright.stages.place_result import BedFigures, Place, PlaceResult, Streams
from fizzwright.stages.place_runs import (
    PRESETS,
    Current,
    Measured,
    Preset,
    Watch,
    bed_speeds_m_s,
    measure,
    settle,
)
from fizzwright.stages.place_scene import drawn_layout, layout_of, place_m, water_size_m
from fizzwright.stages.place_sweep import sweep_spots
from fizzwright.stages.place_trail import equations_of
from fizzwright.stages.place_words import Facts, assumptions_of, findings_of, verdict_of

__all__ = ["Asked", "Helpers", "Mapper", "place"]

Array = NDArray[np.float64]
Mapper = Callable[[Callable[..., Any], Sequence[Any]], Iterable[Any]]

# A map this even is called flat: moving glass changes nothing dissolved.
FLAT_FRAC = 0.02
# Differences nobody would act on: points of a hundred that dissolve, seconds, mg/L.
LEAST_SHARE, LEAST_S, LEAST_MG_L = 0.02, 5.0, 0.2


@dataclass(frozen=True)
class Asked:
    """What is asked of a placement: how finely, and which places.

    `names` are the spots and outlets to compare with the layout's own, all of them where None; `sweep` is
    how many spots over the free ground are tried besides.
    """

    preset: str = "normal"
    names: tuple[str, ...] | None = None
    sweep: int = 0


def _one_by_one(function: Callable[..., Any], things: Sequence[Any]) -> Iterable[Any]:
    """One place after another, here."""
    return map(function, things)


def _nobody(says: str, share_frac: float) -> bool:  # noqa: ARG001 - the form of a watcher
    """Nobody watches, so go on."""
    return True


@dataclass(frozen=True)
class Helpers:
    """Who does the work: threads, whom to tell, and what maps a function over places."""

    threads: int = 1
    watch: Watch = _nobody
    mapper: Mapper = _one_by_one


@dataclass(frozen=True, eq=False)
class _Job:
    """One spot's measurement as a thing that can be sent away."""

    job: Job
    current: Current
    preset: Preset
    threads: int
    watch: Watch

    def __call__(self, spot: Spot) -> Measured:
        return measure(
            self.job,
            self.current,
            place_m(self.job, spot),
            preset=self.preset,
            settings=(self.threads, self.watch),
        )


@dataclass(frozen=True, eq=False)
class _Candidate:
    """A spot with an outlet, and what was measured there."""

    name: str
    outlet: OutletPlace
    spot: Spot
    measured: Measured


def place(job: Job, asked: Asked = Asked(), helpers: Helpers = Helpers()) -> PlaceResult:
    """Where the water goes in a surveyed tank, and which places for diffuser or outlet are better.

    Parameters
    ----------
    job : Job
        With a layout.
    asked : Asked
    helpers : Helpers

    Raises
    ------
    InputError
        Where the job has no layout, or names asked for are not in it.
    """
    spots, outlets = _chosen(job, asked)
    preset = PRESETS[asked.preset]
    ceiling = ceiling_for(job)
    level = 0.5 * (ceiling.target_low_mg_l + ceiling.target_high_mg_l)
    layout = layout_of(job)
    first = settle(
        job, layout.outlet, preset=preset, level_mg_l=level, settings=(helpers.threads, helpers.watch)
    )
    found = _measured(job, first, spots, preset=preset, helpers=helpers)
    candidates = [_Candidate(s.name, layout.outlet, s, m) for s, m in zip(spots, found, strict=False)]
    finished = first.finished and len(candidates) == len(spots)
    for outlet in outlets:
        if not helpers.watch(f"outlet {outlet.name}", 0.0):
            finished = False
            break
        other = settle(
            job, outlet, preset=preset, level_mg_l=level, settings=(helpers.threads, helpers.watch)
        )
        taken = list(_measured(job, other, [layout.diffuser], preset=preset, helpers=helpers))
        candidates += [_Candidate(outlet.name, outlet, layout.diffuser, m) for m in taken]
        finished = finished and other.finished
    return _answer(job, asked, candidates, first=first, finished=finished)


def _chosen(job: Job, asked: Asked) -> tuple[list[Spot], list[OutletPlace]]:
    """The spots and other outlets to compare, the layout's own diffuser first."""
    layout = layout_of(job)
    names = {spot.name for spot in layout.spots} | {outlet.name for outlet in layout.outlets}
    strange = [name for name in asked.names or () if name not in names and name != layout.diffuser.name]
    if strange:
        there = ", ".join(sorted(names)) or "none: add [[layout.spots]]"
        said = "is no spot or outlet of the layout"
        raise InputError([Fault("--candidates", name, said, f"There is: {there}") for name in strange])
    wanted = names if asked.names is None else set(asked.names)
    spots = [
        layout.diffuser,
        *(s for s in layout.spots if s.name in wanted and s.name != layout.diffuser.name),
    ]
    return spots + sweep_spots(job, asked.sweep), [o for o in layout.outlets if o.name in wanted]


def _measured(
    job: Job, current: Current, spots: Sequence[Spot], *, preset: Preset, helpers: Helpers
) -> list[Measured]:
    """Every spot on one current, as far as there was time; the first is always done."""
    found: list[Measured] = []
    for measured in helpers.mapper(_Job(job, current, preset, helpers.threads, _nobody), spots):
        found.append(measured)
        if not helpers.watch("places", len(found) / len(spots)):
            break
    return found


def _figures(candidates: Sequence[_Candidate], level_mg_l: float) -> list[Figure]:
    """The three figures places are compared by, run by run."""
    count = len(candidates)
    dissolved = np.stack([c.measured.dissolved_frac for c in candidates])
    # Paths are few: the share of a binomial draw is off by this much.
    tracks = np.array([0.5 * abs(row[0] - row[1]) + 0.005 for row in dissolved])
    least = 100 * LEAST_SHARE
    figures = [
        Figure("dissolved_frac", "mist that dissolves", "%", 100 * dissolved, 100 * tracks, least, True)
    ]
    if candidates[0].measured.co2_low_mg_l.shape[1] == 0:
        return figures
    renewal = np.stack([_pair(c.measured.current.renewal_s.max(axis=1)) for c in candidates])
    poorest = np.stack([_pair(c.measured.co2_low_mg_l.min(axis=1)) for c in candidates])
    own = np.array([0.5 * abs(a - b) for a, b in renewal]) + 0.1 * renewal.mean(axis=1)
    off = 0.5 * np.abs(poorest.mean(axis=1) - level_mg_l) + 0.5 * np.abs(poorest[:, 0] - poorest[:, 1])
    figures += [
        Figure("slowest_renewal_s", "slowest bed renewed", "s", renewal, own, LEAST_S, False),
        Figure("poorest_co2_mg_l", "CO2 in the poorest bed", "mg/L", poorest, off, LEAST_MG_L, True),
    ]
    assert all(len(figure.error) == count for figure in figures)
    return figures


def _pair(values: Array) -> Array:
    """Two windows; a run that has only one counts it twice."""
    return values if values.size == 2 else np.repeat(values[:1], 2)


def _slow_jet(outlet: OutletPlace, current: Current) -> float:
    return float(outlet_reynolds_number(current.setting.jet.speed_m_s, outlet.bore_mm))


def _beds(job: Job, measured: Measured, slow_jet: bool) -> tuple[BedFigures, ...]:
    """Every bed's figures with their bands."""
    current, level = measured.current, measured.current.exchange.level_mg_l
    middle, slow = bed_speeds_m_s(current)
    made = []
    for at, bed in enumerate(layout_of(job).beds):
        made.append(BedFigures(
            name=bed.name,
            leaf_speed_m_s=factor_band(middle[:, at], "m_s", factor=LEAF_FACTOR, slow_jet=slow_jet),
            slow_leaf_speed_m_s=factor_band(slow[:, at], "m_s", factor=LEAF_FACTOR, slow_jet=slow_jet),
            renewal_s=factor_band(current.renewal_s[:, at], "s", factor=TIME_FACTOR, slow_jet=slow_jet),
            mist_frac=share_band(measured.mist_frac[:, at], extra_frac=0.01),
            co2_mg_l=_around_level(measured.co2_mg_l[:, at], level),
            co2_low_mg_l=_around_level(measured.co2_low_mg_l[:, at], level),
            short_frac=float(measured.short_frac[:, at].mean()),
        ))  # fmt: skip
    return tuple(made)


def _around_level(values: Array, level_mg_l: float) -> Estimate:
    """CO2 of a bed while the tank's mean is held: how far it lies off the mean is known to a factor of 2."""
    middle = float(values.mean())
    off = middle - level_mg_l
    window = 0.5 * float(values.max() - values.min()) + 0.02
    ends = (level_mg_l + 2.0 * off, level_mg_l + 0.5 * off)
    return Estimate(middle, "mg_l", max(min(ends) - window, 0.0), max(ends) + window, Basis.JUDGEMENT)


def _place_of(job: Job, candidate: _Candidate, rank: int) -> Place:
    measured, spot = candidate.measured, candidate.spot
    beds = _beds(job, measured, _slow_jet(candidate.outlet, measured.current) < 10_000)
    level = measured.current.exchange.level_mg_l
    nothing = Estimate.exact(0.0, "s", Basis.JUDGEMENT)
    slow = max(beds, key=lambda b: b.renewal_s.value, default=None)
    poor = min(beds, key=lambda b: b.co2_low_mg_l.value, default=None)
    return Place(
        name=candidate.name,
        outlet=candidate.outlet.name,
        from_left_cm=spot.from_left_cm,
        from_front_cm=spot.from_front_cm,
        height_cm=spot.height_cm,
        dissolved_frac=share_band(measured.dissolved_frac),
        slowest_bed="" if slow is None else slow.name,
        slowest_renewal_s=nothing if slow is None else slow.renewal_s,
        poorest_bed="" if poor is None else poor.name,
        poorest_co2_mg_l=Estimate.exact(level, "mg_l") if poor is None else poor.co2_low_mg_l,
        plume_ratio=measured.plume_ratio,
        rank=rank,
        finished=measured.finished,
        beds=beds,
    )


def _answer(
    job: Job, asked: Asked, candidates: list[_Candidate], *, first: Current, finished: bool
) -> PlaceResult:
    """Everything the placement says, once every place has been measured."""
    level = first.exchange.level_mg_l
    figures = _figures(candidates, level)
    order = ranks(figures, len(candidates))
    places = [_place_of(job, c, rank) for c, rank in zip(candidates, order, strict=True)]
    names = [p.name for p in places]
    judgements = tuple(judge(figure, names) for figure in figures) if len(places) > 1 else ()
    own = candidates[0].measured
    water, flows = first.setting.scene.water, own.current.flows
    age = age_of_water_s(own.current.transports[-1])
    turnover = 1.0 / first.setting.drive.flow_per_s
    dead = [dead_frac(age_of_water_s(t), water, turnover) for t in own.current.transports[:-1]]
    dead.append(dead_frac(age, water, turnover))
    mixing = np.array([mixing_time_s(t, own.mist.source_frac) for t in own.current.transports])
    speeds = np.array([float(flow.speed_m_s()[water].mean()) for flow in flows])
    reynolds = _slow_jet(candidates[0].outlet, first)
    slow_jet = reynolds < 10_000
    uneven = float(own.uneven_frac.mean())
    facts = Facts(
        job, asked.preset, first.setting.scene.grid.cell_m, tuple(places), judgements, places[0].beds,
        float(np.mean(dead)), _apart(own.current), reynolds, uneven < FLAT_FRAC, finished, uneven, level,
        capped=PRESETS[asked.preset].cell_for_m(water_size_m(job)) > 1.05 * PRESETS[asked.preset].cell_m,
    )  # fmt: skip
    return PlaceResult(
        name=job.job.name,
        preset=asked.preset,
        verdict=verdict_of(facts),
        finished=finished,
        cell_m=first.setting.scene.grid.cell_m,
        cells_count=first.setting.scene.grid.cells,
        level_mg_l=level,
        speed_m_s=factor_band(speeds, "m_s", factor=SPEED_FACTOR, slow_jet=slow_jet),
        turnover_s=Estimate(turnover, "s", turnover / 1.15, turnover * 1.15, Basis.JUDGEMENT),
        mixing_s=factor_band(mixing, "s", factor=TIME_FACTOR, slow_jet=slow_jet),
        dead_frac=share_band(np.array(dead), extra_frac=0.05),
        uneven_frac=factor_band(own.uneven_frac, "frac", factor=2.0),
        windows_differ_frac=facts.windows_differ_frac,
        map_flat=facts.map_flat,
        beds=places[0].beds,
        places=tuple(sorted(places, key=lambda p: (p.rank, names.index(p.name)))),
        judgements=judgements,
        drawn=drawn_layout(job, candidates[0].outlet),
        streams=_streams(job, own, age),
        trail=make_trail(
            equations_of(job, _outlets(candidates)),
            inputs=job.model_dump(mode="json") | {"asked": repr(asked)},
            assumptions=assumptions_of(job, level),
            findings=findings_of(facts),
        ),
    )


def _outlets(candidates: Sequence[_Candidate]) -> tuple[OutletPlace, ...]:
    """The outlets that were run."""
    return tuple(dict.fromkeys(c.outlet for c in candidates))


def _apart(current: Current) -> float:
    """How far two windows of one current differ, as a share of its speed."""
    if len(current.flows) < 2:
        return 0.3
    one, two = current.flows[0], current.flows[1]
    pairs = zip(one.at_centres_m_s(), two.at_centres_m_s(), strict=True)
    apart = sum(float(((a - b) ** 2).sum()) for a, b in pairs)
    own = sum(float((a**2).sum()) for a in one.at_centres_m_s())
    return float(np.sqrt(apart / max(own, 1e-300)))


def _streams(job: Job, measured: Measured, age_s: Array) -> Streams:
    """The fields of one place for drawing and for the file of fields."""
    flows = measured.current.flows
    across, back, up = (
        np.mean(parts, axis=0) for parts in zip(*(f.at_centres_m_s() for f in flows), strict=True)
    )
    scene = measured.current.setting.scene
    return Streams(
        cell_m=scene.grid.cell_m,
        ground_cm=job.tank.substrate_depth_cm,
        water=scene.water,
        across_m_s=across,
        back_m_s=back,
        up_m_s=up,
        eddy_m2_s=np.mean([f.eddy_m2_s for f in flows], axis=0),
        age_s=age_s,
        co2_mg_l=measured.field_mg_l,
        mist_frac=measured.mist.held_frac,
        deposit_frac=measured.mist.source_frac,
    )
