"""How numbers, clocks and ranges are spelled; every expectation is worked by hand beside it."""

from __future__ import annotations

import pytest

from fizzwright.papers import words
from fizzwright.result import Estimate
from fizzwright.units import System

NB = "\u00a0"
WJ = "\u2060"


@pytest.mark.parametrize(
    ("value", "low", "high", "places"),
    [
        # Half band 2.7 begins with 27, so two figures of it: tenths.
        (56.3, 53.6, 59.0, 1),
        # Half band 0.13: two figures: hundredths.
        (0.62, 0.55, 0.75, 2),
        # Half band 5.6 begins with 56, so one figure: ones.
        (1412.0, 1407.0, 1417.6, 0),
        # Half band 110: two figures would be tens; whole numbers are the coarsest that is written.
        (1040.0, 943.0, 1150.0, -1),
        # Half band 0.005 alone asks for thousandths.
        (0.04, 0.035, 0.045, 3),
        # Half band 0.65 asks for tenths; the value needs two figures: hundredths.
        (0.25, 0.1, 0.9, 2),
        # No band: three figures.
        (12.0, 12.0, 12.0, 1),
        (0.0, 0.0, 0.0, 0),
        (0.0, -0.5, 0.5, 1),
    ],
)
def test_decimals_follow_the_band(value: float, low: float, high: float, places: int) -> None:
    assert words.decimals(value, low, high) == places


@pytest.mark.parametrize(
    ("estimate", "text"),
    [
        (Estimate(18.64, "mg_l", 16.38, 21.11), f"18.6{NB}(16.4{WJ}…{WJ}21.1){NB}mg/L"),
        (Estimate(6.888, "ph", 6.801, 6.961), f"6.89{NB}(6.80{WJ}…{WJ}6.96)"),
        (Estimate.exact(25.0, "mg_l"), f"25{NB}mg/L"),
        (Estimate.exact(57.641, "barg"), f"57.6{NB}bar{NB}g"),
        (Estimate(-0.5, "c", -1.2, 0.3), f"−0.50{NB}(−1.20{WJ}…{WJ}0.30){NB}°C"),
        (Estimate(0.25, "per_h", 0.21, 0.29), f"0.25{NB}(0.21{WJ}…{WJ}0.29){NB}an{NB}hour"),
    ],
)
def test_an_estimate_stands_with_its_limits(estimate: Estimate, text: str) -> None:
    assert words.limits(estimate) == text


def test_us_readers_get_their_units() -> None:
    # 2 bar over 0.0689475729 bar a psi is 29.008 psi; three figures of a number without a band.
    assert words.limits(Estimate.exact(2.0, "barg"), System.US) == f"29.0{NB}psi"


@pytest.mark.parametrize(
    ("minute", "text"), [(0, "00:00"), (390, "06:30"), (1439.7, "24:00"), (1440, "24:00"), (1500, "01:00")]
)
def test_clock(minute: float, text: str) -> None:
    assert words.clock(minute) == text


@pytest.mark.parametrize(
    ("on", "off", "text"),
    [(390, 1020, f"10{NB}h{NB}30"), (600, 1080, f"8{NB}h"), (1320, 360, f"8{NB}h"), (0, 1440, f"24{NB}h")],
)
def test_length_of_a_spell(on: int, off: int, text: str) -> None:
    assert words.hours_between(on, off) == text


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "0"), (0.004, "under 1"), (0.03, "3"), (0.996, "over 99"), (1.0, "100")],
)
def test_shares_near_the_ends_are_not_rounded_to_never_or_always(share: float, text: str) -> None:
    assert words.percent(share) == f"{text}{NB}%"


def test_minus_zero_is_zero() -> None:
    assert words.fixed(-0.0004, 2) == "0.00"
    assert words.fixed(-0.5, 1) == "−0.5"


def test_formulas_and_amounts_are_spelled_out() -> None:
    assert words.spelled("CO2 at 20 mg/L for 3 h") == f"CO₂ at 20{NB}mg/L for 3{NB}h"
    assert words.spelled("O2, N2, H2, CO23 and 4 hens") == "O₂, N₂, H₂, CO23 and 4 hens"


def test_for_a_listener_there_are_no_signs() -> None:
    assert words.in_words(Estimate(18.64, "mg_l", 16.38, 21.11)) == "18.6 mg/L, 16.4 to 21.1"
