"""Numbers, clocks and ranges as the papers spell them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from fizzwright.result import Estimate
from fizzwright.units import SUFFIXES, System, convert, unit_text

__all__ = [
    "Shown",
    "ascii_word",
    "chem",
    "clock",
    "decimals",
    "fixed",
    "hours_between",
    "in_words",
    "limits",
    "percent",
    "quantity",
    "range_text",
    "round_figure",
    "shown",
    "spelled",
]

NBSP = "\u00a0"
_MAX_FIGURES = 4
_UNITS = sorted({row.shown for row in SUFFIXES.values() if row.shown}, key=len, reverse=True)
_AMOUNT = re.compile(rf"(\d\)?) ({'|'.join(map(re.escape, _UNITS))})(?![\w/])")
_SPOKEN = {
    "/h": "an hour",
    "/s": "a second",
    "g/day": "g a day",
    "oz/day": "oz a day",
    "mL/min (20 °C, 1 atm)": "mL/min at 20 °C, 1 atm",
}


@dataclass(frozen=True)
class Shown:
    """An estimate as text in the reader's units, one count of decimals for value and limits."""

    value: str
    low: str
    high: str
    unit: str

    @property
    def limits(self) -> str:
        """Only the limits, such as `16.4…21.1`; empty where they do not differ from the value."""
        return "" if self.low == self.high == self.value else range_text(self.low, self.high)


def shown(estimate: Estimate, system: System = System.METRIC, places: int | None = None) -> Shown:
    """An estimate ready to be written, to `places` decimals or as many as its band deserves."""
    unit = unit_text(estimate.unit, system)
    numbers = [
        convert(x, estimate.unit, unit) if unit else x for x in (estimate.value, estimate.low, estimate.high)
    ]
    count = places if places is not None else _places(estimate.unit, numbers)
    value, low, high = (fixed(x, count) for x in numbers)
    return Shown(value, low, high, "" if estimate.unit == "ph" else unit)


def round_figure(value: float) -> str:
    """A limit somebody chose: whole where it is whole, else to a tenth."""
    return fixed(value, 0 if abs(value - round(value)) < 0.05 else 1)


def _places(suffix: str, numbers: list[float]) -> int:
    """pH is read to hundredths and a concentration to tenths, whatever the band; the rest by its band."""
    if suffix == "ph":
        return 2
    if not math.isclose(numbers[1], numbers[2]):
        if suffix == "mg_l":
            return 1 if max(abs(x) for x in numbers) >= 2 else 2
        return decimals(*numbers)
    # A number without a band is a setting: three figures, and no useless noughts behind the point.
    most = max(2 - math.floor(math.log10(abs(numbers[0]))), 0) if numbers[0] else 0
    return next(
        (n for n in range(min(most, 4)) if math.isclose(round(numbers[0], n), numbers[0])), min(most, 4)
    )


def fixed(value: float, places: int) -> str:
    """A number with so many decimals (negative: rounded to tens, hundreds), true minus, never -0."""
    rounded = round(value, places)
    text = f"{rounded:.{max(places, 0)}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return text.replace("-", "−")


def decimals(value: float, low: float, high: float) -> int:
    """How many decimals a value and its limits deserve.

    Two figures of the half band while it begins with 10 to 34, one above (the rounding rule of the
    Particle Data Group); at least two figures of the value, at most four. A wide band rounds to tens or
    hundreds: the count is then negative.
    """
    half = max(high - value, value - low, (high - low) / 2)
    largest = max(abs(value), abs(low), abs(high))
    if largest == 0:
        return 0
    top = math.floor(math.log10(largest))
    if half <= 0:
        return max(2 - top, 0)
    power = math.floor(math.log10(half))
    by_band = (1 if half / 10.0**power < 3.5 else 0) - power
    two_figures = 1 - math.floor(math.log10(abs(value))) if value else 0
    # Negative is tens and hundreds; a number under 100 keeps its units.
    return max(min(max(by_band, two_figures), _MAX_FIGURES - 1 - top), 0 if top < 2 else -2)


def range_text(low: str, high: str) -> str:
    """A range with an ellipsis and no blanks, which no line end may break."""
    return f"{low}\u2060…\u2060{high}"


def limits(estimate: Estimate, system: System = System.METRIC) -> str:
    """An estimate as running text writes it: `18.6 (16.4…21.1) mg/L`, blanks that do not break."""
    text = shown(estimate, system)
    band = f"{NBSP}({text.limits})" if text.limits else ""
    spoken = _SPOKEN.get(text.unit, text.unit).replace(" ", NBSP)
    unit = f"{NBSP}{spoken}" if spoken else ""
    return f"{text.value}{band}{unit}"


def quantity(value: float, suffix: str, system: System = System.METRIC) -> str:
    """A number without doubt of its own (a setting, a ceiling) and its unit."""
    return limits(Estimate.exact(value, suffix), system)


def in_words(estimate: Estimate, system: System = System.METRIC) -> str:
    """An estimate for a listener: `18.6 mg/L, 16.4 to 21.1`."""
    text = shown(estimate, system)
    unit = f" {text.unit}" if text.unit else ""
    return f"{text.value}{unit}" + (f", {text.low} to {text.high}" if text.limits else "")


def clock(minutes: float) -> str:
    """Minutes after midnight as `06:30`; midnight at the end of a day is 24:00."""
    whole = round(minutes)
    return "24:00" if whole == 1440 else f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def hours_between(on_min: int, off_min: int) -> str:
    """The length of a spell that may run over midnight, such as `10 h 30`."""
    length = (off_min - on_min) % 1440 or 1440
    hours, rest = divmod(length, 60)
    return f"{hours}{NBSP}h" + (f"{NBSP}{rest:02d}" if rest else "")


def percent(share: float) -> str:
    """A share as a whole per cent, with words at the ends where a round figure would mislead."""
    value = 100 * share
    if 0 < value < 1:
        return f"under 1{NBSP}%"
    if 99 < value < 100:
        return f"over 99{NBSP}%"
    return f"{value:.0f}{NBSP}%"


def chem(text: str) -> str:
    """Formulas with real subscripts: `CO2` becomes `CO₂`."""
    return re.sub(r"\b(CO|O|N|H)2\b", r"\1₂", text)


def spelled(text: str) -> str:
    """A sentence as the house spells it: real subscripts, and no line end between number and unit."""
    return _AMOUNT.sub(f"\\1{NBSP}\\2", chem(text))


def ascii_word(text: str) -> str:
    """Lower-case letters of a name, for finding words in it."""
    return re.sub(r"[^a-z]+", " ", text.lower()).strip()
