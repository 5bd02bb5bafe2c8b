"""The air right over the water, and how long a sample takes to come level with it, for the sum `air`."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fizzwright.engines.water.airing import (
    AIRING_PRIORS,
    AiringWay,
    Glass,
    airing_elapsed_h,
    hours_to_within_h,
    reacting_airing_curve,
    short_of_settled_ph,
)
from fizzwright.engines.water.conditional import CONDITIONAL_EQUATIONS, alkalinity_at_co2_meq_l
from fizzwright.engines.water.enhancement import ENHANCEMENT_EQUATIONS
from fizzwright.engines.water.gas_pressure import headspace_rise_ppm
from fizzwright.result import Basis, Estimate, Level
from fizzwright.stages.bench.water_draws import Array, Draws
from fizzwright.stages.bench.water_readings import Notes
from fizzwright.units import number_text, show

__all__ = ["Lid", "RoomAirDraws", "Sample", "airing_of", "under_lid"]

# A sample taken from a tank under gas.
SAMPLE_CO2_MG_L = 25.0
WITHIN_PH = 0.02


@dataclass(frozen=True)
class Lid:
    """A covered tank: what its water gives off, the air under the lid, how often that air changes."""

    given_off_mg_h: float
    headspace_l: float
    changes_per_h: float


@dataclass(frozen=True)
class RoomAirDraws:
    """CO2 of the air, at its middle and in draws."""

    middle_ppm: float
    drawn_ppm: Array


@dataclass(frozen=True)
class Sample:
    """A sample in a glass; `aired_h` is None where nobody asks how far off it is."""

    water_c: float
    ionic_strength_mol_l: float

    alk_meq_l: float
    depth_cm: float
    way: AiringWay
    aired_h: float | None


def under_lid(lid: Lid, room: RoomAirDraws, *, air_c: float, draws: Draws, notes: Notes) -> RoomAirDraws:
    """CO2 of the air under a lid."""
    rise = float(
        headspace_rise_ppm(lid.given_off_mg_h, lid.headspace_l, changes_per_h=lid.changes_per_h, air_c=air_c)
    )
    notes.ran(headspace_rise_ppm)
    notes.took("How well the air under the lid changes, x/÷ (90 %)", "2")
    notes.found(
        Level.CARE if rise > 0.5 * room.middle_ppm else Level.NOTE,
        f"The lid holds the tank's own CO2 back: the air under it stands {show(rise, 'ppm')} over the "
        "room's. A room meter does not see that, and water aired in the open settles "
        "lower than this tank ever does.",
        "lid",
        "headspace-balance",
    )
    return RoomAirDraws(room.middle_ppm + rise, room.drawn_ppm + rise * draws.skewed(0.5, 1.0, 2.0))


def airing_of(sample: Sample, level_mg_l: float, *, notes: Notes) -> tuple[Estimate, Estimate | None]:
    """Hours a sample needs to come level, and how far under its end it is after the hours asked about."""
    prior = AIRING_PRIORS[sample.way]
    notes.ran(airing_elapsed_h, alkalinity_at_co2_meq_l, *CONDITIONAL_EQUATIONS, *ENHANCEMENT_EQUATIONS)
    notes.took(
        f"Transfer velocity of a sample {prior.said}",
        f"{prior.median_cm_h:g} cm/h, {prior.low_cm_h:g} to {prior.high_cm_h:g} cm/h (90 %)",
        prior.source,
    )
    notes.took("CO2 of the sample at first", show(SAMPLE_CO2_MG_L, "mg_l"))
    hours, shorts = [], []
    for velocity in (prior.high_cm_h, prior.median_cm_h, prior.low_cm_h):
        glass = Glass(sample.depth_cm, velocity, sample.water_c, sample.ionic_strength_mol_l, level_mg_l)
        curve = reacting_airing_curve(SAMPLE_CO2_MG_L, sample.alk_meq_l, glass=glass)
        hours.append(hours_to_within_h(curve, WITHIN_PH))
        shorts.append(0.0 if sample.aired_h is None else short_of_settled_ph(curve, sample.aired_h))
    needed = Estimate(hours[1], "h", hours[0], hours[2], Basis.JUDGEMENT)
    if sample.aired_h is None:
        return needed, None
    short = Estimate(shorts[1], "ph", shorts[0], shorts[2], Basis.JUDGEMENT)
    if short.high > 0.03:
        notes.found(
            Level.CARE if short.value > 0.03 else Level.NOTE,
            f"After {show(sample.aired_h, 'h')} a sample {prior.said} is still "
            f"{number_text(short.value, 2)} pH low, up to {number_text(short.high, 2)}: KH worked out from "
            f"it reads {100 * (1 - math.pow(10, -short.value)):.0f} % low. It needs "
            f"{show(needed.value, 'h')}.",
            "aired-ph",
            "airing-with-buffering",
        )
    return needed, short
