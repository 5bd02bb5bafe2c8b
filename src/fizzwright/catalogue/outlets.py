"""Valve outlets of CO2 bottles and cartridges: thread, seal, country, and what mates with what.

A connection is right only where both sides name the same standard, or where an adapter is made and marked
with its pressure for exactly that pair. A thread that screws on proves nothing: several gases share one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fizzwright.job.part_words import Country, Outlet, SealMaterial

__all__ = [
    "BOTTLE_SEALS",
    "CARTRIDGES",
    "COUNTRY_OUTLETS",
    "OUTLETS",
    "SEALS",
    "OutletRow",
    "SealForm",
    "SealRow",
    "outlet_in",
]

_INCH_MM = 25.4


class SealForm(StrEnum):
    """How an outlet seals."""

    WASHER = "flat washer"
    RING = "O-ring"
    PIERCED = "rubber disc around a piercing pin"
    NONE = "none for a regulator"


@dataclass(frozen=True)
class OutletRow:
    """One outlet: outer thread diameter, pitch, which way it faces, how it seals, how well that is known.

    `diameter_mm` is nil where there is no screw thread.
    """

    outlet: Outlet
    thread: str
    diameter_mm: float
    pitch_mm: float
    external: bool
    seal: SealForm
    pin: bool
    note: str
    source: str
    mark: str


_TPI_14 = _INCH_MM / 14
_W, _R, _P = SealForm.WASHER, SealForm.RING, SealForm.PIERCED


def _row(
    outlet: Outlet, thread: str, size: tuple[float, float], seal: SealForm, words: tuple[str, str, str],
    *, external: bool = True, pin: bool = False,
) -> OutletRow:  # fmt: skip
    note, source, mark = words
    return OutletRow(outlet, thread, *size, external, seal, pin, note, source, mark)


_ROWS = (
    _row(
        Outlet.CGA_320,
        "0.825-14 NGO, right hand, external",
        (0.825 * _INCH_MM, _TPI_14),
        _W,
        (
            "flat nipple; a new loose washer each time, some nipples carry a fixed ring",
            "cga-v-1",
            "second hand",
        ),
    ),
    _row(
        Outlet.DIN_477_6,
        "W 21.8 x 1/14 in, right hand, external",
        (21.8, _TPI_14),
        _W,
        (
            "argon, helium and ammonia use the same outlet: the thread does not name the gas",
            "din-477-1",
            "second hand",
        ),
    ),
    _row(
        Outlet.BS_341_8,
        "0.860 in x 14 TPI, right hand, external",
        (0.860 * _INCH_MM, _TPI_14),
        _W,
        ("flat washer or a nipple with O-ring; India as IS 3224", "bs-341-3", "memory"),
    ),
    _row(
        Outlet.NF_C,
        "SI 21.7 x 1.814, right hand, external",
        (21.7, 1.814),
        _W,
        ("all inert gases share it", "nf-e-29-650", "second hand"),
    ),
    _row(
        Outlet.UNI_11144,
        "W 21.7 x 1/14 in, right hand, external",
        (21.7, _TPI_14),
        _W,
        ("formerly UNI 4406; washer or O-ring", "uni-11144", "memory"),
    ),
    _row(
        Outlet.ITC_EP6_C,
        "M 21.7 x 1.814, right hand, external",
        (21.7, 1.814),
        _W,
        ("read the stamp", "itc-ep-6", "memory"),
    ),
    _row(
        Outlet.AS_2473_30,
        "0.860 in x 14 TPI, right hand, external",
        (0.860 * _INCH_MM, _TPI_14),
        _W,
        ("read the stamp", "as-2473-2", "memory"),
    ),
    _row(
        Outlet.JIS_EXTERNAL,
        "W22-14, right hand, external",
        (22.0, _TPI_14),
        _W,
        ("eastern pattern; oxygen, nitrogen and argon share it", "jis-b-8246", "second hand"),
    ),
    _row(
        Outlet.JIS_INTERNAL,
        "W22-14, right hand, internal",
        (22.0, _TPI_14),
        _W,
        ("western pattern; oxygen, nitrogen and argon share it", "jis-b-8246", "second hand"),
        external=False,
    ),
    _row(
        Outlet.KS_W22,
        "W22 x 14, right hand, external",
        (22.0, _TPI_14),
        _W,
        ("as the external Japanese one", "jis-b-8246", "memory"),
    ),
    _row(
        Outlet.GB_15383,
        "G 5/8, right hand",
        (22.911, _TPI_14),
        _W,
        ("read the stamp", "gb-t-15383", "memory"),
    ),
    _row(
        Outlet.GOST,
        "G 3/4, right hand",
        (26.441, _TPI_14),
        _W,
        ("the washer is the only seal", "gost-outlet", "memory"),
    ),
    _row(
        Outlet.SPORTS_PIN,
        "0.825-14 NGO with a pin to press",
        (0.825 * _INCH_MM, _TPI_14),
        _R,
        (
            "the thread of CGA 320 in name; the valve opens only to a pin and seals on an O-ring",
            "common practice, no source",
            "memory",
        ),
        pin=True,
    ),
    _row(
        Outlet.HOME_SCREW,
        "TR 21 x 4 pin valve",
        (21.0, 4.0),
        _R,
        (
            "older home-carbonation bottles; owned by their filler, who decides",
            "common practice, no source",
            "memory",
        ),
        pin=True,
    ),
    _row(
        Outlet.HOME_BAYONET,
        "bayonet",
        (0.0, 0.0),
        _R,
        (
            "newer home-carbonation bottles; owned by their filler, who decides",
            "common practice, no source",
            "memory",
        ),
        pin=True,
    ),
    _row(
        Outlet.CARTRIDGE_PLAIN,
        "none, pierced",
        (0.0, 0.0),
        _P,
        ("8 and 12 g", "common practice, no source", "memory"),
    ),
    _row(
        Outlet.CARTRIDGE_16,
        "3/8-24 UNF",
        (9.525, _INCH_MM / 24),
        _P,
        ("16 g", "common practice, no source", "memory"),
    ),
    _row(
        Outlet.CARTRIDGE_45,
        "1/2-20 UNF",
        (12.7, _INCH_MM / 20),
        _P,
        ("45 g", "common practice, no source", "memory"),
    ),
    _row(
        Outlet.CARTRIDGE_74,
        "5/8-18 UNF",
        (15.875, _INCH_MM / 18),
        _P,
        ("74 to 95 g", "common practice, no source", "memory"),
    ),
    _row(
        Outlet.CARTRIDGE_M10,
        "M10 x 1, right hand",
        (10.0, 1.0),
        _P,
        ("60 to 950 g, made for welding", "common practice, no source", "memory"),
    ),
    _row(
        Outlet.EXTINGUISHER,
        "discharge valve",
        (0.0, 0.0),
        SealForm.NONE,
        (
            "discharge valve with a dip tube that sends liquid; other stamp and coating, perhaps another gas",
            "common practice, no source",
            "memory",
        ),
    ),
)
OUTLETS: Mapping[Outlet, OutletRow] = {row.outlet: row for row in _ROWS}

CARTRIDGES = frozenset(
    {
        Outlet.CARTRIDGE_PLAIN,
        Outlet.CARTRIDGE_16,
        Outlet.CARTRIDGE_45,
        Outlet.CARTRIDGE_74,
        Outlet.CARTRIDGE_M10,
    }
)

COUNTRY_OUTLETS: Mapping[Country, tuple[Outlet, ...]] = {
    **dict.fromkeys((Country.UNITED_STATES, Country.CANADA, Country.TAIWAN), (Outlet.CGA_320,)),
    **dict.fromkeys(
        (
            Country.GERMANY,
            Country.AUSTRIA,
            Country.NETHERLANDS,
            Country.BELGIUM,
            Country.SWITZERLAND,
            Country.DENMARK,
            Country.NORWAY,
            Country.SWEDEN,
            Country.FINLAND,
            Country.HUNGARY,
            Country.CZECHIA,
            Country.POLAND,
            Country.TURKEY,
        ),
        (Outlet.DIN_477_6,),
    ),
    **dict.fromkeys(
        (Country.UNITED_KINGDOM, Country.IRELAND, Country.INDIA, Country.HONG_KONG, Country.SOUTH_AFRICA),
        (Outlet.BS_341_8,),
    ),
    Country.FRANCE: (Outlet.NF_C,),
    Country.ITALY: (Outlet.UNI_11144,),
    Country.SPAIN: (Outlet.ITC_EP6_C,),
    **dict.fromkeys((Country.AUSTRALIA, Country.NEW_ZEALAND), (Outlet.AS_2473_30,)),
    Country.JAPAN: (Outlet.JIS_EXTERNAL, Outlet.JIS_INTERNAL),
    Country.SOUTH_KOREA: (Outlet.KS_W22,),
    Country.CHINA: (Outlet.GB_15383,),
    Country.RUSSIA: (Outlet.GOST,),
}


def outlet_in(country: Country | None) -> tuple[Outlet, ...]:
    """The outlets usual on refillable CO2 bottles of a country; none where it is not named."""
    return () if country is None else COUNTRY_OUTLETS[country]


@dataclass(frozen=True)
class SealRow:
    """One material against CO2: whether it serves as washer, as O-ring at bottle pressure, as low seat."""

    material: SealMaterial
    washer: bool
    bottle_ring: bool
    low_seat: bool
    why: str
    mark: str = "memory"


SEALS: Mapping[SealMaterial, SealRow] = {
    row.material: row
    for row in (
        SealRow(
            SealMaterial.NYLON, True, False, True, "hard flat washer; takes a set, so a new one each time"
        ),
        SealRow(SealMaterial.PTFE, True, True, True, "seals hard faces; creeps, so look again after a day"),
        SealRow(SealMaterial.FIBRE, True, False, False, "flat washer only, and only once"),
        SealRow(SealMaterial.EPDM, False, True, True, "takes up little CO2; too soft for a flat washer"),
        SealRow(SealMaterial.POLYURETHANE, False, True, True, "90 Shore A; vent it slowly"),
        SealRow(
            SealMaterial.FKM,
            False,
            False,
            True,
            "CO2 at bottle pressure dissolves into it and blisters it when vented fast",
        ),
        SealRow(
            SealMaterial.NBR,
            False,
            False,
            False,
            "CO2 at bottle pressure blisters it when vented fast, and acid water stiffens it",
        ),
        SealRow(SealMaterial.SILICONE, False, False, False, "swells, and lets CO2 through"),
    )
}
BOTTLE_SEALS = tuple(row.material for row in SEALS.values() if row.washer)
