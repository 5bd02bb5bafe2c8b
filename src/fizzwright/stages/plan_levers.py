"""What else about the tank would help: the plan made anew with one thing changed, beside the present one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.integrate import DayRun
from fizzwright.engines.day.spells import with_loss
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import Lever
from fizzwright.stages.plan_scene import ROUGH, Scene, band_share_frac, day_of, stuck_open_mg_l, take
from fizzwright.stages.plan_search import OVER_CEILING_ALLOWED_FRAC, Choice, Limits, settle
from fizzwright.stages.stability import swing_frac
from fizzwright.units import number_text

__all__ = ["levers"]

Array = NDArray[np.float64]
DRAWS_COUNT = 80
HELD_QUANTILE_FRAC = 1 - 0.97 * OVER_CEILING_ALLOWED_FRAC
MORE_MOVEMENT_FACTOR = 1.6
# A stone in a home tank moves about as much as a rippled surface does (judgement, within a factor of 2).
NIGHT_AIR_FACTOR = 1.0
LOSES_GAS_FRAC = 0.15


@dataclass(frozen=True)
class _Seen:
    """A plan's day in the few draws."""

    choice: Choice
    run: DayRun
    swing_frac: Array
    share_in_band_frac: float
    gas_g_day: Array
    stuck_mg_l: Array


@dataclass(frozen=True)
class _Change:
    """One thing changed: what to do, and the tank it makes."""

    name: str
    change: str
    scene: Scene
    faster_factor: float = 1.0


def levers(scene: Scene, limits: Limits, choice: Choice, run: DayRun) -> tuple[Lever, ...]:
    """The day each change would come to, with the feed settled anew within the same limits.

    Parameters
    ----------
    scene : Scene
        All draws; a few even ones are used, the same for every change.
    limits : Limits
    choice : Choice
        The plan; its gas clock stays, but for a quicker surface, where the early shut-off shrinks with the
        time the water takes to fall.
    run : DayRun
        The plan's days, draw by draw.
    """
    which = np.linspace(0, scene.draws_count - 1, min(DRAWS_COUNT, scene.draws_count)).astype(int)
    few = take(scene, which)
    now = _seen(few, choice, replace(run, co2_mg_l=run.co2_mg_l[:, which], o2_mg_l=run.o2_mg_l[:, which],
                                     alk_meq_l=run.alk_meq_l[:, which]))  # fmt: skip
    held = limits
    if choice.held_by == "the animals' ceiling":
        # So few draws pass the ceiling more or less often by chance; a change is held to the plan's own.
        top = float(np.quantile(now.run.co2_mg_l.max(axis=0), HELD_QUANTILE_FRAC))
        held = replace(limits, ceiling_mg_l=top)
    return tuple(
        _lever(change, now, _settled(change.scene, held, _clocked(change, choice)), limits)
        for change in _changes(few, choice)
    )


def _clocked(change: _Change, choice: Choice) -> Choice:
    return replace(choice, tail_h=choice.tail_h / change.faster_factor)


def _changes(few: Scene, choice: Choice) -> Iterator[_Change]:
    yield _Change(
        "more surface movement",
        f"turn the outlet up until the surface loses {MORE_MOVEMENT_FACTOR:g} times as fast, with more gas",
        replace(few, tank=with_loss(few.tank, MORE_MOVEMENT_FACTOR)),
        MORE_MOVEMENT_FACTOR,
    )
    pumped = replace(few.tank, air_loss_per_h=NIGHT_AIR_FACTOR * few.tank.loss_per_h)
    yield _Change(
        "air at night",
        "an air pump on a timer from lamp-off until the gas opens, doubling what the surface moves",
        replace(few, tank=pumped, air_on_min=few.light_off_min, air_off_min=choice.clock.gas_on_min),
    )
    dissolved = np.asarray(few.tank.dissolved_frac)
    if 1 - float(np.median(dissolved)) > LOSES_GAS_FRAC:
        yield _Change(
            "a finer diffuser",
            "a clean fine diffuser, or one set deeper, that loses half as much gas in bubbles",
            replace(few, tank=replace(few.tank, dissolved_frac=0.5 * (1.0 + dissolved))),
        )


def _settled(scene: Scene, limits: Limits, choice: Choice) -> _Seen:
    # Gas and surface grow together; the search needs a first feed near the answer.
    settled = settle(scene, limits, _guess(scene, choice), stuck=False)
    return _seen(scene, settled, day_of(scene, settled.clock, settled.feed_mg_h, accuracy=ROUGH))


def _seen(scene: Scene, choice: Choice, run: DayRun) -> _Seen:
    hours = choice.clock.gas_min / 60.0
    return _Seen(
        choice=choice,
        run=run,
        swing_frac=swing_frac(scene, run),
        share_in_band_frac=float(band_share_frac(scene, run).mean()),
        gas_g_day=choice.feed_mg_h * scene.flow_factor * hours / 1000.0,
        stuck_mg_l=stuck_open_mg_l(scene, choice.clock, choice.feed_mg_h, run),
    )


def _guess(scene: Scene, choice: Choice) -> Choice:
    need = (
        np.asarray(scene.tank.loss_per_h)
        * np.asarray(scene.tank.volume_l)
        / np.asarray(scene.tank.dissolved_frac)
    )
    aim = 0.5 * (scene.target_low_mg_l + scene.target_high_mg_l)
    feed = float(np.median(need)) * aim + float(np.median(scene.wall_loss_mg_h))
    return replace(choice, feed_mg_h=max(feed, 0.5))


def _lever(change: _Change, now: _Seen, then: _Seen, limits: Limits) -> Lever:
    peak = then.run.co2_mg_l.max(axis=0)
    return Lever(
        name=change.name,
        change=change.change,
        feed_mg_h=then.choice.feed_mg_h,
        swing_frac=Estimate.from_draws(then.swing_frac, "frac"),
        share_in_band_frac=then.share_in_band_frac,
        co2_peak_mg_l=Estimate.from_draws(peak, "mg_l"),
        p_over_ceiling_frac=float((peak > limits.ceiling_mg_l).mean()),
        gas_g_day=Estimate.from_draws(then.gas_g_day, "g_day"),
        o2_dawn_mg_l=Estimate.from_draws(then.run.o2_mg_l.min(axis=0), "mg_l"),
        stuck_open_24h_mg_l=Estimate.from_draws(then.stuck_mg_l, "mg_l"),
        sentence=_sentence(now, then),
    )


def _sentence(now: _Seen, then: _Seen) -> str:
    """What moves, each figure against the plan as it is; middles of the same draws."""

    def moved(before: Array, after: Array) -> tuple[str, str]:
        return number_text(float(np.median(after)), 2), number_text(float(np.median(before)), 2)

    parts = [
        "swing {} % instead of {} %".format(*moved(100 * now.swing_frac, 100 * then.swing_frac)),
        f"{100 * then.share_in_band_frac:.0f} % of the lit time in the band instead of "
        f"{100 * now.share_in_band_frac:.0f} %",
        "gas {} g/day instead of {}".format(*moved(now.gas_g_day, then.gas_g_day)),
        "stuck open {} mg/L instead of {}".format(*moved(now.stuck_mg_l, then.stuck_mg_l)),
        "oxygen at dawn {} mg/L instead of {}".format(
            *moved(now.run.o2_mg_l.min(axis=0), then.run.o2_mg_l.min(axis=0))
        ),
    ]
    text = "; ".join(parts)
    return f"{text[0].upper()}{text[1:]}."
