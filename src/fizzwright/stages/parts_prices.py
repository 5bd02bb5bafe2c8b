"""The price file a user keeps: what things cost where they are, in their own currency.

Plain TOML with three tables: `[buy]` prices of kinds of part, `[lasts]` how many years they last, and
`[run]` what running costs. Everything may be left out; nothing left out is guessed.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from fizzwright.errors import Fault, InputError
from fizzwright.job.part_words import PartKind
from fizzwright.job.spelling import nearest

__all__ = ["LASTS_YEARS", "RUN_KEYS", "Cost", "Prices", "blank_prices", "read_prices"]

# Common practice: how long a part serves before it is worth replacing.
LASTS_YEARS: Mapping[PartKind, float] = {
    PartKind.REFILLABLE_BOTTLE: 20.0,
    PartKind.STRAP: 10.0,
    PartKind.WASHER: 0.5,
    PartKind.TWO_STAGE_REGULATOR: 10.0,
    PartKind.TWO_GAUGE_REGULATOR: 8.0,
    PartKind.CARTRIDGE_REGULATOR: 5.0,
    PartKind.SOLENOID: 5.0,
    PartKind.TIMER: 5.0,
    PartKind.MANIFOLD: 10.0,
    PartKind.NEEDLE: 8.0,
    PartKind.PLAIN_COUNTER: 5.0,
    PartKind.COUNTER_FLUID: 1.0,
    PartKind.GAS_CHECK_VALVE: 1.0,
    PartKind.TUBE: 2.0,
    PartKind.DIFFUSER: 2.0,
    PartKind.DROP_CHECKER: 5.0,
    PartKind.ROOM_ALARM: 7.0,
    PartKind.LEAK_LIQUID: 3.0,
    PartKind.SCALE: 10.0,
}
DEFAULT_LASTS_YEARS = 5.0

RUN_KEYS: Mapping[str, str] = {
    "refill": "one filling of the bottle in the job",
    "rent_year": "rent of the bottle for a year",
    "bottle_test": "the periodic test of the bottle",
    "kwh": "a kilowatt-hour",
    "hour": "what an hour of work is worth to you",
    "trip": "one trip to the filler",
    "cartridge": "one disposable cartridge",
    "cartridge_g": "gas in one cartridge, in grams",
    "sugar_kg": "a kilogram of sugar",
    "yeast": "yeast for one mix",
    "citric_acid_kg": "a kilogram of citric acid without water",
    "bicarbonate_kg": "a kilogram of sodium bicarbonate",
    "yeast_kit": "bottle, cap with outlet, trap, tube and diffuser for yeast",
    "acid_kit": "pressure-rated vessel with relief valve, tube and diffuser for acid and bicarbonate",
    "liquid_carbon_l": 'a litre of "liquid carbon"',
    "tablet": "one carbonate tablet",
}


@dataclass(frozen=True)
class Cost:
    """An amount of money with its limits, in the user's own currency."""

    amount: Decimal
    low: Decimal
    high: Decimal
    currency: str

    @classmethod
    def of(cls, amounts_number: tuple[float, float, float], currency: str) -> Cost:
        """A cost from middle, low and high, to the hundredth, or to three figures where it is smaller."""
        return cls(
            _rounded(amounts_number[0]), _rounded(amounts_number[1]), _rounded(amounts_number[2]), currency
        )

    def __str__(self) -> str:
        """The amount, with its limits where they differ."""
        if self.low == self.high:
            return f"{self.amount} {self.currency}"
        return f"{self.amount} ({self.low}…{self.high}) {self.currency}"


def _rounded(value: float) -> Decimal:
    places = 2
    while places < 5 and 0 < abs(value) < 10.0 ** (2 - places):
        places += 1
    return Decimal(f"{value:.{places}f}")


@dataclass(frozen=True)
class Prices:
    """A price file as read; a key that is not in it costs nothing here and is said to be missing."""

    currency: str
    buy: Mapping[PartKind, Decimal]
    lasts: Mapping[PartKind, Decimal]
    run: Mapping[str, Decimal]

    def lasts_years(self, kind: PartKind) -> float:
        """How long a kind of part lasts: the user's word, else common practice. [years]"""
        if kind in self.lasts:
            return float(self.lasts[kind])
        return LASTS_YEARS.get(kind, DEFAULT_LASTS_YEARS)

    def runs_number(self, key: str) -> float | None:
        """A running price as a plain amount; None where the file does not give it. [number]"""
        return float(self.run[key]) if key in self.run else None


def read_prices(text: str, *, name: str = "prices") -> Prices:
    """The prices in a file's text, or one InputError with every fault in it.

    Examples
    --------
    >>> read_prices('currency = "EUR"\\n[buy]\\ntimer = 12.5\\n').buy[PartKind.TIMER]
    Decimal('12.5')
    """
    try:
        values = tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
    except tomllib.TOMLDecodeError as err:
        raise InputError([Fault(name, "", f"is no TOML: {err}", "Start from --blank-prices")]) from err
    faults: list[Fault] = []
    known = {"currency", "buy", "lasts", "run"}
    faults += [_strange(key, known) for key in values if key not in known]
    currency = values.get("currency", "")
    if not isinstance(currency, str) or not currency.strip():
        faults.append(Fault("currency", "", "needs the currency in quotes", 'For example currency = "EUR"'))
    kinds = {kind.value: kind for kind in PartKind}
    buy = _amounts(values.get("buy", {}), "buy", set(kinds), faults)
    lasts = _amounts(values.get("lasts", {}), "lasts", set(kinds), faults, least=Decimal("0.05"))
    run = _amounts(values.get("run", {}), "run", set(RUN_KEYS), faults)
    if faults:
        raise InputError(faults)
    return Prices(
        currency.strip(),
        {kinds[key]: value for key, value in buy.items()},
        {kinds[key]: value for key, value in lasts.items()},
        run,
    )


def _amounts(
    table: Any, where: str, known: set[str], faults: list[Fault], least: Decimal = Decimal(0)
) -> dict[str, Decimal]:
    """The amounts of one table; what is wrong is added to the faults."""
    if not isinstance(table, dict):
        faults.append(Fault(where, "", f"needs a table [{where}] with its keys on the lines below"))
        return {}
    found = {}
    for key, value in table.items():
        field = f"{where}.{key}"
        if key not in known:
            faults.append(_strange(field, {f"{where}.{name}" for name in known}))
        elif isinstance(value, bool) or not isinstance(value, int | Decimal):
            faults.append(Fault(field, str(value), "needs a plain number, without currency or unit"))
        elif not Decimal(value).is_finite() or not least <= Decimal(value) <= Decimal(10**9):
            faults.append(Fault(field, str(value), f"allowed {least} to 1000000000"))
        else:
            found[key] = Decimal(value)
    return found


def _strange(key: str, known: set[str]) -> Fault:
    near = nearest(key, sorted(known))
    return Fault(key, "", "is no key of a price file", f'The nearest is "{near}"' if near else "")


def blank_prices() -> str:
    """A price file to fill in: every key there is, each commented out."""
    rows = [
        "# What things cost where you are. Take the # away from the lines you fill in; leave out the rest.",
        "# Plain numbers, in the currency named here. Nothing left out is guessed.",
        'currency = "EUR"',
        "",
        "[buy]  # price of one; for tube, of one metre",
        *(f'# "{kind.value}" = 0' for kind in PartKind),
        "",
        "[lasts]  # years until it is replaced; what stands here is common practice, no source",
        *(f'# "{kind.value}" = {years:g}' for kind, years in LASTS_YEARS.items()),
        "",
        "[run]",
        *(f"# {key} = 0  # {says}" for key, says in RUN_KEYS.items()),
    ]
    return "\n".join(rows) + "\n"
