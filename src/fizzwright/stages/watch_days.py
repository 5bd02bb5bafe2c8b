"""A log cut into days and set against the tank as it was learnt, with the signature of every change."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.day.balance import day_ph
from fizzwright.engines.day.clock import DAY_MIN
from fizzwright.inference.change import Channel, Signature
from fizzwright.inference.course import GasSpell
from fizzwright.inference.tank_prior import TANK_UNKNOWNS, TankDraws, draws_of
from fizzwright.inference.tank_run import Days, Past, tank_run
from fizzwright.stages.dial import Tank
from fizzwright.stages.dial_past import Told

__all__ = ["BASE_DAYS_COUNT", "PHASES_COUNT", "Watched", "channels_of", "signatures_of", "watched"]

Array = NDArray[np.float64]

BASE_DAYS_COUNT = 7
PHASES_COUNT = 12
# Unit sizes of the changes: a fifth of the gas or the loss, half of the uptake, an hour of the clock, and
# a twentieth of the feed passing a shut valve.
GAS_LOG_UNIT, LOSS_LOG_UNIT, UPTAKE_LOG_UNIT = -0.2, 0.2, -0.5
SHIFT_H, LEAK_FRAC = 1.0, 0.05
BREATH_LOG_UNIT, AIR_LOG_UNIT = 0.3, 0.2
# What a quiet tank does from day to day, in those units, and what a probe does.
QUIET = {"gas": 0.15, "loss": 0.25, "uptake": 0.25, "breath": 0.5, "air": 0.6}
QUIET_OFFSET_PH, QUIET_NOISE_PH = 0.008, 0.012
# A week cannot promise that a tank is quieter than this share of the usual variance.
LEAST_STRETCH_RATIO = 0.25
COUNT_LOG_SD_NUMBER = 0.05
KH_LOG_SD_NUMBER = 0.06


@dataclass(frozen=True)
class Watched:
    """A log by days: `ph` (days, phases) as read, `base_ph` as the tank of the first week would show.

    `bent` holds, for each small change, the pH it would show less `base_ph`. `co2_mg_l` is the CO2 the
    readings mean at each pH reading. Days start an hour before gas opens; `first_h` is the first start.
    """

    first_h: float
    ph: Array
    base_ph: Array
    bent: dict[str, Array]
    counts_number: Array
    kh_number: Array
    base_count: int
    hours_h: Array
    read_ph: Array
    co2_mg_l: Array
    model_ph: Array

    @property
    def days_count(self) -> int:
        """How many days."""
        return len(self.ph)


def watched(tank: Tank, told: Told, past: Past) -> Watched:
    """The log against the tank: one run of the whole time for the tank as it was and for each small change.

    Parameters
    ----------
    tank : Tank
        Learnt from the first days.
    told : Told
        The whole log.
    past : Past
        What was done over the whole log.
    """
    start = ((tank.clock.on_min - 60.0 - told.start_min) % DAY_MIN) / 60.0
    first_h = start if start < 20.0 else start - 24.0
    days = max(int((told.end_h - first_h) / 24.0 + 0.25), 1)
    names, draws, one = _small_changes(tank)
    runs = tank_run(draws, tank.prior, past)
    shown = _ph(tank, runs, draws)
    hours, ph = told.column("ph")
    base = np.interp(hours, runs.hours_h, shown[:, 0])
    table: dict[str, Array] = {
        name: np.interp(hours, runs.hours_h, shown[:, at]) - base for at, name in enumerate(names)
    }
    for name, spells in _other_spells(tank, past).items():
        moved = tank_run(one, tank.prior, replace(past, spells=spells))
        table[name] = np.interp(hours, moved.hours_h, _ph(tank, moved, one)[:, 0]) - base
    model_co2 = np.interp(hours, runs.hours_h, runs.co2_mg_l[:, 0])
    grid = (hours, first_h, days)
    ph_days, base_days = _phased(ph, grid), _phased(base, grid)
    count = min(BASE_DAYS_COUNT, max(days - 1, 1))
    return Watched(
        first_h=first_h,
        ph=ph_days,
        base_ph=base_days,
        bent={name: _phased(values, grid) for name, values in table.items()},
        counts_number=_daily_log(told, "bubbles_per_s", (first_h, days), count),
        kh_number=_daily_log(told, "kh_dkh", (first_h, days), count),
        base_count=count,
        hours_h=hours,
        read_ph=ph,
        co2_mg_l=model_co2 * 10.0 ** (base - ph + _standing(ph_days - base_days, count)),
        model_ph=base,
    )


def _standing(off: Array, count: int) -> float:
    """The tank's standing departure from its model over the first days. [pH]"""
    return float(np.nanmedian(off[:count])) if np.isfinite(off[:count]).any() else 0.0


def _small_changes(tank: Tank) -> tuple[tuple[str, ...], TankDraws, TankDraws]:
    """The tank at the middle of what was learnt with one thing changed each, and that middle alone."""
    middle = np.median(tank.posterior.draws.scores_number, axis=1)
    prior = tank.prior
    moves = {
        "gas": ("bubble mass", GAS_LOG_UNIT / prior.bubble_log_sd_number),
        "loss": ("surface loss", LOSS_LOG_UNIT / prior.loss_log_sd_number),
        "breath": ("breathing", BREATH_LOG_UNIT / prior.breathing_log_sd_number),
        "air": ("room air", AIR_LOG_UNIT / prior.air_log_sd_number),
    }
    # The probe's own drift is for the watch to find, not for the tank to have.
    middle[TANK_UNKNOWNS.index("probe drift")] = 0.0
    table = [middle]
    for name, shift in moves.values():
        moved = middle.copy()
        moved[TANK_UNKNOWNS.index(name)] += shift
        table.append(moved)
    plants = middle.copy()
    plants[TANK_UNKNOWNS.index("plants")] += UPTAKE_LOG_UNIT / prior.demand_log_sd_number
    table.append(plants)
    errors = tank.evidence.errors
    many, alone = draws_of(np.column_stack(table), prior, errors), draws_of(middle[:, None], prior, errors)
    return ("base", *moves, "uptake"), many, alone


def _other_spells(tank: Tank, past: Past) -> dict[str, tuple[GasSpell, ...]]:
    """The gas as it would be with the timer an hour late, and with a valve that lets a little by."""
    late = tuple(replace(s, start_h=s.start_h + SHIFT_H, end_h=s.end_h + SHIFT_H) for s in past.spells)
    leaking: list[GasSpell] = list(past.spells)
    edge, feed = past.span_h[0], tank.clock.feed_mg_h
    for spell in sorted(past.spells, key=lambda s: s.start_h):
        if spell.start_h > edge:
            leaking.append(GasSpell(edge, spell.start_h, LEAK_FRAC * feed))
        edge, feed = max(edge, spell.end_h), spell.feed_mg_h
    if edge < past.span_h[1]:
        leaking.append(GasSpell(edge, past.span_h[1], LEAK_FRAC * feed))
    return {"late": late, "leak": tuple(leaking)}


def _ph(tank: Tank, runs: Days, draws: TankDraws) -> Array:
    """What the probe would show of each run."""
    co2 = np.maximum(runs.co2_mg_l, 0.05)
    ph: Array = day_ph(
        co2, runs.alk_meq_l, carbonate_ratio=tank.prior.carbonate_ratio, k1_mol_l=tank.prior.k1_mol_l
    )
    return ph + draws.offset_ph


def _phased(values: Array, grid: tuple[Array, float, int]) -> Array:
    """Medians over each two hours of each day, (days, phases); nan where nothing was read."""
    hours, first_h, days = grid
    width = 24.0 / PHASES_COUNT
    slot = np.floor((hours - first_h) / width).astype(int)
    table = np.full(days * PHASES_COUNT, np.nan)
    inside = (slot >= 0) & (slot < len(table)) & np.isfinite(values)
    order = np.argsort(slot[inside], kind="stable")
    slots, kept = slot[inside][order], values[inside][order]
    starts = np.flatnonzero(np.concatenate(([True], np.diff(slots) != 0))) if slots.size else np.zeros(0, int)
    for group, at in zip(np.split(kept, starts[1:]), slots[starts], strict=False):
        table[at] = np.median(group)
    return table.reshape(days, PHASES_COUNT)


def _daily_log(told: Told, name: str, grid: tuple[float, int], base_count: int) -> Array:
    """Daily medians of a figure as logarithms, less those of the first days; (days, 1), nan where none."""
    first_h, days = grid
    hours, values = told.column(name)
    table = np.full(days, np.nan)
    for day in range(days):
        inside = (hours >= first_h + 24 * day) & (hours < first_h + 24 * (day + 1)) & (values > 0)
        if inside.any():
            table[day] = float(np.log(np.median(values[inside])))
    base = table[:base_count]
    if np.isfinite(base).any():
        return np.asarray(table - np.nanmedian(base))[:, None]
    known = np.flatnonzero(np.isfinite(table))
    return np.asarray(table - table[known[0]] if known.size else table)[:, None]


def channels_of(log: Watched) -> tuple[Channel, ...]:
    """The day's pH, bubble counts and KH against the first days, each with what a quiet tank scatters by."""
    off = log.ph - log.base_ph
    base = off[: log.base_count]
    with np.errstate(all="ignore"):
        mean = _nanmean(base)
    values = off - mean
    covariance = _quiet_covariance(log)
    stretch = _stretch(values[: log.base_count], covariance)
    channels = [Channel("ph", values, covariance * stretch, log.base_count)]
    for name, daily, sd in (
        ("count", log.counts_number, COUNT_LOG_SD_NUMBER),
        ("kh", log.kh_number, KH_LOG_SD_NUMBER),
    ):
        if np.isfinite(daily).sum() > 1:
            channels.append(Channel(name, daily, np.array([[sd**2]]), log.base_count))
    return tuple(channels)


def _nanmean(table: Array) -> Array:
    count = np.isfinite(table).sum(axis=0)
    mean: Array = np.where(count > 0, np.nansum(table, axis=0) / np.maximum(count, 1), 0.0)
    return mean


def _quiet_covariance(log: Watched) -> Array:
    """What day-to-day changes of gas, loss, plants, breathing, air and probe do to a day's pH."""
    total = QUIET_NOISE_PH**2 * np.eye(PHASES_COUNT) + QUIET_OFFSET_PH**2
    for name, size in QUIET.items():
        shape = np.nan_to_num(_nanmean(log.bent[name]))
        total = total + size**2 * np.outer(shape, shape)
    return np.asarray(total)


def _stretch(base: Array, covariance: Array) -> float:
    """How much wider or narrower this tank's own first days scatter than a quiet tank is taken to."""
    total = count = 0.0
    for row in base:
        known = np.isfinite(row)
        if known.any():
            total += float(row[known] @ np.linalg.solve(covariance[np.ix_(known, known)], row[known]))
            count += float(known.sum())
    freedom = count * max(1.0 - 1.0 / max(len(base), 1), 0.3)
    return max(total / freedom, LEAST_STRETCH_RATIO) if count else 1.0


def signatures_of(log: Watched) -> tuple[Signature, ...]:
    """What each kind of change would do to the channels."""
    days = log.days_count
    one, none = np.ones((days, 1)), np.zeros((days, 1))
    level = np.ones((days, PHASES_COUNT))
    bent = log.bent

    def shapes(ph: Array, *, count: float = 0.0, kh: float = 0.0) -> dict[str, Array]:
        return {"ph": ph, "count": count * one if count else none, "kh": kh * one if kh else none}

    gas = bent["gas"]
    # Ten per cent of alkalinity is 0.041 pH at the same CO2; a probe's tenth of a pH is its own unit.
    return (
        Signature("feed", shapes(gas, count=GAS_LOG_UNIT)),
        Signature("clog", shapes(gas, count=0.6 * GAS_LOG_UNIT), sign_number=1.0),
        Signature("diffuser", shapes(gas), -0.7, sign_number=1.0),
        Signature("surface", shapes(bent["loss"])),
        Signature("leak-by", shapes(bent["leak"]), sign_number=1.0),
        Signature("hours", shapes(bent["late"]), ramps=False),
        Signature("probe", shapes(0.1 * level), ramps=True),
        Signature("kh", shapes(0.0414 * level, kh=float(np.log(1.1))), steps=False),
        Signature("uptake", shapes(bent["uptake"])),
    )
