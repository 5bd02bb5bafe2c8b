"""The composition root: one method for each thing a user can ask, with files, dates and chance let in here.

Faces call nothing below this module. Whatever touches a file, the date or a typesetter is passed in or
loaded here, so that stages and engines stay plain sums.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from fizzwright import __version__
from fizzwright.errors import Fault, InputError
from fizzwright.units import System

if TYPE_CHECKING:
    from fizzwright.job.model import Job
    from fizzwright.readings import Log
    from fizzwright.result import Estimate
    from fizzwright.stages.compare import Comparison
    from fizzwright.stages.failures_result import FailuresResult
    from fizzwright.stages.plan_night import NightLog
    from fizzwright.stages.plan_result import PlanResult
    from fizzwright.stages.survey_result import SurveyResult

__all__ = ["App", "NightRead"]

SHARED_DRAWS_COUNT = 64


@dataclass(frozen=True)
class NightRead:
    """A night's file as read: the log with every decision made about its rows."""

    log: Log
    path: Path


@dataclass(frozen=True)
class App:
    """Everything a face can ask for. `today` is the only clock there is."""

    today: Callable[[], date] = date.today
    version: str = field(default=__version__)

    def load(self, path: Path | str) -> Job:
        """The job in a file, or one InputError with every fault in it."""
        from fizzwright.job.file import load_job

        return load_job(Path(path))

    def survey(self, path: Path | str) -> SurveyResult:
        """What the tank is and needs, before any gas is planned."""
        from fizzwright.stages.survey import survey

        return survey(self.load(path), today=self.today())

    def read_night(self, path: Path | str, job: Job) -> NightRead:
        """A night's log, its rows cleaned and every decision kept."""
        from fizzwright.readings import read_log

        return NightRead(read_log(Path(path), timezone=job.job.timezone), Path(path))

    def plan(
        self, path: Path | str, *, night: Path | str | None = None, draws_count: int | None = None
    ) -> PlanResult:
        """The plan for the job in a file, sharper where a gas-off night comes with it."""
        from fizzwright.stages.plan import DRAWS_COUNT, plan

        job = self.load(path)
        return plan(
            job,
            night=_night_of(self.read_night(night, job)) if night is not None else None,
            others_g_day=self._others(Path(path), job),
            draws_count=DRAWS_COUNT if draws_count is None else draws_count,
        )

    def failures(
        self, path: Path | str, *, night: Path | str | None = None, draws_count: int | None = None
    ) -> FailuresResult:
        """What the planned tank does, hour by hour, when something fails."""
        from fizzwright.stages.failures import failures
        from fizzwright.stages.plan import DRAWS_COUNT

        job = self.load(path)
        return failures(
            job,
            night=_night_of(self.read_night(night, job)) if night is not None else None,
            draws_count=DRAWS_COUNT if draws_count is None else draws_count,
        )

    def compare(
        self, one: PlanResult, *, path: Path | str, other_path: Path | str, draws_count: int | None = None
    ) -> Comparison:
        """A plan already made for the job in a file beside the plan for the job in another."""
        from fizzwright.stages.compare import compare

        jobs = self.load(path), self.load(other_path)
        return compare(jobs, (one, self.plan(other_path, draws_count=draws_count)))

    def _others(self, path: Path, job: Job) -> tuple[Estimate, ...]:
        """What each other tank on the same bottle is planned to use; every unreadable file is one fault."""
        from fizzwright.stages.plan import plan

        faults: list[Fault] = []
        used = []
        for name in job.gasline.bottle.shared_with:
            try:
                used.append(plan(self.load(path.parent / name), draws_count=SHARED_DRAWS_COUNT).gas_g_day)
            except InputError as refused:
                faults += [
                    Fault(f"{name}: {f.field}", f.value, f.allowed, f.next_step, f.line)
                    for f in refused.faults
                ]
        if faults:
            raise InputError(faults)
        return tuple(used)

    def plan_sheet_pdf(self, plan: PlanResult, *, system: System = System.METRIC) -> bytes:
        """The plan as typeset pages."""
        from fizzwright.papers.plan_sheet import plan_sheet

        return plan_sheet(plan, system=system, today=self.today())

    def day_svg(self, plan: PlanResult) -> str:
        """The plan's day as a drawing that opens on its own."""
        from fizzwright.papers.day_strip import day_strip_desk
        from fizzwright.papers.svg import standalone

        return standalone(day_strip_desk(plan))


def _night_of(read: NightRead) -> NightLog:
    import numpy as np

    from fizzwright.readings import night_readings
    from fizzwright.stages.plan_night import NightLog

    hours, ph, water_c = night_readings(read.log)
    warmth = None if water_c is None else float(np.nanmedian(water_c))
    return NightLog(hours, ph, warmth, sum(d.count for d in read.log.decisions if d.sets_aside))
