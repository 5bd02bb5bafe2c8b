"""Bottle and cartridge as sources: what they give, how long, at what cost and with what hazard."""

from __future__ import annotations

from fizzwright.catalogue.room_air import CARRY_WARNING, ROOM_WARNING
from fizzwright.engines.gasline.other_sources import supply_lasts_days
from fizzwright.engines.gasline.solenoid import energy_kwh
from fizzwright.job.model import Job
from fizzwright.job.part_words import PartKind
from fizzwright.result import Basis, Estimate
from fizzwright.stages.bench.gas_bottle import BOTTLE_WARNING
from fizzwright.stages.parts_prices import Prices
from fizzwright.stages.source_costs import FIVE_YEARS_DAYS, LINE_PARTS, Bill, Spend, costs_of
from fizzwright.stages.source_need import Need, scaled
from fizzwright.stages.source_result import SourceKind, SourceOption, Steadiness

__all__ = ["CARTRIDGE_G", "CARTRIDGE_WARNING", "GAS_EQUATIONS", "bottle_option", "cartridge_option"]

# The largest of the common threaded cartridges.
CARTRIDGE_G = 95.0
_KEPT_FRAC = 0.03
_COIL_W = 5.0
# Common practice, hours: a swap with its trip and its checks, and a year's care of the line.
_SWAP_H, _CARE_H, _CARTRIDGE_H = 1.0, 3.0, 0.2
_MOST_CARTRIDGES_YEAR = 26.0
GAS_EQUATIONS = (energy_kwh,)

CARTRIDGE_WARNING = (
    "A cartridge holds liquid CO2 at bottle pressure: only in the regulator made for its thread, never "
    "refilled, warmed over 50 °C or thrown away with gas in it; it jets cold when pulled off with gas "
    "in it."
)


def _line_bill(job: Job, need: Need, spends: tuple[Spend, ...], *, work_h: Estimate, top: PartKind) -> Bill:
    regulator = (
        PartKind.TWO_STAGE_REGULATOR if job.gasline.regulator.stages == 2 else PartKind.TWO_GAUGE_REGULATOR
    )
    head = (PartKind.CARTRIDGE_REGULATOR,) if top is PartKind.CARTRIDGE else (top, PartKind.STRAP, regulator)
    kwh = 5.0 * float(energy_kwh(_COIL_W, need.hours_h))
    energy = Spend("kwh", Estimate(kwh, "count", 0.4 * kwh, 2.0 * kwh))
    return Bill(
        parts=(*head, *LINE_PARTS),
        spends=(*spends, energy),
        work_h=work_h,
        given_g_day=need.gas_g_day,
        tube_m=job.gasline.tube.length_m,
        owned=job.parts.owned,
    )


def bottle_option(job: Job, need: Need, prices: Prices | None) -> SourceOption:
    """A refillable bottle of the job's size."""
    usable = job.gasline.bottle.charge_g * (1.0 - _KEPT_FRAC)
    days = scaled(need.gas_g_day, lambda g: usable / g, "days")
    swaps = scaled(need.gas_g_day, lambda g: FIVE_YEARS_DAYS * g / usable, "count")
    work = scaled(swaps, lambda n: _CARE_H + _SWAP_H * n / 5.0, "h")
    spends: tuple[Spend, ...] = (Spend("refill", swaps), Spend("trip", swaps))
    if prices is not None:
        yearly = (("rent_year", 5.0), ("bottle_test", 1.0))
        spends += tuple(Spend(k, Estimate.exact(n, "count")) for k, n in yearly if k in prices.run)
    costs = costs_of(_line_bill(job, need, spends, work_h=work, top=PartKind.REFILLABLE_BOTTLE), prices)
    return SourceOption(
        kind=SourceKind.BOTTLE,
        gives_g_day=need.gas_g_day,
        course=(),
        share_frac=Estimate.exact(1.0, "frac", Basis.JUDGEMENT),
        steadiness=Steadiness.HELD,
        work_h=work,
        renew_days=days,
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(BOTTLE_WARNING, ROOM_WARNING, CARRY_WARNING),
        suits=True,
        why=f"gives what the tank needs, shut at night; a filling lasts about {days.value:.0f} days",
    )


def cartridge_option(job: Job, need: Need, prices: Prices | None) -> SourceOption:
    """Disposable cartridges of 95 g, or as the price file says."""
    priced = None if prices is None else prices.runs_number("cartridge_g")
    each = priced if priced else CARTRIDGE_G
    usable = each * (1.0 - _KEPT_FRAC)

    def lasts(grams_day: float) -> float:
        flow = grams_day * 1000.0 / need.hours_h
        return float(supply_lasts_days(usable, flow_mg_h=flow, hours_h=need.hours_h))

    days = scaled(need.gas_g_day, lasts, "days")
    used = scaled(days, lambda d: FIVE_YEARS_DAYS / d, "count")
    work = scaled(used, lambda n: _CARE_H + _CARTRIDGE_H * n / 5.0, "h")
    costs = costs_of(
        _line_bill(job, need, (Spend("cartridge", used),), work_h=work, top=PartKind.CARTRIDGE), prices
    )
    yearly = used.value / 5.0
    fits = yearly <= _MOST_CARTRIDGES_YEAR
    return SourceOption(
        kind=SourceKind.CARTRIDGE,
        gives_g_day=need.gas_g_day,
        course=(),
        share_frac=Estimate.exact(1.0, "frac", Basis.JUDGEMENT),
        steadiness=Steadiness.DRIFTS,
        work_h=work,
        renew_days=days,
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(CARTRIDGE_WARNING, ROOM_WARNING),
        suits=fits,
        why=f"{each:g} g last about {days.value:.0f} days, {yearly:.0f} a year"
        + ("" if fits else ": too many to be worth it") + "; the last quarter comes within days",
    )  # fmt: skip
