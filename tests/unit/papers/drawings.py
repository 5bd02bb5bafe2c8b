"""Every drawing of a plan under one name, so that one test can go over all of them."""

from fizzwright.papers.day_strip import DayReading, day_strip_desk, day_strip_paper, day_strip_phone
from fizzwright.papers.gas_column import gas_line_phone
from fizzwright.papers.gas_line import gas_line_desk, gas_line_paper
from fizzwright.papers.input_bars import input_bars_desk, input_bars_paper, input_bars_phone
from fizzwright.papers.ledger_flow import ledger_desk, ledger_paper, ledger_phone
from fizzwright.papers.next_readings import next_readings_desk, next_readings_paper, next_readings_phone
from fizzwright.papers.steady_front import steady_front_desk, steady_front_paper, steady_front_phone

__all__ = [
    "DayReading",
    "day_strip_desk",
    "day_strip_paper",
    "day_strip_phone",
    "gas_line_desk",
    "gas_line_paper",
    "gas_line_phone",
    "input_bars_desk",
    "input_bars_paper",
    "input_bars_phone",
    "ledger_desk",
    "ledger_paper",
    "ledger_phone",
    "next_readings_desk",
    "next_readings_paper",
    "next_readings_phone",
    "steady_front_desk",
    "steady_front_paper",
    "steady_front_phone",
]
