"""`bench count`: the feed behind a bubble count."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fizzwright.catalogue.counters import COUNTER_LIQUIDS, CounterLiquid
from fizzwright.engines.gasline.counter import (
    NOMINAL_TIP_MM,
    THIN_PA_S,
    TIP_KNOWN_SPREAD_FRAC,
    UNKNOWN_TIP,
    calibrated_bubble_mg,
    critical_flow_l_h,
    kumar_kuloor_volume_ul,
    mg_per_bubble_mg,
    tate_volume_ul,
    water_vapour_bara,
)
from fizzwright.engines.gasline.gas import ambient_bara, flow_ml_min_n
from fizzwright.form import asked, check
from fizzwright.job.words import CounterFluid
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail, make_trail
from fizzwright.stages.bench.gas_bands import Doubt, assumed, even, widened
from fizzwright.units import show

__all__ = ["CountAnswer", "CountQuestion", "count"]

# Counter pressures met on planted tanks: open ends at the low end, fine bodies at the high one.
_LINE_LOW_BARG, _LINE_MID_BARG, _LINE_HIGH_BARG = 0.1, 0.6, 2.0
_THICK_SPREAD_FRAC = 0.25
_BY_EYE_PER_S = 4.0


@dataclass(frozen=True, kw_only=True)
class CountQuestion:
    """A bubble count, and what is known of the counter it was made in."""

    rate_per_s: float = asked("--rate", "bubbles counted", low=0.01, high=30.0)
    tip_mm: float | None = asked("--tip", "wetted rim of the tip", low=0.3, high=8.0, default=None)
    fluid: CounterFluid = asked("--fluid", "what the counter is filled with", default=CounterFluid.WATER)
    line_gauge_barg: float | None = asked(
        "--line-gauge", "pressure in the counter, after the needle valve", low=0.0, high=6.0, default=None
    )
    temperature_c: float = asked("--temp", "temperature of the counter", low=5.0, high=40.0, default=22.0)
    mg_per_bubble_mg: float | None = asked(
        "--mg-per-bubble", "mass of one bubble, from a calibration", low=0.005, high=2.0, default=None
    )
    calibration_gauge_barg: float | None = asked(
        "--calibration-gauge", "pressure in the counter at the calibration", low=0.0, high=6.0, default=None
    )
    calibration_error_frac: float = asked(
        "--calibration-error", "90 % error of the calibration", low=0.005, high=0.6, default=0.13
    )
    rate_error_frac: float = asked("--rate-error", "90 % error of the count", low=0.0, high=0.5, default=0.05)
    gauge_error_barg: float = asked(
        "--gauge-error", "90 % error of the gauge", low=0.0, high=1.0, default=0.1
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=4500.0, default=100.0)


@dataclass(frozen=True)
class CountAnswer:
    """The feed a bubble count stands for, as mass and as volume at 20 °C and 1 atm."""

    feed_mg_h: Estimate
    flow_ml_min_n: Estimate
    mg_per_bubble_mg: Estimate
    bubble_volume_ul: Estimate | None
    trail: Trail


@dataclass(frozen=True)
class _Bubble:
    """One bubble: mass, doubts, volume where it was worked out, and the equations that ran."""

    mass_mg: float
    doubts: list[Doubt]
    volume_ul: float | None
    volume_doubt: Doubt
    ran: list[Callable[..., Any]]


def count(question: CountQuestion) -> CountAnswer:
    """The feed a bubble count stands for, with the doubt of tip, pressure and count.

    A bubble's volume hangs on the tip and the liquid, its mass on the absolute pressure in the counter.
    Without the tip or a calibration the answer spans several-fold, and says so.

    Parameters
    ----------
    question : CountQuestion
        Count, counter and pressure.

    Returns
    -------
    CountAnswer
        Feed, flow and mass per bubble with 90 % limits.
    """
    check(question)
    liquid = COUNTER_LIQUIDS[question.fluid]
    bubble = _calibrated(question) if question.mg_per_bubble_mg is not None else _worked_out(question, liquid)
    per_bubble = widened(Estimate.exact(bubble.mass_mg, "mg"), bubble.doubts, basis=_basis(question))
    doubts = [*bubble.doubts, even(question.rate_error_frac)]
    feed = widened(Estimate.exact(question.rate_per_s * bubble.mass_mg * 3600.0, "mg_h"), doubts)
    flow = Estimate(
        float(flow_ml_min_n(feed.value)),
        "ml_min_n",
        float(flow_ml_min_n(feed.low)),
        float(flow_ml_min_n(feed.high)),
    )
    volume = None
    if bubble.volume_ul is not None:
        volume = widened(Estimate.exact(bubble.volume_ul, "ul"), [bubble.volume_doubt], basis=Basis.JUDGEMENT)
    findings, more_ran = _findings(question, liquid, bubble)
    trail = make_trail(
        [*bubble.ran, *more_ran],
        inputs=dataclasses.asdict(question),
        assumptions=_assumptions(question),
        findings=findings,
    )
    return CountAnswer(feed, flow, per_bubble, volume, trail)


def _basis(question: CountQuestion) -> Basis:
    return Basis.MEASURED if question.mg_per_bubble_mg is not None else Basis.PROPAGATED


def _calibrated(question: CountQuestion) -> _Bubble:
    """The calibrated bubble, carried over to the present pressure where both pressures are known."""
    assert question.mg_per_bubble_mg is not None
    mass, doubts, ran = question.mg_per_bubble_mg, [even(question.calibration_error_frac)], []
    if question.line_gauge_barg is not None and question.calibration_gauge_barg is not None:
        air = float(ambient_bara(question.altitude_m))
        now, then = question.line_gauge_barg + air, question.calibration_gauge_barg + air
        mass = float(calibrated_bubble_mg(mass, now, calibration_bara=then))
        doubts += [even(question.gauge_error_barg / now), even(question.gauge_error_barg / then)]
        ran.append(ambient_bara)
    return _Bubble(mass, doubts, None, (0.0, 0.0), list(ran))


def _worked_out(question: CountQuestion, liquid: CounterLiquid) -> _Bubble:
    """The bubble from tip, liquid and pressure; common practice stands in for what is not known."""
    air = float(ambient_bara(question.altitude_m))
    tip_mm = NOMINAL_TIP_MM if question.tip_mm is None else question.tip_mm
    thick = liquid.viscosity_pa_s(question.temperature_c) >= THIN_PA_S
    volume = _volume_ul(question, liquid, tip_mm)
    vapour = liquid.vapour_share_frac * float(water_vapour_bara(question.temperature_c))
    gauge = _LINE_MID_BARG if question.line_gauge_barg is None else question.line_gauge_barg
    pressure = gauge + air
    mass = float(mg_per_bubble_mg(volume, pressure, temperature_c=question.temperature_c, vapour_bara=vapour))
    doubt = _volume_doubt(question, thick)
    model = kumar_kuloor_volume_ul if thick else tate_volume_ul
    return _Bubble(
        mass,
        [doubt, _pressure_doubt(question, pressure, air), even(0.01)],
        volume,
        doubt,
        [ambient_bara, model, water_vapour_bara, mg_per_bubble_mg],
    )


def _volume_ul(question: CountQuestion, liquid: CounterLiquid, tip_mm: float) -> float:
    """The bubble's volume; in a thick liquid volume and flow settle each other in a few rounds."""
    viscosity = liquid.viscosity_pa_s(question.temperature_c)
    if viscosity < THIN_PA_S:
        return float(
            tate_volume_ul(tip_mm, tension_n_m=liquid.tension_n_m, density_kg_m3=liquid.density_kg_m3)
        )
    volume_ul = 40.0
    for _ in range(14):
        volume_ul = float(
            kumar_kuloor_volume_ul(
                question.rate_per_s * volume_ul * 3600e-6,
                tip_mm,
                tension_n_m=liquid.tension_n_m,
                density_kg_m3=liquid.density_kg_m3,
                viscosity_pa_s=viscosity,
            )
        )
    return volume_ul


def _volume_doubt(question: CountQuestion, thick: bool) -> Doubt:
    import math

    if question.tip_mm is None:
        return (
            math.log(UNKNOWN_TIP.mid_ul / UNKNOWN_TIP.low_ul),
            math.log(UNKNOWN_TIP.high_ul / UNKNOWN_TIP.mid_ul),
        )
    return even(_THICK_SPREAD_FRAC if thick else TIP_KNOWN_SPREAD_FRAC)


def _pressure_doubt(question: CountQuestion, pressure_bara: float, air_bara: float) -> Doubt:
    import math

    if question.line_gauge_barg is None:
        return (
            math.log(pressure_bara / (_LINE_LOW_BARG + air_bara)),
            math.log((_LINE_HIGH_BARG + air_bara) / pressure_bara),
        )
    return even(question.gauge_error_barg / pressure_bara)


def _elevenfold(question: CountQuestion) -> tuple[float, float]:
    """One bubble a second over the tips and pressures met in practice: least and most feed. [mg/h]"""
    vapour = float(water_vapour_bara(question.temperature_c))
    least, most = (
        3600.0
        * float(
            mg_per_bubble_mg(
                tate_volume_ul(tip_mm, tension_n_m=0.0728, density_kg_m3=998.2),
                bara,
                temperature_c=question.temperature_c,
                vapour_bara=vapour,
            )
        )
        for tip_mm, bara in ((1.0, 1.1), (4.0, 3.0))
    )
    return least, most


def _findings(
    question: CountQuestion, liquid: CounterLiquid, bubble: _Bubble
) -> tuple[list[Finding], list[Callable[..., Any]]]:
    """What a practitioner should hear, and the equations that saying it took."""
    found: list[Finding] = []
    ran: list[Callable[..., Any]] = []
    if question.mg_per_bubble_mg is None and question.tip_mm is None:
        least, most = _elevenfold(question)
        ran += [tate_volume_ul, mg_per_bubble_mg, water_vapour_bara]
        text = (
            f"The tip is not given. One bubble a second means {least:.0f} to {most:.0f} mg/h over tips of 1 "
            f"to 4 mm and 1.1 to 3 bar abs, a factor of {most / least:.0f}. Calibrate this counter: weigh "
            "the bottle over two weeks against the count, or catch 20 mL and more under water and time it."
        )
        found.append(Finding(Level.CARE, text, "tip", "tate-1864"))
    if question.mg_per_bubble_mg is None and question.line_gauge_barg is None:
        text = (
            "The pressure in the counter is not given, and a bubble's mass goes with it. Taken as 0.1 to 2 "
            "bar g; the diffuser's opening pressure plus its depth is close enough."
        )
        found.append(Finding(Level.CARE, text, "line gauge"))
    if question.line_gauge_barg is not None and question.line_gauge_barg >= 1.0:
        text = (
            "This must be the pressure in the counter. The regulator's own gauge stands before the needle "
            "valve and reads more; with it the feed comes out too high."
        )
        found.append(Finding(Level.NOTE, text, "line gauge"))
    if bubble.volume_ul is not None:
        ran.append(critical_flow_l_h)
        found += _size_findings(question, liquid, bubble.volume_ul)
    if question.rate_per_s > _BY_EYE_PER_S:
        text = (
            "Over about 4 bubbles a second the eye loses count. Film it slowed down, or use a flow meter or "
            "the bottle's weight."
        )
        found.append(Finding(Level.CARE, text, "rate"))
    text = (
        "A count belongs to its own counter and its own pressure; a rate from another tank means nothing "
        "here. When a diffuser clogs, the same feed shows fewer bubbles. Change the valve in small steps "
        "and watch the animals."
    )
    found.append(Finding(Level.NOTE, text, "count"))
    return found, ran


def _size_findings(question: CountQuestion, liquid: CounterLiquid, volume_ul: float) -> list[Finding]:
    """Whether bubbles still have their slow size, and whether the liquid makes size follow rate."""
    found = []
    tip_mm = NOMINAL_TIP_MM if question.tip_mm is None else question.tip_mm
    most = critical_flow_l_h(tip_mm, tension_n_m=liquid.tension_n_m, density_kg_m3=liquid.density_kg_m3)
    if question.rate_per_s * volume_ul * 3600e-6 > most:
        text = "At this flow the tip no longer sets the size; the feed is a guess. Use a flow meter."
        found.append(Finding(Level.CARE, text, "rate", "oguz-prosperetti-1993"))
    if question.fluid is CounterFluid.GLYCEROL:
        text = (
            "In glycerol a bubble more than doubles from slow to fast and shrinks as the liquid warms. "
            "Calibrate at the rate and warmth in use."
        )
        found.append(Finding(Level.CARE, text, "fluid", "kumar-kuloor-1970"))
    return found


def _assumptions(question: CountQuestion) -> list[Assumption]:
    """Everything nobody told us."""
    told = assumed(
        question,
        {
            "temperature_c": ("temperature of the counter", show(question.temperature_c, "c")),
            "rate_error_frac": ("90 % error of the count", show(question.rate_error_frac, "frac")),
        },
    )
    if question.mg_per_bubble_mg is not None:
        if question.line_gauge_barg is None or question.calibration_gauge_barg is None:
            told.append(Assumption("counter pressure", "as it was at the calibration"))
        return told + assumed(
            question,
            {
                "calibration_error_frac": (
                    "90 % error of the calibration",
                    show(question.calibration_error_frac, "frac"),
                )
            },
        )
    if question.tip_mm is None:
        told.append(Assumption("bubble volume in water, 90 % limits", "47 µL, 25 to 90"))
    else:
        told.append(Assumption("spread of the bubble's volume", "15 %, in thick liquids 25 %"))
    if question.line_gauge_barg is None:
        told.append(Assumption("pressure in the counter", "0.6 bar g, 0.1 to 2"))
    return told + assumed(
        question,
        {
            "fluid": ("filling of the counter", question.fluid.value),
            "gauge_error_barg": ("90 % error of the gauge", show(question.gauge_error_barg, "barg")),
            "altitude_m": ("height over the sea", show(question.altitude_m, "m")),
        },
    )
