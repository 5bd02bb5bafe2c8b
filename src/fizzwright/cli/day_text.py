"""A day as three lines of text: the CO2 curve, when gas flows, when the lamp is lit."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np

from fizzwright.stages.plan_result import PlanResult

__all__ = ["day_lines"]

CELLS = 48
CELL_MIN = 1440 // CELLS
_BLOCKS = "▁▂▃▄▅▆▇█"
_HOURS = (0, 3, 6, 9, 12, 15, 18, 21)


def day_lines(plan: PlanResult, indent: str = "  ") -> list[str]:
    """The day in half-hour cells; nothing where the terminal cannot show block letters."""
    if not _can_show(_BLOCKS):
        return []
    middle_of_cell = np.arange(CELLS) * CELL_MIN + CELL_MIN / 2
    co2 = np.interp(middle_of_cell, plan.day.clock_min, plan.day.co2_mg_l)
    lines = [
        f"{indent}{'hour':<5} {_ruler()}",
        f"{indent}{'CO₂':<5} {_curve(co2)}  {co2.min():.0f} to {co2.max():.0f} mg/L",
        f"{indent}{'gas':<5} {_clock_line(plan.gas_on_min, plan.gas_off_min)}",
        f"{indent}{'lamp':<5} {_clock_line(plan.light_on_min, plan.light_off_min)}",
    ]
    return [line.rstrip() for line in lines]


def _can_show(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _ruler() -> str:
    wide = 60 * 3 // CELL_MIN
    return "".join(f"{hour:<{wide}}" for hour in _HOURS)


def _curve(levels: Sequence[float]) -> str:
    """Block letters from nought to the day's highest level, so that a low day looks low."""
    top = max(levels)
    if top <= 0:
        return _BLOCKS[0] * len(levels)
    return "".join(_BLOCKS[min(int(level / top * len(_BLOCKS)), len(_BLOCKS) - 1)] for level in levels)


def _clock_line(on_min: int, off_min: int) -> str:
    """A bar over the half hours that lie between on and off, past midnight too."""
    lit_min = (off_min - on_min) % 1440 or 1440
    return "".join(
        "━" if (cell * CELL_MIN + CELL_MIN // 2 - on_min) % 1440 < lit_min else "·" for cell in range(CELLS)
    )
