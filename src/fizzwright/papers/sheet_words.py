"""What the plan sheet says in words: settings, outcomes, bottle, cautions, working."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from fizzwright.papers.symbols import MARKS
from fizzwright.papers.tokens import Sheet, figure_rules
from fizzwright.papers.typeface import covered
from fizzwright.papers.words import (
    clock,
    hours_between,
    limits,
    percent,
    quantity,
    range_text,
    round_figure,
    spelled,
)
from fizzwright.result import Estimate, Finding, Level, Trail
from fizzwright.sources import named
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import System

__all__ = [
    "assumption_rows",
    "bottle_words",
    "cautions",
    "day_text",
    "finding_rows",
    "mark_svg",
    "settings",
    "source_columns",
    "stuck_words",
    "verdict_runs",
]

NBSP = "\u00a0"
Run = dict[str, Any]
_FARTHEST_DAYS = 3650.0

_CAUTIONS = (
    (
        "Advisory only.",
        "Fizzwright works no valve and every figure is an estimate. Local codes and licensed practice "
        "go first.",
    ),
    (
        "Watch the animals.",
        "The ceiling is a starting point; the animals have the last word. If they gasp, roll or lie "
        "still: shut the bottle valve, stir the surface, change a third of the water.",
    ),
    (
        "Bottle upright and chained,",
        "away from heat and sun. A bottle on its side can push liquid into the regulator. In a car: "
        "valve shut, cap on, tied down, windows open, never left inside.",
    ),
    (
        "Filled, tested and converted only by licensed people.",
        "The stamp, your filler and local law decide. No force and no oil on a thread.",
    ),
    (
        "Room air.",
        "CO2 is heavier than air, gathers low and dulls the senses. Headache or short breath: leave "
        "first, open up from outside, do not go back in for anybody, ring the emergency number.",
    ),
    ("Cold burns.", "Gas let go fast makes frost and dry ice. Never touch the frost or the jet."),
    (
        "Electricity near water.",
        "Earth-leakage protection, drip loops, valve and clock above the water line; pull plugs with "
        "dry hands.",
    ),
)


def _run(text: str, *, bold: bool = False) -> Run:
    """A stretch of text for the template; data, never markup."""
    return {"text": covered(spelled(text)), "bold": bold}


_LOUD = re.compile(
    r"(\d[\d.]*(?:…\d[\d.]*)?(?: \([^()]*…[^()]*\))? "
    r"(?:mg/L|mg/h|g/day|bubbles a second|days|bar|%|h)(?![\w/])|\b\d\d:\d\d\b)"
)


def verdict_runs(verdict: str) -> list[Run]:
    """The verdict with its numbers in bold; a number and its unit never part at a line end."""
    pieces = _LOUD.split(verdict)
    return [
        _run(piece.replace(" ", NBSP) if i % 2 else piece, bold=i % 2 == 1)
        for i, piece in enumerate(pieces)
        if piece
    ]


def mark_svg(level: Level, *, on_ground: bool = True) -> str:
    """A level mark alone; on the solid ground of a stop it is white."""
    sheet = Sheet.PRINT
    rules = figure_rules(sheet)
    if level is Level.STOP and on_ground:
        rules = rules.replace(".sk{fill:#000000", ".sk{fill:#ffffff").replace(
            ".cut{fill:none;stroke:#ffffff", ".cut{fill:none;stroke:#000000"
        )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-11 -11 22 22" width="22" height="22">'
        f"<style>{rules}</style>{MARKS[level]}</svg>"
    )


def finding_rows(findings: Iterable[Finding]) -> list[Run]:
    """Findings, the gravest first: what in the first sentence, why in the rest."""
    order = {Level.STOP: 0, Level.CARE: 1, Level.NOTE: 2}
    rows = []
    for finding in sorted(findings, key=lambda f: order[f.level]):
        what, _, why = _first_sentence(finding.text)
        rows.append(
            {
                "level": finding.level.value,
                "mark": mark_svg(finding.level),
                "what": covered(spelled(what)),
                "why": covered(spelled(why)),
            }
        )
    return rows


def _first_sentence(text: str) -> tuple[str, str, str]:
    parts = re.split(r"(?<=[A-Za-z\d)%][.;])\s+(?=[A-Z0-9])", text, maxsplit=1)
    return parts[0], "", parts[1] if len(parts) > 1 else ""


def _pair(name: str, value: str, note: str = "") -> dict[str, str]:
    return {"name": covered(spelled(name)), "value": covered(value), "note": covered(spelled(note))}


def _spell(on_min: int, off_min: int) -> tuple[str, str]:
    if (off_min - on_min) % 1440 == 0:
        return "day and night", ""
    return f"{clock(on_min)}–{clock(off_min)}", hours_between(on_min, off_min)


def settings(plan: PlanResult, system: System) -> list[dict[str, str]]:
    """What the fitter sets, and the two limits it serves."""
    ten_s = Estimate(
        10 * plan.bubbles_per_s.value, "count", 10 * plan.bubbles_per_s.low, 10 * plan.bubbles_per_s.high
    )
    gas, gas_long = _spell(plan.gas_on_min, plan.gas_off_min)
    lamp, lamp_long = _spell(plan.light_on_min, plan.light_off_min)
    hard = f"; hard stop {quantity(plan.ceiling.hard_mg_l, 'mg_l')}" if plan.ceiling.hard_mg_l else ""
    target = range_text(round_figure(plan.target_low_mg_l), round_figure(plan.target_high_mg_l))
    return [
        _pair("Feed", limits(plan.feed_mg_h, system), limits(plan.flow_ml_min_n, system)),
        _pair(
            "Bubbles at this counter",
            limits(plan.bubbles_per_s, system).replace(f"{NBSP}/s", f"{NBSP}a second"),
            f"{limits(ten_s)} bubbles in 10{NBSP}s; {limits(plan.mg_per_bubble_mg)} each",
        ),
        _pair(", ".join(filter(None, ("Gas", gas_long))), gas),
        _pair(", ".join(filter(None, ("Lamp", lamp_long))), lamp),
        _pair("Target in the light", f"{target}{NBSP}mg/L"),
        _pair(
            "Starting ceiling",
            quantity(plan.ceiling.soft_mg_l, "mg_l"),
            f"set by {plan.ceiling.set_by}; how sure: {plan.ceiling.confidence}{hard}",
        ),
    ]


def stuck_words(plan: PlanResult) -> list[list[Run]]:
    """What a valve that sticks open for a day would do."""
    ends = limits(plan.stuck_open_24h_mg_l)
    over = percent(plan.p_stuck_over_hard_frac)
    hard = quantity(plan.ceiling.hard_mg_l, "mg_l")
    return [
        [
            _run("After 24 h open the water ends at "),
            _run(ends, bold=True),
            _run(f". Chance of passing the hard stop of {hard}: {over}."),
        ],
        [
            _run(
                "Shut the bottle valve by hand first, then stir the surface. An air stone on its own "
                "clock, or a needle set "
                "for the feed and no more, keeps this number low."
            )
        ],
    ]


def day_text(day: date) -> str:
    """A date as the papers write it: `28 March 2027`."""
    months = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ]
    return f"{day.day}{NBSP}{months[day.month - 1]}{NBSP}{day.year}"


def _short(day: date) -> str:
    return day_text(day).replace(f"{NBSP}{day.year}", "")


def _when(days: Estimate, today: date) -> tuple[str, str]:
    """Best date and its limits in words."""
    if days.value > _FARTHEST_DAYS:
        return "in more than ten years", ""
    best = day_text(today + timedelta(days=max(days.value, 0)))
    ends = [max(min(d, _FARTHEST_DAYS), 0) for d in (days.low, days.high)]
    low, high = (today + timedelta(days=d) for d in ends)
    last = "or much later" if days.high > _FARTHEST_DAYS else f"and {day_text(high)}"
    first = _short(low) if low.year == high.year else day_text(low)
    return (
        f"about {best}",
        f", between {first} {last}" if days.high <= _FARTHEST_DAYS else f", {first} {last}",
    )


def bottle_words(plan: PlanResult, today: date, system: System) -> list[list[Run]]:
    """When the bottle is empty, when to change it, and how it is handled."""
    empty, span = _when(plan.bottle_days, today)
    swap, swap_span = _when(plan.swap_days, today)
    return [
        [_run("Empty "), _run(empty, bold=True), _run(f"{span}, at {limits(plan.gas_g_day, system)}.")],
        [
            _run("The high gauge starts to fall "),
            _run(swap, bold=True),
            _run(f"{swap_span}. Behind a one-stage regulator the feed rises from then on: change it then."),
        ],
        [
            _run(
                "Upright and chained, always. Only a licensed filler fills it; the stamp, your filler "
                "and local law decide."
            )
        ],
    ]


def cautions() -> list[list[list[Run]]]:
    """The usual cautions, each with its catchword, in two columns of like length."""
    lengths = [len(word) + len(rest) + 30 for word, rest in _CAUTIONS]
    cut = min(range(1, len(lengths)), key=lambda i: abs(sum(lengths[:i]) - sum(lengths[i:])))
    rows = [[_run(word, bold=True), _run(f" {rest}")] for word, rest in _CAUTIONS]
    return [rows[:cut], rows[cut:]]


def assumption_rows(trail: Trail) -> list[list[str]]:
    """What nobody measured: value, who chose it, on whose word."""
    chosen = {"default": "default", "user": "you"}
    rows = (
        (a.text, a.value, chosen.get(a.chosen_by, a.chosen_by), named(a.source)) for a in trail.assumptions
    )
    return [[covered(spelled(cell)) for cell in row] for row in rows]


def source_columns(trail: Trail) -> list[list[dict[str, Any]]]:
    """Every source with the equations taken from it, in two columns of like length."""
    groups = _groups(trail)
    lengths = [_lines(group) for group in groups]
    cut = min(range(len(groups) + 1), key=lambda i: abs(sum(lengths[:i]) - sum(lengths[i:])), default=0)
    return [groups[:cut], groups[cut:]]


def _groups(trail: Trail) -> list[dict[str, Any]]:
    known = {s.key: s for s in trail.sources}
    keys = list(dict.fromkeys([*known, *(e.source for e in trail.equations)]))
    return [
        {
            "cited": covered(spelled(known[key].citation.rstrip(".") if key in known else key)),
            "mark": known[key].mark if key in known else "",
            "gives": [_given(e.says, e.where) for e in trail.equations if e.source == key],
        }
        for key in keys
    ]


def _lines(group: dict[str, Any]) -> float:
    """About how many lines of half a page a source with its equations fills."""
    return 1.2 + (len(group["cited"]) + sum(2 + len(x) for x in group["gives"])) / 70


def _given(says: str, where: str) -> str:
    """An equation in half a line: what it gives and where it stands in its source."""
    plain = says.strip().rstrip(".")
    plain = plain[:1].lower() + plain[1:] if plain[1:2].islower() else plain
    return covered(spelled(f"{plain} ({where})" if where else plain))
