"""Kinds of part the trade meets, what each is good for, and what it is not: no makers, no models."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fizzwright.job.part_words import PartKind
from fizzwright.job.words import DiffuserKind, TubeMaterial

__all__ = [
    "DIFFUSER_KINDS",
    "KINDS",
    "TUBE_MOST_BARG",
    "DiffuserRow",
    "KindRow",
    "Place",
    "kinds_at",
]


class Place(StrEnum):
    """Places along the line, in the order they are fitted."""

    BOTTLE = "bottle"
    SEAL = "seal at the bottle"
    REGULATOR = "regulator"
    SOLENOID = "solenoid valve"
    MANIFOLD = "manifold"
    NEEDLE = "needle valve"
    COUNTER = "bubble counter"
    CHECK_VALVE = "check valve"
    TUBE = "tube"
    DIFFUSER = "diffuser"
    ROUND_IT = "round about"


@dataclass(frozen=True)
class KindRow:
    """One kind of part: where it goes, what it does, what to mind; `refused` says why it is not used."""

    kind: PartKind
    place: Place
    does: str
    mind: str = ""
    refused: str = ""
    mark: str = "practice"


_K, _P = PartKind, Place
_FILLER = (
    "ask a licensed filler whether it may be re-valved, tested and stamped for CO2; never convert it yourself"
)
_ROWS = (
    KindRow(
        _K.REFILLABLE_BOTTLE,
        _P.BOTTLE,
        "holds the gas, mostly as liquid",
        "upright and strapped; by weight only",
    ),
    KindRow(_K.SECOND_HAND_BOTTLE, _P.BOTTLE, "as good as its stamp", f"out of date or unread: {_FILLER}"),
    KindRow(
        _K.SIPHON_BOTTLE,
        _P.BOTTLE,
        "gives liquid through a dip tube",
        refused="its dip tube sends liquid to the regulator: ice, a spoilt seat and too much pressure",
    ),
    KindRow(
        _K.EXTINGUISHER,
        _P.BOTTLE,
        "puts out fires",
        refused="discharge valve, dip tube and stamp are not for a regulator, and it may not hold CO2: "
        + _FILLER,
    ),
    KindRow(
        _K.SPORTS_TANK,
        _P.BOTTLE,
        "small bottle with a pin valve",
        "only with a regulator or adapter made for its pin",
    ),
    KindRow(
        _K.HOME_BOTTLE,
        _P.BOTTLE,
        "small bottle of a drinks system",
        "belongs to its filler; only with an adapter made and pressure-marked for it",
    ),
    KindRow(
        _K.CARTRIDGE,
        _P.BOTTLE,
        "16 to 95 g, used once",
        "its last quarter comes within days; never refill or scrap with gas in it",
    ),
    KindRow(
        _K.STRAP, _P.BOTTLE, "keeps the bottle from falling", "two straps, or one at two thirds of the height"
    ),
    KindRow(
        _K.WASHER,
        _P.SEAL,
        "makes the joint tight; the thread does not",
        "a new one at each swap, never two, no tape or grease",
    ),
    KindRow(
        _K.OUTLET_ADAPTER,
        _P.SEAL,
        "joins two different outlets",
        "only one made and pressure-marked for exactly this pair",
    ),
    KindRow(
        _K.HAND_REGULATOR,
        _P.REGULATOR,
        "brings the pressure down, opened by hand",
        "no clock shuts it: gas runs all night unless somebody turns it off",
    ),
    KindRow(
        _K.ONE_GAUGE_REGULATOR,
        _P.REGULATOR,
        "one stage, one gauge",
        "the gauge shows either bottle or outlet; a gauge counts no stages",
    ),
    KindRow(
        _K.TWO_GAUGE_REGULATOR,
        _P.REGULATOR,
        "one stage, two gauges",
        "two gauges are not two stages: the outlet still creeps up as the bottle falls",
    ),
    KindRow(
        _K.TWO_STAGE_REGULATOR,
        _P.REGULATOR,
        "two reductions in a row",
        "the outlet hardly moves at the end of the bottle",
    ),
    KindRow(
        _K.SOLENOID_REGULATOR,
        _P.REGULATOR,
        "one stage with a solenoid on a timer",
        "see what a stuck valve does",
    ),
    KindRow(
        _K.CARTRIDGE_REGULATOR,
        _P.REGULATOR,
        "pierces a cartridge",
        "made for one thread; the supply effect matters most here",
    ),
    KindRow(
        _K.SOLENOID,
        _P.SOLENOID,
        "lets the clock open and shut the gas",
        "normally shut, arrow along the flow, direct current with its diode; it warms a needle fixed to it",
    ),
    KindRow(
        _K.TIMER,
        _P.SOLENOID,
        "switches the solenoid",
        "keeps its time over a power cut, and keeps it off the water",
    ),
    KindRow(
        _K.MANIFOLD,
        _P.MANIFOLD,
        "parts one outlet into several before the needles",
        "one needle, counter and check valve each",
    ),
    KindRow(
        _K.NEEDLE,
        _P.NEEDLE,
        "sets the feed",
        "fine metering: a fully open flow of 20 to 50 times the feed, a filter before it",
    ),
    KindRow(
        _K.COARSE_NEEDLE,
        _P.NEEDLE,
        "sets litres a minute",
        refused="the feed would be less than half a per cent of its travel; it cannot be set or kept",
    ),
    KindRow(
        _K.TEE,
        _P.NEEDLE,
        "parts the gas behind one needle",
        refused="the diffuser that opens first takes all the gas: part it before the needles, one each",
    ),
    KindRow(
        _K.BUILT_IN_COUNTER,
        _P.COUNTER,
        "screwed to the regulator, often with a check valve",
        "a small gas space, even bubbles; still put a check valve near the tank",
    ),
    KindRow(
        _K.PLAIN_COUNTER, _P.COUNTER, "one tip under liquid", "count belongs to this tip and this pressure"
    ),
    KindRow(
        _K.SPIRAL_COUNTER, _P.COUNTER, "a long rise through liquid", "glass or acrylic: mind its pressure"
    ),
    KindRow(
        _K.COUNTER_FLUID,
        _P.COUNTER,
        "water or glycerol",
        "water dries out; in glycerol the bubble grows with the rate, so calibrate at the rate in use",
    ),
    KindRow(
        _K.GAS_CHECK_VALVE,
        _P.CHECK_VALVE,
        "spring-loaded, metal or hard plastic, seat that bears CO2",
        "outside the water, flow upwards; a new one each year",
    ),
    KindRow(
        _K.AIR_CHECK_VALVE,
        _P.CHECK_VALVE,
        "a rubber flap for air pumps",
        refused="its flap stiffens in CO2 and lets water past at low back pressure: use a spring one for gas",
    ),
    KindRow(
        _K.TUBE, _P.TUBE, "leads the gas", "cut square with a blade; spare length lets a fitting be cut anew"
    ),
    KindRow(
        _K.DIFFUSER,
        _P.DIFFUSER,
        "makes the bubbles",
        "low in strong current; clean it when its pressure rises",
    ),
    KindRow(
        _K.DROP_CHECKER,
        _P.ROUND_IT,
        "shows the CO2 of some hours ago by colour",
        "its own 4 dKH fluid, never tank water",
    ),
    KindRow(
        _K.ROOM_ALARM,
        _P.ROUND_IT,
        "warns of CO2 in the room",
        "0.3 m over the floor by the bottle; no oxygen meter",
    ),
    KindRow(_K.LEAK_LIQUID, _P.ROUND_IT, "shows leaks as bubbles", "free of ammonia, which cracks brass"),
    KindRow(_K.SCALE, _P.ROUND_IT, "tells what is left in the bottle", "5 g or finer"),
)
KINDS: Mapping[PartKind, KindRow] = {row.kind: row for row in _ROWS}


def kinds_at(place: Place) -> tuple[PartKind, ...]:
    """The kinds that go in one place, in the order of the list."""
    return tuple(row.kind for row in KINDS.values() if row.place is place)


@dataclass(frozen=True)
class DiffuserRow:
    """One diffuser as the trade names it, and the job's word for it where it has one."""

    trade_name: str
    job_kind: DiffuserKind | None
    note: str
    mark: str = "practice"


DIFFUSER_KINDS: tuple[DiffuserRow, ...] = (
    DiffuserRow("white disc", DiffuserKind.FINE_CERAMIC, "pale ceramic, mostly finer and harder to open"),
    DiffuserRow(
        "brown disc",
        DiffuserKind.COARSE_CERAMIC,
        "brown ceramic, mostly coarser; colour is a habit of makers, the opening pressure tells",
    ),
    DiffuserRow("glass frit", DiffuserKind.GLASS_FRIT, "sintered glass, opens easily, bubbles larger"),
    DiffuserRow("wooden airstone", DiffuserKind.WOOD, "fine bubbles at little pressure, rots in months"),
    DiffuserRow("air stone", DiffuserKind.AIR_STONE, "large bubbles, most of the gas escapes"),
    DiffuserRow("ladder", DiffuserKind.LADDER, "a long way up for large bubbles"),
    DiffuserRow(
        "open tube or bell", DiffuserKind.OPEN_TUBE, "a still gas surface; no pressure, little given"
    ),
    DiffuserRow("in-hose atomiser", DiffuserKind.INLINE, "in the filter's return, 1.5 to 3 bar"),
    DiffuserRow(
        "reactor", None, "a vessel in the filter's return that holds the gas until it dissolves; 0 to 0.1 bar"
    ),
)

# Working pressure common for tube of 4 x 6 mm at room temperature; the marking overrides.
TUBE_MOST_BARG: Mapping[TubeMaterial, float] = {
    TubeMaterial.SILICONE: 1.0,
    TubeMaterial.EPDM: 3.0,
    TubeMaterial.SOFT_PVC: 3.0,
    TubeMaterial.POLYURETHANE: 8.0,
    TubeMaterial.POLYETHYLENE: 8.0,
    TubeMaterial.PTFE: 10.0,
    TubeMaterial.NYLON: 15.0,
}
