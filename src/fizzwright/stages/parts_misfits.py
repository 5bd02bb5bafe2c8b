"""Every reason two parts do not belong together: thread, seal, pressure, elastomer, kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fizzwright.catalogue.outlets import (
    BOTTLE_SEALS,
    CARTRIDGES,
    OUTLETS,
    SEALS,
    OutletRow,
    SealForm,
    outlet_in,
)
from fizzwright.catalogue.part_kinds import KINDS, TUBE_MOST_BARG
from fizzwright.engines.gasline.regulator_rest import LOCK_UP_HIGH_BARG
from fizzwright.job.model import Job
from fizzwright.job.part_words import Country, Outlet, PartKind, SealMaterial
from fizzwright.job.words import CounterFluid, TubeMaterial
from fizzwright.result import Finding, Level
from fizzwright.units import show

__all__ = ["NEVER_AT_THE_OUTLET", "Joined", "bottle_outlet_of", "misfits", "outlet_misfit"]

NEVER_AT_THE_OUTLET = (
    "Never an adapter between gas families, tape on a flat seat, two washers, a used washer, oil, "
    "grease or "
    "force. Open slowly with the face aside; look for leaks at the nut after 10 minutes and after a day."
)
# Threads this near start to screw together and then meet the wrong seat.
_NEAR_MM = 1.0


@dataclass(frozen=True)
class Joined:
    """What is to be joined: the job, the country, and the pressures the line comes to.

    `behind_barg` is what stands behind the needle at the feed, on its high side.
    """

    job: Job
    country: Country | None
    behind_barg: float


def bottle_outlet_of(job: Job, country: Country | None) -> Outlet | None:
    """The outlet of the job's bottle: as stamped, by its kind, or the usual one of the country.

    None where the country has two patterns or is not named.
    """
    if job.parts.bottle_outlet is not None:
        return job.parts.bottle_outlet
    by_kind = {PartKind.SPORTS_TANK: Outlet.SPORTS_PIN, PartKind.EXTINGUISHER: Outlet.EXTINGUISHER}
    for kind, outlet in by_kind.items():
        if kind in job.parts.owned:
            return outlet
    if PartKind.CARTRIDGE in job.parts.owned or PartKind.HOME_BOTTLE in job.parts.owned:
        return None
    usual = outlet_in(country)
    return usual[0] if len(usual) == 1 else None


def misfits(joined: Joined) -> tuple[Finding, ...]:
    """Everything in the job that must not be joined, and what to mind where it may be."""
    return (
        *_refused_kinds(joined),
        *_outlets(joined),
        *_seals(joined),
        *_pressures(joined),
        *_regulators(joined),
        *_liquids(joined),
    )


def _stop(text: str, about: str, source: str = "") -> Finding:
    return Finding(Level.STOP, text, about, source)


def _refused_kinds(joined: Joined) -> Iterator[Finding]:
    for kind in dict.fromkeys(joined.job.parts.owned):
        if KINDS[kind].refused:
            yield _stop(f"The {kind.value} is refused: {KINDS[kind].refused}.", kind.value)
    tested = joined.job.gasline.bottle.tested
    if PartKind.SECOND_HAND_BOTTLE in joined.job.parts.owned and tested is None:
        yield _stop(
            "The second-hand bottle is refused until its test stamp is read: a bottle out of date or "
            "unread "
            "is tested, or re-valved and stamped, by a licensed filler or inspection body, or not used at "
            "all. Its colour says nothing; the label does.",
            "second-hand bottle",
        )


def outlet_misfit(bottle: Outlet, regulator: Outlet) -> str:
    """Why a regulator made for one outlet does not go on another; "" where it does."""
    if bottle is regulator:
        return ""
    have, made = OUTLETS[bottle], OUTLETS[regulator]
    names = f"the bottle has {bottle.value} ({have.thread}), the regulator is made for {regulator.value}"
    if have.seal is SealForm.NONE or made.seal is SealForm.NONE:
        return f"{names}: an extinguisher's valve takes no regulator"
    if have.pin != made.pin:
        return (
            f"{names} ({made.thread}): one valve opens only to a pin and seals on an O-ring, the other "
            "on a "
            "washer; a thread that screws on proves nothing"
        )
    if (bottle in CARTRIDGES) != (regulator in CARTRIDGES):
        return f"{names}: a cartridge is pierced, a bottle is screwed on a seat"
    if have.external != made.external:
        return f"{names}: one thread is external, the other internal"
    return f"{names} ({made.thread}): {_thread_reason(have, made)}"


def _thread_reason(have: OutletRow, made: OutletRow) -> str:
    apart = abs(have.diameter_mm - made.diameter_mm)
    if (
        have.diameter_mm
        and made.diameter_mm
        and apart < _NEAR_MM
        and abs(have.pitch_mm - made.pitch_mm) < 0.05
    ):
        return (
            f"{have.diameter_mm:.2f} and {made.diameter_mm:.2f} mm are near enough to start or to drop in, "
            "but seat and length differ, and it can let go under pressure"
        )
    return "other thread, other seat"


def _outlets(joined: Joined) -> Iterator[Finding]:
    parts = joined.job.parts
    bottle = bottle_outlet_of(joined.job, joined.country)
    if bottle is None:
        usual = outlet_in(joined.country)
        which = f", {usual[0].value} or {usual[1].value} in {joined.country}," if len(usual) > 1 else ""
        yield Finding(
            Level.CARE,
            f"The outlet of the bottle{which} is not known. Read it off the valve or ask the filler before "
            f"anything is bought for it. {NEVER_AT_THE_OUTLET}",
            "bottle outlet",
        )
        return
    row = OUTLETS[bottle]
    usual = outlet_in(joined.country)
    if usual and bottle not in usual and bottle not in CARTRIDGES and not row.pin:
        yield Finding(
            Level.CARE,
            f"{bottle.value} is not the outlet fillers in {joined.country} use ({usual[0].value}). Ask "
            "before you buy: a filler may not take the bottle, and no adapter makes up for that.",
            "bottle outlet",
        )
    if parts.regulator_inlet is not None:
        reason = outlet_misfit(bottle, parts.regulator_inlet)
        if reason and PartKind.OUTLET_ADAPTER in parts.owned:
            yield Finding(
                Level.CARE,
                f"Only an adapter joins these: {reason}. It must be made and marked with its pressure for "
                f"exactly this pair by the gas or regulator supplier; else do not fit it. "
                f"{NEVER_AT_THE_OUTLET}",
                "outlet adapter",
            )
        elif reason:
            yield _stop(f"Thread: {reason}. {NEVER_AT_THE_OUTLET}", "regulator inlet", _source(row))
    if row.outlet is Outlet.EXTINGUISHER and PartKind.EXTINGUISHER not in parts.owned:
        yield _stop(
            f"The extinguisher valve is refused: {KINDS[PartKind.EXTINGUISHER].refused}.", "bottle outlet"
        )


def _source(row: OutletRow) -> str:
    return row.source if " " not in row.source else ""


def _seals(joined: Joined) -> Iterator[Finding]:
    parts = joined.job.parts
    bottle = bottle_outlet_of(joined.job, joined.country)
    seal = parts.bottle_seal
    if seal is not None and bottle is not None:
        row, form = SEALS[seal], OUTLETS[bottle].seal
        if form is SealForm.WASHER and not row.washer:
            usable = ", ".join(material.value for material in BOTTLE_SEALS)
            yield _stop(
                f"Seal: {bottle.value} seals on a flat washer, and {seal.value} is none for bottle "
                "pressure: "
                f"{row.why}. Take {usable}, a new one each time.",
                "bottle seal",
            )
        elif form is SealForm.RING and not row.bottle_ring:
            yield _stop(
                f"Elastomer: an O-ring of {seal.value} at bottle pressure: {row.why}. Take EPDM, "
                "polyurethane of 90 Shore A or PTFE, and vent slowly.",
                "bottle seal",
            )
    seat = parts.check_valve_seat
    if seat is not None and not SEALS[seat].low_seat:
        yield _stop(
            f"Elastomer: a check valve seat of {seat.value}: {_seat_reason(seat)}. Take one of EPDM or FKM "
            "with a spring.",
            "check valve",
        )


def _seat_reason(seat: SealMaterial) -> str:
    return {
        SealMaterial.NBR: "it stiffens in acid water and lets water past",
        SealMaterial.SILICONE: "it swells in CO2 and lets gas through",
        SealMaterial.FIBRE: "fibre soaks and is no valve seat",
    }.get(seat, SEALS[seat].why)


def _pressures(joined: Joined) -> Iterator[Finding]:
    job, parts = joined.job, joined.job.parts
    regulator, tube = job.gasline.regulator, job.gasline.tube
    needed = joined.behind_barg
    if regulator.set_pressure_barg <= needed:
        yield _stop(
            f"Pressure: the regulator is set to {show(regulator.set_pressure_barg, 'barg')}, and diffuser, "
            f"water and check valve may ask for {show(needed, 'barg', digits=2)}: no gas would come. Set "
            "more, or take a diffuser that opens at less.",
            "set pressure",
        )
    if parts.regulator_max_barg is not None and parts.regulator_max_barg < max(
        needed, regulator.set_pressure_barg
    ):
        yield _stop(
            f"Pressure: the regulator gives {show(parts.regulator_max_barg, 'barg')} at most, and "
            f"{show(max(needed, regulator.set_pressure_barg), 'barg', digits=2)} is wanted.",
            "regulator",
        )
    reached = regulator.set_pressure_barg + LOCK_UP_HIGH_BARG
    if parts.low_side_max_barg is not None and parts.low_side_max_barg < reached:
        yield _stop(
            f"Pressure: a part marked for {show(parts.low_side_max_barg, 'barg')} would see "
            f"{show(reached, 'barg', digits=2)} when the flow stops or the diffuser clogs. Set less, or "
            "take "
            "a part marked for more; glass and acrylic burst.",
            "low side",
        )
    most = TUBE_MOST_BARG[tube.material]
    if reached > most:
        yield _stop(
            f"Pressure: {tube.material.value} tube is for about {show(most, 'barg', digits=2)}, and would "
            f"see {show(reached, 'barg', digits=2)} when the diffuser clogs. Set less, or take another "
            "tube; "
            "the marking on the tube decides.",
            "tube",
        )


def _regulators(joined: Joined) -> Iterator[Finding]:
    owned, line = joined.job.parts.owned, joined.job.gasline
    one_stage = {PartKind.ONE_GAUGE_REGULATOR, PartKind.TWO_GAUGE_REGULATOR, PartKind.SOLENOID_REGULATOR}
    if line.regulator.stages == 2 and one_stage & set(owned) and PartKind.TWO_STAGE_REGULATOR not in owned:
        yield _stop(
            "The job counts on two stages, and the regulator at hand has one. Two gauges are not two "
            "stages: "
            "one shows the bottle, the other the outlet. Write stages = 1, or get a two-stage one.",
            "regulator",
        )
    bottle = bottle_outlet_of(joined.job, joined.country)
    cartridge = PartKind.CARTRIDGE in owned or bottle in CARTRIDGES
    if cartridge and PartKind.CARTRIDGE_REGULATOR not in owned and one_stage & set(owned):
        yield _stop(
            "A cartridge needs a regulator that pierces it; the one at hand is for bottles.", "regulator"
        )
    if PartKind.CARTRIDGE_REGULATOR in owned and PartKind.REFILLABLE_BOTTLE in owned and not cartridge:
        yield _stop("A cartridge regulator does not go on a refillable bottle.", "regulator")
    if PartKind.HAND_REGULATOR in owned and PartKind.SOLENOID not in owned:
        yield Finding(Level.CARE, f"Turned by hand: {KINDS[PartKind.HAND_REGULATOR].mind}.", "regulator")


def _liquids(joined: Joined) -> Iterator[Finding]:
    line = joined.job.gasline
    if line.counter.fluid is CounterFluid.SILICONE_OIL and line.tube.material is TubeMaterial.SILICONE:
        yield _stop(
            "Silicone oil in the counter swells silicone tube until it slips off. Use water or "
            "glycerol, or "
            "another tube.",
            "counter fluid",
        )
    if line.tube.material is TubeMaterial.SILICONE:
        yield Finding(
            Level.CARE,
            "Silicone tube can lose more CO2 than the whole feed: polyurethane, polyethylene or nylon, and "
            "silicone for the last centimetres at most.",
            "tube",
            "robb-1968",
        )
