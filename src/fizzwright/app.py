"""The composition root: one method for each thing a user can ask, with files, dates and chance let in here.

Faces call nothing below this module. Whatever touches a file, the date or a typesetter is passed in or
loaded here, so that stages and engines stay plain sums.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from fizzwright import __version__
from fizzwright.errors import Fault, InputError
from fizzwright.units import System

if TYPE_CHECKING:
    from fizzwright.job.model import Job
    from fizzwright.job.part_words import Country
    from fizzwright.readings import Log
    from fizzwright.result import Estimate
    from fizzwright.stages.bench.bubble import BubbleQuestion
    from fizzwright.stages.bench.water import AirQuestion, CheckerQuestion, Co2Question
    from fizzwright.stages.compare import Comparison
    from fizzwright.stages.dial_result import DialResult
    from fizzwright.stages.diffuser_result import DiffuserResult
    from fizzwright.stages.failures_result import FailuresResult
    from fizzwright.stages.faults import FaultsResult
    from fizzwright.stages.fit_result import FitResult
    from fizzwright.stages.parts_prices import Prices
    from fizzwright.stages.parts_result import PartsResult
    from fizzwright.stages.place import Asked
    from fizzwright.stages.place_result import PlaceResult
    from fizzwright.stages.place_runs import Watch
    from fizzwright.stages.plan_night import NightLog
    from fizzwright.stages.plan_result import PlanResult
    from fizzwright.stages.service import ServiceResult
    from fizzwright.stages.source_result import SourceResult
    from fizzwright.stages.survey_result import SurveyResult
    from fizzwright.stages.watch_result import WatchResult

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
        from fizzwright.stages.plan_choice import gas_use_g_day

        faults: list[Fault] = []
        used = []
        for name in job.gasline.bottle.shared_with:
            try:
                used.append(gas_use_g_day(self.load(path.parent / name), draws_count=SHARED_DRAWS_COUNT))
            except InputError as refused:
                faults += [
                    Fault(f"{name}: {f.field}", f.value, f.allowed, f.next_step, f.line)
                    for f in refused.faults
                ]
        if faults:
            raise InputError(faults)
        return tuple(used)

    def parts(
        self, path: Path | str, *, country: Country | None = None, prices: Path | str | None = None
    ) -> PartsResult:
        """The parts list for the job in a file, its misfits, and its cost where prices come with it."""
        from fizzwright.stages.parts import parts

        priced = None if prices is None else self.prices(prices)
        return parts(self.load(path), country=country, prices=priced, today=self.today())

    def prices(self, path: Path | str) -> Prices:
        """The user's own price file, or one InputError with every fault in it."""
        from fizzwright.stages.parts_prices import read_prices

        return read_prices(_text_of(Path(path), "--prices"), name=Path(path).name)

    def source(
        self, path: Path | str, *, prices: Path | str | None = None, budget_number: float | None = None
    ) -> SourceResult:
        """Where the carbon of a tank should come from; `budget_number` is for five years."""
        from fizzwright.stages.source import source

        priced = None if prices is None else self.prices(prices)
        job = self.load(path)
        return source(job, self.plan(path), prices=priced, budget_number=budget_number)

    def fit(self, path: Path | str, *, readings: Path | str | None = None) -> FitResult:
        """The job card of the line in a file; judges the form of its leak test where it comes with it."""
        from fizzwright.stages.fit import fit

        job = self.load(path)
        told = None if readings is None else _text_of(Path(readings), "--readings")
        return fit(
            job, self.plan(path), shared=self._shared(Path(path), job), readings=told, today=self.today()
        )

    def leak_form(self, path: Path | str) -> str:
        """The form for the readings of a leak test of the line in a file."""
        from fizzwright.stages.fit_leak import form_text, leak_limits

        job = self.load(path)
        return form_text(job, leak_limits(job, self.plan(path)))

    def _shared(self, path: Path, job: Job) -> tuple[tuple[Job, PlanResult], ...]:
        """The other tanks on the same bottle, each with its plan."""
        from fizzwright.stages.plan import plan

        others = [self.load(path.parent / name) for name in job.gasline.bottle.shared_with]
        return tuple((other, plan(other, draws_count=SHARED_DRAWS_COUNT)) for other in others)

    def read_readings(self, path: Path | str, job: Job) -> Log:
        """Readings of any form (CSV, SenML, captured MQTT), every decision about them kept."""
        from fizzwright.readings import read_readings

        return read_readings(Path(path), timezone=job.job.timezone)

    def dial(
        self, path: Path | str, readings: Path | str, *, draws_count: int | None = None
    ) -> tuple[DialResult, Log]:
        """Where the tank stands after its readings, and the next step."""
        from fizzwright.readings.tell import told_of
        from fizzwright.stages.dial import DRAWS_COUNT, dial

        job = self.load(path)
        log = self.read_readings(readings, job)
        return dial(job, told_of(log), draws_count=draws_count or DRAWS_COUNT), log

    def watch(
        self, path: Path | str, log: Path | str, *, tare_g: float | None = None
    ) -> tuple[WatchResult, Log]:
        """What changed in a log since its first week, how steady the tank is, when the bottle is empty."""
        from fizzwright.readings.tell import told_of
        from fizzwright.stages.watch import watch

        job = self.load(path)
        read = self.read_readings(log, job)
        others = self._others(Path(path), job)
        return watch(job, told_of(read), others_g_day=others, tare_g=tare_g), read

    def faults(
        self, path: Path | str, seen: Sequence[str], checked: Mapping[str, str] | None = None
    ) -> FaultsResult:
        """Causes of what is seen, ranked, each with the check that settles it."""
        from fizzwright.stages.faults import faults

        return faults(self.load(path), seen, checked)

    def service(
        self,
        path: Path | str,
        *,
        region: str = "Europe and UK",
        done: Mapping[str, date] | None = None,
        swap_on: date | None = None,
    ) -> ServiceResult:
        """What is due when, and the same as a calendar file."""
        from fizzwright.stages.service import service

        return service(self.load(path), today=self.today(), region=region, done=done, swap_on=swap_on)

    def dial_replay(self, path: Path | str, readings: Path | str) -> tuple[DialResult, ...]:
        """A dial-in gone through again: the answer after each day of its readings."""
        from fizzwright.readings.tell import day_ends_h, told_of
        from fizzwright.stages.dial import DRAWS_COUNT, dial

        job = self.load(path)
        told = told_of(self.read_readings(readings, job))
        return tuple(dial(job, told.until(hour), draws_count=DRAWS_COUNT) for hour in day_ends_h(told))

    def diffuser(
        self,
        path: Path | str,
        *,
        feed_mg_h: float | None = None,
        gas_h: float | None = None,
        beads: Path | str | None = None,
        o2_saturation_ratio: float | None = None,
    ) -> DiffuserResult:
        """How much of the gas dissolves in a tank; feed and gas hours are the plan's where not given."""
        from fizzwright.readings.beads import read_beads
        from fizzwright.stages.diffuser import diffuser
        from fizzwright.stages.diffuser_feed import fed_of

        job = self.load(path)
        return diffuser(
            job,
            fed_of(job, feed_mg_h=feed_mg_h, gas_h=gas_h),
            beads=() if beads is None else read_beads(Path(beads)),
            others_g_day=self._others(Path(path), job),
            o2_saturation_ratio=o2_saturation_ratio,
        )

    def keep_skin(self, path: Path | str, found: DiffuserResult) -> tuple[str, ...]:
        """Write the skin that beads told into the job's file, comments kept; says what was written."""
        from fizzwright.job.write import update_job
        from fizzwright.stages.skin import skin_changes

        changes = skin_changes(found.fit)
        _rewrite(Path(path), update_job(_text_of(Path(path), "JOB"), changes))
        return tuple(f"{key} = {value}" for key, value in changes.items())

    def bubble_svg(self, question: BubbleQuestion) -> str:
        """The life of the bubble of the single sum, as a drawing that opens on its own."""
        from fizzwright.papers.bubble_life import bubble_life_desk
        from fizzwright.papers.svg import standalone
        from fizzwright.stages.bench.bubble_life import bubble_life

        return standalone(bubble_life_desk(bubble_life(question)))

    def co2_svg(self, question: Co2Question) -> str:
        """CO2 against pH of the single sum, as a drawing that opens on its own."""
        from fizzwright.papers.bench_curve import co2_figure
        from fizzwright.papers.svg import standalone
        from fizzwright.stages.bench.water_curves import co2_against_ph

        return standalone(co2_figure(co2_against_ph(question)))

    def checker_svg(self, question: CheckerQuestion) -> str:
        """The colours of the drop checker of the single sum, as a drawing that opens on its own."""
        from fizzwright.papers.bench_strip import checker_figure
        from fizzwright.papers.svg import standalone
        from fizzwright.stages.bench.water_curves import checker_strip

        return standalone(checker_figure(checker_strip(question)))

    def airing_svg(self, question: AirQuestion) -> str:
        """The airing of a sample of the single sum, as a drawing that opens on its own."""
        from fizzwright.papers.bench_curve import airing_figure
        from fizzwright.papers.svg import standalone
        from fizzwright.stages.bench.water_curves import airing_path

        return standalone(airing_figure(airing_path(question)))

    def diffuser_svg(self, found: DiffuserResult) -> str:
        """Dissolved share against depth and a bubble's life, as one drawing that opens on its own."""
        from fizzwright.papers.bubble_depth import bubble_sheet
        from fizzwright.papers.svg import standalone

        return standalone(bubble_sheet(found.curve, found.life))

    def plan_sheet_pdf(
        self, plan: PlanResult, *, failures: FailuresResult | None = None, system: System = System.METRIC
    ) -> bytes:
        """The plan as typeset pages, with what happens when something fails where that is given."""
        from fizzwright.papers.plan_sheet import plan_sheet

        return plan_sheet(plan, failures=failures, system=system, today=self.today())

    def day_svg(self, plan: PlanResult) -> str:
        """The plan's day as a drawing that opens on its own."""
        from fizzwright.papers.day_strip import day_strip_desk
        from fizzwright.papers.svg import standalone

        return standalone(day_strip_desk(plan))

    def place(
        self, path: Path | str, asked: Asked | None = None, *,
        watch: Watch | None = None, cluster: str | None = None,
    ) -> PlaceResult:  # fmt: skip
        """Where the water goes in a job's tank, and which of its places are better.

        `watch` is told what is done and its share done, and ends the run with what is there by False.
        `cluster` is the address of a Dask scheduler that the places are measured on.
        """
        from fizzwright.machine import cluster_mapper, threads_that_pay, warm
        from fizzwright.stages.place import Asked, Helpers, place
        from fizzwright.stages.place_scene import layout_of

        job = self.load(path)
        layout_of(job)
        told = watch or Helpers().watch
        warm(told)
        with cluster_mapper(cluster) as mapper:
            helpers = Helpers(threads=threads_that_pay(), watch=told)
            helpers = helpers if mapper is None else replace(helpers, mapper=mapper)
            return place(job, asked or Asked(), helpers)

    def place_drawings(self, found: PlaceResult) -> dict[str, str]:
        """The placement's drawings by file name, each SVG that opens on its own."""
        from fizzwright.papers.place_sheet import place_drawings

        return place_drawings(found)

    def place_traces(self, found: PlaceResult) -> str:
        """The current as moving traces, one HTML page that needs nothing else."""
        from fizzwright.papers.place_traces import traces_page

        return traces_page(found)

    def place_fields(self, found: PlaceResult, path: Path | str) -> None:
        """The fields of the first place as a NetCDF file."""
        from fizzwright.papers.place_netcdf import write_fields

        write_fields(found, Path(path))


def _text_of(path: Path, option: str) -> str:
    """The text of a file a person named."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as err:
        reason = getattr(err, "strerror", None) or "it is no text"
        raise InputError([Fault(option, str(path), f"cannot be read: {reason}")]) from err


def _rewrite(path: Path, text: str) -> None:
    """Put a job's new text in its place."""
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as err:
        raise InputError([Fault("JOB", str(path), f"cannot be written: {err.strerror or err}")]) from err


def _night_of(read: NightRead) -> NightLog:
    import numpy as np

    from fizzwright.readings import night_readings
    from fizzwright.stages.plan_night import NightLog

    hours, ph, water_c = night_readings(read.log)
    warmth = None if water_c is None else float(np.nanmedian(water_c))
    return NightLog(hours, ph, warmth, sum(d.count for d in read.log.decisions if d.sets_aside))
