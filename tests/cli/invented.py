"""An invented plan, for tests of how plans are printed; its numbers show form only."""

from __future__ import annotations

import numpy as np

from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail
from fizzwright.stages.plan_result import (
    CeilingSet,
    DayCurves,
    Ledger,
    LedgerLine,
    NextReading,
    NightFit,
    PlanResult,
    Station,
    Trade,
)


def _e(value: float, unit: str, low: float, high: float, basis: Basis = Basis.PROPAGATED) -> Estimate:
    return Estimate(value, unit, low, high, basis)


def invented_day() -> DayCurves:
    """A smooth day between 8 and 22 mg/L."""
    clock_min = np.linspace(0.0, 1440.0, 289)
    co2 = 15.0 - 7.0 * np.cos(2 * np.pi * (clock_min - 180) / 1440)
    ph = 7.0 - np.log10(co2 / 10)
    o2 = 7.5 + 0.8 * np.sin(2 * np.pi * (clock_min - 500) / 1440)
    return DayCurves(
        clock_min, 0.7 * co2, co2, 1.4 * co2, ph - 0.15, ph, ph + 0.15, 0.9 * o2, o2, 1.1 * o2, 8.2
    )


LEDGER = Ledger(
    lines=(
        LedgerLine("from the bottle", "in", _e(14.2, "g_day", 11.0, 18.0)),
        LedgerLine("with the change water", "in", _e(0.1, "g_day", 0.05, 0.2)),
        LedgerLine("out of the surface", "out", _e(9.3, "g_day", 6.1, 13.0)),
        LedgerLine("into plants", "out", _e(2.0, "g_day", 1.0, 3.5)),
        LedgerLine("escaped in bubbles", "out", _e(3.0, "g_day", 1.5, 5.0)),
    ),
    residual_frac=3e-12,
)

STATIONS = (
    Station(
        1,
        "bottle",
        "2 kg, two thirds full",
        "filled by a licensed filler",
        _e(57, "barg", 54, 60),
        None,
        None,
    ),
    Station(2, "regulator", "two-stage", "", _e(2.0, "barg", 1.9, 2.1), _e(590, "mg_h", 450, 750), None),
    Station(
        3,
        "tube",
        "2 m polyurethane",
        "",
        _e(1.6, "barg", 1.4, 1.8),
        _e(588, "mg_h", 448, 748),
        _e(2, "mg_h", 1, 4),
    ),
)

NIGHT = NightFit(
    True, "Eight hours of readings fix the loss within a tenth.", _e(0.21, "per_h", 0.19, 0.24, Basis.FITTED),
    _e(3.9, "mg_l", 3.1, 4.8), 8.0, 96, 3, 0.1, 0.6,
)  # fmt: skip

FINDINGS = (
    Finding(Level.NOTE, "The night settles above the room's air.", "night", ""),
    Finding(Level.STOP, "A stuck valve takes this tank past the hard stop.", "stuck_open_24h_mg_l", ""),
    Finding(Level.CARE, "KH is low for pH methods.", "water.kh", ""),
)

TRAIL = Trail(
    (), (), (Assumption("Porosity of the substrate", "40 %"),), FINDINGS, "0123456789abcdef", "0.0.0"
)


def invented_plan(night: NightFit | None = NIGHT) -> PlanResult:
    """A whole plan, every field filled."""
    return PlanResult(
        name="Foyer of nowhere", kind="starting" if night is None else "fitted",
        verdict="Feed 590 mg an hour from 08:30, two hours before the lamp.",
        feed_mg_h=_e(590, "mg_h", 450, 750), expected_feed_mg_h=_e(640, "mg_h", 480, 820),
        bubbles_per_s=_e(1.02, "per_s", 0.77, 1.31), mg_per_bubble_mg=_e(0.16, "mg", 0.14, 0.19),
        flow_ml_min_n=_e(5.3, "ml_min_n", 4.1, 6.8), gas_on_min=510, gas_off_min=1170, light_on_min=630,
        light_off_min=1230, target_low_mg_l=15.0, target_high_mg_l=25.0,
        ceiling=CeilingSet(30.0, 40.0, "hardy dwarf shrimp", "common practice"),
        co2_at_lights_on_mg_l=_e(16.0, "mg_l", 12.0, 21.0), co2_peak_mg_l=_e(22.0, "mg_l", 17.0, 29.0),
        p_over_ceiling_frac=0.04, share_in_band_frac=0.81, rise_mg_l_h=_e(4.1, "mg_l_h", 3.0, 5.3),
        o2_dawn_mg_l=_e(6.9, "mg_l", 6.2, 7.6), stuck_open_24h_mg_l=_e(61.0, "mg_l", 44.0, 89.0),
        p_stuck_over_hard_frac=0.97, gas_g_day=_e(6.5, "g_day", 5.0, 8.3),
        bottle_days=_e(205, "days", 160, 266),
        swap_days=_e(190, "days", 148, 246), loss_per_h=_e(0.21, "per_h", 0.19, 0.24),
        dissolved_frac=_e(0.79, "frac", 0.6, 0.92), net_volume_l=_e(181, "l", 174, 188), day=invented_day(),
        ledger=LEDGER, stations=STATIONS, night=night,
        trade=Trade(0.81, 2.0, 0.3, "An earlier start fills the first lit hour and lifts the night."),
        next_readings=(NextReading("pH over a gas-off night", "the surface loss", "Eight hours.", 19, 25),),
        draws_count=400, trail=TRAIL,
    )  # fmt: skip
