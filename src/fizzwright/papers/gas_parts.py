"""What the wide and the narrow gas-line drawing share: columns of numbers, marks, words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fizzwright.papers.svg import Box, escape, rect
from fizzwright.papers.typeface import Px, text_width
from fizzwright.papers.words import Shown, ascii_word, fixed, in_words, shown
from fizzwright.result import Estimate, Level, Trail
from fizzwright.stages.plan_result import PlanResult, Station
from fizzwright.units import System, convert, unit_text

__all__ = [
    "Links",
    "Row",
    "flow_unit",
    "lost_heavily",
    "marks",
    "pressure_unit",
    "rows",
    "tank_start",
    "tell",
    "widest",
]

_TANK_WORDS = ("diffuser", "hose", "inline", "reactor", "stone", "ladder", "frit", "disc", "atomiser")
_ORDER = (Level.NOTE, Level.CARE, Level.STOP)
_HEAVY_MG_H = 1.0
_POND_MG_H = 10_000.0


@dataclass(frozen=True)
class Links:
    """Where a station leads on a page: `address` with `{}` for its number, and the one chosen (0: none)."""

    address: str
    chosen: int = 0

    def around(self, station: Station, box: Box) -> str:
        """An unseen field over a station that leads to it, named for those who cannot see the drawing."""
        href, name = escape(self.address.format(station.number)), escape(f"{station.number} {station.name}")
        here = ' aria-current="true"' if station.number == self.chosen else ""
        return f'<a class="stn" href="{href}" aria-label="{name}"{here}>{rect("hit", box)}</a>'


@dataclass(frozen=True)
class Row:
    """One station's numbers as text; None where the quantity has no meaning there."""

    pressure: Shown | None
    flow: Shown | None
    lost: Shown | None


def flow_unit(stations: tuple[Station, ...]) -> str:
    """mg/h, or g/h for a line that feeds a pond."""
    return "g/h" if _largest_mg_h(stations) >= _POND_MG_H else "mg/h"


def _largest_mg_h(stations: tuple[Station, ...]) -> float:
    flows = [e for s in stations for e in (s.flow_mg_h, s.lost_mg_h) if e is not None]
    return max((abs(e.value) for e in flows), default=0.0)


def rows(stations: tuple[Station, ...], system: System) -> tuple[Row, ...]:
    """The numbers of every station; flows share one count of decimals, so that they can be added up."""
    unit = flow_unit(stations)
    largest = convert(_largest_mg_h(stations), "mg_h", unit)
    places = min(max(2 - math.floor(math.log10(largest)), int(unit == "g/h")), 2) if largest else 0

    def mass(estimate: Estimate | None) -> Shown | None:
        if estimate is None:
            return None
        value, low, high = (
            fixed(convert(x, "mg_h", unit), places) for x in (estimate.value, estimate.low, estimate.high)
        )
        return Shown(value, low, high, unit)

    return tuple(
        Row(
            None if s.pressure_barg is None else shown(s.pressure_barg, system),
            mass(s.flow_mg_h),
            mass(s.lost_mg_h),
        )
        for s in stations
    )


def widest(found: tuple[Row, ...], size: Px) -> Px:
    """Room the widest pair of limits takes."""
    cells = (cell for row in found for cell in (row.pressure, row.flow, row.lost) if cell is not None)
    return max((text_width(cell.limits, size) for cell in cells), default=0.0)


def tank_start(stations: tuple[Station, ...]) -> int:
    """The place in the line of the first station that stands in the tank: the diffuser."""
    for index, station in enumerate(stations):
        if any(word in ascii_word(station.name) for word in _TANK_WORDS):
            return max(index, 1)
    return max(len(stations) - 3, 1)


def lost_heavily(station: Station) -> bool:
    """Whether a station loses enough gas to be named in bold."""
    return station.lost_mg_h is not None and station.lost_mg_h.value > _HEAVY_MG_H


def marks(stations: tuple[Station, ...], trail: Trail) -> tuple[Level | None, ...]:
    """The gravest finding about each station, found by the station's name in what it is about."""
    found: list[Level | None] = []
    for station in stations:
        name = ascii_word(station.name)
        levels = [f.level for f in trail.findings if name and name in ascii_word(f.about)]
        found.append(max(levels, key=_ORDER.index) if levels else None)
    return tuple(found)


def tell(plan: PlanResult, system: System) -> str:
    """The line for somebody who cannot see it, station by station."""
    told = []
    for station in plan.stations:
        parts = [
            f"{in_words(e, system)} {what}"
            for e, what in (
                (station.pressure_barg, "after it"),
                (station.flow_mg_h, "goes on"),
                (station.lost_mg_h, "lost"),
            )
            if e is not None
        ]
        told.append(f"{station.number} {station.name}: " + ("; ".join(parts) if parts else "no figures"))
    return f"{len(plan.stations)} stations. " + ". ".join(told) + ". Bands hold nine days in ten."


def pressure_unit(system: System) -> str:
    """The unit of the pressure row."""
    return unit_text("barg", system)
