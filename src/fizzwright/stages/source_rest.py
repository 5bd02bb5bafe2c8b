"""What is sold in place of gas, and doing without: "liquid carbon", tablets, nothing."""

from __future__ import annotations

import numpy as np

from fizzwright.engines.gasline.other_sources import carbonate_co2_g, glutaraldehyde_co2_mg_l
from fizzwright.result import Basis, Estimate
from fizzwright.stages.parts_prices import Prices
from fizzwright.stages.source_costs import FIVE_YEARS_DAYS, Bill, Spend, costs_of
from fizzwright.stages.source_need import Need, scaled
from fizzwright.stages.source_result import SourceKind, SourceOption, Steadiness

__all__ = [
    "GLUTARALDEHYDE_WARNING",
    "REST_EQUATIONS",
    "liquid_carbon_option",
    "nothing_option",
    "tablet_option",
]

REST_EQUATIONS = (glutaraldehyde_co2_mg_l, carbonate_co2_g)
# Common label: 1 mL of a 1.5 % product for 40 L a day.
STRENGTH_MG_ML, LITRES_PER_ML = 15.0, 40.0
TABLET_G, LITRES_PER_TABLET = 1.0, 60.0
_DOSING_H = 365 * 1.5 / 60.0

GLUTARALDEHYDE_WARNING = (
    "Glutaraldehyde is acutely toxic and corrosive and makes skin and airways allergic: gloves, eye "
    "protection, aired room, never mixed, never near food; ceiling in air 0.2 ppm (NIOSH), 0.05 ppm "
    "(ACGIH). "
    "Too much kills animals and some plants; it works mostly against algae."
)


def liquid_carbon_option(need: Need, prices: Prices | None) -> SourceOption:
    """A daily dose by the label, counted as if every carbon of it became CO2."""
    most_mg_l = float(glutaraldehyde_co2_mg_l(STRENGTH_MG_ML / LITRES_PER_ML))
    most = scaled(need.volume_l, lambda litres: most_mg_l * litres / 1000.0, "g_day")
    # Most of it is bound or eaten by bacteria on the way; what plants get of it is not known.
    gives = Estimate(most.value, "g_day", 0.0, most.high, Basis.JUDGEMENT)
    per_day_ml = scaled(need.volume_l, lambda litres: litres / LITRES_PER_ML, "ml")
    litres = scaled(per_day_ml, lambda ml: ml / 1000.0 * FIVE_YEARS_DAYS, "count")
    work = Estimate(_DOSING_H, "h", 0.5 * _DOSING_H, 2.0 * _DOSING_H, Basis.JUDGEMENT)
    costs = costs_of(Bill((), (Spend("liquid_carbon_l", litres),), work, gives), prices)
    share = most.value / need.gas_g_day.value
    return SourceOption(
        kind=SourceKind.LIQUID_CARBON,
        gives_g_day=gives,
        course=(),
        share_frac=Estimate(share, "frac", 0.0, most.high / need.gas_g_day.low, Basis.JUDGEMENT),
        steadiness=Steadiness.ONCE,
        work_h=work,
        renew_days=None,
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(GLUTARALDEHYDE_WARNING,),
        suits=False,
        why=f"at most {100 * share:.1g} % of what gas would give, were all of it to turn to CO2: no source",
    )


def tablet_option(need: Need, prices: Prices | None) -> SourceOption:
    """Carbonate tablets by the label, one a day for each sixty litres."""
    count = float(np.ceil(need.volume_l.value / LITRES_PER_TABLET))
    most = count * float(carbonate_co2_g(TABLET_G))
    gives = Estimate(0.6 * most, "g_day", 0.1 * most, most, Basis.JUDGEMENT)
    work = Estimate(_DOSING_H, "h", 0.5 * _DOSING_H, 2.0 * _DOSING_H, Basis.JUDGEMENT)
    used = Estimate.exact(count * FIVE_YEARS_DAYS, "count")
    costs = costs_of(Bill((), (Spend("tablet", used),), work, gives), prices)
    return SourceOption(
        kind=SourceKind.TABLETS,
        gives_g_day=gives,
        course=(),
        share_frac=scaled(gives, lambda g: min(g / need.gas_g_day.value, 1.0), "frac", Basis.JUDGEMENT),
        steadiness=Steadiness.ONCE,
        work_h=work,
        renew_days=None,
        cost_per_g=costs.per_g,
        cost_five_years=costs.five_years,
        not_priced=costs.not_priced,
        hazards=(
            "Each tablet leaves its calcium or sodium behind: hardness and KH climb week by week, and CO2 "
            "comes in bursts nobody can turn down. Watch KH and the animals.",
        ),
        suits=False,
        why=f"{count:.0f} a day, {100 * gives.value / need.gas_g_day.value:.0f} % of the need in one burst",
    )


def nothing_option(air_co2_mg_l: float) -> SourceOption:
    """No source at all: the room's air and the animals."""
    nil = Estimate.exact(0.0, "g_day", Basis.JUDGEMENT)
    return SourceOption(
        kind=SourceKind.NOTHING,
        gives_g_day=nil,
        course=(),
        share_frac=Estimate.exact(0.0, "frac", Basis.JUDGEMENT),
        steadiness=Steadiness.NONE,
        work_h=Estimate.exact(0.0, "h", Basis.JUDGEMENT),
        renew_days=None,
        cost_per_g=None,
        cost_five_years=None,
        not_priced=(),
        hazards=(),
        suits=True,
        why=f"the room's air keeps about {air_co2_mg_l:.1g} mg/L: enough for shade plants under a dim lamp",
    )
