"""What each tube material lets through at 25 °C, with limits and sources.

A permeability is an order more than a figure: fillers, plasticiser, hardness and humidity move it by a
factor of two. The limits below are meant as 90 %.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.job.words import TubeMaterial

__all__ = ["TUBES", "TubeRow"]


@dataclass(frozen=True)
class TubeRow:
    """One material: permeability to CO2, oxygen and nitrogen at 25 °C, and how it grows with warmth.

    `mark` says how well the CO2 figure is known: "second hand" or "memory".
    """

    material: TubeMaterial
    co2_low_barrer: float
    co2_barrer: float
    co2_high_barrer: float
    o2_barrer: float
    n2_barrer: float
    activation_j_mol: float
    source: str
    mark: str
    note: str


TUBES: Mapping[TubeMaterial, TubeRow] = {
    row.material: row
    for row in (
        TubeRow(
            TubeMaterial.SILICONE, 1800.0, 2560.0, 3600.0, 600.0, 280.0, 1000.0,
            "robb-1968", "second hand",
            "between pure silicone rubber, 3250, and a laboratory tube, 2013; can lose more than the feed",
        ),
        TubeRow(
            TubeMaterial.EPDM, 50.0, 100.0, 200.0, 25.0, 8.0, 25_000.0,
            "polymer-handbook-permeability", "memory",
            "80 to 110 for the plain rubber",
        ),
        TubeRow(
            TubeMaterial.SOFT_PVC, 18.0, 36.0, 72.0, 8.0, 4.0, 37_000.0,
            "silicone-tube-supplier-table", "memory",
            "20 to 60 by plasticiser; stiffens as that leaches out",
        ),
        TubeRow(
            TubeMaterial.POLYURETHANE, 5.0, 20.0, 40.0, 2.1, 0.67, 35_000.0,
            "polyurethane-resin-data", "memory",
            "31 for the softest type, 20 for ester of 85 Shore A, 5 for ester of 95 Shore A",
        ),
        TubeRow(
            TubeMaterial.POLYETHYLENE, 6.0, 12.6, 28.0, 2.9, 0.97, 38_900.0,
            "michaels-bixler-1961", "memory",
            "low-density; high-density loses a thirtieth of it",
        ),
        TubeRow(
            TubeMaterial.PTFE, 5.0, 10.0, 20.0, 4.2, 1.4, 20_000.0,
            "pasternak-1970", "memory",
            "also FEP and PFA, 7 to 13",
        ),
        TubeRow(
            TubeMaterial.NYLON, 1.0, 2.5, 5.0, 0.6, 0.2, 35_000.0,
            "polymer-handbook-permeability", "memory",
            "nylon 12, 1 to 4; stiff, so it needs push-in fittings",
        ),
    )
}  # fmt: skip
