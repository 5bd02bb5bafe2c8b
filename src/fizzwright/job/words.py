"""The words a job file may use: how the surface looks, what grows, who lives there, what parts are of."""

from __future__ import annotations

from enum import StrEnum

__all__ = [
    "AnimalGroup",
    "Condition",
    "CounterFluid",
    "Density",
    "DiffuserKind",
    "Lid",
    "PlantClass",
    "SurfaceClass",
    "TubeMaterial",
]


class SurfaceClass(StrEnum):
    """How the water's surface looks; sets the loss rate until a night of readings does."""

    FILMED = "filmed or still"
    BARELY = "barely moving"
    SMOOTH = "smooth but moving"
    RIPPLED = "rippled"
    STRONG = "strongly rippled"


class Lid(StrEnum):
    """What covers the tank; a closed cover keeps its own air over the water."""

    OPEN = "open"
    LOOSE = "loose cover"
    CLOSED = "closed hood"


class PlantClass(StrEnum):
    """How fast the plants of a bed grow."""

    SHADE = "slow shade plants"
    MIXED = "mixed"
    FAST = "fast stems or carpet"


class Density(StrEnum):
    """How thickly a bed is planted."""

    SPARSE = "sparse"
    MEDIUM = "medium"
    DENSE = "dense"


class AnimalGroup(StrEnum):
    """Groups of animals with a starting ceiling of their own."""

    ROBUST = "robust small tropical fish"
    AIR_BREATHING = "air-breathing fish"
    STREAM = "cool-water or stream fish"
    LARGE_CICHLID = "large cichlids or discus"
    GOLDFISH = "goldfish or carp"
    DELICATE = "fry, breeding, sick or unknown fish"
    NEW_FISH = "newly added fish"
    NEOCARIDINA = "hardy dwarf shrimp"
    CARIDINA = "soft-water dwarf shrimp"
    CRAYFISH = "crayfish or crabs"
    SNAILS = "snails or mussels"


class CounterFluid(StrEnum):
    """What the bubble counter is filled with."""

    WATER = "water"
    HALF_GLYCEROL = "half glycerol"
    GLYCEROL = "glycerol"
    PARAFFIN = "paraffin oil"
    SILICONE_OIL = "silicone oil"


class TubeMaterial(StrEnum):
    """Tube materials with a known permeability to CO2."""

    SILICONE = "silicone"
    EPDM = "epdm"
    SOFT_PVC = "soft pvc"
    POLYURETHANE = "polyurethane"
    POLYETHYLENE = "polyethylene"
    PTFE = "ptfe"
    NYLON = "nylon"


class DiffuserKind(StrEnum):
    """Kinds of diffuser the trade meets."""

    FINE_CERAMIC = "fine ceramic disc"
    COARSE_CERAMIC = "coarse ceramic disc"
    GLASS_FRIT = "glass frit"
    WOOD = "wooden airstone"
    AIR_STONE = "air stone"
    LADDER = "ladder"
    OPEN_TUBE = "open tube"
    INLINE = "in-hose atomiser"


class Condition(StrEnum):
    """State of the diffuser's surface."""

    CLEAN = "clean"
    USED = "used"
    FOULED = "fouled"
