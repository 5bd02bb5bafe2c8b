"""Bottles as the trade sells them, how full they may be, and when they are due for test.

Whatever stands here, the stamp, your filler and local law decide. Filling, testing and converting is for
licensed people only.
"""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.job.part_words import Country
from fizzwright.units import POUND_G

__all__ = [
    "ASSUMED_FILL_LASTING_KG_L",
    "ASSUMED_FILL_RELEASE_KG_L",
    "BOTTLE_SIZES",
    "FILL_LIMITS",
    "RELIEF_DISC_HIGH_BARG",
    "RELIEF_DISC_LOW_BARG",
    "RELIEF_DISC_MID_BARG",
    "RETESTS",
    "SHORTEST_RETEST_YEARS",
    "BottleSize",
    "FillLimit",
    "Retest",
    "retest_in",
]

# Where no charge and capacity are both known: little gas for how long it lasts, much gas for what a room
# or a hot bottle would see.
ASSUMED_FILL_LASTING_KG_L = 0.68
ASSUMED_FILL_RELEASE_KG_L = 0.76

# A 190 bar disc with its 10 % tolerance.
RELIEF_DISC_LOW_BARG = 171.0
RELIEF_DISC_MID_BARG = 190.0
RELIEF_DISC_HIGH_BARG = 209.0


@dataclass(frozen=True)
class FillLimit:
    """The most CO2 a litre of bottle may hold under one rule."""

    rule: str
    most_kg_l: float
    source: str
    mark: str


FILL_LIMITS: tuple[FillLimit, ...] = (
    FillLimit("US cylinders of 1800 psi service", 0.68, "title-49-cfr-173-304a", "seen"),
    FillLimit("US cylinders of 2000 psi service", 0.703, "title-49-cfr-173-304a", "seen"),
    FillLimit("US cylinders of 2265 psi service", 0.732, "title-49-cfr-173-304a", "seen"),
    FillLimit("US cylinders of 2400 psi service", 0.745, "title-49-cfr-173-304a", "seen"),
    FillLimit("UN and ADR, test pressure 190 bar", 0.68, "adr-p200", "memory"),
    FillLimit("UN and ADR, test pressure 250 bar", 0.76, "adr-p200", "memory"),
    FillLimit("German railways 1912, 1 kg to 1.34 L", 1 / 1.34, "reichsgesetzblatt-1912", "seen"),
)


@dataclass(frozen=True)
class BottleSize:
    """A size as sold: charge, inner volume, and the range its empty mass falls in (the stamp overrides)."""

    name: str
    region: str
    charge_g: float
    water_capacity_l: float
    tare_low_g: float
    tare_high_g: float
    mark: str = "memory"


def _us(pounds: float, tare_low_kg: float, tare_high_kg: float) -> BottleSize:
    charge_g = pounds * POUND_G
    capacity_l = charge_g / 1000.0 / 0.68
    return BottleSize(
        f"{pounds:g} lb", "US, Canada", charge_g, capacity_l, tare_low_kg * 1e3, tare_high_kg * 1e3
    )


def _eu(kilos: float, tare_low_kg: float, tare_high_kg: float) -> BottleSize:
    capacity_l = kilos / 0.75
    return BottleSize(
        f"{kilos:g} kg", "Europe", kilos * 1e3, capacity_l, tare_low_kg * 1e3, tare_high_kg * 1e3
    )


def _sized(name: str, region: str, kilos: float, fill_kg_l: float) -> BottleSize:
    """A size whose empty mass is known by its like only: 1.3 to 2 kg of metal for each kilo of gas."""
    return BottleSize(name, region, kilos * 1e3, kilos / fill_kg_l, 1.3e3 * kilos, 2.2e3 * kilos)


BOTTLE_SIZES: tuple[BottleSize, ...] = (
    _us(2.5, 1.8, 2.3),
    _us(5.0, 3.4, 3.7),
    _us(10.0, 6.0, 7.0),
    _us(15.0, 8.0, 9.0),
    _us(20.0, 11.0, 12.0),
    _us(50.0, 50.0, 52.0),
    _eu(0.5, 1.1, 1.5),
    _eu(1.0, 2.0, 3.0),
    _eu(2.0, 3.0, 4.5),
    _eu(5.0, 8.0, 10.0),
    _eu(6.0, 9.0, 11.0),
    _eu(10.0, 15.0, 18.0),
    _eu(20.0, 28.0, 35.0),
    *(_sized(f"{kilos:g} kg, UK", "UK", kilos, 0.75) for kilos in (2.0, 3.15, 5.0, 6.35, 34.0)),
    *(
        _sized(f"{kilos:g} kg, Australia", "Australia, New Zealand", kilos, 0.75)
        for kilos in (2.6, 6.0, 15.0, 22.0, 31.0)
    ),
    *(_sized(f"{kilos:g} kg, Japan", "Japan", kilos, 1 / 1.34) for kilos in (5.0, 7.0, 10.0, 30.0)),
    BottleSize("20 oz", "sports tank", 567.0, 0.83, 900.0, 1300.0),
)


@dataclass(frozen=True)
class Retest:
    """How often a country asks for a new test; a reminder, the stamp and local law decide."""

    region: str
    every_years: float
    countries: tuple[Country, ...]
    source: str
    mark: str
    note: str


_P200_COUNTRIES = (
    Country.AUSTRIA, Country.BELGIUM, Country.CZECHIA, Country.DENMARK, Country.FINLAND, Country.FRANCE,
    Country.GERMANY, Country.HUNGARY, Country.IRELAND, Country.ITALY, Country.NETHERLANDS, Country.NORWAY,
    Country.POLAND, Country.SPAIN, Country.SWEDEN, Country.SWITZERLAND, Country.TURKEY,
    Country.UNITED_KINGDOM,
)  # fmt: skip

RETESTS: tuple[Retest, ...] = (
    Retest(
        "US",
        5.0,
        (Country.UNITED_STATES,),
        "title-49-cfr-180-209",
        "seen",
        "longer intervals need conditions that pure CO2 does not meet; very small ones are looked at only",
    ),
    Retest(
        "Europe and UK",
        10.0,
        _P200_COUNTRIES,
        "adr-p200",
        "memory",
        "composite bottles 5 years unless approved for longer",
    ),
    Retest("New Zealand", 5.0, (Country.NEW_ZEALAND,), "nz-test-station", "seen", "by an approved station"),
    Retest(
        "Australia",
        5.0,
        (Country.AUSTRALIA,),
        "as-2337-3",
        "memory",
        "commonly quoted; due at the first filling after expiry, what is in it may be used up",
    ),
    Retest(
        "South Africa", 10.0, (Country.SOUTH_AFRICA,), "sans-10019", "second hand", "5 years once discharged"
    ),
)

# Where no rule was found for a country, the shortest one found stands in.
SHORTEST_RETEST_YEARS = min(row.every_years for row in RETESTS)


def retest_in(country: Country | None) -> Retest | None:
    """The test interval found for a country; None where it is not named or none was found."""
    return next((row for row in RETESTS if country in row.countries), None)
