"""Published limits of CO2 in room air by country, alarm points, and how a level compares with them.

Limits are for grown workers and change: check the current list where you live.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fizzwright.job.part_words import Country

__all__ = [
    "ALARM_HEIGHT_M",
    "CARRY_WARNING",
    "EIGHT_HOUR_PPM",
    "FIFTEEN_MINUTE_PPM",
    "FIRST_ALARM_PPM",
    "IMMEDIATE_DANGER_PPM",
    "ROOM_LIMITS",
    "ROOM_WARNING",
    "Over",
    "RoomLimit",
    "RoomVerdict",
    "limits_in",
    "second_alarm_ppm",
    "verdict_of",
]


class Over(StrEnum):
    """What a limit is counted over."""

    EIGHT_HOURS = "8 hours"
    FIFTEEN_MINUTES = "15 minutes"
    IMMEDIATE = "immediately dangerous"
    FIRST_ALARM = "first alarm"
    SECOND_ALARM = "second alarm"


@dataclass(frozen=True)
class RoomLimit:
    """One published limit of CO2 in air, who set it, and the countries it speaks for."""

    body: str
    over: Over
    co2_ppm: float
    countries: tuple[Country, ...]
    source: str
    mark: str


_US = (Country.UNITED_STATES,)
_UK = (Country.UNITED_KINGDOM,)
_AU = (Country.AUSTRALIA,)
_EU = (
    Country.AUSTRIA, Country.BELGIUM, Country.CZECHIA, Country.DENMARK, Country.FINLAND, Country.FRANCE,
    Country.GERMANY, Country.HUNGARY, Country.IRELAND, Country.ITALY, Country.NETHERLANDS, Country.POLAND,
    Country.SPAIN, Country.SWEDEN,
)  # fmt: skip

ROOM_LIMITS: tuple[RoomLimit, ...] = (
    RoomLimit("OSHA, US", Over.EIGHT_HOURS, 5_000.0, _US, "osha-1989-co2", "second hand"),
    RoomLimit("NIOSH, US", Over.EIGHT_HOURS, 5_000.0, _US, "niosh-idlh-co2", "seen"),
    RoomLimit("ACGIH", Over.EIGHT_HOURS, 5_000.0, (), "osha-1989-co2", "second hand"),
    RoomLimit("EH40, UK", Over.EIGHT_HOURS, 5_000.0, _UK, "eh40-co2", "second hand"),
    RoomLimit("European Union", Over.EIGHT_HOURS, 5_000.0, _EU, "trgs-900-co2", "second hand"),
    RoomLimit("AGW, Germany", Over.EIGHT_HOURS, 5_000.0, (Country.GERMANY,), "trgs-900-co2", "second hand"),
    RoomLimit("Australia", Over.EIGHT_HOURS, 5_000.0, _AU, "as-5034-co2", "second hand"),
    RoomLimit(
        "AGW, Germany", Over.FIFTEEN_MINUTES, 10_000.0, (Country.GERMANY,), "trgs-900-co2", "second hand"
    ),
    RoomLimit("EH40, UK", Over.FIFTEEN_MINUTES, 15_000.0, _UK, "eh40-co2", "second hand"),
    RoomLimit("NIOSH, US", Over.FIFTEEN_MINUTES, 30_000.0, _US, "niosh-idlh-co2", "seen"),
    RoomLimit("ACGIH", Over.FIFTEEN_MINUTES, 30_000.0, (), "osha-1989-co2", "second hand"),
    RoomLimit("Australia", Over.FIFTEEN_MINUTES, 30_000.0, _AU, "as-5034-co2", "second hand"),
    RoomLimit("NIOSH, US", Over.IMMEDIATE, 40_000.0, (), "niosh-idlh-co2", "seen"),
    RoomLimit("International Fire Code", Over.FIRST_ALARM, 5_000.0, _US, "ifc-2018-5307", "second hand"),
    RoomLimit("International Fire Code", Over.SECOND_ALARM, 30_000.0, _US, "ifc-2018-5307", "second hand"),
    RoomLimit("Australia, beverage gas", Over.FIRST_ALARM, 15_000.0, _AU, "as-5034-co2", "second hand"),
    RoomLimit("Australia, beverage gas", Over.SECOND_ALARM, 30_000.0, _AU, "as-5034-co2", "second hand"),
)


def _lowest_ppm(over: Over) -> float:
    return min(row.co2_ppm for row in ROOM_LIMITS if row.over is over)


EIGHT_HOUR_PPM = _lowest_ppm(Over.EIGHT_HOURS)
FIFTEEN_MINUTE_PPM = _lowest_ppm(Over.FIFTEEN_MINUTES)
IMMEDIATE_DANGER_PPM = _lowest_ppm(Over.IMMEDIATE)
FIRST_ALARM_PPM = _lowest_ppm(Over.FIRST_ALARM)
# The fire code wants the sensor within 305 mm (12 in) of the floor.
ALARM_HEIGHT_M = 0.3

ROOM_WARNING = (
    "A mixed-room figure understates the floor, where the heavy gas pools. On an alarm or a hiss: leave "
    "first, open up from outside, and do not go back in to help anyone; call for help. A detector belongs "
    "0.3 m above the floor near the bottle. An oxygen meter is no CO2 alarm. Not in a cellar, bedroom or car."
)
CARRY_WARNING = (
    "In a car: a short trip, valve shut and capped, regulator off, bottle upright or wedged, windows open, "
    "never left in it; a boot is not aired. Carriage rules and private limits differ: ask the filler."
)


class RoomVerdict(StrEnum):
    """How a peak compares with published limits; none of them is a promise to a child or a pet."""

    UNDER_EIGHT_HOUR = "under the 8-hour workplace limit"
    OVER_EIGHT_HOUR = "over the 8-hour workplace limit"
    OVER_FIFTEEN_MINUTE = "over the lowest 15-minute limit found"
    IMMEDIATE_DANGER = "at a level called immediately dangerous to life or health"


def verdict_of(peak_ppm: float) -> RoomVerdict:
    """How a peak in room air compares with the published limits."""
    if peak_ppm >= IMMEDIATE_DANGER_PPM:
        return RoomVerdict.IMMEDIATE_DANGER
    if peak_ppm >= FIFTEEN_MINUTE_PPM:
        return RoomVerdict.OVER_FIFTEEN_MINUTE
    if peak_ppm >= EIGHT_HOUR_PPM:
        return RoomVerdict.OVER_EIGHT_HOUR
    return RoomVerdict.UNDER_EIGHT_HOUR


def limits_in(country: Country | None) -> tuple[RoomLimit, ...]:
    """The limits found for a country; all of them where it is not named or none was found for it."""
    own = tuple(row for row in ROOM_LIMITS if country in row.countries)
    return own or ROOM_LIMITS


def second_alarm_ppm(country: Country | None) -> float:
    """Where the second alarm of a home is set: the country's 15-minute limit, else the lowest found. [ppm]

    A limit over 15 000 ppm comes too late for a home with children and animals; the lower one stands then.
    """
    own = [row.co2_ppm for row in limits_in(country) if row.over is Over.FIFTEEN_MINUTES]
    return min([*own, 15_000.0]) if own else FIFTEEN_MINUTE_PPM
