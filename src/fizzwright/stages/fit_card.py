"""The job card: what is done in which order, and the check that ends each step."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.catalogue.outlets import OUTLETS, SealForm
from fizzwright.catalogue.part_kinds import Place
from fizzwright.engines.gasline.check_valve import REVERSE_TEST_H, REVERSE_TEST_HEAD_M
from fizzwright.job.model import Job
from fizzwright.job.words import CounterFluid, DiffuserKind, TubeMaterial
from fizzwright.result import Estimate
from fizzwright.stages.fit_result import CardStep, LeakLimits
from fizzwright.stages.parts_misfits import bottle_outlet_of
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import number_text, show

__all__ = ["CardFigures", "card"]

_THIN = (CounterFluid.WATER, CounterFluid.HALF_GLYCEROL)


@dataclass(frozen=True)
class CardFigures:
    """The figures a card quotes."""

    startup_min: Estimate
    run_on_min: Estimate
    counter_barg: Estimate
    leak: LeakLimits


def card(job: Job, plan: PlanResult, figures: CardFigures) -> tuple[CardStep, ...]:
    """Every step of fitting this line, bottle to tank and back, with its check."""
    rows = (
        *_bottle_steps(job),
        *_valve_steps(job),
        *_tube_steps(job),
        *_test_steps(job, figures),
        *_gas_steps(job, plan, figures),
    )
    return tuple(CardStep(number, *row) for number, row in enumerate(rows, 1))


_Row = tuple[Place, str, str]


def _bottle_steps(job: Job) -> list[_Row]:
    outlet = bottle_outlet_of(job, job.parts.region)
    row = None if outlet is None else OUTLETS[outlet]
    named = "the outlet as stamped" if row is None else f"{row.outlet.value}, {row.thread}"
    ring = row is not None and row.seal is SealForm.RING
    return [
        (Place.BOTTLE,
         "Read label, stamp and test date; weigh it full and note gross and tare. Stand it upright, two "
         "straps, away from heat, where the room bears its whole charge.",
         "Label says CO2, date not past, it does not rock, valve within reach"),
        (Place.SEAL,
         f"Check {named} on both sides. Crack the valve for a moment, face aside, ear and eye "
         "protection on, "
         "then shut it.",
         "Same standard on both, threads clean and dry; no tape, oil or grease"),
        (Place.SEAL,
         "Put in one new O-ring, dry." if ring else "Put in one new flat washer of nylon or PTFE.",
         "Seal lies flat and whole; exactly one"),
        (Place.REGULATOR,
         "Unload the regulator's knob, run the nut on by hand to the stop, gauges upright, then "
         + ("hand-tight only." if ring else "an eighth to a quarter of a turn with a fitting spanner."),
         "The nut ran on freely all the way by hand; the regulator cannot be turned"),
    ]  # fmt: skip


def _valve_steps(job: Job) -> list[_Row]:
    fluid = job.gasline.counter.fluid
    fill = "boiled or distilled water" if fluid in _THIN else fluid.value
    counter = (
        f"Fill it two thirds with {fill}, tip well under, seals dry, screwed hand-tight, close behind the "
        "needle."
        if fluid is not CounterFluid.GLYCEROL
        else "Fill it two thirds with glycerol, no air in it, tip well under; calibrate it at the rate used."
    )
    rows = [
        (Place.SOLENOID,
         "Fit the solenoid with its arrow along the flow, plug and leads above any drip, a loop in the "
         "lead "
         "below the socket, residual-current protection on the circuit.",
         "Clicks on and off; shut without power; dry"),
        (Place.NEEDLE, "Shut the needle with two fingers, never with force.", "It turns freely"),
        (Place.COUNTER, counter, "One even tip, level marked"),
        (Place.CHECK_VALVE,
         "One check valve before the counter, one near the tank outside the water, flow upwards, arrow "
         "towards the tank.",
         f"Blow through one way only; {REVERSE_TEST_HEAD_M:g} m of water on the tank side, no drop past in "
         f"{REVERSE_TEST_H:.0f} h"),
    ]  # fmt: skip
    if job.gasline.bottle.shared_with:
        rows.insert(
            1,
            (Place.MANIFOLD,
             "Screw the block before the needles; blind the outlets not in use. Each tank its own needle, "
             "counter and check valves.",
             "No tee anywhere behind a needle"),
        )  # fmt: skip
    return rows


def _tube_steps(job: Job) -> list[_Row]:
    line = job.gasline
    cut = 1.05 * line.tube.length_m + 0.1
    depth = show(line.diffuser.depth_cm, "cm")
    hold = {
        DiffuserKind.INLINE: "Pump off first. Upright in the filter's return hose, arrow along it, clips.",
        DiffuserKind.GLASS_FRIT: "Wet the tube end and hold the glass at its neck, never by the disc.",
    }.get(
        line.diffuser.kind,
        "Wet the tube end and hold the body where it is strong, never by the disc.",
    )
    material = (
        "warm the tube end in hot water, bottle side still shut"
        if line.tube.material is not TubeMaterial.SILICONE
        else "replace silicone by a tighter tube; a few centimetres at the diffuser may stay"
    )
    return [
        (Place.TUBE,
         f"Cut {show(cut, 'm')} square with a blade: the run, a twentieth and 10 cm over, so that an "
         "end can "
         f"be cut anew. Push it over the whole barb or to the stop of the fitting; {material}. Lead it "
         "once "
         "over the water level.",
         "A firm pull does not move it; no kink; off every hot or sharp edge"),
        (Place.DIFFUSER,
         f"{hold} Set it {depth} under the surface in strong current, level.",
         "No strain on the tube; away from the filter's intake"),
    ]  # fmt: skip


def _test_steps(job: Job, figures: CardFigures) -> list[_Row]:
    leak = figures.leak
    pressure = show(job.gasline.regulator.set_pressure_barg, "barg")
    return [
        (Place.REGULATOR,
         f"Open the bottle slowly, face aside, one turn. Set the outlet to {pressure} with the needle "
         "shut, "
         "then read it again after 5 and after 45 minutes.",
         "Rise at first by 0.1 to 0.3 bar at most, then under 0.1 bar/h; more is a creeping seat: stop"),
        (Place.SEAL,
         "Test liquid without ammonia on nut, gauges, solenoid and every joint, a whole minute each; again "
         "after 10 minutes and after a day.",
         "No bubble in 60 s"),
        (Place.TUBE,
         f"Plug the end, open solenoid and needle, let the line come to {pressure}, then unload the "
         "regulator's "
            f"knob so that nothing feeds it, and watch the low gauge {leak.dial_watch_min:.0f} min "
            "(digital "
            f"{leak.digital_watch_min:.0f} min), temperature read at both ends.",
            f"Leak at most {number_text(leak.low_limit_ml_min_n, 2)} mL/min over the wall's own "
         f"{number_text(leak.wall_loss_ml_min_n.value, 2)}"),
        (Place.BOTTLE,
         f"Shut the bottle for the night ({leak.high_watch_h:.0f} h or more), high gauge and temperature "
         f"read at both ends; later weigh over {leak.weighing_days:.0f} days to the gram, valve open, "
         "needle "
         "shut.",
         f"At most {leak.weighing_limit_g:.0f} g in {leak.weighing_days:.0f} days; a gram in one night "
         "is a "
         "leak"),
    ]  # fmt: skip


def _gas_steps(job: Job, plan: PlanResult, figures: CardFigures) -> list[_Row]:
    start, after = figures.startup_min, figures.run_on_min
    rate = number_text(plan.bubbles_per_s.value, 2)
    animals = ", animals watched" if job.animals else ""
    return [
        (Place.NEEDLE,
         f"First gas by day{animals}: open the needle a little until bubbles come at half of {rate} a "
         f"second; the diffuser answers after {start.value:.0f} min ({start.low:.0f} to {start.high:.0f}).",
         f"Counter at about {show(figures.counter_barg.value, 'barg', digits=2)}, mist from the whole "
         "disc"),
        (Place.NEEDLE,
         "Let it settle and count again after 10 minutes, 1 hour and 24 hours: warm coils, stems and lines "
         "move it.",
         f"Within a tenth of the last count; towards {rate} a second over days, one step a day"),
        (Place.SOLENOID,
         f"Shut the gas by its clock and time the counter: the line runs on for about {after.value:.0f} "
         "min "
         f"({after.low:.0f} to {after.high:.0f}).",
         "No bubble an hour after that; steady bubbles mean the solenoid lets by"),
        (Place.ROUND_IT,
         "Pull the plug for a minute with gas on; press the room alarm's test; show the owner the bottle "
         "valve.",
         "Gas stops without power and comes back by the clock; the alarm sounds at 0.3 m over the floor"),
    ]  # fmt: skip
