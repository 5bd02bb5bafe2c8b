"""One tank as surveyed: the frozen model every stage starts from.

Attribute names carry their unit; the file spells the same field without it (`kh = "4 dKH"` becomes
`water.kh_dkh`). Every field says its allowed range and what to measure, and validation collects all
faults of a file before it complains. Defaults here are shown to the reader as assumptions by the stage
that uses them.
"""

from __future__ import annotations

from pydantic import Field, model_validator

from fizzwright.job.contradictions import contradictions
from fizzwright.job.layout import Layout
from fizzwright.job.owned import Owned
from fizzwright.job.quantities import (
    Alkalinity,
    Barg,
    Celsius,
    Clock,
    Cm,
    Cubic,
    Days,
    Gram,
    Litre,
    Metre,
    Mg,
    Mg_h,
    Mg_L,
    Minutes,
    Mm,
    Par,
    Part,
    Per_h,
    Ph,
    Ppm,
    Share,
    Us_cm,
    quantity,
)
from fizzwright.job.words import (
    AnimalGroup,
    Condition,
    CounterFluid,
    Density,
    DiffuserKind,
    Lid,
    PlantClass,
    SurfaceClass,
    TubeMaterial,
)

__all__ = [
    "Alkalinity",
    "AnimalGroup",
    "Animals",
    "Bottle",
    "Condition",
    "Counter",
    "CounterFluid",
    "Density",
    "Diffuser",
    "DiffuserKind",
    "GasLine",
    "Identity",
    "Job",
    "Layout",
    "Lid",
    "Light",
    "Owned",
    "Part",
    "PlantBed",
    "PlantClass",
    "Regulator",
    "Room",
    "Settings",
    "Surface",
    "SurfaceClass",
    "Tank",
    "Target",
    "Tube",
    "TubeMaterial",
    "Water",
    "WaterChange",
    "quantity",
]


class Identity(Part):
    """What the job is called and where its clock runs."""

    name: str = Field(min_length=1, max_length=80, description="what the papers call this tank")
    timezone: str = Field(default="Europe/Berlin", description="IANA time zone the tank's clocks run in")
    note: str = Field(default="", description="anything worth remembering")
    units: str = Field(
        default="metric", pattern="^(metric|us)$", description="units the papers show: metric or us"
    )


class Tank(Part):
    """Inside sizes and what stands in the water."""

    length_cm: Cm = Field(alias="length", ge=10, le=600, description="inside, along the front")
    width_cm: Cm = Field(alias="width", ge=8, le=300, description="inside, front to back")
    height_cm: Cm = Field(alias="height", ge=8, le=200, description="inside, bottom glass to rim")
    water_depth_cm: Cm = Field(
        alias="water_depth", ge=5, le=200, description="from the bottom glass to the surface"
    )
    substrate_depth_cm: Cm = Field(
        default=0.0, alias="substrate_depth", ge=0, le=60, description="mean depth of soil, sand or gravel"
    )
    substrate_porosity_frac: Share = Field(
        default=0.40, alias="substrate_porosity", ge=0, le=0.9, description="share of it that is water"
    )
    hardscape_volume_l: Litre = Field(
        default=0.0, alias="hardscape_volume", ge=0, le=5000, description="stone and wood, as water displaced"
    )
    extra_volume_l: Litre = Field(
        default=0.0, alias="extra_volume", ge=0, le=5000, description="water in filter, sump and hoses"
    )
    lid: Lid = Field(default=Lid.OPEN, description="what covers the tank")


class Water(Part):
    """The tank's water as read, and how well the kit reads it."""

    kh_dkh: Alkalinity = Field(alias="kh", ge=0.05, le=30, description="carbonate hardness, by titration")
    kh_step_dkh: Alkalinity = Field(
        default=1.0, alias="kh_step", ge=0.01, le=3, description="what one drop of the kit stands for"
    )
    temperature_c: Celsius = Field(
        alias="temperature", ge=10, le=34, description="by day, away from a heater"
    )
    ec_us_cm: Us_cm | None = Field(
        default=None, alias="ec", ge=5, le=5000, description="conductivity at 25 °C, better than a TDS figure"
    )
    tds_mg_l: Mg_L | None = Field(
        default=None, alias="tds", ge=5, le=4000, description="only if there is no conductivity reading"
    )
    ph: Ph | None = Field(default=None, ge=4, le=10, description="as read last, meter calibrated in 7 and 4")
    phosphate_mg_l: Mg_L = Field(
        default=0.0, alias="phosphate", ge=0, le=300, description="as PO4; it counts in the kit's KH"
    )
    tint_doc_mg_l: Mg_L = Field(
        default=0.0,
        alias="tint_doc",
        ge=0,
        le=60,
        description="dissolved organic carbon: clear 1 to 3, light tint 5, blackwater 20",
    )


class WaterChange(Part):
    """The regular water change."""

    share_frac: Share = Field(default=0.3, alias="share", ge=0, le=1, description="part of the water changed")
    every_days: Days = Field(default=7.0, alias="every", ge=0.5, le=120, description="time between changes")


class Surface(Part):
    """How the surface moves."""

    looks: SurfaceClass = Field(description="how the surface looks on an ordinary day")
    loss_per_h: Per_h | None = Field(
        default=None, alias="loss", ge=0.005, le=5, description="fitted to a gas-off night"
    )
    loss_spread_frac: Share | None = Field(
        default=None,
        alias="loss_spread",
        ge=0.005,
        le=1,
        description="one standard deviation of that fit, as a share",
    )


class Light(Part):
    """The lamp's clock and strength."""

    on_min: Clock = Field(alias="on", description="lamp on, tank time")
    off_min: Clock = Field(alias="off", description="lamp off, tank time")
    par_umol_m2_s: Par = Field(alias="par", ge=5, le=1000, description="at the top of the plants")
    ramp_min: Minutes = Field(
        default=0.0, alias="ramp", ge=0, le=240, description="time the lamp takes to come up, and to go down"
    )

    @property
    def hours_h(self) -> float:
        """Length of the lit period. [h]"""
        return ((self.off_min - self.on_min) % 1440) / 60


class PlantBed(Part):
    """One planted area."""

    grows: PlantClass = Field(default=PlantClass.MIXED, description="how fast they grow")
    cover_frac: Share = Field(alias="cover", gt=0, le=1, description="share of the bottom")
    density: Density = Field(default=Density.MEDIUM, description="how thickly the bed is planted")


class Animals(Part):
    """One group of animals."""

    group: AnimalGroup = Field(description="the group with the lowest ceiling that fits them")
    count: int = Field(strict=True, ge=1, le=5000, description="how many")
    mass_g: Gram = Field(alias="mass", ge=0.001, le=5000, description="mass of one animal")


class Bottle(Part):
    """The gas bottle."""

    charge_g: Gram = Field(
        alias="charge", ge=5, le=60000, description="gas when full, as stamped or labelled"
    )
    water_capacity_l: Litre | None = Field(
        default=None, alias="water_capacity", ge=0.005, le=100, description="as stamped on the shoulder"
    )
    remaining_g: Gram | None = Field(
        default=None, alias="remaining", ge=0, le=60000, description="gas left: weighed, less the tare"
    )
    gauge_barg: Barg | None = Field(
        default=None, alias="gauge", ge=0, le=250, description="high-pressure gauge, valve open"
    )
    tested: str | None = Field(
        default=None,
        pattern=r"^\d{4}-(0[1-9]|1[0-2])$",
        description="month of the last test as stamped, YYYY-MM",
    )
    shared_with: tuple[str, ...] = Field(default=(), description="job files of other tanks on this bottle")
    temperature_c: Celsius | None = Field(
        default=None,
        alias="temperature",
        ge=-10,
        le=60,
        description="where the bottle stands, if not the room",
    )


class Regulator(Part):
    """The pressure regulator."""

    stages: int = Field(default=1, strict=True, ge=1, le=2, description="one or two reductions of pressure")
    set_pressure_barg: Barg = Field(
        default=2.0, alias="set_pressure", ge=0.1, le=12, description="working gauge, gas flowing"
    )
    supply_effect_frac: Share | None = Field(
        default=None,
        alias="supply_effect",
        ge=0,
        le=0.1,
        description="outlet rise for each bar the inlet falls",
    )


class Counter(Part):
    """The bubble counter."""

    tip_mm: Mm | None = Field(default=None, alias="tip", ge=0.3, le=8, description="wetted rim of the tip")
    fluid: CounterFluid = Field(default=CounterFluid.WATER, description="what it is filled with")
    mg_per_bubble_mg: Mg | None = Field(
        default=None, alias="mg_per_bubble", ge=0.005, le=2, description="from a calibration"
    )
    calibration_spread_frac: Share = Field(
        default=0.08,
        alias="calibration_spread",
        ge=0.005,
        le=0.6,
        description="one standard deviation of that calibration, as a share",
    )


class Tube(Part):
    """The tube from the counter to the diffuser."""

    material: TubeMaterial = Field(default=TubeMaterial.POLYURETHANE, description="as printed on the tube")
    length_m: Metre = Field(default=2.0, alias="length", ge=0.02, le=60, description="counter to diffuser")
    bore_mm: Mm = Field(default=4.0, alias="bore", ge=0.5, le=20, description="inner diameter")
    outer_mm: Mm = Field(default=6.0, alias="outer", ge=0.8, le=30, description="outer diameter")


class Diffuser(Part):
    """What turns the gas into bubbles, and where it sits."""

    kind: DiffuserKind = Field(description="what makes the bubbles")
    condition: Condition = Field(default=Condition.USED, description="state of its surface")
    depth_cm: Cm = Field(alias="depth", ge=2, le=190, description="from the surface down to the diffuser")
    opening_barg: Barg | None = Field(
        default=None, alias="opening", ge=0, le=6, description="pressure at which gas starts"
    )
    disc_mm: Mm = Field(default=25.0, alias="disc", ge=3, le=200, description="diameter of disc or stone")
    hose_length_m: Metre | None = Field(
        default=None, alias="hose_length", ge=0.05, le=10, description="filter hose after an in-hose atomiser"
    )
    hose_bore_mm: Mm | None = Field(
        default=None, alias="hose_bore", ge=6, le=60, description="inner diameter of that hose"
    )
    skin_frac: Share | None = Field(
        default=None,
        alias="skin",
        ge=0,
        le=1,
        description="bubble surface, from timed beads: 0 as stiff as any water makes it, 1 as mobile",
    )
    skin_spread_frac: Share | None = Field(
        default=None,
        alias="skin_spread",
        ge=0.01,
        le=0.5,
        description="one standard deviation of that",
    )


class GasLine(Part):
    """From bottle to diffuser."""

    bottle: Bottle
    regulator: Regulator = Regulator()
    counter: Counter = Counter()
    tube: Tube = Tube()
    diffuser: Diffuser


class Room(Part):
    """The room the tank and the bottle stand in."""

    volume_m3: Cubic = Field(alias="volume", ge=3, le=20000, description="floor area times height")
    air_changes_per_h: Per_h = Field(
        default=0.5, alias="air_changes", ge=0.02, le=20, description="windows shut, doors as usual"
    )
    altitude_m: Metre = Field(
        default=100.0, alias="altitude", ge=-400, le=4500, description="of the place over the sea"
    )
    co2_ppm: Ppm | None = Field(
        default=None, alias="co2", ge=380, le=10000, description="room meter, by day, people as usual"
    )
    temperature_c: Celsius = Field(
        default=21.0, alias="temperature", ge=5, le=40, description="where bottle and line stand"
    )


class Target(Part):
    """The CO2 band wished for while the lamp is lit."""

    low_mg_l: Mg_L = Field(alias="low", ge=2, le=60, description="least CO2 wished for")
    high_mg_l: Mg_L = Field(alias="high", ge=3, le=80, description="most CO2 wished for")


class Settings(Part):
    """What the line is set to now."""

    feed_mg_h: Mg_h | None = Field(
        default=None, alias="feed", gt=0, le=60000, description="gas flow, if known"
    )
    gas_on_min: Clock | None = Field(default=None, alias="gas_on", description="gas on, tank time")
    gas_off_min: Clock | None = Field(default=None, alias="gas_off", description="gas off, tank time")


class Job(Part):
    """Everything known about one tank before the sums start."""

    job: Identity
    tank: Tank
    water: Water
    water_change: WaterChange = WaterChange()
    surface: Surface
    light: Light
    plants: tuple[PlantBed, ...] = ()
    animals: tuple[Animals, ...] = ()
    gasline: GasLine
    room: Room
    target: Target | None = None
    settings: Settings = Settings()
    parts: Owned = Owned()
    layout: Layout | None = None

    @model_validator(mode="after")
    def _geometry(self) -> Job:
        """Refuse what cannot stand in one tank; every contradiction is listed."""
        faults = list(contradictions(self))
        if faults:
            raise ValueError("\u0000".join(faults))
        return self
