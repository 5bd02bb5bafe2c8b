"""What a plan says in words: verdict, findings, assumptions, what to read next, where numbers come from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.catalogue.tubes import TUBES
from fizzwright.engines.bubbles.cautions import path_findings
from fizzwright.engines.bubbles.held import hose_wall_speed_m_s
from fizzwright.engines.bubbles.population import diffuser_spread
from fizzwright.engines.day.balance import day_ph, free_co2_mg_l, total_carbon_mg_l
from fizzwright.engines.gasline.bottle import vapour_density_kg_m3
from fizzwright.engines.living.ceilings import combined_risk_number
from fizzwright.engines.living.plants import (
    gross_uptake_mg_m2_h,
    oxygen_for_carbon_mg_m2_h,
    respiration_mg_m2_h,
)
from fizzwright.inference.night import NIGHT_EQUATIONS
from fizzwright.job.model import DiffuserKind, Job, TubeMaterial
from fizzwright.result import Assumption, Finding, Level
from fizzwright.stages.ceiling import CeilingFor
from fizzwright.stages.plan_bottle import BottleForecast
from fizzwright.stages.plan_inputs import Surveyed, rise_path
from fizzwright.stages.plan_parts import Reading
from fizzwright.stages.plan_result import NightFit
from fizzwright.stages.plan_search import Choice, Limits
from fizzwright.units import number_text

__all__ = [
    "Facts", "assumptions_of", "clock_text", "details_of", "equations_of", "findings_of", "readings_of",
    "trade_words", "verdict_of",
]  # fmt: skip

Array = NDArray[np.float64]
Equations = tuple[Callable[..., Any], ...]


@dataclass(frozen=True)
class Facts:
    """What the words are made from; arrays are draws."""

    job: Job
    ceiling: CeilingFor
    choice: Choice
    fitted: bool
    peak_mg_l: Array
    stuck_mg_l: Array
    o2_low_mg_l: Array
    band_frac: Array
    limits: Limits
    rate_per_s: float
    wished_mg_h: Array
    dissolved_frac: Array
    wall_share_frac: Array
    bottle: BottleForecast
    night: NightFit | None


def clock_text(minute_min: float) -> str:
    """Minutes after midnight as "06:30"."""
    whole = round(minute_min) % 1440
    return f"{whole // 60:02d}:{whole % 60:02d}"


def _band(draws: Array, digits: int = 3) -> str:
    low, middle, high = np.quantile(draws, [0.05, 0.5, 0.95])
    shown = [number_text(float(x), digits) for x in (middle, low, high)]
    return f"{shown[0]} ({shown[1]}…{shown[2]})"


def _days_in_hundred(share_frac: float) -> str:
    count = round(100 * share_frac)
    if count < 1:
        return "fewer than one day in 100"
    return f"about {count} day{'s' if count > 1 else ''} in 100"


def verdict_of(facts: Facts) -> str:
    """The plan in two or three sentences, the numbers with their limits."""
    choice, limits = facts.choice, facts.limits
    on, off = clock_text(choice.clock.gas_on_min), clock_text(choice.clock.gas_off_min)
    first = f"Set {number_text(facts.rate_per_s)} bubbles a second, gas from {on} to {off}."
    over = float((facts.peak_mg_l > limits.ceiling_mg_l).mean())
    second = (
        f"The day peaks at {_band(facts.peak_mg_l)} mg/L, over the starting ceiling of "
        f"{limits.ceiling_mg_l:.0f} ({facts.ceiling.ceiling.set_by}) in {_days_in_hundred(over)}."
    )
    share = round(100 * float(facts.band_frac.mean()))
    target = f"{facts.ceiling.target_low_mg_l:.0f}…{facts.ceiling.target_high_mg_l:.0f} mg/L"
    if facts.fitted:
        third = f"The lit hours are in the target band {target} for {share} % of the time over all draws."
        return f"{first} {second} {third}"
    third = (
        f"This is a starting plan: the tank is not measured yet, so {share} % of the lit time over all "
        f"draws falls in the target band {target}. Expect to end near "
        f"{number_text(float(np.median(facts.wished_mg_h)), 2)} mg/h."
    )
    return f"{first} {second} {third}"


def trade_words(choice: Choice, limits: Limits) -> str:
    """What the choice gave up for what, in a sentence or two."""
    lead = f"Gas opens {choice.lead_h:g} h before the lamp and shuts {choice.tail_h:g} h before it goes off."
    if choice.held_by == "the animals' ceiling":
        held = f"The feed is held back so that at most 5 draws in 100 pass {limits.ceiling_mg_l:.0f} mg/L."
    elif choice.held_by:
        held = f"The feed is held back by {choice.held_by}."
    else:
        held = "No limit holds the feed back; it is the one that keeps most of the lit hours in the band."
    return f"{lead} {held}"


def findings_of(facts: Facts) -> tuple[Finding, ...]:
    """Everything the reader must mind, the gravest first."""
    rank = {Level.STOP: 0, Level.CARE: 1, Level.NOTE: 2}
    found = [
        *facts.ceiling.findings,
        *_limit_findings(facts),
        *_line_findings(facts),
        *_diffuser_findings(facts),
        *_bottle_findings(facts),
    ]
    if facts.night is not None and not facts.night.usable:
        found.append(
            Finding(Level.CARE, f"The night did not settle the loss rate: {facts.night.verdict}", "night")
        )
    return tuple(sorted(found, key=lambda f: rank[f.level]))


def _limit_findings(facts: Facts) -> Iterator[Finding]:
    limits = facts.limits
    over_hard = float((facts.stuck_mg_l > limits.hard_mg_l).mean())
    stuck = _band(facts.stuck_mg_l)
    if over_hard > 0.05:
        text = (
            f"Stuck open for 24 h the water reaches {stuck} mg/L; {round(100 * over_hard)} draws in 100 pass "
            f"the hard stop of {limits.hard_mg_l:.0f}. A second shut-off, or more surface movement with more "
            "gas, lowers it. If it happens: shut the bottle valve, stir the surface, watch the animals."
        )
        yield Finding(Level.CARE, text, "stuck open")
    low = float((facts.o2_low_mg_l < limits.o2_floor_mg_l).mean())
    if low > 0.05:
        text = (
            f"Oxygen falls to {_band(facts.o2_low_mg_l)} mg/L before the lamp comes on; {round(100 * low)} "
            f"draws in 100 go under {limits.o2_floor_mg_l:.0f}. Stir the surface more at night and "
            "read oxygen at dawn."
        )
        yield Finding(Level.CARE, text, "oxygen")
    if not facts.fitted:
        text = (
            "The loss rate is taken from how the surface looks, which is good to about a factor of two. "
            "Log pH over one night with gas and lamp off and plan again with it."
        )
        yield Finding(Level.CARE, text, "surface loss")
    yield Finding(
        Level.NOTE,
        "Come up to this feed over five to seven days, one small step a day, and stay to see the day's peak. "
        "Advisory only: the animals have the last word.",
        "first days",
    )


def _diffuser_findings(facts: Facts) -> tuple[Finding, ...]:
    """What the bubble engine minds about this diffuser where it sits."""
    diffuser = facts.job.gasline.diffuser
    path = rise_path(facts.job, facts.choice.feed_mg_h)
    return path_findings(path, diffuser_spread(diffuser.kind, diffuser.condition))


def _line_findings(facts: Facts) -> Iterator[Finding]:
    wall, lost = float(np.median(facts.wall_share_frac)), 1 - float(np.median(facts.dissolved_frac))
    material = facts.job.gasline.tube.material
    if wall > 0.05:
        hint = (
            "Silicone lets CO2 through hundreds of times faster than polyurethane; "
            if material is TubeMaterial.SILICONE
            else ""
        )
        text = (
            f"The tube wall takes {100 * wall:.0f} % of the feed. {hint}use a tighter tube or a shorter run."
        )
        yield Finding(
            Level.CARE if wall > 0.2 else Level.NOTE,
            text[0].upper() + text[1:],
            "tube",
            TUBES[material].source,
        )
    if lost > 0.15:
        text = (
            f"About {100 * lost:.0f} % of the gas breaks the surface in bubbles. A cleaner or finer "
            "diffuser, or one set deeper, would bring the same CO2 with less gas."
        )
        yield Finding(Level.NOTE, text, "diffuser")
    counter = facts.job.gasline.counter
    if counter.mg_per_bubble_mg is None and counter.tip_mm is None:
        text = (
            "The counter's tip was not measured, so a bubble may hold half or twice what is assumed. "
            "Count bubbles into an upturned measuring tube before trusting the rate."
        )
        yield Finding(Level.CARE, text, "bubble counter")


def _bottle_findings(facts: Facts) -> Iterator[Finding]:
    bottle = facts.bottle
    if not bottle.weighed:
        yield Finding(Level.NOTE, "The bottle was not weighed; days count from a full charge.", "bottle")
    if facts.job.gasline.regulator.stages == 1:
        text = (
            f"When the high gauge starts to fall, about {100 * bottle.knee_frac:.0f} % of the charge is left "
            "and a single-stage regulator begins to let more through. Swap the bottle then."
        )
        yield Finding(Level.NOTE, text, "bottle")
    if bottle.tanks_count > 1:
        text = f"The bottle feeds {bottle.tanks_count} tanks, together {_estimate(bottle.total_g_day)} g/day."
        yield Finding(Level.NOTE, text, "bottle")
    yield Finding(
        Level.NOTE,
        "Bottle upright and chained, away from heat; filled, tested and converted by licensed people only. "
        "The stamp, your filler and local law decide.",
        "bottle",
    )


def _estimate(item: Any) -> str:
    return f"{number_text(item.value)} ({number_text(item.low)}…{number_text(item.high)})"


def readings_of(facts: Facts) -> tuple[Reading, ...]:
    """The readings that could narrow the plan, with the doubt each would leave (judgement)."""
    counter = facts.job.gasline.counter
    tip_known = counter.tip_mm is not None
    found = []
    if not facts.fitted:
        found.append(
            Reading(
                "Log pH for one night, gas and lamp off", "the surface loss", "one night",
                {"surface loss": 0.25, "ground": 0.7},
            )
        )  # fmt: skip
    if counter.mg_per_bubble_mg is None:
        found.append(
            Reading(
                "Catch counted bubbles in an upturned tube", "milligrams in a bubble", "10 minutes",
                {"bubble counter": 0.5 if tip_known else 0.1, "opening pressure": 0.3},
            )
        )  # fmt: skip
    return (
        *found,
        Reading(
            "Weigh the bottle twice, two weeks apart", "the true feed", "two weighings",
            {"bubble counter": 0.6 if tip_known else 0.15, "opening pressure": 0.4, "tube wall": 0.5},
        ),
        Reading(
            "Time single beads up to the surface on a phone video", "how fast bubbles dissolve", "15 minutes",
            {"bubble size": 0.5, "bubble surface": 0.4},
        ),
        Reading("Weigh a month of trimmings", "what the plants take", "four weeks", {"plants": 0.5}),
        Reading(
            "Read the room's CO2 in the evening", "the level the water falls to", "5 minutes",
            {"room air": 0.15},
        ),
    )  # fmt: skip


def assumptions_of(known: Surveyed) -> tuple[Assumption, ...]:
    """What nobody measured, who chose it and on whose word."""
    job = known.job
    parts = (known.loss, known.animals, known.bottom, known.air, known.ceiling, known.water)
    rows = [row for part in parts for row in part.assumptions]
    rows.append(
        Assumption(
            "plants of one class and density differ by a factor of 2 either way",
            "factor 2",
            source="judgement",
        )
    )
    if job.plants and job.light.hours_h > 5:
        text = "uptake late in the light, after five hours, against the morning's"
        rows.append(Assumption(text, "70…100 %", source="kragh-2017"))
    rows.append(Assumption("O2 crosses the surface 1.06 times as fast as CO2", "1.06", source="judgement"))
    if job.gasline.diffuser.opening_barg is None:
        rows.append(
            Assumption(f"opening pressure of a {job.gasline.diffuser.kind.value}", "by kind and condition")
        )
    if job.gasline.counter.mg_per_bubble_mg is None:
        tip = job.gasline.counter.tip_mm
        rows.append(
            Assumption("bubble volume from the tip, good to 15 %", f"{tip:g} mm tip") if tip is not None
            else Assumption("bubble volume with the tip not measured", "47 µL (25…90)")
        )  # fmt: skip
    if job.gasline.bottle.remaining_g is None:
        rows.append(
            Assumption(
                "the bottle starts full", f"{job.gasline.bottle.charge_g:.0f} g", source="from the label"
            )
        )
    return tuple(dict.fromkeys(rows))


def details_of(job: Job) -> dict[str, str]:
    """A few words under each station of the gas line."""
    line = job.gasline
    tip = f"{line.counter.tip_mm:g} mm tip" if line.counter.tip_mm is not None else "tip not measured"
    return {
        "bottle": f"{line.bottle.charge_g / 1000:g} kg charge"
        if line.bottle.charge_g >= 1000
        else f"{line.bottle.charge_g:g} g charge",
        "regulator": "one stage" if line.regulator.stages == 1 else "two stages",
        "solenoid": "gas clock",
        "needle": "sets the feed",
        "counter": f"{tip}, {line.counter.fluid.value}",
        "check valve": "",
        "tube": f"{line.tube.length_m:g} m {line.tube.material.value}",
        "diffuser": f"{line.diffuser.kind.value}, {line.diffuser.condition.value}",
        "water": f"surface {job.surface.looks.value}",
        "leaf": f"{len(job.plants)} bed{'s' if len(job.plants) != 1 else ''}",
    }


def equations_of(known: Surveyed, inputs: Equations, night: bool) -> Equations:
    """The equations the plan ran, for its trail; `inputs` are those behind its draws."""
    planted = (gross_uptake_mg_m2_h, oxygen_for_carbon_mg_m2_h, respiration_mg_m2_h)
    return (
        *inputs,
        *(planted if known.job.plants else ()),
        *((combined_risk_number,) if known.job.animals else ()),
        *((hose_wall_speed_m_s,) if known.job.gasline.diffuser.kind is DiffuserKind.INLINE else ()),
        free_co2_mg_l,
        total_carbon_mg_l,
        day_ph,
        vapour_density_kg_m3,
        *(NIGHT_EQUATIONS if night else ()),
    )
