"""`bench tube`: what goes through a tube's wall, and what a shut line does overnight."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import numpy as np

from fizzwright.catalogue.tubes import TUBES, TubeRow
from fizzwright.engines.gasline.gas import ambient_bara, flow_mg_h, flow_ml_min_n
from fizzwright.engines.gasline.tube import (
    closed_line_bara,
    partial_pressure_bara,
    permeability_barrer,
    siphon_lift_m,
    volume_ml,
    wall_loss_mg_h,
    wall_rate_per_h,
)
from fizzwright.errors import Fault, InputError
from fizzwright.form import asked, check
from fizzwright.job.words import TubeMaterial
from fizzwright.result import Assumption, Basis, Estimate, Finding, Level, Trail, make_trail
from fizzwright.stages.bench.gas_bands import assumed, even, widened
from fizzwright.units import number_text, show

__all__ = ["TubeAnswer", "TubeQuestion", "tube"]

_NIGHT_H = 14.0
_SMALL_FEED_ML_MIN_N = 5.0


@dataclass(frozen=True, kw_only=True)
class TubeQuestion:
    """A run of tube and the pressure in it."""

    material: TubeMaterial = asked("--material", "what the tube is made of")
    length_m: float = asked("--length", "length of tube", low=0.02, high=60.0)
    bore_mm: float = asked("--bore", "inner diameter", low=0.5, high=20.0)
    outer_mm: float = asked("--outer", "outer diameter", low=0.8, high=30.0)
    gauge_barg: float = asked("--gauge", "pressure in the tube", low=0.0, high=12.0)
    temperature_c: float = asked("--temp", "temperature of the tube", low=0.0, high=45.0, default=22.0)
    feed_mg_h: float | None = asked("--feed", "feed to compare with", low=1.0, high=60000.0, default=None)
    gauge_error_barg: float = asked(
        "--gauge-error", "90 % error of the gauge", low=0.0, high=1.0, default=0.1
    )
    altitude_m: float = asked("--altitude", "height over the sea", low=-400.0, high=4500.0, default=100.0)


@dataclass(frozen=True)
class TubeAnswer:
    """What the wall loses while the pressure stands; the share is of the feed, where one was given."""

    loss_mg_h: Estimate
    loss_ml_min_n: Estimate
    loss_g_day: Estimate
    lost_frac: Estimate | None
    volume_ml: float
    trail: Trail


def tube(question: TubeQuestion) -> TubeAnswer:
    """The CO2 lost through a tube's wall at a pressure and a temperature.

    CO2 goes through by its absolute pressure, so a line at 0 bar g loses too.

    Parameters
    ----------
    question : TubeQuestion
        Material, sizes, pressure, temperature.

    Returns
    -------
    TubeAnswer
        Loss as mass and as volume with 90 % limits, and its share of the feed.
    """
    check(question)
    if question.bore_mm >= question.outer_mm:
        raise InputError([Fault("--bore", show(question.bore_mm, "mm"), "must be less than --outer")])
    row = TUBES[question.material]
    bara = question.gauge_barg + float(ambient_bara(question.altitude_m))
    wall = permeability_barrer(row.co2_barrer, question.temperature_c, activation_j_mol=row.activation_j_mol)
    loss_mg_h = float(
        wall_loss_mg_h(
            bara, wall, length_m=question.length_m, bore_mm=question.bore_mm, outer_mm=question.outer_mm
        )
    )
    material = (math.log(row.co2_barrer / row.co2_low_barrer), math.log(row.co2_high_barrer / row.co2_barrer))
    loss = widened(
        Estimate.exact(loss_mg_h, "mg_h"),
        [material, even(question.gauge_error_barg / bara), even(0.05)],
        basis=Basis.SOURCE,
    )
    lowest_bara = _lowest_of_a_night_bara(question, row, bara)
    return TubeAnswer(
        loss_mg_h=loss,
        loss_ml_min_n=_scaled(loss, float(flow_ml_min_n(1.0)), "ml_min_n"),
        loss_g_day=_scaled(loss, 0.024, "g_day"),
        lost_frac=_share(question, loss),
        volume_ml=float(volume_ml(question.length_m, question.bore_mm)),
        trail=make_trail(
            [
                ambient_bara,
                permeability_barrer,
                wall_loss_mg_h,
                volume_ml,
                wall_rate_per_h,
                partial_pressure_bara,
            ],
            inputs=dataclasses.asdict(question),
            assumptions=_assumptions(question, row),
            findings=[*_loss_findings(question, row, loss), _shut_finding(lowest_bara, question)],
        ),
    )


def _scaled(loss: Estimate, factor: float, unit: str) -> Estimate:
    return Estimate(loss.value * factor, unit, loss.low * factor, loss.high * factor, loss.basis)


def _share(question: TubeQuestion, loss: Estimate) -> Estimate | None:
    """The share of the feed that is lost; a wall cannot lose more than comes."""
    if question.feed_mg_h is None:
        return None
    low, middle, high = (min(x / question.feed_mg_h, 1.0) for x in (loss.low, loss.value, loss.high))
    return Estimate(middle, "frac", low, high, loss.basis)


def _lowest_of_a_night_bara(question: TubeQuestion, row: TubeRow, bara: float) -> float:
    """The lowest pressure of a night in the tube shut tight at both ends; silicone lets air back in."""
    co2, oxygen, nitrogen = (
        wall_rate_per_h(
            permeability,
            bore_mm=question.bore_mm,
            outer_mm=question.outer_mm,
            temperature_c=question.temperature_c,
        )
        for permeability in (
            permeability_barrer(
                row.co2_barrer, question.temperature_c, activation_j_mol=row.activation_j_mol
            ),
            row.o2_barrer,
            row.n2_barrer,
        )
    )
    air = float(ambient_bara(question.altitude_m))
    hours = np.geomspace(0.01, _NIGHT_H, 120)
    course = closed_line_bara(hours, bara, rates_per_h=(co2, oxygen, nitrogen), ambient_bara=air)
    return float(np.min(course))


def _loss_findings(question: TubeQuestion, row: TubeRow, loss: Estimate) -> list[Finding]:
    feed = question.feed_mg_h if question.feed_mg_h is not None else float(flow_mg_h(_SMALL_FEED_ML_MIN_N))
    whose = "the feed" if question.feed_mg_h is not None else "a feed of 5 mL/min"
    share = loss.value / feed
    if share >= 1.0:
        text = (
            f"This tube can lose more than {whose}: bubbles in the counter, none at the diffuser. Use "
            "polyurethane, polyethylene or nylon, and keep silicone for the last centimetres, if at all."
        )
        return [Finding(Level.CARE, text, "material", row.source)]
    if share >= 0.10:
        text = (
            f"The wall takes about {number_text(100 * share, 2)} % of {whose}. A tighter material or a "
            "shorter run pays for itself."
        )
        return [Finding(Level.CARE, text, "material", row.source)]
    text = (
        f"The wall takes about {number_text(100 * share, 2)} % of {whose}; the loss is the same at any feed."
    )
    return [Finding(Level.NOTE, text, "material", row.source)]


def _shut_finding(lowest_bara: float, question: TubeQuestion) -> Finding:
    lift = float(siphon_lift_m(lowest_bara, float(ambient_bara(question.altitude_m))))
    if lift < 0.05:
        text = f"Shut tight overnight the line still stands at {lowest_bara:.2f} bar abs and draws no water."
        return Finding(Level.NOTE, text, "check valve", "gasline-shut-line")
    text = (
        f"Shut tight at both ends, the line falls to about {lowest_bara:.2f} bar abs in {_NIGHT_H:.0f} h, as "
        f"CO2 leaves faster than air comes in, and can draw water {lift:.1f} m up. Fit a spring check valve "
        "near the tank and lead the tube over the water level; water in a regulator or near mains leads is "
        "a hazard."
    )
    return Finding(Level.CARE, text, "check valve", "gasline-shut-line")


def _assumptions(question: TubeQuestion, row: TubeRow) -> list[Assumption]:
    permeability = f"{row.co2_barrer:g} barrer, {row.co2_low_barrer:g} to {row.co2_high_barrer:g}; {row.note}"
    word = "from memory" if row.mark == "memory" else row.source
    return [
        Assumption(f"CO2 permeability of {row.material.value} at 25 °C", permeability, source=word),
        *assumed(
            question,
            {
                "temperature_c": ("temperature of the tube", show(question.temperature_c, "c")),
                "gauge_error_barg": ("90 % error of the gauge", show(question.gauge_error_barg, "barg")),
                "altitude_m": ("height over the sea", show(question.altitude_m, "m")),
            },
        ),
    ]
