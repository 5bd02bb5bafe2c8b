"""Where the job is and which parts are there already, so that a parts list fits the country and them."""

from __future__ import annotations

from pydantic import Field

from fizzwright.job.part_words import Country, Outlet, PartKind, SealMaterial
from fizzwright.job.quantities import Barg, Part, Watt

__all__ = ["Owned"]


class Owned(Part):
    """Country and parts there already; all of it optional."""

    region: Country | None = Field(default=None, description="country the bottle is filled and used in")
    owned: tuple[PartKind, ...] = Field(default=(), description="kinds of part there already")
    bottle_outlet: Outlet | None = Field(default=None, description="outlet of the bottle's valve, as stamped")
    regulator_inlet: Outlet | None = Field(
        default=None, description="outlet the regulator's inlet is made for, as stamped"
    )
    bottle_seal: SealMaterial | None = Field(
        default=None, description="material of washer or O-ring at the bottle"
    )
    check_valve_seat: SealMaterial | None = Field(
        default=None, description="material of the check valve's seat"
    )
    regulator_max_barg: Barg | None = Field(
        default=None, alias="regulator_max", ge=0.3, le=30, description="highest outlet the regulator gives"
    )
    low_side_max_barg: Barg | None = Field(
        default=None,
        alias="low_side_max",
        ge=0.1,
        le=60,
        description="lowest pressure marked on counter, check valve, tube or diffuser",
    )
    solenoid_w: Watt | None = Field(
        default=None, alias="solenoid_power", ge=0.3, le=40, description="power of the solenoid's coil"
    )
