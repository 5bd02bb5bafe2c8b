"""What the plan sheet says of the days to come: what to expect, the first days, what else would help."""

from __future__ import annotations

from typing import Any

from fizzwright.papers.typeface import covered
from fizzwright.papers.words import clock, fixed, limits, percent, range_text, shown, spelled
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import PlanResult, RampDay, Stability
from fizzwright.units import System, unit_text

__all__ = ["expectations", "lever_rows", "ramp_table"]

NBSP = "\u00a0"
Row = dict[str, str]


def _pair(name: str, value: str, note: str = "") -> Row:
    return {"name": covered(spelled(name)), "value": covered(value), "note": covered(spelled(note))}


def _share(e: Estimate) -> str:
    band = range_text(fixed(100 * e.low, 0), fixed(100 * e.high, 0))
    return f"{fixed(100 * e.value, 0)}{NBSP}({band}){NBSP}%"


def expectations(plan: PlanResult, system: System) -> list[Row]:
    """What the water should do, how steady it is, and the properties of the tank behind it."""
    steady = plan.stability
    return [
        _pair(
            "CO2 at lights-on",
            limits(plan.co2_at_lights_on_mg_l, system),
            f"{_share(steady.lights_on_ratio)} of the middle of the target" if steady else "",
        ),
        _pair(
            "CO2 at the day's peak",
            limits(plan.co2_peak_mg_l, system),
            f"days that pass the starting ceiling: {percent(plan.p_over_ceiling_frac)}"
            + (_longest(steady) if steady else ""),
        ),
        *(_steady_rows(plan, steady) if steady else _share_row(plan)),
        *_o2_rows(plan, system),
        _pair(
            "Gas used in a day",
            limits(plan.gas_g_day, system),
            f"{_share(plan.dissolved_frac)} of it dissolves",
        ),
        _pair(
            "Surface loss",
            f"{limits(plan.loss_per_h)}",
            f"of the surplus in the water; {limits(plan.net_volume_l, system)} of water",
        ),
    ]


def _longest(steady: Stability) -> str:
    over = steady.longest_over_h
    return f"; longest time over it {limits(over)}" if over.high >= 0.05 else ""


def _share_row(plan: PlanResult) -> list[Row]:
    rise = f"CO2 rises {limits(plan.rise_mg_l_h)} at most"
    return [_pair("Lit time inside the target", percent(plan.share_in_band_frac), rise)]


def _steady_rows(plan: PlanResult, steady: Stability) -> list[Row]:
    lit = f"{steady.lit_h:g}{NBSP}h"
    return [
        _pair(
            "Swing in the light", _share(steady.swing_frac), "of the middle; up to 20 is good, up to 35 fair"
        ),
        _pair(
            f"Hours inside the target, of {lit} lit",
            limits(steady.in_band_h),
            f"over all draws {percent(plan.share_in_band_frac)} of the lit time",
        ),
        _pair(
            "Nine tenths reached after gas-on",
            limits(steady.reaches_90_h),
            f"CO2 rises {limits(plan.rise_mg_l_h)} at most; lowest of the night "
            f"{limits(steady.night_low_mg_l)}",
        ),
    ]


def _o2_rows(plan: PlanResult, system: System) -> list[Row]:
    rows = [_pair("O2 at dawn", limits(plan.o2_dawn_mg_l, system))]
    if plan.risk is not None:
        at, over = clock(round(plan.risk.peak_at_min) % 1440), percent(plan.risk.p_over_frac)
        rows.append(
            _pair(
                "CO2 and O2 as one risk, at most",
                limits(plan.risk.peak_number),
                f"about {at}; the alarm is at 1, days that pass it: {over}",
            )
        )
    return rows


def ramp_table(days: tuple[RampDay, ...], system: System) -> dict[str, Any] | None:
    """The first days: what to set each morning, what its peak should be, when to stand at the tank."""
    if not days:
        return None
    feed_unit, peak_unit = (unit_text(name, system) for name in ("mg_h", "mg_l"))
    rows = [
        [
            str(day.day_count),
            shown(Estimate.exact(float(f"{day.feed_mg_h:.3g}"), "mg_h"), system).value,
            fixed(day.bubbles_per_s, 1 if day.bubbles_per_s >= 10 else 2),
            limits(day.co2_peak_mg_l, system).removesuffix(f"{NBSP}{peak_unit}"),
            percent(day.p_over_ceiling_frac),
        ]
        for day in days
    ]
    head = ["day", f"feed, {feed_unit}", "bubbles/s", f"peak, {peak_unit}", "over ceiling"]
    return {
        "head": [covered(spelled(cell)) for cell in head],
        "rows": [[covered(cell) for cell in row] for row in rows],
        "words": covered(
            f"One step each morning, never late in the day or before you leave. Stand at the tank at "
            f"{clock(days[-1].look_at_min)}, when the day peaks: with animals breathing fast or at the "
            "surface go back a step and stay there two days."
        ),
    }


def lever_rows(plan: PlanResult) -> list[Row]:
    """What else could be changed: its name, how, and what the day would then come to."""
    return [
        {
            "name": covered(spelled(f"{lever.name[:1].upper()}{lever.name[1:]}")),
            "change": covered(spelled(f"{lever.change[:1].upper()}{lever.change[1:]}")),
            "sentence": covered(spelled(lever.sentence)),
        }
        for lever in plan.levers
    ]
