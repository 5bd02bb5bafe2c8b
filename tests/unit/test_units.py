"""The table of units against a units library, and what text it takes and refuses."""

from __future__ import annotations

import math

import pint
import pytest

from fizzwright.errors import InputError
from fizzwright.units import SUFFIXES, System, convert, number_text, parse, show, suffix_of, unit_text

# Each row: what a person writes, the suffix, and the same in the words of the units library (pint).
SAME = [
    ("77 F", "c", (77, "degF", "degC")),
    ("298.15 K", "c", (298.15, "kelvin", "degC")),
    ("30 psi", "barg", (30, "psi", "bar")),
    ("150 kPa", "barg", (150, "kPa", "bar")),
    ("1 atm", "bara", (1, "atm", "bar")),
    ("20 gal", "l", (20, "gallon", "liter")),
    ("1 ft3", "l", (1, "foot**3", "liter")),
    ("48 in", "cm", (48, "inch", "centimeter")),
    ("2 ft", "m", (2, "foot", "meter")),
    ("5 lb", "g", (5, "pound", "gram")),
    ("3 oz", "g", (3, "ounce", "gram")),
    ("2 kg", "g", (2, "kilogram", "gram")),
    ("100 gph", "l_h", (100, "gallon/hour", "liter/hour")),
    ("10 L/min", "l_h", (10, "liter/minute", "liter/hour")),
    ("3 sqft", "m2", (3, "foot**2", "meter**2")),
    ("2 weeks", "days", (2, "week", "day")),
    ("90 min", "h", (90, "minute", "hour")),
    ("1.2 mS/cm", "us_cm", (1.2, "mS/cm", "uS/cm")),
    ("30 /min", "per_s", (30, "1/minute", "1/second")),
    ("0.3 g/h", "mg_h", (0.3, "gram/hour", "milligram/hour")),
    ("2 m/day", "cm_h", (2, "meter/day", "centimeter/hour")),
]


@pytest.mark.parametrize(("text", "suffix", "said"), SAME, ids=[row[0] for row in SAME])
def test_agrees_with_a_units_library(text: str, suffix: str, said: tuple[float, str, str]) -> None:
    units = pint.UnitRegistry()
    number, given, wanted = said
    theirs = units.Quantity(number, given).to(wanted).magnitude
    assert parse(text, suffix) == pytest.approx(theirs, rel=1e-6)


# 1 dKH is 10 mg CaO in a litre (waterworks definition, seen): 20/56.0774 meq/L, 17.848 mg/L as CaCO3.
@pytest.mark.parametrize(
    ("text", "dkh"),
    [
        ("1 meq/L", 2.80387),
        ("17.848 mg/L CaCO3", 1.0),
        ("100 ppm CaCO3", 5.603),
        ("1 fH", 0.5603),
        ("21.762 mg/L HCO3", 1.0),
    ],
)
def test_hardness(text: str, dkh: float) -> None:
    assert parse(text, "dkh") == pytest.approx(dkh, rel=3e-4)


@pytest.mark.parametrize("text", ["4,5 dKH", "4.5dKH", " 4.5  dkh ", "4,5\u00a0dKH"])
def test_comma_point_and_blanks(text: str) -> None:
    assert parse(text, "dkh") == 4.5


def test_true_minus_and_share() -> None:
    assert parse("−5 °C", "c") == -5.0
    assert parse("40 %", "frac") == pytest.approx(0.4)
    assert parse("0.4", "frac") == 0.4


@pytest.mark.parametrize("text", ["4", "", "four", "4 kg", "4 dKH dKH", "nan dKH", "1e400 dKHx"])
def test_refusals_name_the_field_and_what_would_do(text: str) -> None:
    with pytest.raises(InputError) as refused:
        parse(text, "dkh", field="--kh")
    fault = refused.value.faults[0]
    assert fault.field == "--kh"
    assert "meq/L" in fault.allowed


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_every_shown_unit_can_be_read_back(suffix: str) -> None:
    for system in System:
        text = show(12.5, suffix, system, digits=9)
        assert parse(text, suffix) == pytest.approx(12.5, rel=1e-6), text


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_convert_is_the_inverse_of_parse(suffix: str) -> None:
    for unit, (scale, offset) in SUFFIXES[suffix].accepts.items():
        assert convert(scale * 3.0 + offset, suffix, unit) == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("name", "suffix"),
    [
        ("co2_peak_mg_l", "mg_l"),
        ("feed_mg_h", "mg_h"),
        ("line_barg", "barg"),
        ("ph", "ph"),
        ("tank", None),
        ("days", "days"),
    ],
)
def test_suffix_is_the_longest_that_fits(name: str, suffix: str | None) -> None:
    assert suffix_of(name) == suffix


def test_number_text_keeps_the_precision_meant() -> None:
    assert [number_text(x) for x in (0, 999.6, 0.00456, -12.34, 1e6)] == [
        "0",
        "1000",
        "0.00456",
        "−12.3",
        "1000000",
    ]


def test_us_units_are_shown() -> None:
    assert unit_text("l", System.US) == "gal"
    assert math.isclose(float(show(3.785411784, "l", System.US).split("\u00a0")[0]), 1.0)
