"""The stage `source`: where the carbon should come from, compared for this tank."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fizzwright.job.model import Job, PlantClass
from fizzwright.result import Assumption, Finding, Level, make_trail
from fizzwright.stages.derive import air_side
from fizzwright.stages.fit_trail import standing_on
from fizzwright.stages.parts_prices import Prices
from fizzwright.stages.plan_result import PlanResult
from fizzwright.stages.source_gas import CARTRIDGE_G, GAS_EQUATIONS, bottle_option, cartridge_option
from fizzwright.stages.source_home import (
    ACID_G,
    HOME_EQUATIONS,
    RENEW_DAYS,
    SUGAR_G,
    acid_option,
    yeast_option,
)
from fizzwright.stages.source_need import Need
from fizzwright.stages.source_rest import (
    LITRES_PER_ML,
    LITRES_PER_TABLET,
    REST_EQUATIONS,
    liquid_carbon_option,
    nothing_option,
    tablet_option,
)
from fizzwright.stages.source_result import SourceKind, SourceOption, SourceResult
from fizzwright.units import number_text, show

__all__ = ["source"]

_DIM_PAR_UMOL_M2_S = 30.0
_HELD = (SourceKind.BOTTLE, SourceKind.CARTRIDGE)
# A cartridge must cost a quarter less than a bottle to be worth its drift.
_BOTTLE_FACTOR = 0.75


def source(
    job: Job, plan: PlanResult, *, prices: Prices | None = None, budget_number: float | None = None
) -> SourceResult:
    """Every source of carbon against this tank's need, and which to take.

    Parameters
    ----------
    job : Job
    plan : PlanResult
        Its plan, whose gas for a day is the need.
    prices : Prices or None
        The user's own prices; without them no cost is told.
    budget_number : float or None
        What five years may cost, in the currency of the prices.

    Returns
    -------
    SourceResult
    """
    hours = ((plan.gas_off_min - plan.gas_on_min) % 1440) / 60 or 24.0
    need = Need(plan.gas_g_day, plan.dissolved_frac, hours, plan.net_volume_l, job.room.temperature_c)
    air = air_side(job)
    options = (
        bottle_option(job, need, prices),
        cartridge_option(job, need, prices),
        yeast_option(need, prices),
        acid_option(need, prices),
        liquid_carbon_option(need, prices),
        tablet_option(need, prices),
        nothing_option(air.co2_mg_l),
    )
    take, said = _chosen(job, options, budget_number)
    ran: tuple[Callable[..., Any], ...] = (*GAS_EQUATIONS, *HOME_EQUATIONS, *REST_EQUATIONS, *air.equations)
    return SourceResult(
        name=job.job.name,
        need_g_day=plan.gas_g_day,
        gas_hours_h=hours,
        options=options,
        take=take,
        recommendation=said,
        trail=standing_on(
            make_trail(
                ran,
                inputs=job.model_dump(mode="json") | {"priced": prices is not None, "budget": budget_number},
                assumptions=_assumptions(job, prices),
                findings=_findings(options, take, said, prices),
            ),
            (plan.trail,),
        ),
    )


def _chosen(
    job: Job, options: tuple[SourceOption, ...], budget_number: float | None
) -> tuple[SourceKind, str]:
    """The source to take and one plain sentence why."""
    if not job.plants:
        return SourceKind.NOTHING, "Nothing: no plants are listed, and gas would only burden what breathes."
    slow = all(bed.grows is PlantClass.SHADE for bed in job.plants)
    if slow and job.light.par_umol_m2_s < _DIM_PAR_UMOL_M2_S:
        return SourceKind.NOTHING, "Nothing: slow plants in so little light gain next to nothing from gas."
    held = [option for option in options if option.kind in _HELD and option.suits]
    within = [option for option in held if _within(option, budget_number)]
    best = _cheapest(within or held)
    cost = "" if best.cost_five_years is None else f" {best.cost_five_years} over five years."
    if within:
        return best.kind, f"{best.kind.value.capitalize()}: {best.why}.{cost}"
    acid = next(option for option in options if option.kind is SourceKind.ACID)
    if acid.suits and _within(acid, budget_number):
        return acid.kind, (
            f"Acid and bicarbonate, in a rated vessel only: at this budget no {best.kind.value} fits "
            f"({best.cost_five_years}); {acid.why}. {acid.cost_five_years} over five years."
        )
    return SourceKind.NOTHING, (
        f"Nothing, at this budget: what would do, {best.kind.value}, comes to {best.cost_five_years} over "
        "five years. Choose slow plants and less light; no cheaper source here replaces it."
    )


def _within(option: SourceOption, budget_number: float | None) -> bool:
    if budget_number is None or option.cost_five_years is None:
        return True
    return float(option.cost_five_years.amount) <= budget_number


def _cheapest(able: list[SourceOption]) -> SourceOption:
    """The cheapest, where all are priced; a bottle holds best, so what is hardly cheaper does not beat it."""
    if any(option.cost_five_years is None or option.not_priced for option in able):
        return able[0]

    def weighed(option: SourceOption) -> float:
        assert option.cost_five_years is not None
        return float(option.cost_five_years.amount) * (
            _BOTTLE_FACTOR if option.kind is SourceKind.BOTTLE else 1.0
        )

    return min(able, key=weighed)


def _findings(
    options: tuple[SourceOption, ...], take: SourceKind, said: str, prices: Prices | None
) -> list[Finding]:
    found = [Finding(Level.NOTE, said, "recommendation")]
    for option in options:
        level = Level.CARE if option.kind is take or option.kind is SourceKind.LIQUID_CARBON else Level.NOTE
        found += [
            Finding(level, f"{option.kind.value.capitalize()}: {hazard}", option.kind.value)
            for hazard in option.hazards
        ]
    missing = dict.fromkeys(name for option in options for name in option.not_priced)
    if prices is None:
        text = "No prices were given: --prices with your own file adds costs (parts --blank-prices makes it)."
        found.append(Finding(Level.NOTE, text, "prices"))
    elif missing:
        text = f"Not in the price file, so counted as nothing: {', '.join(missing)}."
        found.append(Finding(Level.CARE, text, "prices"))
    return found


def _assumptions(job: Job, prices: Prices | None) -> list[Assumption]:
    told = [
        Assumption(
            "yeast mix", f"{number_text(SUGAR_G)} g sugar in a litre, anew every {RENEW_DAYS:.0f} days"
        ),
        Assumption("yield of sugar and of acid", "90 % of the formula, 85 to 95 %"),
        Assumption("acid charge", f"{number_text(ACID_G)} g citric acid with bicarbonate to match"),
        Assumption("liquid carbon", f"1.5 % product, 1 mL for {LITRES_PER_ML:.0f} L a day"),
        Assumption("tablets", f"1 g of carbonate a day for each {LITRES_PER_TABLET:.0f} L"),
        Assumption("hours of work", "a swap 1 h, a year's care 3 h, a mix half an hour"),
        Assumption("usable gas", f"97 % of {show(job.gasline.bottle.charge_g, 'g')}"),
    ]
    if prices is None or prices.runs_number("cartridge_g") is None:
        told.append(Assumption("cartridge", f"{CARTRIDGE_G:g} g"))
    if prices is not None and prices.runs_number("hour") is None:
        told.append(Assumption("price of an hour of work", "none"))
    return told
