"""The plan as a typeset paper: A4, tagged, the same bytes for the same plan and day."""

from __future__ import annotations

from datetime import date
from typing import Any

from fizzwright.papers import sheet_words as say
from fizzwright.papers.day_strip import day_strip_paper
from fizzwright.papers.failure_course import Lamp
from fizzwright.papers.gas_line import gas_line_paper
from fizzwright.papers.input_bars import input_bars_paper
from fizzwright.papers.ledger_flow import ledger_paper
from fizzwright.papers.next_readings import next_readings_paper
from fizzwright.papers.sheet_expect import expectations, lever_rows, ramp_table
from fizzwright.papers.sheet_failures import failure_page, joined
from fizzwright.papers.steady_front import steady_front_paper
from fizzwright.papers.symbols import DRAWINGS, Symbol
from fizzwright.papers.tokens import Sheet, figure_rules
from fizzwright.papers.typeface import covered
from fizzwright.papers.typeset import drawing, typeset
from fizzwright.papers.words import spelled
from fizzwright.result import Level
from fizzwright.stages.failures_result import FailuresResult
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import System

__all__ = ["plan_sheet"]

_KIND = {
    "starting": "Starting plan: little is measured yet, so the ceiling rules.",
    "fitted": "Plan fitted to this tank: its surface loss was measured.",
}


def plan_sheet(
    plan: PlanResult,
    *,
    failures: FailuresResult | None = None,
    system: System = System.METRIC,
    today: date,
) -> bytes:
    """The plan of one tank as a PDF of a few A4 pages, legible in black and white.

    Parameters
    ----------
    plan : PlanResult
        What the stage `plan` answered.
    failures : FailuresResult or None
        What the same tank does when something fails, for pages of their own.
    system : System
        Units the reader wants to see.
    today : date
        The day printed as the date of the sheet; dates of the bottle count from it.

    Returns
    -------
    bytes
        A tagged PDF (PDF/UA-1); equal arguments give equal bytes.
    """
    return typeset("plan_sheet.typ", _contents(plan, failures, system, today))


def _house() -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-11 -17 22 33" width="22" height="33">'
        f"<style>{figure_rules(Sheet.PRINT)}</style>{DRAWINGS[Symbol.HOUSE]}</svg>"
    )


def _contents(
    plan: PlanResult, failures: FailuresResult | None, system: System, today: date
) -> dict[str, Any]:
    trail = joined(plan.trail, None if failures is None else failures.trail)
    name, dated = covered(plan.name), say.day_text(today)
    block = (
        ("job", name if len(name) <= 40 else name[:39] + "…"),
        ("sheet", "Plan"),
        ("computed", f"{dated}"),
        ("bands", f"90\u00a0%, {plan.draws_count}\u00a0draws"),
        ("made by", f"Fizzwright {plan.trail.version}, {plan.trail.inputs_digest[:8]}"),
    )
    return {
        "title": f"Plan for {name}",
        "description": covered(plan.verdict),
        "year": today.year,
        "month": today.month,
        "day": drawing(day_strip_paper(plan)),
        "day_of_month": today.day,
        "name": name,
        "under": _KIND.get(plan.kind, covered(plan.kind)),
        "date": dated,
        "revision": "advisory only",
        "house": _house(),
        "block": [{"name": a, "text": covered(b)} for a, b in block],
        "verdict": say.verdict_runs(plan.verdict),
        "loud": say.finding_rows(f for f in plan.trail.findings if f.level is not Level.NOTE),
        "quiet": say.finding_rows(f for f in plan.trail.findings if f.level is Level.NOTE),
        "day_words": "Lamp, gas and water on one clock. Shaded hours are dark.",
        "settings": say.settings(plan, system),
        "expect": expectations(plan, system),
        "after_numbers": [
            covered(spelled(t)) for t in (plan.trade.sentence, plan.night.verdict if plan.night else "") if t
        ],
        "line_words": "Pressure after each station, gas that goes on, gas lost. Small: 90\u00a0% limits.",
        "ledger_words": "Where each gram of a day's gas goes. Widths are to scale.",
        "next_words": "Thin line: the band of the day's peak now. Thick line: after the reading.",
        "line": drawing(gas_line_paper(plan, system=system, bottle_left_frac=plan.bottle_left_frac)),
        "stations": [
            {"number": str(s.number), "name": covered(s.name), "detail": covered(spelled(s.detail))}
            for s in plan.stations
        ],
        "ledger": drawing(ledger_paper(plan, system=system)),
        "stuck": say.stuck_words(plan),
        "bottle": say.bottle_words(plan, today, system),
        "ramp": ramp_table(plan.ramp, system),
        "front": drawing(steady_front_paper(plan, system=system)) if len(plan.front) > 1 else None,
        "front_words": "Gas clocks that bring the same CO₂ to the lit hours. Line: 90\u00a0% of the swing.",
        "spread": drawing(input_bars_paper(plan)) if plan.input_shares else None,
        "spread_words": "Share of the doubt about the day's peak.",
        "levers": lever_rows(plan),
        "failures": None
        if failures is None
        else failure_page(failures, Lamp(plan.light_on_min, plan.light_off_min), system),
        "next": drawing(next_readings_paper(plan)) if plan.next_readings else None,
        "cautions": say.cautions(),
        "assumptions": say.assumption_rows(trail),
        "sources": say.source_columns(trail),
    }
