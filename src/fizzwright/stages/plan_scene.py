"""One tank under many draws with feed and gas clock left open, and what a choice of them leads to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import Bed, TankDay
from fizzwright.engines.day.clock import DAY_MIN, Clock, forcing
from fizzwright.engines.day.integrate import DayRun, State, day_from, repeating_day

__all__ = [
    "FINE", "ROUGH", "SEARCH", "Accuracy", "Outlook", "Scene", "band_share_frac", "clock_for", "day_of",
    "days_of", "fastest_rise_mg_l_h", "fed", "lit_level_mg_l", "outlook", "stuck_open_mg_l", "take", "tiled",
]  # fmt: skip

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Scene:
    """Everything about a tank that a choice of feed and clock does not change.

    Arrays have shape (draws,). `tank.feed_mg_h` is ignored. `flow_factor` is true feed over set feed,
    `wall_loss_mg_h` what the tube wall takes while the line is full, `line_gas_mg` what the line holds.
    Target and ceiling in mg/L; lamp and air pump times in minutes after midnight (no air pump where its
    two are equal).
    """

    tank: TankDay
    alk_meq_l: Array
    flow_factor: Array
    wall_loss_mg_h: Array
    line_gas_mg: float
    light_on_min: float
    light_off_min: float
    ramp_min: float
    target_low_mg_l: float
    target_high_mg_l: float
    air_on_min: float = 0.0
    air_off_min: float = 0.0

    @property
    def draws_count(self) -> int:
        """How many draws the scene holds."""
        return len(self.alk_meq_l)


@dataclass(frozen=True)
class Accuracy:
    """The longest step of a day and how closely it must repeat itself."""

    step_min: float
    tolerance_mg_l: float


FINE = Accuracy(15.0, 1e-8)
# For a search over many clocks, whose switches cut the hours into short steps anyhow.
SEARCH = Accuracy(60.0, 5e-2)
# Good to 0.3 % and several times quicker: for choosing between days, not for showing one.
ROUGH = Accuracy(30.0, 2e-2)


@dataclass(frozen=True)
class Outlook:
    """What choices of clock and feed lead to; arrays of shape (clocks, feeds, draws).

    `band_frac` is the share of the time from lights-on to an hour before lights-off spent in the target
    band; `rise_mg_l_h` the fastest rise of the day; `lit_mg_l` the mean over the same hours.
    """

    peak_mg_l: Array
    lit_mg_l: Array
    band_frac: Array
    rise_mg_l_h: Array
    o2_low_mg_l: Array


def _picked(value: Array | float, which: NDArray[np.intp]) -> Array | float:
    return value[which] if isinstance(value, np.ndarray) and value.ndim else value


def _map_tank(tank: TankDay, change: object) -> TankDay:
    """The tank with `change` applied to each of its arrays, canopies included."""
    assert callable(change)
    beds = tuple(
        Bed(
            bed.area_m2,
            replace(bed.canopy, **{f.name: change(getattr(bed.canopy, f.name)) for f in fields(bed.canopy)}),
        )
        for bed in tank.beds
    )
    rest = {f.name: change(getattr(tank, f.name)) for f in fields(tank) if f.name != "beds"}
    return TankDay(beds=beds, **rest)


def take(scene: Scene, which: NDArray[np.intp]) -> Scene:
    """The same scene with only some of its draws, given by index."""
    return replace(
        scene,
        tank=_map_tank(scene.tank, lambda value: _picked(value, which)),
        alk_meq_l=scene.alk_meq_l[which],
        flow_factor=scene.flow_factor[which],
        wall_loss_mg_h=scene.wall_loss_mg_h[which],
    )


def tiled(scene: Scene, times: int) -> Scene:
    """The scene with its draws repeated so many times, for several feeds side by side."""
    return take(scene, np.tile(np.arange(scene.draws_count), times))


def clock_for(scene: Scene, *, gas_on_min: float, gas_off_min: float, feed_mg_h: float) -> Clock:
    """The day's clock for one gas period; the line lags by what it holds over the feed."""
    return Clock(
        light_on_min=scene.light_on_min,
        light_off_min=scene.light_off_min,
        gas_on_min=gas_on_min % DAY_MIN,
        gas_off_min=gas_off_min % DAY_MIN,
        ramp_min=scene.ramp_min,
        line_lag_min=60.0 * scene.line_gas_mg / max(feed_mg_h, 1e-6),
        air_on_min=scene.air_on_min,
        air_off_min=scene.air_off_min,
    )


def fed(scene: Scene, feed_mg_h: Array | float) -> TankDay:
    """The tank with a feed set at the needle; what the tube wall takes never reaches the diffuser. [mg/h]"""
    arriving = np.maximum(feed_mg_h * scene.flow_factor - scene.wall_loss_mg_h, 0.0)
    return replace(scene.tank, feed_mg_h=arriving)


def _start(scene: Scene, shape: tuple[int, ...]) -> State:
    """A first guess of midnight: near air, with the oxygen a little short of saturation."""
    air = np.broadcast_to(np.asarray(scene.tank.air_co2_mg_l) * 3.0, shape).astype(float)
    oxygen = np.broadcast_to(np.asarray(scene.tank.o2_saturation_mg_l) * 0.9, shape).astype(float)
    return State(air, oxygen, np.broadcast_to(scene.alk_meq_l, shape).astype(float))


def day_of(
    scene: Scene,
    clock: Clock,
    feed_mg_h: Array | float,
    *,
    accuracy: Accuracy,
    guess: State | None = None,
) -> DayRun:
    """The repeating day of every draw at one clock and feed (a number, or one for each draw).

    `guess` is a midnight state to start from, such as that of a day nearby.
    """
    start = _start(scene, (scene.draws_count,)) if guess is None else guess
    course = forcing([clock], accuracy.step_min)
    return repeating_day(start, fed(scene, feed_mg_h), course, tolerance_mg_l=accuracy.tolerance_mg_l)


def days_of(
    scene: Scene,
    clocks: Sequence[Clock],
    feeds_mg_h: Array,
    *,
    accuracy: Accuracy,
    guess: State | None = None,
) -> DayRun:
    """The repeating days of several clocks, each at its own feed; curves of shape (nodes, clocks, draws).

    `feeds_mg_h` has shape (clocks,).
    """
    start = _start(scene, (len(clocks), scene.draws_count)) if guess is None else guess
    tank = fed(scene, np.asarray(feeds_mg_h)[:, None])
    return repeating_day(
        start, tank, forcing(clocks, accuracy.step_min), tolerance_mg_l=accuracy.tolerance_mg_l
    )


def outlook(
    scene: Scene, clocks: Sequence[Clock], feeds_mg_h: Array, *, accuracy: Accuracy = ROUGH
) -> Outlook:
    """What each clock and feed leads to in each draw.

    Parameters
    ----------
    scene : Scene
    clocks : sequence of Clock
    feeds_mg_h : array, shape (feeds,)
        Feed set at the needle while the valve is open. [mg/h]
    accuracy : Accuracy
        Step and tolerance.
    """
    feeds = np.atleast_1d(np.asarray(feeds_mg_h, dtype=float))
    wide = tiled(scene, len(feeds))
    tank = fed(wide, np.repeat(feeds, scene.draws_count))
    shape = (len(clocks), wide.draws_count) if len(clocks) > 1 else (wide.draws_count,)
    run = repeating_day(
        _start(wide, shape), tank, forcing(clocks, accuracy.step_min), tolerance_mg_l=accuracy.tolerance_mg_l
    )

    def shaped(flat: Array) -> Array:
        return flat.reshape(len(clocks), len(feeds), scene.draws_count)

    return Outlook(
        peak_mg_l=shaped(run.co2_mg_l.max(axis=0)),
        lit_mg_l=shaped(lit_level_mg_l(scene, run)),
        band_frac=shaped(band_share_frac(scene, run)),
        rise_mg_l_h=shaped(fastest_rise_mg_l_h(run)),
        o2_low_mg_l=shaped(run.o2_mg_l.min(axis=0)),
    )


def _watched(scene: Scene, run: DayRun) -> tuple[Array, Array]:
    """Weights (steps, 1...) over lights-on to an hour before lights-off, and each step's middle CO2."""
    since = (run.nodes_min[:-1] - scene.light_on_min) % DAY_MIN
    lit_min = (scene.light_off_min - scene.light_on_min) % DAY_MIN
    width = np.diff(run.nodes_min) * (since < max(lit_min - 60.0, 0.5 * lit_min))
    weight = (width / width.sum()).reshape(-1, *[1] * (run.co2_mg_l.ndim - 1))
    return weight, 0.5 * (run.co2_mg_l[1:] + run.co2_mg_l[:-1])


def lit_level_mg_l(scene: Scene, run: DayRun) -> Array:
    """Mean CO2 of each draw from lights-on to an hour before lights-off. [mg/L]"""
    weight, middle = _watched(scene, run)
    level: Array = (weight * middle).sum(axis=0)
    return level


def band_share_frac(scene: Scene, run: DayRun) -> Array:
    """Share of the time from lights-on to an hour before lights-off that each draw is in the band."""
    weight, middle = _watched(scene, run)
    inside = (middle >= scene.target_low_mg_l) & (middle <= scene.target_high_mg_l)
    share: Array = (weight * inside).sum(axis=0)
    return share


def fastest_rise_mg_l_h(run: DayRun) -> Array:
    """The fastest rise of each draw's day, over one step of the grid. [mg/L/h]"""
    hours = (np.diff(run.nodes_min) / 60.0).reshape(-1, *[1] * (run.co2_mg_l.ndim - 1))
    rise: Array = (np.diff(run.co2_mg_l, axis=0) / hours).max(axis=0)
    return rise


def stuck_open_mg_l(scene: Scene, clock: Clock, feed_mg_h: Array | float, run: DayRun) -> Array:
    """The highest CO2 in the 24 h after the valve opens as usual and then does not shut, for each draw.

    `run` is the repeating day at that clock and feed. [mg/L]
    """
    opened = int(np.argmin(np.abs(run.nodes_min - clock.gas_on_min % DAY_MIN)))
    start = State(run.co2_mg_l[opened], run.o2_mg_l[opened], run.alk_meq_l[opened])
    since = clock.gas_on_min % DAY_MIN
    course = forcing([replace(clock, always_on=True)], 30.0, span_min=(since, since + DAY_MIN))
    day = day_from(start, fed(scene, feed_mg_h), course)
    peak: Array = day.co2_mg_l.max(axis=0)
    return peak
