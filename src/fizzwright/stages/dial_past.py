"""What was done to a tank while its readings were taken: gas, lamp, water changes, and the readings "
"sorted."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.engines.water.indicator import hue_scale
from fizzwright.inference.course import GasSpell, Lamp
from fizzwright.inference.evidence import (
    CheckerReadings,
    Evidence,
    KitReadings,
    MassReadings,
    ReadingErrors,
    binned,
)
from fizzwright.inference.tank_run import Past
from fizzwright.job.model import Job

__all__ = ["Doing", "GasClock", "Told", "evidence_of", "gas_clock_of", "past_of"]

Array = NDArray[np.float64]
SWAP_G = 150.0
USUAL_CHANGE_FRAC = 0.3


@dataclass(frozen=True)
class Doing:
    """Something done: hours since the first reading, its kind, and a water change's share."""

    hour_h: float
    kind: str
    share_frac: float | None = None


@dataclass(frozen=True)
class Told:
    """Readings as a stage takes them: hours since the first, columns by name, what was done.

    `start_min` is the tank's clock at the first reading. [min]
    """

    hours_h: Array
    columns: Mapping[str, Array]
    doings: tuple[Doing, ...]
    start_min: float
    start_day: str

    def column(self, name: str) -> tuple[Array, Array]:
        """Hours and readings of one quantity, blanks left out; empty where it was not read."""
        values = self.columns.get(name)
        if values is None:
            return np.zeros(0), np.zeros(0)
        known = np.isfinite(values)
        return self.hours_h[known], values[known]

    @property
    def end_h(self) -> float:
        """The last reading. [h]"""
        return float(self.hours_h[-1])

    def until(self, hour_h: float) -> Told:
        """The same readings up to an hour, as they stood then. [h]"""
        keep = self.hours_h <= hour_h + 1e-9
        columns = {name: values[keep] for name, values in self.columns.items()}
        doings = tuple(d for d in self.doings if d.hour_h <= hour_h + 1e-9)
        return Told(self.hours_h[keep], columns, doings, self.start_min, self.start_day)


@dataclass(frozen=True)
class GasClock:
    """The gas timer in minutes after midnight, and the feed set. [min, mg/h]"""

    on_min: float
    off_min: float
    feed_mg_h: float

    @property
    def open_min(self) -> float:
        """Minutes a day the valve is open. [min]"""
        return (self.off_min - self.on_min) % DAY_MIN or DAY_MIN


def gas_clock_of(job: Job, planned: GasClock) -> GasClock:
    """The timer and feed as set on the job, else as planned."""
    told = job.settings
    return GasClock(
        planned.on_min if told.gas_on_min is None else float(told.gas_on_min),
        planned.off_min if told.gas_off_min is None else float(told.gas_off_min),
        planned.feed_mg_h if told.feed_mg_h is None else told.feed_mg_h,
    )


def past_of(job: Job, told: Told, clock: GasClock, *, bubble_mg: float, line_gas_mg: float) -> Past:
    """Lamp, gas spells and water changes over the readings.

    Gas follows the events noted; where none are, the timer. The feed follows counted bubbles; before the
    first count, the first; where none were counted, the feed set. `bubble_mg` is what one bubble stands
    for, `line_gas_mg` what the line holds.
    """
    lamp = Lamp(job.light.on_min, job.light.off_min, job.light.ramp_min, told.start_min)
    span = (0.0, max(told.end_h, 0.1))
    open_h = _open_hours(told, clock, span)
    rates = _rates(told, clock, bubble_mg)
    spells = []
    for start, end in open_h:
        cuts = [start, *[hour for hour, _ in rates if start < hour < end], end]
        for first, last in itertools.pairwise(cuts):
            feed = _rate_at(rates, first)
            lag = 60.0 * line_gas_mg / max(feed, 1e-6) if first == start and start > span[0] else 0.0
            spells.append(GasSpell(first, last, feed, min(lag, 30.0 * (end - start))))
    changes = tuple(
        (d.hour_h, USUAL_CHANGE_FRAC if d.share_frac is None else d.share_frac)
        for d in told.doings
        if d.kind == "water change"
    )
    return Past(lamp, tuple(spells), changes, span)


def _open_hours(told: Told, clock: GasClock, span: tuple[float, float]) -> list[tuple[float, float]]:
    """When the valve was open, in hours since the first reading."""
    switches = sorted((d.hour_h, d.kind == "gas on") for d in told.doings if d.kind in {"gas on", "gas off"})
    if not switches:
        return _by_timer(told.start_min, clock, span)
    found: list[tuple[float, float]] = []
    # Before the first note the valve stood the other way; how long, the timer tells.
    first_hour, first_on = switches[0]
    if first_on:
        found += [
            p for p in _by_timer(told.start_min, clock, (span[0], first_hour)) if p[1] < first_hour - 0.1
        ]
        opened: float | None = None
    else:
        opened = _last_opening(told.start_min, clock, first_hour)
    for hour, is_on in switches:
        if is_on and opened is None:
            opened = hour
        elif not is_on and opened is not None:
            found.append((opened, hour))
            opened = None
    last_hour, _ = switches[-1]
    if opened is not None:
        shut = _next_shutting(told.start_min, clock, last_hour)
        found.append((opened, min(shut, span[1])))
        found += [p for p in _by_timer(told.start_min, clock, span) if p[0] > shut]
    else:
        found += [p for p in _by_timer(told.start_min, clock, span) if p[0] > last_hour + 1.0]
    return sorted((max(a, -24.0), b) for a, b in found if b > max(a, span[0]))


def _by_timer(start_min: float, clock: GasClock, span: tuple[float, float]) -> list[tuple[float, float]]:
    first = ((clock.on_min - start_min) % DAY_MIN) / 60.0 - 24.0
    length = clock.open_min / 60.0
    days = int(np.ceil((span[1] - first) / 24.0)) + 1
    spells = [(first + 24.0 * day, first + 24.0 * day + length) for day in range(days)]
    return [(max(a, span[0]), min(b, span[1])) for a, b in spells if b > span[0] and a < span[1]]


def _last_opening(start_min: float, clock: GasClock, hour_h: float) -> float:
    since = (start_min + 60.0 * hour_h - clock.on_min) % DAY_MIN
    return hour_h - since / 60.0


def _next_shutting(start_min: float, clock: GasClock, hour_h: float) -> float:
    until = (clock.off_min - start_min - 60.0 * hour_h) % DAY_MIN
    return hour_h + until / 60.0


def _rates(told: Told, clock: GasClock, bubble_mg: float) -> list[tuple[float, float]]:
    """Hour and feed from which on it held; the first holds from the start."""
    hours, counts = told.column("bubbles_per_s")
    going = counts > 0
    found = [
        (float(h), 3600.0 * float(c) * bubble_mg) for h, c in zip(hours[going], counts[going], strict=True)
    ]
    if not found:
        return [(-1e9, clock.feed_mg_h)]
    steady = [(-1e9, found[0][1])]
    for hour, feed in found:
        # A count that agrees with the one before within its error is the same setting.
        if abs(feed - steady[-1][1]) > 0.02 * steady[-1][1]:
            steady.append((hour, feed))
    return steady


def _rate_at(rates: Sequence[tuple[float, float]], hour_h: float) -> float:
    return [feed for hour, feed in rates if hour <= hour_h + 1e-9][-1]


def evidence_of(job: Job, told: Told, errors: ReadingErrors | None = None) -> Evidence:
    """The readings sorted by kind, pH gathered into short stretches."""
    hours, ph = told.column("ph")
    kit_h, kit = told.column("kh_dkh")
    hue_h, hue = told.column("checker_hue_deg")
    mass_h, mass = told.column("bottle_gross_g")
    bottle = np.cumsum(np.concatenate(([0], (np.diff(mass) > SWAP_G).astype(int)))) if mass.size else mass
    return Evidence(
        ph=binned(hours, ph) if ph.size else None,
        kit=KitReadings(kit_h, kit) if kit.size else None,
        checker=CheckerReadings(hue_h, hue, hue_scale(1e-4, path_cm=1.0)) if hue.size else None,
        mass=MassReadings(mass_h, mass, bottle.astype(np.int64)) if mass.size > 1 else None,
        kit_step_dkh=job.water.kh_step_dkh,
        errors=errors or ReadingErrors(),
    )
