"""`bench room`: what the air of a room comes to when gas gets out."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from fizzwright.catalogue.room_air import (
    ALARM_HEIGHT_M,
    CARRY_WARNING,
    EIGHT_HOUR_PPM,
    FIFTEEN_MINUTE_PPM,
    FIRST_ALARM_PPM,
    IMMEDIATE_DANGER_PPM,
    ROOM_WARNING,
    RoomVerdict,
    limits_in,
    second_alarm_ppm,
    verdict_of,
)
from fizzwright.engines.gasline.room import (
    OUTDOOR_PPM,
    clearing_h,
    displaced_ppm,
    hours_above_h,
    mass_to_reach_g,
    slow_release_peak_ppm,
    whole_release_rise_ppm,
)
from fizzwright.form import asked, check
from fizzwright.job.part_words import Country
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail, make_trail
from fizzwright.stages.bench.gas_bands import assumed
from fizzwright.units import show

__all__ = ["RoomAnswer", "RoomQuestion", "Shut", "room"]

_DRAWS = 4000
_AIRING_FACTOR = 2.0
_FULL_PPM = 1e6


class Shut(StrEnum):
    """What the gas gets out into."""

    ROOM = "room"
    CAR = "car"


@dataclass(frozen=True, kw_only=True)
class RoomQuestion:
    """A mass of CO2 let go in a room."""

    release_g: float = asked("--release", "CO2 let go, the whole charge for the worst", low=0.1, high=60000.0)
    volume_m3: float = asked("--volume", "air volume of the room", low=1.0, high=20000.0)
    air_changes_per_h: float = asked("--air-changes", "changes of air", low=0.02, high=30.0, default=0.5)
    hours_h: float = asked(
        "--hours", "time over which it gets out, 0 for at once", low=0.0, high=720.0, default=0.0
    )
    temperature_c: float = asked("--temp", "temperature of the room", low=0.0, high=45.0, default=20.0)
    background_ppm: float = asked(
        "--background", "CO2 of the air let in", low=380.0, high=2000.0, default=OUTDOOR_PPM
    )
    volume_error_frac: float = asked(
        "--volume-error", "90 % error of the volume", low=0.0, high=0.5, default=0.1
    )
    country: Country | None = asked("--country", "whose limits to name", default=None)
    place: Shut = asked("--place", "a room, or a car with a bottle in it", default=Shut.ROOM)


@dataclass(frozen=True)
class RoomAnswer:
    """Peak of the mixed room, time over the 8-hour limit, and how that compares.

    `hours_above_5000ppm` is in hours, from first crossing to last. `largest_bottle_g` is the charge whose
    whole loss would stay under the lowest 15-minute limit found; the alarm figures are where a detector
    belongs and what it is set to.
    """

    peak_ppm: Estimate
    hours_above_5000ppm: Estimate
    verdict: RoomVerdict
    mass_to_5000ppm_g: float
    largest_bottle_g: Estimate
    limits: tuple[str, ...]
    first_alarm_ppm: float
    second_alarm_ppm: float
    alarm_height_m: float
    trail: Trail


def room(question: RoomQuestion) -> RoomAnswer:
    """The CO2 in a room's air after a release, well mixed, and how long it stays over 5000 ppm.

    The floor is worse than the mean: the gas is heavy, and cold when it comes.

    Parameters
    ----------
    question : RoomQuestion
        Mass, room, airing, time.

    Returns
    -------
    RoomAnswer
        Peak and hours with 90 % limits, and the verdict against published limits.
    """
    check(question)
    rng = np.random.default_rng(20)
    scores = rng.standard_normal((2, _DRAWS)) / 1.6449
    volumes = question.volume_m3 * (1.0 + question.volume_error_frac) ** scores[0]
    airing = question.air_changes_per_h * _AIRING_FACTOR ** scores[1]
    peak_draws, hours_draws = _sums(question, volumes, airing)
    peak_mid, hours_mid = _sums(
        question, np.array([question.volume_m3]), np.array([question.air_changes_per_h])
    )
    # Gas that pushes mixed air out leaves a little less behind: the low limit allows for it.
    low_ppm = question.background_ppm + float(
        displaced_ppm(max(np.quantile(peak_draws, 0.05) - question.background_ppm, 0.0))
    )
    peak = Estimate(
        float(peak_mid[0]),
        "ppm",
        min(low_ppm, float(peak_mid[0])),
        max(float(np.quantile(peak_draws, 0.95)), float(peak_mid[0])),
    )
    hours = _around(float(hours_mid[0]), hours_draws)
    most_g = float(
        mass_to_reach_g(EIGHT_HOUR_PPM, question.volume_m3, background_ppm=question.background_ppm)
    )
    verdict = verdict_of(peak.high)
    ran: list[Callable[..., Any]] = [
        whole_release_rise_ppm,
        slow_release_peak_ppm,
        clearing_h,
        displaced_ppm,
        mass_to_reach_g,
    ]
    trail = make_trail(
        ran,
        inputs=dataclasses.asdict(question),
        assumptions=_assumptions(question),
        findings=_findings(question, verdict, peak, most_g),
    )
    return RoomAnswer(
        peak_ppm=peak,
        hours_above_5000ppm=hours,
        verdict=verdict,
        mass_to_5000ppm_g=most_g,
        largest_bottle_g=_largest(question),
        limits=_limits(question.country),
        first_alarm_ppm=FIRST_ALARM_PPM,
        second_alarm_ppm=second_alarm_ppm(question.country),
        alarm_height_m=ALARM_HEIGHT_M,
        trail=trail,
    )


def _largest(question: RoomQuestion) -> Estimate:
    """The charge whose sudden, whole loss stays under the lowest 15-minute limit, over the room's doubt."""
    doubt = 1.0 + question.volume_error_frac
    low, middle, high = (
        float(mass_to_reach_g(FIFTEEN_MINUTE_PPM, volume, background_ppm=question.background_ppm))
        for volume in (question.volume_m3 / doubt, question.volume_m3, question.volume_m3 * doubt)
    )
    return Estimate(middle, "g", low, high)


def _limits(country: Country | None) -> tuple[str, ...]:
    return tuple(
        f"{row.body.replace(',', '')} {row.over.value} {row.co2_ppm:.0f} ppm" for row in limits_in(country)
    )


def _sums(question: RoomQuestion, volumes: Any, airing: Any) -> tuple[Any, Any]:
    """Peak in ppm and hours over 5000 ppm for each room and airing."""
    rise = whole_release_rise_ppm(question.release_g, volumes, temperature_c=question.temperature_c)
    peak = question.background_ppm + slow_release_peak_ppm(
        rise, over_h=question.hours_h, air_changes_per_h=airing
    )
    hours = hours_above_h(
        EIGHT_HOUR_PPM,
        rise,
        over_h=question.hours_h,
        air_changes_per_h=airing,
        background_ppm=question.background_ppm,
    )
    return np.minimum(peak, _FULL_PPM), np.asarray(hours)


def _around(middle: float, draws: Any) -> Estimate:
    low, high = (float(x) for x in np.quantile(draws, [0.05, 0.95]))
    return Estimate(middle, "h", min(low, middle), max(high, middle), Basis.PROPAGATED)


def _findings(question: RoomQuestion, verdict: RoomVerdict, peak: Estimate, most_g: float) -> list[Finding]:
    found = []
    high = show(peak.high, "ppm")
    if verdict is RoomVerdict.IMMEDIATE_DANGER:
        text = (
            f"The room could reach {high}: over {IMMEDIATE_DANGER_PPM:.0f} ppm people and animals are in "
            "danger of life within minutes. Choose a smaller bottle or another place, or fit a fixed "
            "detector and airing that starts by itself."
        )
        found.append(Finding(Level.STOP, text, "release", "niosh-idlh-co2"))
    elif verdict is RoomVerdict.OVER_FIFTEEN_MINUTE:
        text = (
            f"The room could reach {high}, over the lowest national 15-minute limit found, "
            f"{FIFTEEN_MINUTE_PPM:.0f} ppm (others: 15 000 and 30 000). A bottle under "
            f"{show(most_g, 'g', digits=2)} would stay under 5000 ppm."
        )
        found.append(Finding(Level.STOP, text, "release", "trgs-900-co2"))
    elif verdict is RoomVerdict.OVER_EIGHT_HOUR:
        text = (
            f"The room could reach {high}, over the 8-hour workplace limit of most countries, "
            f"{EIGHT_HOUR_PPM:.0f} ppm. Keep the room aired and fit a CO2 alarm."
        )
        found.append(Finding(Level.CARE, text, "release", "niosh-idlh-co2"))
    else:
        text = (
            f"The mixed room would stay under the 8-hour workplace limit, {EIGHT_HOUR_PPM:.0f} ppm. That "
            "limit is for grown workers; children, the ill and animals may bear less."
        )
        found.append(Finding(Level.NOTE, text, "release", "niosh-idlh-co2"))
    if question.hours_h > 0.0:
        text = (
            "A slow release is kinder than a burst relief disc or a broken valve, which empties the bottle "
            "in minutes: ask for 0 hours as well."
        )
        found.append(Finding(Level.NOTE, text, "hours"))
    found.append(Finding(Level.CARE, ROOM_WARNING, "room"))
    if question.place is Shut.CAR:
        found.append(Finding(Level.CARE, CARRY_WARNING, "car"))
    text = (
        f"A detector belongs {ALARM_HEIGHT_M:g} m over the floor near the bottle, read from the door; first "
        f"alarm {FIRST_ALARM_PPM:.0f} ppm, second {second_alarm_ppm(question.country):.0f} ppm. The 30 000 "
        "ppm of some codes comes late for a home."
    )
    found.append(Finding(Level.NOTE, text, "alarm", "ifc-2018-5307"))
    text = "Limits differ by country and change: check the current list where you live. This is an estimate."
    found.append(Finding(Level.NOTE, text, "limits"))
    return found


def _assumptions(question: RoomQuestion) -> list[Assumption]:
    return [
        Assumption("90 % limits of the changes of air", "half to twice"),
        Assumption("mixing of the room", "even; the floor is worse"),
        *assumed(
            question,
            {
                "air_changes_per_h": ("changes of air", show(question.air_changes_per_h, "per_h")),
                "hours_h": ("time over which it gets out", "at once"),
                "temperature_c": ("temperature of the room", show(question.temperature_c, "c")),
                "background_ppm": ("CO2 of the air let in", show(question.background_ppm, "ppm")),
                "volume_error_frac": ("90 % error of the volume", show(question.volume_error_frac, "frac")),
            },
        ),
    ]
