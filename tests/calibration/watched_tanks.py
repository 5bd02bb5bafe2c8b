"""A month of an invented tank's log, quiet or with one thing going wrong on a known day."""

from __future__ import annotations

import numpy as np

from fizzwright.stages.dial_past import Doing, Told
from tests.calibration.dialled import Case, case, spells
from tests.calibration.invented_tanks import Doings, probe, run

MONTH_DAYS = 28
ONSET_H = 24.0 * 14


def after(size: float, *, grows_h: float = 0.0):
    """A factor or addition that sets in on day 14, at once or growing over some hours to its size."""

    def at(hour: float) -> float:
        if hour < ONSET_H:
            return 0.0
        return size * (min((hour - ONSET_H) / grows_h, 1.0) if grows_h else 1.0)

    return at


def injected(fault: str, size: float, feed: float) -> tuple[Doings, dict[str, object]]:
    """What a fault of a size does, and what it does to counts."""
    doings, also = Doings(), {}
    step, slow = after(size), after(size, grows_h=24.0 * 10)
    if fault == "feed":
        doings.flow_at = lambda t: 1.0 - slow(t)
        also["count"] = lambda t: 1.0 - slow(t)
    elif fault == "clog":
        doings.flow_at = lambda t: 1.0 - 0.6 * slow(t)
        doings.dissolved_at = lambda t: (1.0 - slow(t)) / (1.0 - 0.6 * slow(t))
        also["count"] = lambda t: 1.0 - 0.6 * slow(t)
    elif fault == "surface":
        doings.loss_at = lambda t: 1.0 + step(t)
    elif fault == "leak-by":
        doings.leak_at = lambda t: step(t) * feed
    elif fault == "uptake":
        doings.uptake_at = lambda t: 1.0 - step(t)
    elif fault == "probe":
        doings.offset_at = slow
    elif fault == "kh":
        doings.kh_at = slow
        also["kh"] = slow
    elif fault == "hours":
        also["late"] = size
    return doings, also


def month(seed: int, fault: str = "", size: float = 0.0, days: int = MONTH_DAYS) -> tuple[Case, Told]:
    """A tank's month: pH every 20 min, bubbles counted daily, KH twice a week; gas by the timer."""
    a = case(seed)
    a.truth = type(a.truth)(**{**a.truth.__dict__, "drift_ph_day": 0.0, "wobble": 0.02, "noise_ph": 0.01})
    feed = a.decided.chosen.choice.feed_mg_h
    doings, also = injected(fault, size, feed)
    late = also.get("late", 0.0)
    doings.spells = [
        (s + late, e + late, f) if s >= ONSET_H else (s, e, f) for s, e, f in spells(a, [feed] * days)
    ]
    hours, co2 = run(a.truth, doings, 24.0 * days, 3.0, step_h=1 / 3)
    rng = np.random.default_rng(seed + 77)
    ph = probe(a.truth, hours, co2, rng, doings)
    counts, kh = np.full(len(hours), np.nan), np.full(len(hours), np.nan)
    bubble = float(np.ravel(a.decided.middle.walk.mg_per_bubble_mg)[0])
    for day in range(days):
        at = int(np.argmin(abs(hours - (24 * day + a.on_h + 2))))
        factor = also["count"](hours[at]) if "count" in also else 1.0
        counts[at] = feed / bubble / 3600 * factor * (1 + 0.02 * rng.standard_normal())
        if day % 3 == 0:
            true = a.truth.kh_dkh + (also["kh"](hours[at]) if "kh" in also else 0.0)
            kh[at] = 0.5 * np.ceil(true / 0.5)
    return a, Told(
        hours, {"ph": ph, "bubbles_per_s": counts, "kh_dkh": kh}, (Doing(0.0, "fed"),), 0.0, "2025-03-03"
    )
