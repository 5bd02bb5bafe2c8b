"""Plans at the edge of what can happen, each to be drawn without a word covering another."""

from __future__ import annotations

import dataclasses

import numpy as np

from fizzwright.result import Assumption, Finding, Level
from fizzwright.stages.plan_result import (
    CeilingSet,
    DayCurves,
    InputShare,
    Ledger,
    LedgerLine,
    NextReading,
    PlanResult,
    Station,
)
from tests.unit.papers.papers_more import risk
from tests.unit.papers.papers_plans import band, changed, day, made_up_plan, stations

HOSTILE = '#evil[*x*] "quoted" \\back\\slash <b>&amp; ]] $x^2$ @preview/none:1.0 🐟 \u0007'
LONG = "the very long tank in the reading room on the second floor by the south window, left of the lift " * 2


def _scaled(curves: DayCurves, factor: float) -> DayCurves:
    return dataclasses.replace(
        curves,
        co2_low_mg_l=curves.co2_low_mg_l * factor,
        co2_mg_l=curves.co2_mg_l * factor,
        co2_high_mg_l=curves.co2_high_mg_l * factor,
    )


def _flat(level: float) -> DayCurves:
    clock = np.linspace(0.0, 1440.0, 1441)
    one = np.ones_like(clock)
    return DayCurves(
        clock,
        one * level,
        one * level,
        one * level,
        one * 6.8,
        one * 6.8,
        one * 6.8,
        one * 8,
        one * 8,
        one * 8,
        8.0,
    )


def _sized(plan: PlanResult, factor: float) -> PlanResult:
    """A tank so many times as big: feed, ledger and line flows."""

    def grown(e):  # type: ignore[no-untyped-def]
        return None if e is None else band(e.value * factor, e.unit, e.low * factor, e.high * factor)

    lines = tuple(dataclasses.replace(x, carbon_g_day=grown(x.carbon_g_day)) for x in plan.ledger.lines)
    line = tuple(
        dataclasses.replace(s, flow_mg_h=grown(s.flow_mg_h), lost_mg_h=grown(s.lost_mg_h))
        for s in plan.stations
    )
    return changed(
        plan,
        feed_mg_h=grown(plan.feed_mg_h),
        ledger=Ledger(lines, 0.0),
        stations=line,
        gas_g_day=grown(plan.gas_g_day),
        flow_ml_min_n=grown(plan.flow_ml_min_n),
        bubbles_per_s=grown(plan.bubbles_per_s),
        net_volume_l=grown(plan.net_volume_l),
        bottle_days=band(124 / factor, "days", 100 / factor, 150 / factor),
    )


def _hostile(plan: PlanResult) -> PlanResult:
    line = tuple(dataclasses.replace(s, detail=HOSTILE, sets_it=HOSTILE) for s in plan.stations)
    lines = tuple(dataclasses.replace(x, name=f"{x.name} {HOSTILE}") for x in plan.ledger.lines)
    findings = (Finding(Level.STOP, HOSTILE, HOSTILE), Finding(Level.NOTE, LONG, "bottle"))
    trail = dataclasses.replace(
        plan.trail, findings=findings, assumptions=(Assumption(HOSTILE, HOSTILE, "user", HOSTILE),)
    )
    readings = tuple(NextReading(HOSTILE, HOSTILE, HOSTILE, 17, 22) for _ in range(3))
    return changed(
        plan,
        name=HOSTILE,
        verdict=HOSTILE,
        ceiling=CeilingSet(25, 35, HOSTILE, HOSTILE),
        stations=line,
        ledger=Ledger(lines, 0.0),
        trail=trail,
        next_readings=readings,
        trade=dataclasses.replace(plan.trade, sentence=HOSTILE),
        levers=(dataclasses.replace(plan.levers[0], name=HOSTILE, change=HOSTILE, sentence=HOSTILE),),
        input_shares=(InputShare(HOSTILE, 0.9),),
    )


def _long(plan: PlanResult) -> PlanResult:
    line = tuple(
        dataclasses.replace(
            s, name=f"{s.name} of the long line", detail=LONG, sets_it="the diffuser and its age set it"
        )
        for s in plan.stations
    )
    lines = tuple(dataclasses.replace(x, name=f"{x.name}, {LONG}") for x in plan.ledger.lines)
    readings = tuple(NextReading(LONG, LONG, LONG, 17, 22) for _ in range(6))
    return changed(
        plan,
        name=LONG,
        verdict=LONG + LONG,
        ceiling=CeilingSet(25, 35, LONG, LONG),
        stations=line,
        ledger=Ledger(lines, 1e-3),
        next_readings=readings,
        levers=(dataclasses.replace(plan.levers[0], name=LONG, change=LONG, sentence=LONG),) * 4,
        input_shares=tuple(InputShare(LONG, 0.09) for _ in range(10)),
    )


def _crowd(plan: PlanResult) -> PlanResult:
    base = stations()
    extra = [
        Station(i, name, "spare", "the regulator sets it", base[1].pressure_barg, base[1].flow_mg_h, None)
        for i, name in ((3, "relief valve"), (4, "manifold"), (5, "second check valve"))
    ]
    line = [base[0], base[1], *extra, *base[2:]]
    return changed(plan, stations=tuple(dataclasses.replace(s, number=i) for i, s in enumerate(line, 1)))


def _short(plan: PlanResult) -> PlanResult:
    base = stations()
    none = band(0, "barg", 0, 0)
    line = (
        base[0],
        dataclasses.replace(base[1], pressure_barg=none),
        dataclasses.replace(base[7], name="in-hose atomiser", pressure_barg=band(-0.01, "barg", -0.02, 0)),
        base[8],
    )
    return changed(plan, stations=line)


def _reversed(plan: PlanResult) -> PlanResult:
    lines = (
        LedgerLine("from the bottle", "in", band(0.01, "g_day", 0.005, 0.02)),
        LedgerLine("in through the surface", "in", band(0.30, "g_day", 0.2, 0.4)),
        LedgerLine("breathing of plants", "in", band(0.0, "g_day", 0.0, 0.01)),
        LedgerLine("freed from bicarbonate", "in", band(0.02, "g_day", 0.0, 0.05)),
        LedgerLine("into plants", "out", band(0.33, "g_day", 0.25, 0.45)),
    )
    return changed(plan, ledger=Ledger(lines, 0.0), next_readings=())


def extreme_plans() -> dict[str, PlanResult]:
    """Every plan by what is odd about it."""
    plan = made_up_plan()
    full = _scaled(plan.day, 1.0)
    return {
        "made up": plan,
        "gas over midnight": changed(plan, gas_on_min=1320, gas_off_min=540, day=day(gas=(1320, 540))),
        "lamp over midnight": changed(
            plan,
            light_on_min=960,
            light_off_min=120,
            gas_on_min=780,
            gas_off_min=60,
            day=day(gas=(780, 60), light=(960, 120)),
        ),
        "gas day and night": changed(plan, gas_on_min=0, gas_off_min=1440, day=day(gas=(0, 1440))),
        "short spells": changed(plan, gas_on_min=5, gas_off_min=35, light_on_min=1380, light_off_min=1439),
        "nearly whole day": changed(plan, gas_on_min=20, gas_off_min=10, light_on_min=10, light_off_min=0),
        "ceiling in the band": changed(
            plan, ceiling=CeilingSet(20.0, 28.0, "fry, breeding, sick or unknown fish", "memory")
        ),
        "ceiling on the target": changed(plan, target_high_mg_l=25.0, target_low_mg_l=24.0),
        "ceiling under the day": changed(
            plan, ceiling=CeilingSet(2.0, 3.0, "crayfish or crabs", "judgement")
        ),
        "ceiling far off": changed(
            plan, ceiling=CeilingSet(120.0, 120.0, "robust small tropical fish", "judgement")
        ),
        "target under the day": changed(plan, target_low_mg_l=0.4, target_high_mg_l=0.5),
        "flat day": changed(plan, day=_flat(18.0)),
        "empty day": changed(plan, day=_flat(0.0), target_low_mg_l=14.0),
        "huge day": changed(plan, day=_scaled(full, 20.0)),
        "nano": _sized(plan, 0.01),
        "lake": _sized(plan, 300.0),
        "hostile words": _hostile(plan),
        "long words": _long(plan),
        "crowded line": _crowd(plan),
        "short line": _short(plan),
        "gas from the air": _reversed(plan),
        "no animals": changed(plan, risk=None, ramp=()),
        "nothing more": changed(
            plan, risk=None, ramp=(), stability=None, front=(), levers=(), input_shares=()
        ),
        "risk over its alarm": changed(plan, risk=risk(plan.day, 6.0)),
        "risk near nothing": changed(plan, risk=risk(_flat(0.0), 1e6)),
        "clocks all alike": changed(plan, front=tuple(dataclasses.replace(plan.front[2]) for _ in range(6))),
    }
