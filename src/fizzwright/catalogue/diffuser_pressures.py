"""The pressure at which each kind of diffuser starts to pass gas.

All of it is common practice without a source, checked only against the capillary pressure of the pores
such bodies have (10 µm 0.29 bar, 2 µm 1.5 bar). A reading of one's own replaces it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.job.words import Condition, DiffuserKind

__all__ = ["CHECK_VALVE", "CONDITION_FACTOR", "OPENING_PRESSURES", "OpeningPressure", "opening_pressure"]


@dataclass(frozen=True)
class OpeningPressure:
    """Pressure over the water around it at which gas starts, with 90 % limits. [bar g]"""

    low_barg: float
    mid_barg: float
    high_barg: float
    source: str = "common practice, no source"
    mark: str = "practice"


OPENING_PRESSURES: Mapping[DiffuserKind, OpeningPressure] = {
    DiffuserKind.FINE_CERAMIC: OpeningPressure(0.7, 1.3, 2.4),
    DiffuserKind.COARSE_CERAMIC: OpeningPressure(0.3, 0.55, 1.0),
    DiffuserKind.GLASS_FRIT: OpeningPressure(0.15, 0.35, 0.8),
    DiffuserKind.WOOD: OpeningPressure(0.1, 0.25, 0.6),
    DiffuserKind.AIR_STONE: OpeningPressure(0.02, 0.05, 0.15),
    DiffuserKind.LADDER: OpeningPressure(0.002, 0.005, 0.02),
    DiffuserKind.OPEN_TUBE: OpeningPressure(0.001, 0.003, 0.01),
    DiffuserKind.INLINE: OpeningPressure(1.2, 1.9, 3.0),
}

CONDITION_FACTOR: Mapping[Condition, float] = {
    Condition.CLEAN: 0.85,
    Condition.USED: 1.0,
    Condition.FOULED: 1.6,
}

# Spring check valves as sold for gas lines; industrial ones need 0.2 to 0.35 bar.
CHECK_VALVE = OpeningPressure(0.01, 0.03, 0.07)

_OPEN_ENDS = frozenset({DiffuserKind.LADDER, DiffuserKind.OPEN_TUBE})


def opening_pressure(kind: DiffuserKind, condition: Condition) -> OpeningPressure:
    """The opening pressure to expect of a diffuser in the state it is in.

    Slime and lime close the widest pores first, so a fouled disc needs more; an open end does not care.
    """
    row = OPENING_PRESSURES[kind]
    factor = 1.0 if kind in _OPEN_ENDS else CONDITION_FACTOR[condition]
    return OpeningPressure(row.low_barg * factor, row.mid_barg * factor, row.high_barg * factor)
