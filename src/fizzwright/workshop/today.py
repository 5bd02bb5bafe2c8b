"""What the list of jobs shows, and which of them ask for something today."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from fizzwright.errors import FizzwrightError, InputError, NoAnswer
from fizzwright.result import Estimate, Finding, Level
from fizzwright.workshop.bench import Workshop

if TYPE_CHECKING:
    from fizzwright.job.model import Job
    from fizzwright.stages.survey_result import SurveyResult
    from fizzwright.store import JobKept

__all__ = ["Attention", "Bottle", "JobSeen", "attention_of", "bottles_of", "job_seen"]

_GRAVITY = (Level.STOP, Level.CARE, Level.NOTE)
# A pH reading older than this says nothing of now.
FRESH_H = 24.0


@dataclass(frozen=True)
class JobSeen:
    """One job in the list: its survey where it can be read, how many faults where not, the last reading."""

    kept: JobKept
    name: str
    job: Job | None
    survey: SurveyResult | None
    faults_count: int
    co2_now_mg_l: Estimate | None
    last_read: datetime | None


@dataclass(frozen=True)
class Attention:
    """Something one job asks for, the gravest of it."""

    level: Level
    slug: str
    name: str
    text: str
    more_count: int


@dataclass(frozen=True)
class Bottle:
    """The bottle of one job: how many days it lasts, or why that is not known."""

    slug: str
    name: str
    empty_days: Estimate | None
    reason: str


def job_seen(workshop: Workshop, slug: str) -> JobSeen:
    """One job as the list shows it."""
    kept = workshop.kept(slug)
    read = workshop.readings(slug)
    last = max((r.taken_utc for r in read), default=None)
    try:
        job = workshop.job(kept)
    except InputError as refused:
        return JobSeen(kept, _name_in(kept), None, None, len(refused.faults), None, last)
    ph = [r for r in read if r.quantity == "ph" and r.value is not None]
    level = None
    if ph and (workshop.now() - ph[-1].taken_utc).total_seconds() < 3600 * FRESH_H:
        try:
            level = workshop.co2_of(kept, float(ph[-1].value or 0.0)).co2_mg_l
        except (InputError, NoAnswer):
            level = None
    return JobSeen(kept, job.job.name, job, workshop.survey(kept), 0, level, last)


def _name_in(kept: JobKept) -> str:
    """What a job that cannot be read calls itself, or the name it is kept under."""
    import tomllib

    try:
        table = tomllib.loads(kept.text).get("job", {})
    except ValueError:
        return kept.slug
    name = table.get("name") if isinstance(table, dict) else None
    return name.strip() if isinstance(name, str) and name.strip() else kept.slug


def attention_of(seen: Iterable[JobSeen]) -> tuple[Attention, ...]:
    """What needs attention, the gravest first; notes do not count as asking."""
    found = []
    for one in seen:
        if one.job is None:
            count = one.faults_count
            text = f"The survey is not finished: {count} value{'s' * (count > 1)} to fill in or mend."
            found.append(Attention(Level.NOTE, one.kept.slug, one.name, text, 0))
            continue
        asking = [f for f in _findings(one) if f.level is not Level.NOTE]
        if asking:
            first = min(asking, key=lambda f: _GRAVITY.index(f.level))
            found.append(Attention(first.level, one.kept.slug, one.name, first.text, len(asking) - 1))
    return tuple(sorted(found, key=lambda a: (_GRAVITY.index(a.level), a.name)))


def _findings(one: JobSeen) -> tuple[Finding, ...]:
    return one.survey.trail.findings if one.survey is not None else ()


def bottles_of(workshop: Workshop, seen: Iterable[JobSeen]) -> tuple[Bottle, ...]:
    """When each bottle is empty by its plan, the soonest first; what cannot be planned says why."""
    found = []
    for one in seen:
        if one.job is None:
            continue
        try:
            days, reason = workshop.planned(one.kept).plan.bottle_days, ""
        except FizzwrightError as refused:
            days, reason = None, str(refused).splitlines()[0]
        found.append(Bottle(one.kept.slug, one.name, days, reason))
    return tuple(sorted(found, key=lambda b: b.empty_days.value if b.empty_days else float("inf")))
