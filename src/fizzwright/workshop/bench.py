"""One workshop: the record of its jobs, and the sums asked of them.

Whatever a page shows of a job comes from here. A plan takes a second, so the last few are kept by the text
they were made from; the same text never makes another plan.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Generic, TypeVar

from fizzwright.app import App
from fizzwright.errors import Fault, FizzwrightError, InputError, NotFound

if TYPE_CHECKING:
    from fizzwright.inference.taps import TapCount
    from fizzwright.job.model import Job
    from fizzwright.result import Estimate
    from fizzwright.stages.bench.water_co2 import Co2Answer
    from fizzwright.stages.dial_result import DialResult
    from fizzwright.stages.plan_choice import Decided
    from fizzwright.stages.plan_result import PlanResult
    from fizzwright.stages.plan_set import HandSet
    from fizzwright.stages.plan_slider import Ready
    from fizzwright.stages.survey_result import SurveyResult
    from fizzwright.store import Store
    from fizzwright.store.records import JobHead, JobKept, Reading

__all__ = ["Planned", "Workshop"]

Value = TypeVar("Value")
KEPT_PLANS = 24
SHARED_DRAWS_COUNT = 64
DIAL_DRAWS_COUNT = 300
DIAL_DAYS = 10


@dataclass(frozen=True)
class Planned:
    """A plan with the draws behind it, ready to be set otherwise by hand."""

    plan: PlanResult
    decided: Decided
    others_g_day: tuple[Estimate, ...]


class _Kept(Generic[Value]):
    """The last few answers by what they were made from; each is made once, however many ask at once."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, threading.Lock()
        self._found: OrderedDict[object, Value] = OrderedDict()
        self._making: dict[object, threading.Lock] = {}

    def get(self, key: object, make: Callable[[], Value]) -> Value:
        """The answer kept under a key, made now where there is none; other keys need not wait for it."""
        with self._lock:
            making = self._making.setdefault(key, threading.Lock())
        try:
            with making:
                known = self.peek(key)
                if known is None:
                    known = make()
                    self._keep(key, known)
                return known
        finally:
            with self._lock:
                self._making.pop(key, None)

    def _keep(self, key: object, known: Value) -> None:
        with self._lock:
            self._found[key] = known
            while len(self._found) > self._most:
                self._found.popitem(last=False)

    def peek(self, key: object) -> Value | None:
        """The answer kept under a key, or None; makes nothing."""
        with self._lock:
            known = self._found.get(key)
            if known is not None:
                self._found.move_to_end(key)
            return known


class Workshop:
    """Jobs by their name in the record, and what can be asked of each. `now` is the only clock."""

    def __init__(self, app: App, store: Store, *, now: Callable[[], datetime]) -> None:
        self.app, self.store, self.now = app, store, now
        self._jobs: _Kept[Job] = _Kept(4 * KEPT_PLANS)
        self._plans: _Kept[Planned] = _Kept(KEPT_PLANS)
        self._ready: _Kept[Ready] = _Kept(KEPT_PLANS)
        self._dials: _Kept[DialResult] = _Kept(KEPT_PLANS)

    def heads(self) -> tuple[JobHead, ...]:
        """Every job that is not put away."""
        return tuple(head for head in self.store.jobs() if not head.archived)

    def kept(self, slug: str, revision: int | None = None) -> JobKept:
        """A job as the record has it."""
        return self.store.job(slug, revision=revision)

    def job(self, kept: JobKept) -> Job:
        """The job read from its text, or one InputError with every fault in it."""
        from fizzwright.job.file import read_job

        name = f"{kept.slug}.toml"
        return self._jobs.get((name, kept.text), lambda: read_job(kept.text, name=name))

    def survey(self, kept: JobKept) -> SurveyResult:
        """What the tank is and needs, before any gas is planned."""
        return self.survey_text(kept.text, name=f"{kept.slug}.toml")

    def survey_text(self, text: str, *, name: str) -> SurveyResult:
        """The survey of a job's text that need not be kept yet."""
        from fizzwright.job.file import read_job
        from fizzwright.stages.survey import survey

        return survey(read_job(text, name=name), today=self.app.today())

    def planned(self, kept: JobKept) -> Planned:
        """The plan of a job, from the store of plans or made now."""
        job = self.job(kept)
        others = self._others(job)
        return self._plans.get(self._key(kept, others), lambda: _plan(job, others))

    def _key(self, kept: JobKept, others: tuple[Job, ...]) -> object:
        return (kept.text, tuple(other.model_dump_json() for other in others))

    def _others(self, job: Job) -> tuple[Job, ...]:
        """The other tanks on the bottle, each kept in the record under the name of its file."""
        found, faults = [], []
        for name in job.gasline.bottle.shared_with:
            try:
                found.append(self.job(self.kept(name.removesuffix(".toml"))))
            except NotFound:
                step = "Bring its job file into the workshop, or take it off the list"
                faults.append(Fault("gasline.bottle.shared_with", name, "is not in this workshop", step))
            except InputError as refused:
                faults += [replace(fault, field=f"{name}: {fault.field}") for fault in refused.faults]
        if faults:
            raise InputError(faults)
        return tuple(found)

    def warm(self, kept: JobKept) -> None:
        """Make the tank ready to slide before anybody slides; a tank that cannot be planned stays cold."""
        try:
            self._ready_of(kept)
        except FizzwrightError:
            return

    def _ready_of(self, kept: JobKept) -> Ready:
        from fizzwright.stages.plan_slider import ready

        return self._ready.get(kept.text, lambda: ready(self.job(kept)))

    def day_set(self, kept: JobKept, to: HandSet) -> PlanResult:
        """The plan's day at settings of a hand, quick enough for a moving pointer."""
        from fizzwright.stages.plan_set import day_set

        return day_set(self._ready_of(kept), self.planned(kept).plan, to)

    def plan_set(self, kept: JobKept, to: HandSet) -> PlanResult:
        """The whole plan at settings of a hand, line and ledger too."""
        from fizzwright.stages.plan_set import plan_set

        known = self.planned(kept)
        return plan_set(known.decided, known.plan, to, others_g_day=known.others_g_day)

    def plan_sheet(self, kept: JobKept) -> bytes:
        """The plan as typeset pages, in the units of the job."""
        from fizzwright.units import System

        system = System(self.job(kept).job.units)
        return self.app.plan_sheet_pdf(self.planned(kept).plan, system=system)

    def readings(self, slug: str, *, days: float | None = None) -> tuple[Reading, ...]:
        """Readings of a job in order of time, all or those of the last days."""
        since = None if days is None else self.now() - timedelta(days=days)
        return self.store.readings(slug, since=since)

    def dial(self, kept: JobKept) -> DialResult | None:
        """Where the tank stands after the readings of the last ten days; None where none says so."""
        from fizzwright.stages.dial import dial
        from fizzwright.workshop.told import told_from

        readings = self.readings(kept.slug, days=DIAL_DAYS)
        if not any(r.quantity == "ph" for r in readings):
            return None
        job = self.job(kept)
        key = (kept.text, tuple((r.uid, r.value, r.taken_utc) for r in readings))
        return self._dials.get(
            key,
            lambda: dial(job, told_from(readings, timezone=job.job.timezone), draws_count=DIAL_DRAWS_COUNT),
        )

    def co2_of(self, kept: JobKept, ph: float, *, temperature_c: float | None = None) -> Co2Answer:
        """What one pH reading says of CO2, with the water of the survey."""
        from fizzwright.stages.bench.water_co2 import Co2Question, co2

        water = self.job(kept).water
        return co2(
            Co2Question(
                ph=ph,
                kh_dkh=water.kh_dkh,
                water_c=water.temperature_c if temperature_c is None else temperature_c,
                ec_us_cm=water.ec_us_cm,
                tds_mg_l=None if water.ec_us_cm is not None else water.tds_mg_l,
                phosphate_mg_l=water.phosphate_mg_l,
                tint_doc_mg_l=water.tint_doc_mg_l,
                kit_step_dkh=water.kh_step_dkh,
            )
        )

    def taps(self, times_s: list[float]) -> TapCount:
        """The bubble rate from the moments of taps."""
        from fizzwright.inference.taps import tap_count

        return tap_count(times_s)


def _plan(job: Job, others: tuple[Job, ...]) -> Planned:
    from fizzwright.stages.plan import told
    from fizzwright.stages.plan_choice import decide, gas_use_g_day

    decided = decide(job)
    used = tuple(gas_use_g_day(other, draws_count=SHARED_DRAWS_COUNT) for other in others)
    return Planned(told(decided, others_g_day=used), decided, used)
