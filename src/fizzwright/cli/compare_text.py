"""Two plans side by side as text: what differs in the jobs, then figure against figure."""

from __future__ import annotations

from fizzwright.cli.output import band_text, bullet, heading
from fizzwright.papers.words import clock, percent
from fizzwright.stages.compare import Comparison
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import System

__all__ = ["compare_lines"]

MOST_INPUTS_COUNT = 20


def compare_lines(found: Comparison, system: System) -> list[str]:
    """The comparison: differences of the job files, a table, and what to take from it."""
    first, second = found.one, found.other
    cells = [("", first.name, second.name, "")]
    cells += [(name, pick(first), pick(second), "") for name, pick in _SETTINGS]
    cells += [
        (row.name.replace("CO2", "CO₂").replace("O2", "O₂"), band_text(row.pair[0], system),
         band_text(row.pair[1], system), "apart" if row.apart else "")
        for row in found.rows
    ]  # fmt: skip
    wide = [max(len(row[column]) for row in cells) for column in range(3)]
    lines = heading(f"{first.name} and {second.name}, side by side")[1:]
    for row in cells:
        lines.append("  " + "  ".join(f"{text:<{wide[i]}}" for i, text in enumerate(row[:3])) + f"  {row[3]}")
    lines += heading("What the job files say differently")
    for item in found.inputs[:MOST_INPUTS_COUNT]:
        lines += bullet(f"{item.field}: {item.one} against {item.other}")
    if len(found.inputs) > MOST_INPUTS_COUNT:
        lines += bullet(f"and {len(found.inputs) - MOST_INPUTS_COUNT} more; --json lists all")
    lines += bullet("nothing") if not found.inputs else []
    lines += heading("Take from it")
    for sentence in found.sentences:
        lines += bullet(sentence)
    return lines


def _gas(plan: PlanResult) -> str:
    return f"{clock(plan.gas_on_min)} to {clock(plan.gas_off_min)}"


_SETTINGS = (
    ("Plan", lambda plan: plan.kind),
    ("Gas", _gas),
    ("Target", lambda plan: f"{plan.target_low_mg_l:g} to {plan.target_high_mg_l:g} mg/L"),
    ("Starting ceiling", lambda plan: f"{plan.ceiling.soft_mg_l:g} mg/L ({plan.ceiling.set_by})"),
    ("Chance over it", lambda plan: percent(plan.p_over_ceiling_frac)),
    ("Lit time in the band", lambda plan: percent(plan.share_in_band_frac)),
)
