"""What the sum `co2` asks for, and how its answers become readings that can be taken together."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.ionic import Ions
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked
from fizzwright.inference.fusion import (
    AiredReading,
    BesideCarbonate,
    CheckerReading,
    KitKh,
    NightReading,
    ProbeReading,
    Readings,
    RoomAirReading,
    SaltSide,
)
from fizzwright.stages.bench.water_readings import DGH_MMOL_L, KitReading

__all__ = [
    "COLOUR_HUES_DEG",
    "CheckerColour",
    "Co2Question",
    "checkers_of",
    "demand_a_route",
    "ions_of",
    "readings_of",
]

COLOUR_ERROR_DEG = 14.0


class CheckerColour(StrEnum):
    """The colour of a drop checker in a word."""

    YELLOW = "yellow"
    LIME = "yellow-green"
    GREEN = "green"
    TEAL = "blue-green"
    BLUE = "blue"


COLOUR_HUES_DEG = {
    CheckerColour.YELLOW: 106.0,
    CheckerColour.LIME: 120.0,
    CheckerColour.GREEN: 142.0,
    CheckerColour.TEAL: 178.0,
    CheckerColour.BLUE: 225.0,
}
MOLAR_G = {"ca": 40.078, "mg": 24.305, "na": 22.990, "k": 39.098, "cl": 35.453, "so4": 96.06, "no3": 62.005}


def _mg_l(option: str, ion: str) -> float | None:
    value: float | None = asked(option, f"{ion} from a water analysis", low=0.0, high=2000.0, default=None)
    return value


@dataclass(frozen=True)
class Co2Question:
    """Readings of one water at one time: pH with KH or an aired sample, or a drop checker, or all."""

    water_c: float = asked(
        "--temp", "water temperature", low=0.5, high=40.0, why="the constants hold for 0 to 40 °C"
    )
    ph: float | None = asked(
        "--ph", "pH of the tank, probe calibrated at 7 and 4", low=4.0, high=10.0, default=None
    )
    kh_dkh: float | None = asked("--kh", "KH as the kit reads it", low=0.05, high=40.0, default=None)
    ec_us_cm: float | None = asked(
        "--ec", "conductivity, as compensated to 25 °C", low=1.0, high=6000.0, default=None
    )
    tds_mg_l: float | None = asked(
        "--tds", "reading of a TDS pen, where there is no conductivity", low=1.0, high=4000.0, default=None
    )
    gh_dgh: float | None = asked("--gh", "general hardness", low=0.0, high=60.0, default=None)
    phosphate_mg_l: float = asked("--phosphate", "phosphate as PO4", low=0.0, high=400.0, default=0.0)
    tint_doc_mg_l: float = asked(
        "--tint-doc",
        "dissolved organic carbon: 5 light tint, 20 blackwater",
        low=0.0,
        high=60.0,
        default=0.0,
    )
    silica_mg_l: float = asked("--silica", "silica as SiO2", low=0.0, high=100.0, default=0.0)
    boron_mg_l: float = asked("--boron", "boron as B", low=0.0, high=10.0, default=0.0)
    ammonium_n_mg_l: float = asked(
        "--ammonium-n", "ammonium and ammonia as N", low=0.0, high=20.0, default=0.0
    )
    kit_step_dkh: float | None = asked(
        "--kit-step", "what one drop or one mark of the KH kit stands for", low=0.005, high=3.0, default=None
    )
    drop_kit: bool = asked(
        "--drop-kit", "the KH is a count of whole drops to the colour change", default=False
    )
    error_ph: float | None = asked(
        "--ph-error", "one standard deviation of the pH reading", low=0.0, high=0.5, default=None
    )
    error_c: float = asked(
        "--temp-error", "one standard deviation of the temperature, in °C", low=0.0, high=5.0, default=0.5
    )
    aired_ph: float | None = asked(
        "--aired-ph",
        "pH of a sample aired until it stood still, same probe",
        low=4.0,
        high=10.5,
        default=None,
    )
    aired_way: AiringWay = asked("--aired-way", "how the sample was aired", default=AiringWay.BUBBLED)
    aired_h: float | None = asked(
        "--aired-hours", "how long, where its pH was still moving", low=0.02, high=240.0, default=None
    )
    aired_depth_cm: float = asked(
        "--aired-depth", "depth of the sample in its glass", low=0.5, high=40.0, default=5.0
    )
    room_co2_ppm: float | None = asked(
        "--room-co2", "CO2 of the room's air the sample was aired with", low=200.0, high=20000.0, default=None
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=5000.0, default=0.0)
    checker_colour: CheckerColour | None = asked(
        "--checker-colour", "colour of the drop checker in a word", default=None
    )
    checker_hue_deg: float | None = asked(
        "--checker-hue",
        "CIELAB hue of the drop checker, instead of a word",
        low=60.0,
        high=300.0,
        default=None,
    )
    checker_kh_dkh: float = asked(
        "--checker-kh", "KH of the water in the checker", low=0.5, high=15.0, default=4.0
    )
    checker_steady_h: float | None = asked(
        "--checker-hours", "how long the CO2 has stood where it is", low=0.0, high=48.0, default=None
    )
    second_hue_deg: float | None = asked(
        "--second-hue", "hue of a second drop checker", low=60.0, high=300.0, default=None
    )
    second_kh_dkh: float = asked(
        "--second-kh", "KH of the water in the second checker", low=0.5, high=15.0, default=6.0
    )
    night_ph: float | None = asked(
        "--night-ph", "settled pH at the end of a night without gas", low=4.0, high=10.0, default=None
    )
    night_co2_mg_l: float = asked(
        "--night-co2", "CO2 taken for the end of that night", low=0.3, high=30.0, default=3.0
    )
    night_error_factor: float = asked(
        "--night-factor", "one standard deviation of that level, as a factor", low=1.01, high=4.0, default=1.5
    )
    ca_mg_l: float | None = _mg_l("--ca", "calcium")
    mg_mg_l: float | None = _mg_l("--mg", "magnesium")
    na_mg_l: float | None = _mg_l("--na", "sodium")
    k_mg_l: float | None = _mg_l("--k", "potassium")
    cl_mg_l: float | None = _mg_l("--cl", "chloride")
    so4_mg_l: float | None = _mg_l("--so4", "sulfate")
    no3_mg_l: float | None = _mg_l("--no3", "nitrate")


def demand_a_route(question: Co2Question) -> None:
    """Raise InputError where the readings given cannot lead to a CO2."""
    q = question
    checker = q.checker_hue_deg is not None or q.checker_colour is not None
    if q.ph is None and not checker:
        raise InputError(
            [Fault("--ph", "", "is needed, or the colour of a drop checker", 'For example --ph "6.6"')]
        )
    if q.ph is not None and not checker and q.kh_dkh is None and q.aired_ph is None and q.night_ph is None:
        raise InputError(
            [Fault("--kh", "", "is needed, or the pH of an aired sample", 'For example --kh "4 dKH"')]
        )
    if q.aired_ph is not None and q.ph is not None and q.aired_ph < q.ph - 0.3:
        raise InputError(
            [
                Fault(
                    "--aired-ph",
                    f"{q.aired_ph:.2f}",
                    "must not lie under the pH of the tank, since airing takes CO2 out",
                    "Read both again with the same probe.",
                )
            ]
        )


def ions_of(question: Co2Question) -> Ions | None:
    """The ions of a water analysis, or None where calcium was not given."""
    if question.ca_mg_l is None:
        return None
    amounts = {
        f"{ion}_mmol_l": (getattr(question, f"{ion}_mg_l") or 0.0) / molar for ion, molar in MOLAR_G.items()
    }
    return Ions(**amounts)


def checkers_of(question: Co2Question) -> tuple[CheckerReading, ...]:
    """One reading for each drop checker."""
    q = question
    found = []
    if q.checker_hue_deg is not None:
        found.append(CheckerReading(q.checker_hue_deg, kh_dkh=q.checker_kh_dkh, steady_h=q.checker_steady_h))
    elif q.checker_colour is not None:
        hue = COLOUR_HUES_DEG[q.checker_colour]
        found.append(
            CheckerReading(hue, COLOUR_ERROR_DEG, kh_dkh=q.checker_kh_dkh, steady_h=q.checker_steady_h)
        )
    if q.second_hue_deg is not None:
        found.append(CheckerReading(q.second_hue_deg, kh_dkh=q.second_kh_dkh, steady_h=q.checker_steady_h))
    return tuple(found)


def readings_of(question: Co2Question, kit: KitReading | None, *, error_ph: float) -> Readings:
    """The readings of a question, ready to be taken together."""
    q = question
    noise = min(0.02, error_ph)
    aired = night = None
    if q.aired_ph is not None:
        aired = AiredReading(q.aired_ph, max(noise, 0.005), q.aired_way, q.aired_h, q.aired_depth_cm)
    if q.night_ph is not None:
        night = NightReading(q.night_ph, q.night_co2_mg_l, q.night_error_factor)
    return Readings(
        water_c=q.water_c,
        error_c=q.error_c,
        kits=() if kit is None else (KitKh(kit.low_dkh, kit.high_dkh),),
        probe=None if q.ph is None else ProbeReading(q.ph, noise),
        offset_error_ph=max((error_ph**2 - noise**2) ** 0.5, 1e-3),
        aired=aired,
        room=RoomAirReading(q.room_co2_ppm, q.altitude_m),
        checkers=checkers_of(q),
        night=night,
        beside=BesideCarbonate(
            q.phosphate_mg_l, q.tint_doc_mg_l, q.silica_mg_l, q.boron_mg_l, q.ammonium_n_mg_l
        ),
        salts=SaltSide(
            q.ec_us_cm,
            q.tds_mg_l,
            None if q.gh_dgh is None else q.gh_dgh * DGH_MMOL_L,
            ions_of(q),
        ),
    )
