"""The stage `watch`: a log set against the tank of its first days: what changed, how steady, when empty.

The first week teaches the tank; the rest is compared with what that tank would have shown on the same gas
clock. A finding needs to stand clear of what quiet tanks do, so that a quiet month stays quiet.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.errors import Fault, InputError
from fizzwright.inference.change import Change, Channel, Signature, grown_factor, matched_score_number, scan
from fizzwright.job.model import Job
from fizzwright.result import Estimate, Finding, Level, make_trail
from fizzwright.stages.dial import Tank, equations_of, learn
from fizzwright.stages.dial_past import Told, past_of
from fizzwright.stages.dial_words import assumptions_of
from fizzwright.stages.plan_words import assumptions_of as plan_assumptions
from fizzwright.stages.watch_bottle import Counted, bottle_outlook
from fizzwright.stages.watch_bottle import equations_of as bottle_equations
from fizzwright.stages.watch_days import BASE_DAYS_COUNT, Watched, channels_of, signatures_of, watched
from fizzwright.stages.watch_probe import probe_faults
from fizzwright.stages.watch_result import Watching, WatchResult
from fizzwright.stages.watch_steady import SteadyInput, monthly, steadiness
from fizzwright.stages.watch_words import probe_watching, verdict_of, watching_of

__all__ = ["DETECT_SCORE_NUMBER", "found_in", "watch"]

Array = NDArray[np.float64]

# How far a change must stand over a quiet tank before it is told; set on invented quiet months.
DETECT_SCORE_NUMBER = 4.5
SECOND_SCORE_NUMBER = 7.0
MOST_FINDINGS = 2
FEWEST_DAYS = 3
DRAWS_COUNT = 300


def watch(
    job: Job, told: Told, *, others_g_day: Sequence[Estimate] = (), tare_g: float | None = None
) -> WatchResult:
    """What a log says of a tank since its first week.

    Parameters
    ----------
    job : Job
    told : Told
        The whole log; its first week should be of the tank as it was set.
    others_g_day : sequence of Estimate
        Gas other tanks draw from the same bottle. [g/day]
    tare_g : float or None
        Mass of the empty bottle with what hangs on it. [g]

    Raises
    ------
    InputError
        Where the log has no pH or is shorter than three days.
    """
    hours, _ = told.column("ph")
    if not hours.size or told.end_h < 24.0 * FEWEST_DAYS:
        step = "Log pH every 10 to 30 min for a week or more"
        raise InputError([Fault("log", f"{told.end_h / 24:.1f} days", f"{FEWEST_DAYS} days of pH", step)])
    tank = learn(job, told.until(min(24.0 * BASE_DAYS_COUNT, 0.5 * told.end_h)), draws_count=DRAWS_COUNT)
    quiet = _without_counts(told)
    past = past_of(
        job, quiet, tank.clock, bubble_mg=tank.prior.bubble_mg,
        line_gas_mg=tank.decided.chosen.scene.line_gas_mg,
    )  # fmt: skip
    log = watched(tank, told, past)
    start = dt.datetime.fromisoformat(told.start_day) + dt.timedelta(minutes=told.start_min)
    faults = probe_faults(log.hours_h, log.read_ph, model_ph=log.model_ph)
    first_day = (start + dt.timedelta(hours=log.first_h)).date()
    changes = found_in(log)
    found = [probe_watching(fault, start) for fault in faults]
    found += [
        watching_of(kinds, (first_day, seen), counted="bubbles_per_s" in told.columns)
        for kinds, seen in changes
    ]
    return _answer(tank, told, log, tuple(found), (tuple(others_g_day), tare_g))


def _without_counts(told: Told) -> Told:
    """The log without its counts: the tank is held against its first feed, so that a drift shows."""
    columns = {name: values for name, values in told.columns.items() if name != "bubbles_per_s"}
    return Told(told.hours_h, columns, told.doings, told.start_min, told.start_day)


def found_in(log: Watched) -> list[tuple[tuple[Change, ...], int]]:
    """Changes that stand out, each as the kinds that fit it, best first, with the day it first told.

    The first finding is taken out of the days before a second is looked for.
    """
    channels, signatures = channels_of(log), signatures_of(log)
    found: list[tuple[tuple[Change, ...], int]] = []
    threshold = DETECT_SCORE_NUMBER
    while len(found) < MOST_FINDINGS:
        kinds = scan(signatures, channels, days_count=log.days_count, first_count=log.base_count)
        if not kinds or kinds[0].score_number < threshold:
            break
        seen = _first_seen(signatures, channels, log, threshold)
        found.append((kinds, seen))
        channels = _less(channels, signatures, kinds[0])
        threshold = SECOND_SCORE_NUMBER
    return found


def _first_seen(
    signatures: Sequence[Signature], channels: Sequence[Channel], log: Watched, threshold: float
) -> int:
    """The number of days after which a change first stood out."""
    for days in range(log.base_count + 1, log.days_count):
        kinds = scan(signatures, channels, days_count=days, first_count=log.base_count)
        if kinds and kinds[0].score_number >= threshold:
            return days
    return log.days_count


def _less(
    channels: Sequence[Channel], signatures: Sequence[Signature], change: Change
) -> tuple[Channel, ...]:
    """The channels with one change taken out."""
    shapes = next(s.shapes for s in signatures if s.key == change.key)
    rest = []
    for channel in channels:
        course = grown_factor(len(channel.values_number), change.onset_day_count, grows=change.grows)[:, None]
        values = channel.values_number - change.size_number * course * shapes[channel.name]
        rest.append(Channel(channel.name, values, channel.covariance_number, channel.base_count))
    return tuple(rest)


def _answer(
    tank: Tank, told: Told, log: Watched, found: tuple[Watching, ...],
    more: tuple[tuple[Estimate, ...], float | None],
) -> WatchResult:  # fmt: skip
    """Findings, steadiness and bottle together."""
    job, scene, limits = tank.decided.known.job, tank.decided.chosen.scene, tank.decided.limits
    others, tare_g = more
    count_h, counts = told.column("bubbles_per_s")
    midnight = told.start_min / 60.0
    given = SteadyInput(
        hours_h=log.hours_h + midnight,
        co2_mg_l=log.co2_mg_l,
        read_ph=log.read_ph,
        count_hours_h=count_h + midnight,
        bubbles_per_s=counts,
        light_on_h=job.light.on_min / 60.0,
        lit_h=job.light.hours_h,
        target_low_mg_l=scene.target_low_mg_l,
        target_high_mg_l=scene.target_high_mg_l,
        ceiling_mg_l=limits.ceiling_mg_l,
        first_day=dt.date.fromisoformat(told.start_day),
    )
    steady = steadiness(given)
    if steady is None:
        raise InputError([Fault("log", "", "one whole lit day of pH readings at least", "Log on")])
    own = tank.clock.feed_mg_h * tank.posterior.draws.flow_factor * tank.clock.open_min / 60.0 / 1000.0
    bottle = bottle_outlook(job, told, Counted(Estimate.from_draws(own, "g_day"), others), tare_g=tare_g)
    target = (scene.target_low_mg_l, scene.target_high_mg_l)
    return WatchResult(
        name=job.job.name,
        verdict=verdict_of(found, steady, target),
        first_day=steady.first_day,
        last_day=steady.last_day,
        days_count=log.days_count,
        base_days_count=log.base_count,
        watchings=found,
        stability=steady,
        months=monthly(given),
        bottle=bottle,
        trail=make_trail(
            (*equations_of(tank), *bottle_equations(job, told, tare_g=tare_g), *_scan_equations(log)),
            inputs=job.model_dump(mode="json") | {"readings": len(told.hours_h)},
            assumptions=assumptions_of(plan_assumptions(tank.decided.known)),
            findings=_findings(tank, log, found, steady.longest_over_h),
        ),
    )


def _scan_equations(log: Watched) -> tuple[Callable[..., Any], ...]:
    """The filter's own equation, where there was a day to look at."""
    return (matched_score_number,) if log.days_count > log.base_count else ()


def _findings(
    tank: Tank, log: Watched, found: Sequence[Watching], longest_over_h: float
) -> tuple[Finding, ...]:
    """What to mind about the log and the tank."""
    rows = []
    if longest_over_h > 0.5 and tank.decided.known.job.animals:
        rows.append(Finding(Level.CARE, (
            f"CO2 stood over the starting ceiling for {longest_over_h:.1f} h at a stretch. If "
            f"animals show it, shut the "
            "bottle's valve and stir the surface; lower the feed in any case."), "ceiling"))  # fmt: skip
    rows += [
        Finding(Level.CARE, f"Since {w.since} {w.name} ({w.size}). Check: {w.check}. Then: {w.do}.", w.key)
        for w in found
    ]
    if log.days_count < 14:
        rows.append(Finding(Level.NOTE, (
            f"The log holds {log.days_count} days. Slow changes need two weeks and more to "
            f"show."), "log"))  # fmt: skip
    rows.append(Finding(Level.NOTE, (
        "A steady CO2 lets plants grow more evenly; that it keeps algae away is not "
        "proven."), "stability"))  # fmt: skip
    return tuple(rows)
