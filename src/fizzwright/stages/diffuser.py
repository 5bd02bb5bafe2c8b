"""The stage `diffuser`: how much of the gas dissolves here, and which way to put it in.

The share comes from the sums the plan uses, over the same doubts of bubble size and skin, so that a
slider, a plan and this view tell one story.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fizzwright.engines.bubbles.closures import contaminated_closure, tap_closure
from fizzwright.engines.bubbles.diffusers import size_pump_hinze_mm
from fizzwright.engines.bubbles.fate import Release, bubble_track
from fizzwright.engines.bubbles.held import hose_wall_speed_m_s
from fizzwright.engines.bubbles.lives import bubble_lives
from fizzwright.engines.bubbles.medium import CO2
from fizzwright.engines.bubbles.properties import ATMOSPHERE_PA
from fizzwright.engines.gasline.bottle import vapour_density_kg_m3
from fizzwright.engines.water.gas_pressure import co2_pressure_atm, total_gas_atm
from fizzwright.engines.water.gases import pressure_isa_atm
from fizzwright.errors import Fault, InputError
from fizzwright.inference.beads import BEAD_EQUATIONS, Bead, SkinFit, fit_skin
from fizzwright.job.model import DiffuserKind, Job
from fizzwright.result import Basis, Estimate, make_trail
from fizzwright.stages.diffuser_feed import Fed
from fizzwright.stages.diffuser_gains import gains, use_of
from fizzwright.stages.diffuser_result import DepthCurve, DiffuserResult, Way
from fizzwright.stages.diffuser_views import DEPTHS_M, flip_of, haze_of, life_of, shares_by_depth_frac
from fizzwright.stages.diffuser_ways import (
    REACTOR_EQUATIONS,
    Option,
    Side,
    in_hose,
    in_tank,
    options,
    reactor_frac,
    scores_drawn,
    share_frac,
)
from fizzwright.stages.diffuser_words import PROTOCOL, Told, assumptions_of, findings_of, verdict_of
from fizzwright.stages.skin import skin_draws_frac
from fizzwright.units import show

__all__ = ["diffuser", "diffuser_equations", "dissolved_here_frac"]

Array = NDArray[np.float64]
O2_LOW_RATIO, O2_HIGH_RATIO = 0.8, 1.5
REACTOR = "down-flow reactor"
REACTOR_REMARK = "needs a pump or filter, a vent, and room under the tank; no mist in sight"


@dataclass(frozen=True)
class _Compared:
    """Every way with its draws, what is there at the head."""

    ways: tuple[tuple[Option | None, str, str, Array], ...]

    @property
    def now(self) -> Array:
        return self.ways[0][3]

    def told(self, gas_g_day: float) -> tuple[Way, ...]:
        now = self.now
        return tuple(
            Way(
                name,
                at == 0,
                Estimate.from_draws(share, "frac"),
                Estimate.from_draws(gas_g_day * (1.0 - share), "g_day"),
                0.0 if at == 0 else float((share > now + 0.01).mean()),
                remark,
            )
            for at, (_, name, remark, share) in enumerate(self.ways)
        )


def diffuser(
    job: Job,
    fed: Fed,
    *,
    beads: Sequence[Bead] = (),
    others_g_day: Sequence[Estimate] = (),
    o2_saturation_ratio: float | None = None,
) -> DiffuserResult:
    """How much of the gas dissolves on its way up, what the mist is made of, and what would do better.

    Parameters
    ----------
    job : Job
        The surveyed tank.
    fed : Fed
        Feed and hours of gas, from the plan or given.
    beads : sequence of Bead
        Beads timed on a video in this tank; they replace the skin the job notes.
    others_g_day : sequence of Estimate
        Gas other tanks draw from the same bottle. [g/day]
    o2_saturation_ratio : float or None
        Oxygen in the water over saturation; left open, 0.8 to 1.5 round 1. [-]

    Returns
    -------
    DiffuserResult

    Raises
    ------
    InputError
        For a feed or readings that cannot be.
    """
    _check(fed, o2_saturation_ratio)
    here = options(job, fed.feed_mg_h)[0]
    fit = _fitted(job, here, beads)
    side, skin = _side(job, fit)
    compared = _compared(job, fed, side)
    gas_g_day = fed.feed_mg_h * fed.gas_h / 1000.0
    use = use_of(job, gas_g_day, others_g_day)
    gained = gains(job, here, side, compared.now, use)
    tank, hose = in_tank(job, fed.feed_mg_h), in_hose(job, fed.feed_mg_h)
    by_depth = shares_by_depth_frac(tank, side)
    hose_share = share_frac(hose, side, "other size")
    flips = (
        flip_of("in-hose atomiser", by_depth, hose_share),
        flip_of(REACTOR, by_depth, reactor_frac(job, fed.feed_mg_h, side)),
    )
    ratio, above_m = _total_gas(here, o2_saturation_ratio)
    dissolved = Estimate.from_draws(compared.now, "frac")
    told = Told(
        job=job,
        here=here,
        dissolved_frac=dissolved,
        lost_g_day=Estimate.from_draws(gas_g_day * (1.0 - compared.now), "g_day"),
        ways=compared.told(gas_g_day),
        gains=gained,
        skin_matters_frac=_skin_matters_frac(here, side),
        fit=fit,
        total_gas_ratio=ratio,
        mist_grows_above_m=above_m,
        gas_note=_gas_note(o2_saturation_ratio),
        feed_note=f"{show(fed.feed_mg_h, 'mg_h')} for {show(fed.gas_h, 'h')} a day, {fed.said_by}",
    )
    low, middle, high = np.quantile(by_depth, [0.05, 0.5, 0.95], axis=1)
    water = here.path.water()
    skins = (("stiff", contaminated_closure(water)), ("as in tap water", tap_closure(water)))
    return DiffuserResult(
        name=job.job.name,
        verdict=verdict_of(told),
        kind=here.name,
        depth_m=here.path.depth_m,
        feed_mg_h=fed.feed_mg_h,
        feed_from=fed.said_by,
        gas_h=fed.gas_h,
        gas_g_day=gas_g_day,
        dissolved_frac=dissolved,
        lost_g_day=told.lost_g_day,
        haze=haze_of(here, skin),
        ways=told.ways,
        flips=flips,
        gains=gained,
        skin_frac=skin,
        skin_known=_skin_known(job, fit),
        skin_matters_frac=told.skin_matters_frac,
        fit=fit,
        total_gas_ratio=ratio,
        mist_grows_above_m=above_m,
        curve=DepthCurve(
            tank.name,
            DEPTHS_M,
            low,
            middle,
            high,
            Estimate.from_draws(hose_share, "frac"),
            here.path.depth_m,
            dissolved,
            here.spread.kind is not DiffuserKind.INLINE,
            None if flips[0].depth_m is None else flips[0].depth_m.value,
        ),
        life=life_of(water, Release(1e-3 * here.spread.d32_mm, _life_depth_m(here, tank)), skins),
        protocol=PROTOCOL,
        trail=make_trail(
            diffuser_equations(job, fed.feed_mg_h, with_beads=bool(beads)),
            inputs={
                "job": job.model_dump(mode="json"), "feed": fed.feed_mg_h, "hours": fed.gas_h,
                "beads": [vars(bead) for bead in beads], "o2": o2_saturation_ratio,
            },
            assumptions=assumptions_of(told),
            findings=findings_of(told),
        ),
    )  # fmt: skip


def dissolved_here_frac(job: Job, feed_mg_h: float) -> Estimate:
    """The dissolved share of the job's own diffuser at a feed and nothing else, quick enough for a slider."""
    side, _ = _side(job, None)
    return Estimate.from_draws(share_frac(options(job, feed_mg_h)[0], side), "frac")


def diffuser_equations(
    job: Job, feed_mg_h: float, *, with_beads: bool = False
) -> tuple[Callable[..., Any], ...]:
    """Every equation the stage runs for a job at a feed; a plan that shows part of it lists part of these."""
    ways = options(job, feed_mg_h)
    blown = replace(ways[0].path, current_m_s=0.05)
    inline = ways[0].spread.kind is DiffuserKind.INLINE
    return (
        *(
            function
            for way in (*ways, in_tank(job, feed_mg_h), in_hose(job, feed_mg_h))
            for function in way.equations
        ),
        *((hose_wall_speed_m_s,) if inline else replace(ways[0], path=blown).equations),
        *REACTOR_EQUATIONS,
        *(BEAD_EQUATIONS if with_beads else ()),
        bubble_lives, bubble_track, size_pump_hinze_mm, vapour_density_kg_m3,
        pressure_isa_atm, total_gas_atm, co2_pressure_atm,
    )  # fmt: skip


def _check(fed: Fed, o2_saturation_ratio: float | None) -> None:
    faults = []
    if not 0.1 <= fed.feed_mg_h <= 60000.0:
        faults.append(Fault("--feed", show(fed.feed_mg_h, "mg_h"), "allowed 0.1 to 60 000 mg/h"))
    if not 0.0 < fed.gas_h <= 24.0:
        faults.append(Fault("--hours", show(fed.gas_h, "h"), "allowed over 0 and up to 24 h"))
    if o2_saturation_ratio is not None and not 0.0 <= o2_saturation_ratio <= 3.0:
        faults.append(Fault("--o2-saturation", f"{100 * o2_saturation_ratio:g} %", "allowed 0 to 300 %"))
    if faults:
        raise InputError(faults)


def _fitted(job: Job, here: Option, beads: Sequence[Bead]) -> SkinFit | None:
    """What the beads tell; they are let go at the diffuser, or near the ground where it sits in a hose."""
    if not beads:
        return None
    tank = in_tank(job, 1.0)
    return fit_skin(beads, here.path.water(), depth_m=tank.path.depth_m)


def _side(job: Job, fit: SkinFit | None) -> tuple[Side, Estimate]:
    scores = scores_drawn()
    part = job.gasline.diffuser
    if fit is not None and fit.usable:
        part = part.model_copy(
            update={"skin_frac": fit.skin_frac.value, "skin_spread_frac": max(fit.spread_frac, 0.01)}
        )
    skin = skin_draws_frac(part, scores)
    basis = Basis.JUDGEMENT if part.skin_frac is None else Basis.FITTED
    return Side(skin, scores), Estimate.from_draws(skin, "frac", basis)


def _skin_known(job: Job, fit: SkinFit | None) -> str:
    if fit is not None and fit.usable:
        return f"from {fit.beads_count} beads"
    if job.gasline.diffuser.skin_frac is not None:
        return "as the job notes it"
    return "not known: anything ordinary water shows"


def _compared(job: Job, fed: Fed, side: Side) -> _Compared:
    ways: list[tuple[Option | None, str, str, Array]] = []
    for at, option in enumerate(options(job, fed.feed_mg_h)):
        share = share_frac(option, side, "size" if at == 0 else "other size")
        ways.append((option, option.name, option.remark, share))
    ways.insert(2, (None, REACTOR, REACTOR_REMARK, reactor_frac(job, fed.feed_mg_h, side)))
    return _Compared(tuple(ways))


def _skin_matters_frac(here: Option, side: Side) -> float:
    """How far the middle share moves from the stiffest to the most mobile skin."""
    ends = [
        float(np.median(share_frac(here, replace(side, skin_frac=np.full_like(side.skin_frac, end)))))
        for end in (0.0, 1.0)
    ]
    return ends[1] - ends[0]


def _total_gas(here: Option, o2_ratio: float | None) -> tuple[Estimate, float | None]:
    """Pressure of all dissolved gases over the air's, and the depth above which mist then grows."""
    path = here.path
    water = path.water()
    air, vapour = water.surface_pa / ATMOSPHERE_PA, water.vapour_pa / ATMOSPHERE_PA
    # mol/m3/Pa is a thousandth of mol/L over a 101325th of an atmosphere.
    co2 = co2_pressure_atm(
        path.bulk_co2_mg_l, float(water.solubility_mol_m3_pa[CO2]) * ATMOSPHERE_PA / 1000.0
    )
    middle = 1.0 if o2_ratio is None else o2_ratio
    ends = (O2_LOW_RATIO, O2_HIGH_RATIO) if o2_ratio is None else (0.95 * middle, 1.05 * middle)
    low, value, high = (
        float(total_gas_atm(o2, 1.0, dry_air_atm=air - vapour, vapour_atm=vapour, co2_atm=co2)) / air
        for o2 in (ends[0], middle, ends[1])
    )
    above_m = (value - 1.0) * water.surface_pa / water.head_pa_m
    basis = Basis.JUDGEMENT if o2_ratio is None else Basis.PROPAGATED
    return Estimate(value, "ratio", low, high, basis), above_m if above_m > 0.0 else None


def _gas_note(o2_ratio: float | None) -> str:
    if o2_ratio is None:
        return "nitrogen at saturation, oxygen 80 to 150 % of it"
    return f"nitrogen at saturation, oxygen {100 * o2_ratio:.0f} % of it"


def _life_depth_m(here: Option, tank: Option) -> float:
    """The depth a bubble's life is drawn from: the diffuser's, or the tank's for one in a hose."""
    return tank.path.depth_m if here.spread.kind is DiffuserKind.INLINE else here.path.depth_m
