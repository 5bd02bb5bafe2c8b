"""The gas a diffuser is reckoned with: as given, else as the plan would set it."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.job.model import Job
from fizzwright.stages.plan_choice import decide

__all__ = ["Fed", "fed_of"]


@dataclass(frozen=True)
class Fed:
    """The gas a job gets: feed while the gas is on, hours a day, and who says so."""

    feed_mg_h: float
    gas_h: float
    said_by: str


def fed_of(job: Job, *, feed_mg_h: float | None, gas_h: float | None) -> Fed:
    """Feed and hours of gas, each from the plan where it is None.

    Parameters
    ----------
    job : Job
    feed_mg_h : float or None
        Feed while the gas is on. [mg/h]
    gas_h : float or None
        Hours of gas a day. [h]

    Raises
    ------
    UnsafePlan
        Where something is left to the plan and there is none; every reason is listed.
    """
    if feed_mg_h is not None and gas_h is not None:
        return Fed(feed_mg_h, gas_h, "as given")
    choice = decide(job).chosen.choice
    hours = choice.clock.gas_min / 60.0
    if feed_mg_h is None:
        return Fed(choice.feed_mg_h, hours if gas_h is None else gas_h, "as the plan sets it")
    return Fed(feed_mg_h, hours, "hours as the plan sets them")
