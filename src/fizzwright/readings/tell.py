"""A log as the stages take it: hours since its first row on the tank's own clock."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np

from fizzwright.readings.log import Log
from fizzwright.stages.dial_past import Doing, Told

__all__ = ["day_ends_h", "told_of"]


def told_of(log: Log) -> Told:
    """Readings and what was done, with the tank's clock at the first row.

    Parameters
    ----------
    log : Log
        Its stamps are UTC; the tank's zone gives the clock.
    """
    first = dt.datetime.fromtimestamp(int(log.utc[0].astype(np.int64)) / 1000.0, tz=dt.UTC)
    local = first.astimezone(ZoneInfo(log.timezone))
    return Told(
        hours_h=log.elapsed_h,
        columns={name: values for name, values in log.columns.items() if np.isfinite(values).any()},
        doings=tuple(Doing(event.elapsed_h, event.kind, event.share_frac) for event in log.events),
        start_min=60.0 * local.hour + local.minute + local.second / 60.0,
        start_day=local.date().isoformat(),
    )


def day_ends_h(told: Told) -> tuple[float, ...]:
    """The last reading of each of the tank's days, in hours since the first. [h]"""
    day = np.floor((told.start_min + 60.0 * told.hours_h) / 1440.0)
    ends = np.flatnonzero(np.concatenate((np.diff(day) > 0, [True])))
    return tuple(float(told.hours_h[at]) for at in ends)
