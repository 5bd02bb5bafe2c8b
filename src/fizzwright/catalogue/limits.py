"""Starting ceilings of CO2 for each group of animals, and floors of oxygen.

The CO2 figures are judgement: for most animals kept in planted tanks no trial of long, daily exposure was
found, and each row says how sure it is. They are starting ceilings; the animals have the last word.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fizzwright.job.words import AnimalGroup

__all__ = [
    "GROUP_LIMITS",
    "MAX_RISE_MG_L_H",
    "O2_FLOOR_MG_L",
    "O2_STOP_MG_L",
    "PLANTS_ONLY",
    "SHELL_KH_DKH",
    "TRADE_BAND_HIGH_MG_L",
    "TRADE_BAND_LOW_MG_L",
    "GroupLimit",
]


@dataclass(frozen=True)
class GroupLimit:
    """What one group is planned for and stopped at.

    `warm_kind` marks a group kept warm by nature, whose figures already count the warmth.
    `why` is the evidence in a sentence; `source` is a key of `data/sources`.
    """

    name: str
    target_low_mg_l: float
    target_high_mg_l: float
    soft_mg_l: float
    hard_mg_l: float
    confidence: str
    why: str
    source: str = "animal-ceilings"
    warm_kind: bool = False


PLANTS_ONLY = GroupLimit(
    "plants only", 20.0, 35.0, 45.0, 60.0, "medium",
    "no animals listed; more than 30 mg/L buys the plants a few per cent, and the room's people come first",
)  # fmt: skip

_NO_DATA = "no trial of long exposure was found for these animals"
GROUP_LIMITS: Mapping[AnimalGroup, GroupLimit] = {
    AnimalGroup.ROBUST: GroupLimit(
        AnimalGroup.ROBUST.value, 15.0, 25.0, 30.0, 40.0, "low to medium",
        "four warm-water species showed a stress response after one hour at 30 mg/L", "kates-2012",
    ),
    AnimalGroup.AIR_BREATHING: GroupLimit(
        AnimalGroup.AIR_BREATHING.value, 15.0, 25.0, 30.0, 40.0, "low to medium",
        "air breathers bear more, but need a free surface and breathable air above it", "damsgaard-2015",
    ),
    AnimalGroup.STREAM: GroupLimit(
        AnimalGroup.STREAM.value, 8.0, 15.0, 18.0, 25.0, "low",
        "stream fish: salmonids are kept under 20 mg/L, and cold makes narcosis come earlier", "tix-2018",
    ),
    AnimalGroup.LARGE_CICHLID: GroupLimit(
        AnimalGroup.LARGE_CICHLID.value, 10.0, 18.0, 22.0, 30.0, "low",
        f"kept at 28 °C and over, where the same mg/L is a higher pressure at the gill; {_NO_DATA}",
        warm_kind=True,
    ),
    AnimalGroup.GOLDFISH: GroupLimit(
        AnimalGroup.GOLDFISH.value, 10.0, 20.0, 25.0, 35.0, "low",
        "carp shun a plume of 60 mg/L; long exposure is little studied", "bzonek-mandrak-2022",
    ),
    AnimalGroup.DELICATE: GroupLimit(
        AnimalGroup.DELICATE.value, 5.0, 10.0, 12.0, 20.0, "low",
        f"young, breeding, ill or unknown fish get the widest margin; {_NO_DATA}",
    ),
    AnimalGroup.NEW_FISH: GroupLimit(
        AnimalGroup.NEW_FISH.value, 5.0, 12.0, 15.0, 25.0, "low",
        "blood takes hours to days to adapt; raise by 3 to 5 mg/L a day after a week", "damsgaard-2015",
    ),
    AnimalGroup.NEOCARIDINA: GroupLimit(
        AnimalGroup.NEOCARIDINA.value, 10.0, 20.0, 25.0, 30.0, "low", _NO_DATA,
    ),
    AnimalGroup.CARIDINA: GroupLimit(
        AnimalGroup.CARIDINA.value, 8.0, 15.0, 18.0, 25.0, "low", _NO_DATA,
    ),
    AnimalGroup.CRAYFISH: GroupLimit(
        AnimalGroup.CRAYFISH.value, 10.0, 20.0, 25.0, 35.0, "low to medium",
        "crayfish began to avoid CO2 at 35 mg/L in cool and 42 to 46 mg/L in warm water", "fredricks-2020",
    ),
    AnimalGroup.SNAILS: GroupLimit(
        AnimalGroup.SNAILS.value, 10.0, 20.0, 25.0, 40.0, "low to medium",
        "young mussels: half died in 28 days at 87 mg/L, shells eroded from 43 mg/L; keep KH at 3 or more",
        "waller-2017",
    ),
}  # fmt: skip

TRADE_BAND_LOW_MG_L = 20.0
TRADE_BAND_HIGH_MG_L = 30.0
MAX_RISE_MG_L_H = 10.0
SHELL_KH_DKH = 3.0

# Act at dawn below the floor; growth suffers under half of saturation, about 4 mg/L at 26 degC.
O2_FLOOR_MG_L = 5.0
O2_STOP_MG_L = 4.0
