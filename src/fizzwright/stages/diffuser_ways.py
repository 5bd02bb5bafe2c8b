"""The ways to put gas into one tank, each with the draws of its dissolved share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles import chamber, held, transfer
from fizzwright.engines.bubbles.diffusers import DiffuserSpread, diffuser_spread, size_pump_hinze_mm
from fizzwright.engines.bubbles.population import RisePath, dissolved_share, share_equations, skin_mix_frac
from fizzwright.inference.draws import Scores, even_scores
from fizzwright.job.model import Condition, DiffuserKind, Job
from fizzwright.stages.plan_inputs import rise_path
from fizzwright.stages.skin import UNKNOWN_NAME

__all__ = [
    "REACTOR_EQUATIONS", "SCORES", "Option", "Side", "in_hose", "in_tank", "options", "pump_spread",
    "reactor_frac", "scores_drawn", "share_frac",
]  # fmt: skip

Array = NDArray[np.float64]

DRAWS_COUNT = 400
SEED = 20260301
NINETY = 1.6449
SCORES = ("size", "other size", UNKNOWN_NAME, "plume", "flow", "chamber", "entry", "cushion")
# A hose outlet is seldom deeper (common practice, no source).
OUTLET_M = 0.05
# A diffuser stands a little over the ground.
OVER_GROUND_CM = 4.0
HOSE_M = 1.0
# Power over the few grams of water between the needles of a wheel: 10, 100 and 1000 W/kg (judgement); the
# Sauter mean is about 0.6 of the largest size that survives.
WHEEL_KG = 0.01
WHEEL_W = (10.0, 1.0, 0.1)
SAUTER_OF_LARGEST = 0.6
PUMP_HOSE_M = 0.6
# Down-flow reactors as fitted (90 % limits): width, flow, bubble size as it falls in, film of the splashed
# cushion, and the CO2 in the cushion (the rest is air).
CHAMBER_MM, FLOW_L_H, ENTRY_MM = (60.0, 75.0, 100.0), (400.0, 600.0, 900.0), (1.2, 2.5, 5.0)
CUSHION_M_S, CUSHION_CO2_FRAC = (1e-4, 2e-4, 4e-4), 0.7


@dataclass(frozen=True)
class Option:
    """A way to put the gas in: where, how fine, and what to mind about it."""

    name: str
    path: RisePath
    spread: DiffuserSpread
    remark: str = ""

    @property
    def equations(self) -> tuple[Callable[..., Any], ...]:
        """What its share runs."""
        return share_equations(self.path, self.spread)


@dataclass(frozen=True)
class Side:
    """The draws all ways share: the skin as places between stiff and mobile, and every other score."""

    skin_frac: Array
    scores: Scores


def scores_drawn() -> Scores:
    """Even scores of everything that is in doubt, the same for every job."""
    return even_scores(SCORES, DRAWS_COUNT, np.random.default_rng(SEED))


def share_frac(option: Option, side: Side, size: str = "size") -> Array:
    """Draws of the dissolved share of a way, shape (draws,).

    What the lifted water costs is in doubt by a factor of two (no data at such flows).
    """
    table = dissolved_share(option.path, option.spread)
    z = side.scores.of(size)
    lifted = table.at(z, side.skin_frac)
    if option.spread.kind is DiffuserKind.INLINE:
        return lifted
    still = dissolved_share(replace(option.path, flow_ml_min_n=0.0), option.spread).at(z, side.skin_frac)
    cost = np.maximum(still - lifted, 0.0) * 2.0 ** (side.scores.of("plume") / NINETY)
    share: Array = np.clip(still - cost, 1e-3, 1.0)
    return share


def in_tank(job: Job, feed_mg_h: float) -> Option:
    """The job's diffuser where it sits; where that is in a hose, a used fine disc near the ground."""
    diffuser, path = job.gasline.diffuser, rise_path(job, feed_mg_h)
    if diffuser.kind is not DiffuserKind.INLINE:
        name = f"{diffuser.kind.value}, {diffuser.condition.value}"
        return Option(name, path, diffuser_spread(diffuser.kind, diffuser.condition))
    free_cm = max(job.tank.water_depth_cm - job.tank.substrate_depth_cm - OVER_GROUND_CM, 3.0)
    path = replace(path, depth_m=free_cm / 100)
    return Option("fine ceramic disc, used", path, diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED))


def in_hose(job: Job, feed_mg_h: float) -> Option:
    """The job's in-hose atomiser, or a used one in a metre of hose that ends just under the surface."""
    diffuser, path = job.gasline.diffuser, rise_path(job, feed_mg_h)
    if diffuser.kind is DiffuserKind.INLINE:
        name = f"in-hose atomiser, {diffuser.condition.value}"
        if job.layout is not None:
            path = replace(path, hose_flow_l_h=job.layout.outlet.flow_l_h)
        return Option(name, path, diffuser_spread(diffuser.kind, diffuser.condition))
    path = replace(path, depth_m=min(OUTLET_M, path.depth_m), hose_length_m=HOSE_M)
    if job.layout is not None:
        under_cm = job.tank.water_depth_cm - job.layout.outlet.height_cm
        path = replace(path, depth_m=max(under_cm / 100, 0.01), hose_flow_l_h=job.layout.outlet.flow_l_h)
    remark = "no disc in sight; some mist from the outlet; costs filter flow, adds joints that can leak water"
    return Option(
        "in-hose atomiser, used", path, diffuser_spread(DiffuserKind.INLINE, Condition.USED), remark
    )


def options(job: Job, feed_mg_h: float) -> tuple[Option, ...]:
    """What is there, then every other way this tank could take, the reactor apart."""
    tank, hose = in_tank(job, feed_mg_h), in_hose(job, feed_mg_h)
    pump = replace(hose.path, hose_length_m=PUMP_HOSE_M, depth_m=min(hose.path.depth_m, tank.path.depth_m))
    others = (
        Option(
            "fine ceramic disc, used", tank.path, diffuser_spread(DiffuserKind.FINE_CERAMIC, Condition.USED),
            "needs a working pressure of one to two bar",
        ),
        replace(hose, remark=hose.remark or "as it is"),
        Option(
            "pump wheel that chops the gas", pump, pump_spread(),
            "wears and rattles; an intake that gulps gas can lose its prime; unplug before reaching in",
        ),
        Option(
            "ladder", tank.path, diffuser_spread(DiffuserKind.LADDER, Condition.USED),
            "for small feeds: it passes a bubble or two a second; no pressure needed",
        ),
    )  # fmt: skip
    here = hose if job.gasline.diffuser.kind is DiffuserKind.INLINE else tank
    rest = tuple(option for option in others if option.name != here.name)
    return (replace(here, remark="as it is"), *rest)


def pump_spread() -> DiffuserSpread:
    """Bubble sizes of a needle wheel or an impeller that is fed gas, from the power it spends."""
    low, middle, high = (SAUTER_OF_LARGEST * float(size_pump_hinze_mm(w, WHEEL_KG)) for w in WHEEL_W)
    return DiffuserSpread(DiffuserKind.INLINE, Condition.USED, middle, low, high, 1.6)


def reactor_frac(job: Job, feed_mg_h: float, side: Side) -> Array:
    """Draws of the share a down-flow reactor dissolves, shape (draws,).

    Held bubbles shrink until the water carries them out; the hose takes its part of the rest, and what is
    then left counts as lost. More gas than the cushion can swallow is blown out of the foot.
    """
    of, path = side.scores.of, rise_path(job, feed_mg_h)
    water = path.water()
    width, entry = _spread(CHAMBER_MM, of("chamber")), _spread(ENTRY_MM, of("entry"))
    both = chamber.swept_share_frac(
        _spread(FLOW_L_H, of("flow")), width, diameter_mm=entry, hose_length_m=HOSE_M, water_c=path.water_c
    )
    mix = np.asarray(skin_mix_frac(side.skin_frac, entry))
    share = both[0] + mix * (both[1] - both[0])
    most = chamber.cushion_absorption_mg_h(
        width,
        _spread(CUSHION_M_S, of("cushion")),
        saturation_mg_l=CUSHION_CO2_FRAC * chamber.pure_saturation_mg_l(water),
        bulk_mg_l=path.bulk_co2_mg_l,
    )
    found: Array = np.minimum(share, most / feed_mg_h)
    return found


def _spread(limits: tuple[float, float, float], score: Array) -> Array:
    low, middle, high = limits
    reach = np.where(score > 0.0, float(np.log(high / middle)), float(np.log(middle / low)))
    drawn: Array = middle * np.exp(reach * score / NINETY)
    return drawn


# What the reactor adds to the equations of the other ways.
REACTOR_EQUATIONS: tuple[Callable[..., Any], ...] = (
    held.chamber_speed_m_s, held.hose_speed_m_s, held.hose_eddy_m_s, held.held_gas_mol,
    transfer.transfer_turbulent_rigid_m_s, transfer.transfer_turbulent_mobile_m_s,
    chamber.swept_out_frac, chamber.cushion_absorption_mg_h, skin_mix_frac,
)  # fmt: skip
