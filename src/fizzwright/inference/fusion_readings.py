"""What a keeper can have read of a tank's CO2, each with the doubt that belongs to it."""

from __future__ import annotations

from dataclasses import dataclass, field

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.ionic import Ions

__all__ = [
    "AiredReading",
    "BesideCarbonate",
    "CheckerReading",
    "KitKh",
    "NightReading",
    "ProbeReading",
    "Readings",
    "RoomAirReading",
    "SaltSide",
]


@dataclass(frozen=True)
class KitKh:
    """A KH reading as limits: the truth lies over `low_dkh`, and at most at `high_dkh`.

    A drop kit reading N in steps of one gives N-1 and N; a reading rounded to half a degree gives a
    quarter either way.
    """

    low_dkh: float
    high_dkh: float


@dataclass(frozen=True)
class ProbeReading:
    """pH of the tank; `noise_ph` is what two readings differ by, one standard deviation."""

    ph: float
    noise_ph: float = 0.02


@dataclass(frozen=True)
class AiredReading:
    """pH of a sample brought level with the room's air, read with the same probe as the tank.

    `aired_h` is how long it was aired; None where its pH had stopped moving.
    """

    ph: float
    noise_ph: float = 0.02
    way: AiringWay = AiringWay.BUBBLED
    aired_h: float | None = None
    depth_cm: float = 5.0


@dataclass(frozen=True)
class RoomAirReading:
    """The air a sample was aired with; None where nobody measured it."""

    room_co2_ppm: float | None = None
    altitude_m: float = 0.0


@dataclass(frozen=True)
class CheckerReading:
    """The hue of a drop checker, and the KH of the water in it.

    `steady_h` is how long the CO2 has stood where it is; None where it has long been there.
    """

    hue_deg: float
    error_deg: float = 10.0
    kh_dkh: float = 4.0
    kh_error_frac: float = 0.05
    steady_h: float | None = None


@dataclass(frozen=True)
class NightReading:
    """A settled pH of the tank at a level known otherwise, as at the end of a night without gas.

    `level_error_factor` is one standard deviation as a factor.
    """

    ph: float
    co2_mg_l: float
    level_error_factor: float = 1.5
    noise_ph: float = 0.02


@dataclass(frozen=True)
class BesideCarbonate:
    """What a KH kit counts beside carbonate."""

    phosphate_mg_l: float = 0.0
    tint_doc_mg_l: float = 0.0
    silica_mg_l: float = 0.0
    boron_mg_l: float = 0.0
    ammonium_n_mg_l: float = 0.0


@dataclass(frozen=True)
class SaltSide:
    """What is known of the salts: all ions, or conductivity, a TDS pen and hardness; None where not."""

    ec_us_cm: float | None = None
    tds_mg_l: float | None = None
    hardness_mmol_l: float | None = None
    ions: Ions | None = None


@dataclass(frozen=True)
class Readings:
    """All readings of one water at one time; leave out what was not read.

    `offset_error_ph` is the calibration error of the probe, shared by every pH here.
    """

    water_c: float
    error_c: float = 0.5
    kits: tuple[KitKh, ...] = ()
    probe: ProbeReading | None = None
    offset_error_ph: float = 0.05
    aired: AiredReading | None = None
    room: RoomAirReading = field(default_factory=RoomAirReading)
    checkers: tuple[CheckerReading, ...] = ()
    night: NightReading | None = None
    beside: BesideCarbonate = field(default_factory=BesideCarbonate)
    salts: SaltSide = field(default_factory=SaltSide)
