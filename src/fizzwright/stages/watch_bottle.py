"""When the bottle is empty: weighings, the gauge and the counted feed together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.bottles import ASSUMED_FILL_LASTING_KG_L
from fizzwright.engines.gasline.bottle import (
    knee_barg,
    knee_g,
    saturation_bara,
    vapour_density_kg_m3,
    vapour_only_density_kg_m3,
    virial_pressure_bara,
)
from fizzwright.engines.gasline.contents import contents_from_gauge, rate_sd_g_day
from fizzwright.job.model import Job
from fizzwright.result import Basis, Estimate
from fizzwright.stages.dial_past import SWAP_G, Told
from fizzwright.stages.watch_result import BottleOutlook
from fizzwright.units import number_text

__all__ = ["Counted", "bottle_outlook", "equations_of"]

Array = NDArray[np.float64]

NINETY = 1.6449
SCALE_SD_G = 3.0
GAUGE_ERROR_BARG = 4.0
KEPT_BACK_FRAC = 0.03
# A valve does not hold its flow over weeks; the forecast carries that.
VALVE_DRIFT_FRAC = 0.10
SWAP_AHEAD_DAYS = 3.0


@dataclass(frozen=True)
class Counted:
    """The gas the counted feed lets out, and every other tank on the bottle. [g/day]"""

    own_g_day: Estimate
    others_g_day: tuple[Estimate, ...] = ()


@dataclass(frozen=True)
class _Rate:
    """A use of gas with its deviation. [g/day]"""

    rate: float
    sd: float


def bottle_outlook(job: Job, told: Told, counted: Counted, *, tare_g: float | None = None) -> BottleOutlook:
    """Grams left, the use, the day it is empty, and what the scale misses over the counted feed.

    Parameters
    ----------
    job : Job
    told : Told
        `bottle_gross_g` weighings and `bottle_gauge_barg` readings, as far as there are any.
    counted : Counted
    tare_g : float or None
        Mass of the empty bottle with what hangs on it; else worked out from the job. [g]
    """
    hours, gross = told.column("bottle_gross_g")
    hours, gross = _since_swap(hours, gross)
    weighed = _weighed(hours, gross)
    told_use = _sum((counted.own_g_day, *counted.others_g_day))
    use = _combined(weighed, told_use)
    left = _left_g(job, told, (hours, gross), tare_g)
    leak, least = _leak(weighed, told_use)
    last = dt.datetime.fromisoformat(told.start_day) + dt.timedelta(minutes=told.start_min, hours=told.end_h)
    dates = _dates(job, left, use, last)
    return BottleOutlook(
        left_g=left,
        use_g_day=_estimate(use),
        empty_on=dates[0],
        empty_earliest=dates[1],
        empty_latest=dates[2],
        swap_on=dates[3],
        leak_g_day=leak,
        detectable_leak_g_day=least,
        weighings_count=len(gross),
        says=_says(left, leak, least, len(gross)),
    )  # fmt: skip


def _estimate(use: _Rate) -> Estimate:
    reach = NINETY * use.sd
    return Estimate(use.rate, "g_day", max(use.rate - reach, 0.0), use.rate + reach, Basis.FITTED)


def _since_swap(hours: Array, gross: Array) -> tuple[Array, Array]:
    """The weighings of the bottle that is on now."""
    jumps = np.flatnonzero(np.diff(gross) > SWAP_G)
    start = int(jumps[-1]) + 1 if jumps.size else 0
    return hours[start:], gross[start:]


def _weighed(hours: Array, gross: Array) -> _Rate | None:
    """What the scale says is used, where weighings lie apart enough."""
    if len(gross) < 2 or hours[-1] - hours[0] < 12.0:
        return None
    days = hours / 24.0
    slope = -float(np.polyfit(days, gross, 1)[0])
    span = float(days[-1] - days[0])
    sd = float(rate_sd_g_day(SCALE_SD_G, span, weighings_count=float(len(gross))))
    return _Rate(slope, sd)


def _sum(parts: Sequence[Estimate]) -> _Rate:
    """Several uses together; the doubts are taken as independent."""
    total = sum(part.value for part in parts)
    sd = float(np.sqrt(sum(((part.high - part.low) / (2 * NINETY)) ** 2 for part in parts)))
    return _Rate(total, max(sd, 0.02 * total))


def _combined(weighed: _Rate | None, counted: _Rate) -> _Rate:
    """Scale and count weighed by what each is worth; a leak is in the scale's figure only, which counts."""
    if weighed is None:
        return counted
    # A scale that clearly disagrees with the count is believed alone: a leak uses gas too.
    if abs(weighed.rate - counted.rate) > 2.0 * float(np.hypot(weighed.sd, counted.sd)):
        return weighed
    a, b = 1.0 / weighed.sd**2, 1.0 / counted.sd**2
    return _Rate((a * weighed.rate + b * counted.rate) / (a + b), float((a + b) ** -0.5))


def _leak(weighed: _Rate | None, counted: _Rate) -> tuple[Estimate | None, float | None]:
    """What the scale sees go beyond the counted feed, and the least that would show."""
    if weighed is None:
        return None, None
    gap, sd = weighed.rate - counted.rate, float(np.hypot(weighed.sd, counted.sd))
    leak = Estimate(gap, "g_day", gap - NINETY * sd, gap + NINETY * sd, Basis.FITTED)
    # Seen nine times in ten at a false alarm in twenty: 1.64 and 1.28 deviations.
    return leak, (NINETY + 1.2816) * sd


def _capacity_l(job: Job) -> float:
    bottle = job.gasline.bottle
    return bottle.water_capacity_l or bottle.charge_g / 1000.0 / ASSUMED_FILL_LASTING_KG_L


def _warm_c(job: Job) -> float:
    bottle = job.gasline.bottle
    return min(job.room.temperature_c if bottle.temperature_c is None else bottle.temperature_c, 30.5)


def _left_g(job: Job, told: Told, weighings: tuple[Array, Array], tare_g: float | None) -> Estimate | None:
    """Grams in the bottle at the last reading."""
    bottle, (_, gross) = job.gasline.bottle, weighings
    if gross.size and tare_g is None and bottle.remaining_g is not None:
        tare_g = float(gross[0]) - bottle.remaining_g
    if gross.size and tare_g is not None:
        left = max(float(gross[-1]) - tare_g, 0.0)
        return Estimate(left, "g", max(left - 10.0, 0.0), left + 10.0, Basis.MEASURED)
    _, gauge = told.column("bottle_gauge_barg")
    if gauge.size and gauge[-1] < float(knee_barg(_warm_c(job))) - GAUGE_ERROR_BARG:
        found = contents_from_gauge(
            float(gauge[-1]), _warm_c(job), charge_g=bottle.charge_g, water_capacity_l=_capacity_l(job),
            error_barg=GAUGE_ERROR_BARG,
        )  # fmt: skip
        return Estimate(found.mid_g, "g", min(found.low_g, found.mid_g), max(found.high_g, found.mid_g))
    if bottle.remaining_g is not None:
        return Estimate(bottle.remaining_g, "g", 0.97 * bottle.remaining_g, 1.03 * bottle.remaining_g)
    return None


def _dates(
    job: Job, left: Estimate | None, use: _Rate, last: dt.datetime
) -> tuple[str | None, str | None, str | None, str | None]:
    """Empty on, earliest, latest, and the day to swap before the gauge falls."""
    if left is None:
        return None, None, None, None
    knee = min(float(knee_g(_warm_c(job), water_capacity_l=_capacity_l(job))), job.gasline.bottle.charge_g)
    if use.rate <= 0:
        return None, None, None, None
    kept = KEPT_BACK_FRAC * job.gasline.bottle.charge_g
    usable = max(left.value - kept, 0.0)
    days = usable / use.rate
    mass_frac = (left.high - left.low) / (2 * NINETY) / max(usable, 1e-9)
    spread = float(np.sqrt(mass_frac**2 + (use.sd / use.rate) ** 2 + VALVE_DRIFT_FRAC**2))
    swap = max(left.value - knee, 0.0) / use.rate - SWAP_AHEAD_DAYS

    def on(number: float) -> str:
        return (last + dt.timedelta(days=float(np.clip(number, 0.0, 20000.0)))).date().isoformat()

    return on(days), on(days * np.exp(-NINETY * spread)), on(days * np.exp(NINETY * spread)), on(swap)


def _says(left: Estimate | None, leak: Estimate | None, least: float | None, count: int) -> str:
    if left is None:
        return "Weigh the bottle, or give what is left in the job: a full-looking gauge hides the content."
    if leak is None or least is None:
        return (
            "Weigh the bottle twice, days apart, with the same things hanging on it: that shows "
            "use and leaks."
        )
    if leak.low > 0:
        return (
            f"The scale sees {number_text(leak.value, 2)} g a day more go than is counted: soap every joint, "
            "close the bottle at night, and check the count."
        )
    if leak.high < 0:
        return (
            f"The scale sees {number_text(-leak.value, 2)} g a day less go than is counted: a "
            f"bubble holds less gas "
            "than taken, or the count is too high. Trust the scale."
        )
    return f"No leak shows over {count} weighings; one under {number_text(least, 2)} g a day would not."


def equations_of(job: Job, told: Told, *, tare_g: float | None = None) -> tuple[Callable[..., Any], ...]:
    """The equations a bottle outlook runs on these readings, for the trail."""
    hours, gross = _since_swap(*told.column("bottle_gross_g"))
    _, gauge = told.column("bottle_gauge_barg")
    remaining = job.gasline.bottle.remaining_g
    ran: list[Callable[..., Any]] = []
    if _weighed(hours, gross) is not None:
        ran.append(rate_sd_g_day)
    by_mass = bool(gross.size) and (tare_g is not None or remaining is not None)
    falling = False
    if not by_mass and gauge.size:
        ran.append(saturation_bara)
        falling = gauge[-1] < float(knee_barg(_warm_c(job))) - GAUGE_ERROR_BARG
        if falling:
            ran += [vapour_density_kg_m3, vapour_only_density_kg_m3, virial_pressure_bara]
    if by_mass or falling or remaining is not None:
        ran.append(vapour_density_kg_m3)
    return tuple(ran)
