"""The plan as a typeset paper: A4, tagged, the same bytes for the same plan and day."""

from __future__ import annotations

from datetime import date
from typing import Any

from fizzwright.papers import sheet_words as say
from fizzwright.papers.day_strip import day_strip_paper
from fizzwright.papers.gas_line import gas_line_paper
from fizzwright.papers.ledger_flow import ledger_paper
from fizzwright.papers.next_readings import next_readings_paper
from fizzwright.papers.symbols import DRAWINGS, Symbol
from fizzwright.papers.tokens import Sheet, figure_rules
from fizzwright.papers.typeface import covered
from fizzwright.papers.typeset import drawing, typeset
from fizzwright.papers.words import spelled
from fizzwright.result import Level
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import System

__all__ = ["plan_sheet"]

_KIND = {
    "starting": "Starting plan: little is measured yet, so the ceiling rules.",
    "fitted": "Plan fitted to this tank: its surface loss was measured.",
}


def plan_sheet(plan: PlanResult, *, system: System = System.METRIC, today: date) -> bytes:
    """The plan of one tank as a PDF of two to four A4 pages, legible in black and white.

    Parameters
    ----------
    plan : PlanResult
        What the stage `plan` answered.
    system : System
        Units the reader wants to see.
    today : date
        The day printed as the date of the sheet; dates of the bottle count from it.

    Returns
    -------
    bytes
        A tagged PDF (PDF/UA-1); equal arguments give equal bytes.
    """
    return typeset("plan_sheet.typ", _contents(plan, system, today))


def _house() -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-11 -17 22 33" width="22" height="33">'
        f"<style>{figure_rules(Sheet.PRINT)}</style>{DRAWINGS[Symbol.HOUSE]}</svg>"
    )


def _contents(plan: PlanResult, system: System, today: date) -> dict[str, Any]:
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
        "expect": say.expectations(plan, system),
        "after_numbers": [
            covered(spelled(t)) for t in (plan.trade.sentence, plan.night.verdict if plan.night else "") if t
        ],
        "line_words": "Pressure after each station, gas that goes on, gas lost. Small: 90\u00a0% limits.",
        "ledger_words": "Where each gram of a day's gas goes. Widths are to scale.",
        "next_words": "Thin line: the band of the day's peak now. Thick line: after the reading.",
        "line": drawing(gas_line_paper(plan, system=system)),
        "stations": [
            {"number": str(s.number), "name": covered(s.name), "detail": covered(spelled(s.detail))}
            for s in plan.stations
        ],
        "ledger": drawing(ledger_paper(plan, system=system)),
        "stuck": say.stuck_words(plan),
        "bottle": say.bottle_words(plan, today, system),
        "next": drawing(next_readings_paper(plan)) if plan.next_readings else None,
        "cautions": say.cautions(),
        "assumptions": say.assumption_rows(plan.trail),
        "sources": say.source_columns(plan.trail),
    }
