"""What a survey makes a practitioner look at twice: water, room, gas line, light, living."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from fizzwright.catalogue.limits import O2_FLOOR_MG_L, O2_STOP_MG_L
from fizzwright.catalogue.room_air import (
    EIGHT_HOUR_PPM,
    FIFTEEN_MINUTE_PPM,
    IMMEDIATE_DANGER_PPM,
    ROOM_WARNING,
    verdict_of,
)
from fizzwright.engines.living.ceilings import WARM_FROM_C
from fizzwright.job.model import DiffuserKind, Job, Lid, SurfaceClass, TubeMaterial
from fizzwright.result import Finding, Level
from fizzwright.units import show

__all__ = ["Seen", "survey_findings"]

_COARSE = (DiffuserKind.COARSE_CERAMIC, DiffuserKind.WOOD, DiffuserKind.AIR_STONE, DiffuserKind.OPEN_TUBE)
PHOSPHATE_BUFFER_MG_L = 20.0


@dataclass(frozen=True)
class Seen:
    """What the findings are judged from: the job and a few of the survey's own numbers (middles)."""

    job: Job
    net_volume_l: float
    carbonate_kh_dkh: float
    whole_release_ppm: float
    dawn_o2_mg_l: float
    thinning_beds: tuple[str, ...]
    loss_fitted: bool
    today: date | None


def survey_findings(seen: Seen) -> tuple[Finding, ...]:
    """Every finding of the survey, in the order a practitioner walks the tank."""
    return (
        *_room(seen),
        *_bottle(seen),
        *_line(seen),
        *_surface(seen),
        *_water(seen),
        *_light_and_plants(seen),
        *_oxygen(seen),
    )


def _room(seen: Seen) -> Iterator[Finding]:
    """Whole bottle let go into the room."""
    ppm, job = seen.whole_release_ppm, seen.job
    if ppm < EIGHT_HOUR_PPM:
        return
    level = Level.NOTE
    if ppm >= FIFTEEN_MINUTE_PPM:
        level = Level.STOP if ppm >= IMMEDIATE_DANGER_PPM else Level.CARE
    charge, volume = show(job.gasline.bottle.charge_g / 1000, "kg"), show(job.room.volume_m3, "m3")
    text = (
        f"If all {charge} of gas got out at once, {volume} of air would hold about "
        f"{show(ppm, 'ppm', digits=2)} of CO2, {verdict_of(ppm)}. A smaller bottle, a larger room, airing "
        f"and a detector near the floor lower it. {ROOM_WARNING}"
    )
    yield Finding(level, text, "room", "well-mixed-room")


def _bottle(seen: Seen) -> Iterator[Finding]:
    """The periodic test of the bottle."""
    tested = seen.job.gasline.bottle.tested
    law = "The stamp, your filler and local law decide."
    if tested is None:
        text = f"The bottle's test date is not noted. Read the stamp before it is filled or fitted. {law}"
        yield Finding(Level.CARE, text, "bottle")
    elif seen.today is not None:
        year, month = (int(part) for part in tested.split("-"))
        age_months = 12 * (seen.today.year - year) + seen.today.month - month
        if age_months < 0:
            text = f"The bottle's test date {tested} lies in the future; read the stamp again. {law}"
            yield Finding(Level.CARE, text, "bottle")
        elif age_months >= 60:
            level = Level.CARE if age_months >= 120 else Level.NOTE
            text = (
                f"The bottle was tested {tested}, {age_months // 12} years ago. Tests run every 5 or 10 "
                f"years by country: ask the filler. {law}"
            )
            yield Finding(level, text, "bottle")


def _line(seen: Seen) -> Iterator[Finding]:
    """Tube and diffuser."""
    line, tank = seen.job.gasline, seen.job.tank
    if line.tube.material is TubeMaterial.SILICONE:
        text = (
            "Silicone tube lets through more CO2 than many tanks are fed. Use polyurethane or another "
            "tight tube, and silicone only for the last few centimetres, if at all."
        )
        yield Finding(Level.CARE, text, "tube", "robb-1968")
    diffuser = line.diffuser
    if diffuser.kind is DiffuserKind.INLINE and diffuser.hose_length_m is None:
        text = (
            "An in-hose atomiser needs hose behind it to dissolve the gas, and its length is not noted. "
            "Measure the hose from atomiser to outlet; under half a metre much of the gas leaves in "
            "bubbles."
        )
        yield Finding(Level.CARE, text, "diffuser")
    if diffuser.kind in _COARSE and diffuser.depth_cm < 30:
        text = (
            f"A {diffuser.kind} at {show(diffuser.depth_cm, 'cm')} makes bubbles that break the surface "
            "before they dissolve. Use a finer disc, an in-hose atomiser, or more depth."
        )
        yield Finding(Level.CARE, text, "diffuser")
    if diffuser.depth_cm > tank.water_depth_cm - tank.substrate_depth_cm:
        yield Finding(
            Level.CARE, "The diffuser is noted below the top of the substrate. Measure again.", "diffuser"
        )


def _surface(seen: Seen) -> Iterator[Finding]:
    """Lid, film, overflow and the reading that would settle the loss."""
    job = seen.job
    if job.tank.lid is Lid.CLOSED:
        text = (
            "Under a closed hood the CO2 that left the water hangs over it, so the tank settles higher "
            "than the room's air says. Leave a gap, or take the loss from a night of readings with the "
            "hood as it is."
        )
        yield Finding(Level.CARE, text, "lid")
    if job.surface.looks is SurfaceClass.FILMED:
        text = (
            "A still or filmed surface lets little oxygen in and little CO2 out: nights are short of "
            "oxygen and CO2 climbs all day. Skim it or point an outlet at it before more gas is set."
        )
        yield Finding(Level.CARE, text, "surface", "tank-surface-priors")
    if job.tank.extra_volume_l > 0.1 * seen.net_volume_l and not seen.loss_fitted:
        text = (
            "With a sump or large filter, overflow and return lose CO2 beside the tank's own surface. "
            "Expect the loss at the high end of its band until a night of readings tells."
        )
        yield Finding(Level.NOTE, text, "surface")
    if not seen.loss_fitted:
        text = (
            "The loss rate is judged by the look of the surface, good to a factor of about two. A night "
            "of pH readings with gas and lamp off narrows it more than anything else."
        )
        yield Finding(Level.NOTE, text, "surface", "tank-surface-priors")


def _water(seen: Seen) -> Iterator[Finding]:
    """What spoils the pH methods, and warmth."""
    water = seen.job.water
    step_frac = water.kh_step_dkh / water.kh_dkh
    if seen.carbonate_kh_dkh < 1.0:
        text = (
            f"Only about {show(seen.carbonate_kh_dkh, 'dkh', digits=2)} of carbonate hardness is left. pH "
            "and KH cannot tell CO2 here: a drop too many is all of it. Go by a drop checker with its own "
            "fluid, and by the pH of an aired sample."
        )
        yield Finding(Level.CARE, text, "kh", "drop-kit-rounding")
    elif step_frac >= 0.25:
        text = (
            f"One drop of the kit is {100 * step_frac:.0f} % of the KH, and so of the CO2 read from it. "
            "Titrate a double or fourfold sample and divide."
        )
        yield Finding(Level.CARE, text, "kh", "drop-kit-rounding")
    if water.ec_us_cm is None and water.tds_mg_l is None:
        text = "Conductivity is not noted; it settles the salts, worth a few per cent of CO2 and pH."
        yield Finding(Level.NOTE, text, "ec")
    if water.tint_doc_mg_l > 0 and water.kh_dkh <= 1.0:
        text = (
            "Tannins count as KH on the kit. At so low a KH they can be a good part of the reading; air a "
            "sample instead."
        )
        yield Finding(Level.CARE, text, "tint")
    if water.phosphate_mg_l >= PHOSPHATE_BUFFER_MG_L:
        text = (
            f"{show(water.phosphate_mg_l, 'mg_l')} of phosphate counts as KH on the kit; it is taken off "
            "here. At fertiliser doses it would not matter."
        )
        yield Finding(Level.NOTE, text, "phosphate")
    if water.temperature_c > WARM_FROM_C:
        text = (
            f"At {show(water.temperature_c, 'c')} water holds less oxygen, animals breathe more, and the "
            "same CO2 weighs more. Cool it if the animals allow, and move the surface at night."
        )
        yield Finding(Level.CARE, text, "temperature", "animal-ceilings")


def _light_and_plants(seen: Seen) -> Iterator[Finding]:
    """Whether the gas has anybody to feed, and the lamp."""
    job = seen.job
    cover = sum(bed.cover_frac for bed in job.plants)
    if not job.plants:
        text = (
            "No plants are listed. Gas would feed nothing and only burden what breathes; list the beds or "
            "leave it out."
        )
        yield Finding(Level.CARE, text, "plants")
    elif cover < 0.25:
        text = (
            f"Plants cover {100 * cover:.0f} % of the bottom. Most of the gas will leave by the surface; "
            "ask whether it is worth it."
        )
        yield Finding(Level.NOTE, text, "plants")
    if job.light.hours_h > 10:
        text = (
            f"{job.light.hours_h:g} hours of light are long; 6 to 8 are usual, and a longer day feeds "
            "algae as well."
        )
        yield Finding(Level.NOTE, text, "light")
    if job.plants and job.light.par_umol_m2_s < 25:
        text = "In so little light CO2 is seldom what the plants lack; expect small gains from gas."
        yield Finding(Level.NOTE, text, "light", "monsi-saeki-1953")
    for bed in seen.thinning_beds:
        text = f"The light cannot carry a bed as thick as {bed} for long; it will thin itself from below."
        yield Finding(Level.NOTE, text, "plants", "canopy-carbon-balance")


def _oxygen(seen: Seen) -> Iterator[Finding]:
    """Oxygen at dawn for the animals."""
    if not seen.job.animals or seen.dawn_o2_mg_l >= O2_FLOOR_MG_L:
        return
    short = seen.dawn_o2_mg_l < O2_STOP_MG_L
    level = Level.STOP if short else Level.CARE
    text = (
        f"Oxygen may fall to about {show(seen.dawn_o2_mg_l, 'mg_l', digits=2)} by the end of the night, "
        f"under the {O2_STOP_MG_L if short else O2_FLOOR_MG_L:.0f} mg/L animals on CO2 should keep. Move "
        "the surface or air the tank at night before any gas is set, and read oxygen at dawn."
    )
    yield Finding(level, text, "oxygen", "boyd-hanson-2010")
