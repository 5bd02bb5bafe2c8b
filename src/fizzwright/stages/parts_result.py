"""What a parts list says: the answer of the stage `parts`."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.catalogue.part_kinds import Place
from fizzwright.result import Estimate, Trail
from fizzwright.stages.parts_prices import Cost

__all__ = ["PartLine", "PartsResult"]


@dataclass(frozen=True)
class PartLine:
    """One part in its place: how many, whether it is there already, what to look for, what it costs."""

    number: int
    place: Place
    kind: str
    detail: str
    count: int
    owned: bool
    mind: str
    cost: Cost | None


@dataclass(frozen=True)
class PartsResult:
    """The parts of one job in the order they are fitted.

    `refused` lists what must not be fitted, each with its reason; it is empty where all fits. `outlet` is
    "" where it is not known. `behind_needle_barg` is what diffuser, water and check valve ask for;
    `advised_barg` the outlet that makes the feed nearly deaf to it.
    """

    name: str
    region: str
    outlet: str
    thread: str
    seal: str
    lines: tuple[PartLine, ...]
    refused: tuple[str, ...]
    behind_needle_barg: Estimate
    advised_barg: Estimate
    needle_kv_l_h: Estimate
    needle_hole_um: Estimate
    needle_open_most_ml_min_n: Estimate
    release_ppm: Estimate
    largest_bottle_g: Estimate
    next_test: str
    to_buy: Cost | None
    to_renew_year: Cost | None
    not_priced: tuple[str, ...]
    trail: Trail
