"""Where things stand in the tank: outlet, intake, diffuser, stones, beds, and the places worth trying.

`from_left` and `from_front` count from the glass on the left and in front, as one stands before the tank;
`height` counts up from the bottom glass.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from fizzwright.job.quantities import Cm, Mm, Part, quantity
from fizzwright.job.words import Density, PlantClass

__all__ = [
    "BedPlace",
    "BoxPlace",
    "Direction",
    "IntakeKind",
    "IntakePlace",
    "Layout",
    "OutletKind",
    "OutletPlace",
    "Spot",
]

Degrees = Annotated[float, quantity("deg")]
Litres_h = Annotated[float, quantity("l_h")]


class OutletKind(StrEnum):
    """How the filter gives its water back."""

    NOZZLE = "nozzle"
    SPRAY_BAR = "spray bar"
    FLARED = "flared"
    SKIMMER = "skimmer return"


class IntakeKind(StrEnum):
    """How the filter takes its water."""

    STRAINER = "strainer"
    SURFACE = "surface skimmer"


class Direction(StrEnum):
    """Where a stream points, as one stands before the tank."""

    RIGHT = "right"
    LEFT = "left"
    BACK = "back"
    FRONT = "front"
    UP = "up"
    DOWN = "down"


class OutletPlace(Part):
    """Where and how the filter's water comes back."""

    name: str = Field(default="outlet", min_length=1, max_length=40, description="what the drawing calls it")
    kind: OutletKind = Field(description="how the water leaves")
    from_left_cm: Cm = Field(alias="from_left", ge=0, le=600, description="middle of the opening")
    from_front_cm: Cm = Field(alias="from_front", ge=0, le=300, description="middle of the opening")
    height_cm: Cm = Field(alias="height", ge=0, le=200, description="up from the bottom glass")
    points: Direction = Field(default=Direction.RIGHT, description="where the stream points")
    tilt_deg: Degrees = Field(default=0.0, alias="tilt", ge=-80, le=80, description="how far it points down")
    turn_deg: Degrees = Field(
        default=0.0, alias="turn", ge=-80, le=80, description="how far it turns clockwise, seen from above"
    )
    flow_l_h: Litres_h = Field(
        alias="flow", ge=5, le=20000, description="real flow: bucket and watch, or the pump's curve"
    )
    bore_mm: Mm = Field(
        alias="bore",
        ge=1,
        le=200,
        description="opening across; of one hole for a spray bar; mouth of a flare",
    )
    holes: int = Field(default=1, strict=True, ge=1, le=200, description="holes in a spray bar")
    bar_length_cm: Cm = Field(
        default=20.0, alias="bar_length", ge=2, le=300, description="row of holes in a spray bar"
    )


class IntakePlace(Part):
    """Where the filter takes its water."""

    kind: IntakeKind = Field(default=IntakeKind.STRAINER, description="how the water is taken")
    from_left_cm: Cm = Field(alias="from_left", ge=0, le=600, description="middle of the intake")
    from_front_cm: Cm = Field(alias="from_front", ge=0, le=300, description="middle of the intake")
    height_cm: Cm = Field(alias="height", ge=0, le=200, description="up from the bottom glass")


class Spot(Part):
    """A place for the diffuser."""

    name: str = Field(min_length=1, max_length=40, description="one letter or a few words")
    from_left_cm: Cm = Field(alias="from_left", ge=0, le=600, description="middle of the diffuser")
    from_front_cm: Cm = Field(alias="from_front", ge=0, le=300, description="middle of the diffuser")
    height_cm: Cm = Field(alias="height", ge=0, le=200, description="up from the bottom glass")


class BoxPlace(Part):
    """One stone, root or other thing no water passes, as a box."""

    name: str = Field(default="stone", min_length=1, max_length=40, description="what the drawing calls it")
    from_left_cm: Cm = Field(alias="from_left", ge=0, le=600, description="its left side")
    from_front_cm: Cm = Field(alias="from_front", ge=0, le=300, description="its front side")
    height_cm: Cm = Field(
        default=0.0, alias="height", ge=0, le=200, description="its foot, up from the bottom glass"
    )
    length_cm: Cm = Field(alias="length", gt=0, le=600, description="left to right")
    width_cm: Cm = Field(alias="width", gt=0, le=300, description="front to back")
    tall_cm: Cm = Field(alias="tall", gt=0, le=200, description="foot to top")


class BedPlace(Part):
    """One planted area, as the box its leaves fill."""

    name: str = Field(min_length=1, max_length=40, description="what the drawing calls it")
    grows: PlantClass = Field(default=PlantClass.MIXED, description="how fast they grow")
    density: Density = Field(default=Density.MEDIUM, description="how thickly it is planted")
    from_left_cm: Cm = Field(alias="from_left", ge=0, le=600, description="its left side")
    from_front_cm: Cm = Field(alias="from_front", ge=0, le=300, description="its front side")
    height_cm: Cm | None = Field(
        default=None, alias="height", ge=0, le=200, description="its foot; on the ground where not given"
    )
    length_cm: Cm = Field(alias="length", gt=0, le=600, description="left to right")
    width_cm: Cm = Field(alias="width", gt=0, le=300, description="front to back")
    tall_cm: Cm = Field(alias="tall", gt=0, le=200, description="foot to the tips of the leaves")


class Layout(Part):
    """Where things stand in the tank; needed to see the water move."""

    outlet: OutletPlace
    intake: IntakePlace
    diffuser: Spot
    spots: tuple[Spot, ...] = ()
    outlets: tuple[OutletPlace, ...] = ()
    boxes: tuple[BoxPlace, ...] = ()
    beds: tuple[BedPlace, ...] = ()
