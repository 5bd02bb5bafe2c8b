"""What a job's own numbers say for or against a cause, before anything is checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fizzwright.job.model import Condition, Job, SurfaceClass
from fizzwright.stages.plan_choice import Decided
from fizzwright.units import number_text

__all__ = ["Hint", "hints_of"]

OLD_WATER_DKH = 1.0


@dataclass(frozen=True)
class Hint:
    """A cause made likelier (over 1) or less likely by something known of the job, and why."""

    cause: str
    odds_ratio: float
    why: str


def hints_of(decided: Decided) -> tuple[Hint, ...]:
    """Every hint the job's numbers give.

    Parameters
    ----------
    decided : Decided
        The tank with its plan.
    """
    job = decided.known.job
    return (*_gas_side(job), *_bottle_side(job), *_water_side(job), *_setting_side(decided))


def _gas_side(job: Job) -> Iterator[Hint]:
    diffuser, regulator = job.gasline.diffuser, job.gasline.regulator
    if diffuser.condition is Condition.FOULED:
        yield Hint("diffuser-clogged", 3.0, "the diffuser is noted as fouled")
        yield Hint("diffuser-coarse", 2.0, "the diffuser is noted as fouled")
    if diffuser.condition is Condition.CLEAN:
        yield Hint("diffuser-clogged", 0.4, "the diffuser is noted as clean")
    if regulator.stages == 1:
        yield Hint("supply-rise", 2.5, "the regulator has one stage")
    else:
        yield Hint("supply-rise", 0.05, "the regulator has two stages")
    if not job.gasline.bottle.shared_with:
        yield Hint("manifold-shared", 0.2, "one tank on the bottle")
    if diffuser.opening_barg is not None and regulator.set_pressure_barg < diffuser.opening_barg + 0.3:
        yield Hint("diffuser-clogged", 2.0, "the working pressure is hardly over the diffuser's opening")


def _bottle_side(job: Job) -> Iterator[Hint]:
    bottle = job.gasline.bottle
    if bottle.remaining_g is None:
        return
    share = bottle.remaining_g / bottle.charge_g
    told = f"{100 * share:.0f} % of the charge is left"
    if share < 0.3:
        yield Hint("bottle-low", 5.0, told)
        yield Hint("supply-rise", 4.0, told)
        yield Hint("gauge-plateau", 2.0, told)
    else:
        yield Hint("bottle-low", 0.1, told)
        yield Hint("supply-rise", 0.2, told)


def _water_side(job: Job) -> Iterator[Hint]:
    water = job.water
    if water.kh_dkh <= OLD_WATER_DKH + water.kh_step_dkh:
        told = f"KH reads {number_text(water.kh_dkh, 2)} with steps of {number_text(water.kh_step_dkh, 2)}"
        yield Hint("kh-down", 2.0, told)
        yield Hint("other-acids", 2.0, told)
        yield Hint("soil", 2.0, told)
    if water.tint_doc_mg_l >= 8:
        yield Hint("other-acids", 2.5, "the water is tinted")
    if water.phosphate_mg_l >= 20:
        yield Hint("other-acids", 2.0, "much phosphate in the water")
    if job.surface.looks is SurfaceClass.FILMED:
        yield Hint("surface-still", 3.0, "the surface is noted as filmed or still")
        yield Hint("oxygen-night", 2.0, "the surface is noted as filmed or still")


def _setting_side(decided: Decided) -> Iterator[Hint]:
    job, choice = decided.known.job, decided.chosen.choice
    told = job.settings
    if told.feed_mg_h is not None:
        ratio = told.feed_mg_h / choice.feed_mg_h
        why = f"the feed set is {ratio:.1f} times the planned one"
        if ratio > 1.2:
            yield Hint("feed-high", min(ratio**3, 8.0), why)
        elif ratio < 0.8:
            yield Hint("feed-low", min(ratio**-3, 8.0), why)
            yield Hint("feed-high", 0.3, why)
    if told.gas_on_min is not None:
        lead_h = ((job.light.on_min - told.gas_on_min + 720) % 1440 - 720) / 60.0
        if lead_h < 0.5 * choice.lead_h:
            yield Hint(
                "lead-short",
                3.0,
                f"gas opens {lead_h:.1f} h before the lamp, planned are {choice.lead_h:g} h",
            )
        if told.gas_off_min is not None and told.gas_on_min == told.gas_off_min:
            yield Hint("gas-all-night", 10.0, "gas is set to run round the clock")
        elif told.gas_off_min is not None:
            yield Hint("gas-all-night", 0.05, "a timer shuts the gas")
    light = job.light.par_umol_m2_s
    if light < 35:
        yield Hint("light-low", 2.5, f"PAR at the plants is {light:.0f}")
