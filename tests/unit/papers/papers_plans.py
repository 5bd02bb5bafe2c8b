"""Made-up plans for the papers: every number is invented and only has to look like a plan."""

from __future__ import annotations

import dataclasses

import numpy as np

from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail
from fizzwright.sources import Equation, Source
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
from tests.unit.papers.papers_bands import band
from tests.unit.papers.papers_more import more_of_the_plan


def day(
    *,
    gas: tuple[int, int] = (390, 1020),
    light: tuple[int, int] = (600, 1080),
    peak: float = 20.5,
    loss: float = 0.25,
) -> DayCurves:
    """A first-order day run round until it repeats; bands are shares of the middle."""
    clock = np.arange(0.0, 1441.0, 5.0)

    def lit(spell: tuple[int, int]) -> np.ndarray:
        start, end = spell
        length = (end - start) % 1440 or 1440
        return ((clock - start) % 1440) < length

    level = np.zeros_like(clock)
    value = 2.0
    for _ in range(4):
        for i, on in enumerate(lit(gas)):
            level[i] = value
            rest = 2.0 + (peak - 2.0) * on
            value = rest + (value - rest) * np.exp(-loss / 12)
        value = level[-1]
    sun = lit(light)
    oxygen = np.zeros_like(clock)
    value = 7.6
    for _ in range(3):
        for i, on in enumerate(sun):
            oxygen[i] = value
            value += ((9.0 if on else 7.3) - value) * 0.02
    ph = 6.3 + np.log10(5.0 * 2.8 * 15.7 / np.maximum(level, 0.3)) - 0.74
    return DayCurves(
        clock,
        level * 0.86,
        level,
        level * 1.2,
        ph - 0.08,
        ph,
        ph + 0.07,
        oxygen - 0.5,
        oxygen,
        oxygen + 0.3,
        8.3,
    )


def stations() -> tuple[Station, ...]:
    def flow(value: float, low: float, high: float) -> Estimate:
        return band(value, "mg_h", low, high)

    def press(value: float, low: float, high: float) -> Estimate:
        return band(value, "barg", low, high)

    full = flow(1040, 943, 1150)
    on = flow(1039, 942, 1149)
    return (
        Station(1, "bottle", "2 kg, 1412 g left", "room warmth sets it", press(56.3, 53.6, 59.0), full, None),
        Station(2, "regulator", "one stage", "the regulator sets it", press(2.0, 1.9, 2.1), full, None),
        Station(
            3,
            "gas clock valve",
            "shut without current",
            "the regulator sets it",
            press(2.0, 1.9, 2.1),
            full,
            None,
        ),
        Station(4, "needle valve", "", "the diffuser asks for it", press(0.62, 0.55, 0.75), full, None),
        Station(
            5,
            "bubble counter",
            "tip 1.9 mm, water",
            "the diffuser asks for it",
            press(0.62, 0.55, 0.75),
            on,
            flow(1, 0.4, 2),
        ),
        Station(6, "check valve", "", "the diffuser asks for it", press(0.58, 0.50, 0.71), on, None),
        Station(
            7,
            "tube",
            "polyurethane, 1.8 m",
            "the diffuser asks for it",
            press(0.58, 0.50, 0.71),
            flow(1035, 938, 1146),
            flow(4, 2, 7),
        ),
        Station(
            8,
            "diffuser",
            "fine ceramic disc, 38 cm deep",
            "depth sets it",
            press(0.04, 0.035, 0.045),
            flow(888, 795, 1000),
            flow(147, 85, 210),
        ),
        Station(9, "water", "163 L", "", None, flow(87, 62, 125), flow(801, 700, 925)),
        Station(10, "leaf", "", "", None, flow(87, 62, 125), None),
    )


def ledger() -> Ledger:
    def grams(name: str, side: str, value: float, low: float, high: float) -> LedgerLine:
        return LedgerLine(name, side, band(value, "g_day", low, high))

    return Ledger(
        (
            grams("from the bottle", "in", 10.91, 10.01, 12.12),
            grams("breathing of animals, plants and ground", "in", 0.58, 0.40, 0.87),
            grams("through tube wall and joints", "out", 0.05, 0.02, 0.09),
            grams("escaped in bubbles", "out", 1.54, 0.86, 2.19),
            grams("out of the surface", "out", 9.21, 8.20, 10.40),
            grams("into plants", "out", 0.65, 0.46, 0.94),
            grams("out with the water change", "out", 0.04, 0.03, 0.05),
        ),
        3e-12,
    )


def trail() -> Trail:
    return Trail(
        equations=(
            Equation(
                "engines.day.balance.rate_mg_l_h",
                "How fast dissolved CO2 changes at one moment.",
                "own-balance",
                "derived here",
                {},
            ),
            Equation(
                "engines.gasline.needle.flow_mg_h",
                "The gas flow through a needle valve between two pressures.",
                "iec-60534",
                "eq. 5",
                {},
            ),
            Equation(
                "engines.water.carbonate.k1_log10",
                "The first constant of carbonic acid in fresh water.",
                "harned-davis-1943",
                "table 4",
                {},
            ),
        ),
        sources=(
            Source(
                "harned-davis-1943",
                "Harned H. S., Davis R. (1943), J. Am. Chem. Soc. 65, 2030",
                "second hand",
            ),
            Source("iec-60534", "IEC 60534-2-1, Industrial-process control valves: flow capacity", "memory"),
            Source(
                "own-balance",
                "Mass balance of a well-mixed tank with first-order surface exchange",
                "derived",
            ),
        ),
        assumptions=(
            Assumption("KH is all carbonate", "5.0 dKH", "user", "harned-davis-1943"),
            Assumption("surface loss the same all day", "0.25 /h (0.21…0.29)", "default"),
            Assumption("plants: medium cover", "60 g/m² dry", "default", "judgement"),
        ),
        findings=(
            Finding(
                Level.NOTE,
                "KH was titrated once, 11 days ago. It carries 31 % of the pH-based band.",
                "water.kh",
            ),
            Finding(
                Level.CARE,
                "Stuck open for 24 h the water ends at 22.8 mg/L (19.0…27.5). One chance in five to "
                "pass 25. An airstone on its own clock would halve that.",
                "gas clock valve",
            ),
            Finding(
                Level.STOP,
                "Do not have this bottle refilled before it is tested. Stamp 10/2016. The stamp, your "
                "filler and local law decide.",
                "gasline.bottle.tested",
            ),
        ),
        inputs_digest="0f1e2d3c4b5a6978",
        version="0.1.0",
    )


def made_up_plan() -> PlanResult:
    """Library foyer 120, as invented for the look."""
    return PlanResult(
        name="library foyer 120",
        kind="fitted",
        verdict=(
            "The target is met from lights-on to dark. The day peaks at 19.9 mg/L (16.9…24.0) just "
            "before gas-off, "
            "under the shrimp's starting ceiling of 25 on all but 3 days in 100. The bottle lasts "
            "about 124 days."
        ),
        feed_mg_h=band(1040, "mg_h", 943, 1150),
        expected_feed_mg_h=band(1010, "mg_h", 900, 1140),
        bubbles_per_s=band(2.53, "per_s", 2.1, 3.0),
        mg_per_bubble_mg=band(0.114, "mg", 0.098, 0.132),
        flow_ml_min_n=band(9.42, "ml_min_n", 8.55, 10.4),
        gas_on_min=390,
        gas_off_min=1020,
        light_on_min=600,
        light_off_min=1080,
        target_low_mg_l=14.0,
        target_high_mg_l=20.0,
        ceiling=CeilingSet(25.0, 35.0, "hardy dwarf shrimp", "judgement, second hand"),
        co2_at_lights_on_mg_l=band(14.5, "mg_l", 12.9, 16.7),
        co2_peak_mg_l=band(19.9, "mg_l", 16.9, 24.0),
        p_over_ceiling_frac=0.03,
        share_in_band_frac=0.93,
        rise_mg_l_h=band(5.2, "mg_l_h", 4.6, 6.0),
        o2_dawn_mg_l=band(7.5, "mg_l", 7.0, 7.8),
        stuck_open_24h_mg_l=band(22.8, "mg_l", 19.0, 27.5),
        p_stuck_over_hard_frac=0.004,
        gas_g_day=band(10.91, "g_day", 10.01, 12.12),
        bottle_days=band(124, "days", 109, 140),
        swap_days=band(110, "days", 96, 125),
        loss_per_h=band(0.25, "per_h", 0.21, 0.29, Basis.FITTED),
        dissolved_frac=band(0.86, "frac", 0.79, 0.92),
        net_volume_l=band(163, "l", 158, 168),
        day=day(),
        ledger=ledger(),
        stations=stations(),
        night=NightFit(
            True,
            "One night fitted: the surface loses a quarter of the surplus each hour.",
            band(0.25, "per_h", 0.21, 0.29, Basis.FITTED),
            band(2.4, "mg_l", 1.6, 3.1),
            8.5,
            102,
            2,
            0.1,
            0.6,
        ),
        trade=Trade(
            0.93,
            3.5,
            0.42,
            "Starting the gas 3 h 30 before the lamp gives up 0.9 g of gas a day for a full lit day "
            "inside the target.",
        ),
        next_readings=(
            NextReading(
                "Log pH for one night", "fits the surface loss", "one night, nothing to buy", 18.2, 21.9
            ),
            NextReading(
                "Count 20 bubbles into a syringe", "fits the milligrams a bubble", "10 minutes", 17.6, 23.0
            ),
            NextReading("Weigh the bottle on day 14", "checks the whole feed", "two weighings", 17.4, 23.2),
            NextReading("Titrate KH twice", "narrows CO2 from pH", "15 minutes", 17.3, 23.4),
        ),
        draws_count=600,
        trail=trail(),
        **more_of_the_plan(day()),
    )


def changed(plan: PlanResult, **fields: object) -> PlanResult:
    """The plan with some fields replaced."""
    return dataclasses.replace(plan, **fields)  # type: ignore[arg-type]
