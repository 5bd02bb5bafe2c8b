"""Gas made at home: yeast on sugar, acid on bicarbonate."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.other_sources import (
    bicarbonate_for_acid_g,
    citric_acid_co2_g,
    fermented_by_g,
    fermenting_g_day,
    fermenting_warmth_factor,
    sealed_vessel_bara,
    sugar_co2_g,
)
from fizzwright.result import Basis, Estimate
from fizzwright.stages.parts_prices import Prices
from fizzwright.stages.source_costs import FIVE_YEARS_DAYS, Bill, Spend, costs_of
from fizzwright.stages.source_need import Need, scaled
from fizzwright.stages.source_result import CoursePoint, SourceKind, SourceOption, Steadiness

__all__ = ["ACID_WARNING", "HOME_EQUATIONS", "YEAST_WARNING", "acid_option", "yeast_option"]

HOME_EQUATIONS = (
    sugar_co2_g, fermented_by_g, fermenting_warmth_factor, citric_acid_co2_g, bicarbonate_for_acid_g,
    sealed_vessel_bara,
)  # fmt: skip
# Common practice: 200 g of sugar in a litre, mixed anew every two weeks; more sugar only makes alcohol.
SUGAR_G, RENEW_DAYS, LAG_DAYS, PEAK_OVER_MEAN = 200.0, 14.0, 0.75, 1.7
ACID_G, VESSEL_WATER_L, VESSEL_GAS_L = 200.0, 0.8, 1.2
_MIX_H, _CHARGE_H, _CARE_H = 0.5, 0.6, 2.0
_YEAST_MOST_BOTTLES, _LITTLE_SHARE_FRAC, _MOST_CHARGES_YEAR = 3, 0.7, 30.0

YEAST_WARNING = (
    "A fermenting bottle must never be shut in: no valve or clock behind it, a blow-off that opens by "
    "itself, a trap against froth. It runs all night and cannot be turned down: air the tank at night and "
    "watch the animals."
)
ACID_WARNING = (
    "Only in a vessel rated for the pressure, with a relief valve: drinks bottles burst. Acid drips into "
    "bicarbonate, never the other way; eye protection; the brine is waste, never tank water."
)


def yeast_option(need: Need, prices: Prices | None) -> SourceOption:
    """Bottles of yeast and sugar, as many as the tank needs and up to three at a time."""
    total = float(sugar_co2_g(SUGAR_G))
    peak = PEAK_OVER_MEAN * total / RENEW_DAYS * float(fermenting_warmth_factor(need.room_c))
    one = float(fermented_by_g(RENEW_DAYS, total, peak_g_day=peak, lag_days=LAG_DAYS)) / RENEW_DAYS
    useful = one * need.hours_h / 24.0
    bottles = int(np.clip(np.ceil(need.gas_g_day.value / useful), 1, _YEAST_MOST_BOTTLES))
    days = np.array([0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 14.0])
    rates = bottles * np.asarray(fermenting_g_day(days, total, peak_g_day=peak, lag_days=LAG_DAYS))
    gives = Estimate(bottles * one, "g_day", 0.6 * bottles * one, 1.15 * bottles * one, Basis.JUDGEMENT)
    share = scaled(
        gives, lambda g: min(g * need.hours_h / 24.0 / need.gas_g_day.value, 1.0), "frac", Basis.JUDGEMENT
    )
    mixes = FIVE_YEARS_DAYS / RENEW_DAYS * bottles
    work = Estimate(26 * _MIX_H * bottles, "h", 18 * _MIX_H * bottles, 40 * _MIX_H * bottles, Basis.JUDGEMENT)
    costs = costs_of(
        Bill(
            parts=(),
            spends=(
                Spend("sugar_kg", Estimate.exact(mixes * SUGAR_G / 1000.0, "count")),
                Spend("yeast", Estimate.exact(mixes, "count")),
                Spend("yeast_kit", Estimate(2.0, "count", 1.0, 3.0)),
            ),
            work_h=work,
            given_g_day=gives,
        ),
        prices,
    )
    over = float(rates.max()) / need.gas_g_day.value
    return SourceOption(
        kind=SourceKind.YEAST,
        gives_g_day=gives,
        course=tuple(CoursePoint(float(d), float(r)) for d, r in zip(days, rates, strict=True)),
        share_frac=share,
        steadiness=Steadiness.RISES_AND_FALLS,
        work_h=work,
        renew_days=Estimate(RENEW_DAYS, "days", 10.0, 20.0, Basis.JUDGEMENT),
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(YEAST_WARNING,),
        suits=False,
        why=(
            f"{bottles} at a time, mixed anew every two weeks; about day 4 it gives {over:.1f} times "
            "what the tank "
            "needs, at the end a trickle, and it runs at night: nothing turns it down for the animals"
        ),
    )


def acid_option(need: Need, prices: Prices | None) -> SourceOption:
    """Citric acid on bicarbonate in a rated vessel, behind a needle valve."""
    charge = float(citric_acid_co2_g(ACID_G))
    soda = float(bicarbonate_for_acid_g(ACID_G))
    sealed = float(sealed_vessel_bara(charge, gas_space_l=VESSEL_GAS_L, water_l=VESSEL_WATER_L))
    days = scaled(need.gas_g_day, lambda g: charge / g, "days")
    charges = scaled(days, lambda d: FIVE_YEARS_DAYS / d, "count")
    work = scaled(charges, lambda n: _CARE_H + _CHARGE_H * n / 5.0, "h")
    costs = costs_of(
        Bill(
            parts=(),
            spends=(
                Spend("citric_acid_kg", scaled(charges, lambda n: n * ACID_G / 1000.0, "count")),
                Spend("bicarbonate_kg", scaled(charges, lambda n: n * soda / 1000.0, "count")),
                Spend("acid_kit", Estimate(1.5, "count", 1.0, 2.0)),
            ),
            work_h=work,
            given_g_day=need.gas_g_day,
        ),
        prices,
    )
    yearly = charges.value / 5.0
    last = days.value
    course = tuple(
        CoursePoint(
            share * last, need.gas_g_day.value * (1.0 if share < 0.7 else 0.6 if share < 0.95 else 0.2)
        )
        for share in (0.0, 0.25, 0.5, 0.75, 1.0)
    )
    return SourceOption(
        kind=SourceKind.ACID,
        gives_g_day=need.gas_g_day,
        course=course,
        share_frac=Estimate(0.9, "frac", 0.7, 1.0, Basis.JUDGEMENT),
        steadiness=Steadiness.SET_BY_HAND,
        work_h=work,
        renew_days=days,
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(
            f"Shut in, one charge of {ACID_G:.0f} g acid and {soda:.0f} g bicarbonate comes to about "
            f"{sealed:.0f} bar. {ACID_WARNING}",
        ),
        suits=yearly <= _MOST_CHARGES_YEAR,
        why=f"a charge of {ACID_G:.0f} g acid lasts about {last:.0f} days, {yearly:.0f} a year",
    )
