"""The sum `air`: the CO2 and pH of water that has nothing but the room's air to settle with."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from fizzwright.engines.water.airing import AiringWay
from fizzwright.engines.water.carbonate import (
    CONDITIONAL_EQUATIONS,
    PAIR_EQUATIONS,
    alkalinity_at_co2_meq_l,
    ph_from_co2,
)
from fizzwright.engines.water.gases import (
    CO2_AIR_EQUATIONS,
    ROOM_AIR,
    co2_air_equilibrium_mg_l,
    pressure_isa_atm,
)
from fizzwright.form import asked, check
from fizzwright.result import Basis, Estimate, Level, Trail, make_trail
from fizzwright.stages.bench.water_airing import Lid, RoomAirDraws, Sample, airing_of, under_lid
from fizzwright.stages.bench.water_draws import Array, Draws, limits
from fizzwright.stages.bench.water_readings import (
    KitReading,
    Notes,
    SaltReadings,
    kit_reading,
    salt_limits,
    salt_reading,
)
from fizzwright.units import DKH_MEQ_L, number_text, show

__all__ = ["AirAnswer", "AirQuestion", "air"]

# Weather moves the air pressure by about 3 % either way (90 %).
WEATHER_SD_FRAC = 0.018
# A room meter of the infra-red kind: 50 ppm and 3 % of the reading, one standard deviation.
METER_PPM, METER_FRAC = 50.0, 0.03


@dataclass(frozen=True)
class AirQuestion:
    """The air over the water, and the water where its pH is wanted too."""

    water_c: float = asked(
        "--temp", "water temperature", low=0.5, high=40.0, why="the solubility holds for 0 to 40 °C"
    )
    room_co2_ppm: float | None = asked(
        "--room-co2", "CO2 of the room's air over the tank", low=200.0, high=20000.0, default=None
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=5000.0, default=0.0)
    kh_dkh: float | None = asked(
        "--kh", "KH as the kit reads it, for the pH", low=0.05, high=40.0, default=None
    )
    ec_us_cm: float | None = asked(
        "--ec", "conductivity, as compensated to 25 °C", low=1.0, high=6000.0, default=None
    )
    kit_step_dkh: float | None = asked(
        "--kit-step", "what one drop or one mark of the KH kit stands for", low=0.005, high=3.0, default=None
    )
    drop_kit: bool = asked(
        "--drop-kit", "the KH is a count of whole drops to the colour change", default=False
    )
    lid_loss_mg_h: float | None = asked(
        "--lid-loss", "CO2 the water gives off under a lid", low=0.0, high=50000.0, default=None
    )
    headspace_l: float = asked("--headspace", "air under the lid", low=0.2, high=5000.0, default=10.0)
    lid_changes_per_h: float = asked(
        "--lid-changes", "how often that air is changed for the room's", low=0.1, high=500.0, default=10.0
    )
    aired_way: AiringWay = asked("--aired-way", "how a sample is aired", default=AiringWay.BUBBLED)
    aired_h: float | None = asked(
        "--aired-hours",
        "how long a sample was aired, to see how far off it is",
        low=0.02,
        high=240.0,
        default=None,
    )
    depth_cm: float = asked("--aired-depth", "depth of the sample", low=0.5, high=40.0, default=5.0)
    error_c: float = asked(
        "--temp-error", "one standard deviation of the temperature, in °C", low=0.0, high=5.0, default=0.5
    )


@dataclass(frozen=True)
class AirAnswer:
    """What the air leaves in the water; pH and airing are None where no KH was given.

    `airing_needs_h` is how long a sample of 25 mg/L takes to come within 0.02 pH, and
    `sample_short_ph` how far under its end one is after the hours asked about.
    """

    co2_mg_l: Estimate
    ph: Estimate | None
    air_pressure_atm: Estimate
    air_over_water_ppm: Estimate
    airing_needs_h: Estimate | None
    sample_short_ph: Estimate | None
    trail: Trail


def air(question: AirQuestion) -> AirAnswer:
    """CO2 and pH of water left to settle with the room's air.

    The band covers the room's CO2 (measured, or what lived-in rooms have), the weather, the temperature
    and, for the pH, the kit and the salts. Raises InputError for inputs out of range.
    """
    check(question)
    notes = Notes()
    draws = Draws()
    pressure = float(pressure_isa_atm(question.altitude_m))
    weather = draws.normal(1.0, WEATHER_SD_FRAC)
    warmth = np.clip(draws.normal(question.water_c, question.error_c), 0.0, 40.0)
    room, room_draws = _room(question, draws, notes=notes)
    if question.lid_loss_mg_h is not None:
        lid = Lid(question.lid_loss_mg_h, question.headspace_l, question.lid_changes_per_h)
        over = under_lid(
            lid, RoomAirDraws(room, room_draws), air_c=question.water_c, draws=draws, notes=notes
        )
        room, room_draws = over.middle_ppm, over.drawn_ppm
    level = float(co2_air_equilibrium_mg_l(question.water_c, room, altitude_m=question.altitude_m))
    # Uptake goes with pressure less the vapour's small share, so weather acts as a plain factor.
    levels = weather * co2_air_equilibrium_mg_l(warmth, room_draws, altitude_m=question.altitude_m)
    notes.ran(*CO2_AIR_EQUATIONS)
    notes.took("Weather moves the air pressure by 3 % (90 %)", "1.8 % standard deviation")
    if question.altitude_m == 0.0:
        notes.took("Height over the sea is not given", "0 m")
    if question.error_c == 0.5:
        notes.took("Doubt of the temperature, one standard deviation", "0.5 °C")
    ph = None
    if question.kh_dkh is not None:
        ph = _ph(question, level, draws=draws, drawn=(warmth, levels), notes=notes)
    airing, short = _airing(question, level, notes)
    _findings(question, level, ph, notes=notes)
    return AirAnswer(
        co2_mg_l=_estimate(level, levels, "mg_l"),
        ph=ph,
        air_pressure_atm=_estimate(pressure, pressure * weather, "atm"),
        air_over_water_ppm=_estimate(room, room_draws, "ppm"),
        airing_needs_h=airing,
        sample_short_ph=short,
        trail=make_trail(
            notes.equations,
            inputs=dataclasses.asdict(question),
            assumptions=notes.assumptions,
            findings=notes.findings,
        ),
    )


def _room(question: AirQuestion, draws: Draws, *, notes: Notes) -> tuple[float, Array]:
    if question.room_co2_ppm is None:
        notes.took(
            "The room's CO2 is not given; lived-in rooms",
            f"{show(ROOM_AIR.median_ppm, 'ppm')}, {show(ROOM_AIR.low_ppm, 'ppm')} to "
            f"{show(ROOM_AIR.high_ppm, 'ppm')} (90 %)",
            ROOM_AIR.source,
        )
        return ROOM_AIR.median_ppm, draws.skewed(ROOM_AIR.low_ppm, ROOM_AIR.median_ppm, ROOM_AIR.high_ppm)
    notes.took("Doubt of the room meter, one standard deviation", "50 ppm and 3 %")
    deviation = float(np.hypot(METER_PPM, METER_FRAC * question.room_co2_ppm))
    return question.room_co2_ppm, np.maximum(draws.normal(question.room_co2_ppm, deviation), 100.0)


def _airing(
    question: AirQuestion, level_mg_l: float, notes: Notes
) -> tuple[Estimate | None, Estimate | None]:
    """How long a sample of this water takes, where its KH is known."""
    if question.kh_dkh is None:
        return None, None
    alk = question.kh_dkh * DKH_MEQ_L
    sample = Sample(
        question.water_c, 1.3e-3 * alk + 2e-4, alk, question.depth_cm, question.aired_way, question.aired_h
    )
    return airing_of(sample, level_mg_l, notes=notes)


def _ph(
    question: AirQuestion, level_mg_l: float, *, draws: Draws, drawn: tuple[Array, Array], notes: Notes
) -> Estimate:
    warmth, levels = drawn
    kit = _kit(question, notes)
    readings = SaltReadings(question.ec_us_cm, None, None)
    salt = salt_reading(kit.middle_dkh * DKH_MEQ_L, readings, notes=notes)
    value = ph_from_co2(
        level_mg_l,
        kit.middle_dkh * DKH_MEQ_L,
        water_c=question.water_c,
        ionic_strength_mol_l=salt.ionic_strength_mol_l,
        hardness_mmol_l=salt.hardness_mmol_l,
    )
    strength, hardness = salt_limits(salt)
    values = ph_from_co2(
        levels,
        kit.drawn_dkh(draws) * DKH_MEQ_L,
        water_c=warmth,
        ionic_strength_mol_l=draws.skewed(*strength),
        hardness_mmol_l=draws.split(*hardness),
    )
    notes.ran(*CONDITIONAL_EQUATIONS, *PAIR_EQUATIONS, alkalinity_at_co2_meq_l)
    return _estimate(float(value), values, "ph")


def _kit(question: AirQuestion, notes: Notes) -> KitReading:
    reading = question.kh_dkh or 0.0
    return kit_reading(reading, question.kit_step_dkh, drops=question.drop_kit, notes=notes)


def _estimate(value: float, draws: Array, unit: str) -> Estimate:
    low, high = limits(draws)
    return Estimate(value, unit, min(low, value), max(high, value), Basis.PROPAGATED)


def _findings(question: AirQuestion, level_mg_l: float, ph: Estimate | None, *, notes: Notes) -> None:
    notes.found(
        Level.NOTE,
        f"Degassed water holds {show(level_mg_l, 'mg_l')} here. The trade's rule that one pH below degassed "
        "is 30 mg/L takes 3 mg/L for granted; in this room a drop of one pH is "
        f"{show(10 * level_mg_l, 'mg_l')}. A tank before its gas comes on is not degassed: animals and "
        "filter keep it higher.",
        "co2",
    )
    if question.room_co2_ppm is None:
        notes.found(
            Level.CARE,
            "The room's CO2 is guessed, and the answer goes with it one for one. A room meter beside the "
            "tank settles it; under a closed hood the air over the water is richer than the room's.",
            "room-co2",
            ROOM_AIR.source,
        )
    elif question.room_co2_ppm >= 5000.0:
        notes.found(
            Level.CARE,
            f"{show(question.room_co2_ppm, 'ppm')} is a figure at which people should air the room and look "
            "for the source: a leaking gas line, a flame, or too many people. Leave if anyone feels unwell.",
            "room-co2",
        )
    elif question.room_co2_ppm >= 1000.0:
        notes.found(
            Level.NOTE,
            "The room is stuffy. The water's own level rises with it, and the pH of degassed water falls by "
            f"{number_text(float(np.log10(question.room_co2_ppm / 420.0)), 2)} against fresh air.",
            "room-co2",
        )
    if ph is not None and question.kh_dkh is not None and question.kh_dkh >= 4.0:
        hours = "two to four hours" if question.kh_dkh >= 8.0 else "an hour"
        notes.found(
            Level.NOTE,
            f"At this KH a sample needs {hours} of bubbling with room air to get to this pH; a glass left "
            "standing overnight can still be 0.1 to 0.2 low. Stop, wait five minutes, and read again.",
            "ph",
        )
    if question.altitude_m >= 500.0:
        notes.found(
            Level.NOTE,
            f"At {show(question.altitude_m, 'm')} the thinner air leaves less of every gas in the water, "
            "oxygen too, so animals have less to spare.",
            "altitude",
            "standard-atmosphere-1976",
        )
