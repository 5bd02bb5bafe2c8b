"""The drawings (SVG text) and the typeset papers (PDF)."""

from fizzwright.papers.day_strip import DayReading, day_strip_desk, day_strip_paper, day_strip_phone
from fizzwright.papers.gas_column import gas_line_phone
from fizzwright.papers.gas_line import gas_line_desk, gas_line_paper
from fizzwright.papers.ledger_flow import ledger_desk, ledger_paper, ledger_phone
from fizzwright.papers.next_readings import next_readings_desk, next_readings_paper, next_readings_phone
from fizzwright.papers.plan_sheet import plan_sheet
from fizzwright.papers.svg import standalone
from fizzwright.papers.tokens import Sheet, figure_rules, figure_variables

__all__ = [
    "DayReading",
    "Sheet",
    "day_strip_desk",
    "day_strip_paper",
    "day_strip_phone",
    "figure_rules",
    "figure_variables",
    "gas_line_desk",
    "gas_line_paper",
    "gas_line_phone",
    "ledger_desk",
    "ledger_paper",
    "ledger_phone",
    "next_readings_desk",
    "next_readings_paper",
    "next_readings_phone",
    "plan_sheet",
    "standalone",
]
