"""The rest of the made-up plan: steadiness, risk, gas clocks to choose from, levers, the first days."""

from __future__ import annotations

from typing import Any

import numpy as np

from fizzwright.stages.plan_result import (
    DayCurves,
    DayRisk,
    FrontPoint,
    InputShare,
    Lever,
    RampDay,
    Stability,
)
from tests.unit.papers.papers_bands import band


def risk(curves: DayCurves, ceiling_mg_l: float = 25.0) -> DayRisk:
    middle = curves.co2_mg_l / ceiling_mg_l + 0.1 * np.maximum(8.0 - curves.o2_mg_l, 0.0)
    return DayRisk(
        curves.clock_min, middle * 0.8, middle, middle * 1.2, band(0.79, "number", 0.66, 0.96), 1020.0, 0.03
    )


def steady() -> Stability:
    return Stability(
        swing_frac=band(0.24, "frac", 0.2, 0.31),
        in_band_h=band(7.4, "h", 4.1, 8.0),
        lit_h=8.0,
        lights_on_ratio=band(0.85, "ratio", 0.76, 0.98),
        reaches_90_h=band(4.2, "h", 3.6, 5.0),
        lights_off_mg_l=band(15.6, "mg_l", 13.2, 18.9),
        night_low_mg_l=band(2.1, "mg_l", 1.7, 2.9),
        overdose_mg_h_l=band(0.0, "mg_h_l", 0.0, 0.4),
        longest_over_h=band(0.0, "h", 0.0, 0.6),
    )


def front() -> tuple[FrontPoint, ...]:
    rows = (
        (540, 1020, 1420, (0.61, 0.52, 0.75), 9.4),
        (480, 1020, 1210, (0.42, 0.33, 0.55), 10.0),
        (390, 1020, 1040, (0.24, 0.20, 0.31), 10.9),
        (390, 1080, 1060, (0.19, 0.10, 0.28), 11.4),
        (0, 1440, 900, (0.02, 0.01, 0.05), 21.6),
    )
    return tuple(
        FrontPoint(
            on,
            off,
            feed,
            band(swing[0], "frac", swing[1], swing[2]),
            band(grams, "g_day", 0.9 * grams, 1.12 * grams),
            0.9,
            0.03,
            feed == 1040,
        )
        for on, off, feed, swing, grams in rows
    )


def levers() -> tuple[Lever, ...]:
    return (
        Lever(
            "air at night",
            "an air stone on its own clock from lamp-off until the gas opens",
            1040.0,
            band(0.24, "frac", 0.2, 0.31),
            0.93,
            band(19.9, "mg_l", 16.9, 24.0),
            0.03,
            band(10.9, "g_day", 10.0, 12.1),
            band(7.9, "mg_l", 7.5, 8.1),
            band(16.1, "mg_l", 13.0, 20.2),
            "Stuck open 16 mg/L instead of 23; oxygen at dawn 7.9 mg/L instead of 7.5.",
        ),
    )


def ramp() -> tuple[RampDay, ...]:
    return tuple(
        RampDay(
            number,
            1040.0 * share,
            2.53 * share,
            band(19.9 * share, "mg_l", 16.9 * share, 24.0 * share),
            0.03 if share == 1 else 0.0,
            1020,
        )
        for number, share in enumerate((0.25, 0.44, 0.63, 0.82, 1.0), 1)
    )


def more_of_the_plan(curves: DayCurves) -> dict[str, Any]:
    """Fields of a plan by name."""
    return {
        "stability": steady(),
        "risk": risk(curves),
        "front": front(),
        "levers": levers(),
        "input_shares": (
            InputShare("surface loss", 0.52),
            InputShare("bubble counter", 0.28),
            InputShare("dissolved share of the diffuser", 0.14),
        ),
        "ramp": ramp(),
        "bottle_left_frac": 0.706,
    }
