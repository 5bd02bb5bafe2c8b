"""The survey of one tank: a form with every fault beside its field, and what the sums say of it meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from fizzwright.errors import EditedElsewhere, Fault, FizzwrightError, InputError
from fizzwright.job.file import read_job
from fizzwright.job.write import edited_text
from fizzwright.stages.survey_result import SurveyResult
from fizzwright.store import JobKept
from fizzwright.web import survey_form
from fizzwright.web.site import page, see_other, site_of
from fizzwright.web.who import kept_by

__all__ = ["check", "keep", "survey"]


@dataclass(frozen=True)
class _Shown:
    """What the form shows beside the job: what was typed, what is wrong, and what somebody else kept."""

    typed: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    theirs: tuple[tuple[str, str, str], ...] = ()
    changed_by: str = ""
    status: int = 200


def survey(request: Request) -> Response:
    """The form as the job is kept."""
    kept = site_of(request).workshop.kept(request.path_params["slug"])
    return _form(request, kept, _Shown())


def keep(request: Request, form: FormData) -> Response:
    """Keep what was typed; or show it again with every fault, or with what somebody else kept meanwhile."""
    workshop = site_of(request).workshop
    slug = request.path_params["slug"]
    latest = workshop.kept(slug)
    typed = survey_form.renumbered(_typed(form), without=str(form.get("drop", "")))
    if form.get("add") or form.get("drop"):
        return _form(request, _as_seen(latest, form), _Shown({**typed, **_blank_row(form, typed)}))
    base = workshop.kept(slug, _revision(form, latest))
    try:
        text = _text(base, typed)
        if not form.get("unfinished"):
            read_job(text)
        if text == base.text and base.revision_count == latest.revision_count:
            return see_other(f"/job/{slug}/survey")
        workshop.store.save_job(
            slug, text, expected_revision=base.revision_count, note="survey", **kept_by(request)
        )
    except InputError as refused:
        return _form(request, base, _Shown(typed, refused.faults, status=422))
    except EditedElsewhere:
        return _form(request, latest, _both(latest, text, typed))
    return see_other(f"/job/{slug}/survey?kept=yes")


def check(request: Request, form: FormData) -> Response:
    """What stands in the form now: the faults for their fields, and the sums where they can be done."""
    workshop = site_of(request).workshop
    latest = workshop.kept(request.path_params["slug"])
    typed = survey_form.renumbered(_typed(form))
    found: SurveyResult | None = None
    faults: tuple[Fault, ...] = ()
    try:
        found = workshop.survey_text(_text(_as_seen(latest, form), typed), name=f"{latest.slug}.toml")
    except InputError as refused:
        faults = refused.faults
    except FizzwrightError as refused:
        faults = (Fault("survey", "", str(refused)),)
    beside, left = survey_form.by_field(faults, typed)
    shown = survey_form.sections(survey_form.flat(latest.text), typed, beside)
    values = {
        "found": found, "left": left, "count": len(faults), "sections": shown,
        "system": typed.get("job.units") or "metric",
    }  # fmt: skip
    return page(request, "survey_check.html", values)


def _typed(form: FormData) -> dict[str, str]:
    """The fields of the survey as they were sent."""
    return {key: value for key, value in form.items() if "." in key and isinstance(value, str)}


def _blank_row(form: FormData, typed: Mapping[str, str]) -> dict[str, str]:
    """The fields of a further row, empty."""
    table = str(form.get("add", ""))
    if table not in survey_form.ROWS:
        return {}
    number = len({key.split(".")[0] for key in typed if key.startswith(f"{table}[")}) + 1
    key = {"plants": "cover", "animals": "group"}[table]
    return {f"{table}[{number}].{key}": ""}


def _revision(form: FormData, latest: JobKept) -> int:
    given = str(form.get("revision", ""))
    return int(given) if given.isdecimal() and int(given) <= latest.revision_count else latest.revision_count


def _as_seen(latest: JobKept, form: FormData) -> JobKept:
    """The job under the revision the form was made from, so that keeping it still notices a change."""
    from dataclasses import replace

    return replace(latest, revision_count=_revision(form, latest))


def _text(base: JobKept, typed: Mapping[str, str]) -> str:
    values = survey_form.flat(base.text)
    changes = survey_form.changes_of(values, typed)
    return edited_text(base.text, changes, dropped=survey_form.surplus_rows(values, typed))


def _both(latest: JobKept, mine: str, typed: Mapping[str, str]) -> _Shown:
    """Mine in the form, theirs beside it, field by field."""
    theirs = survey_form.shown_values(survey_form.flat(latest.text))
    ours = survey_form.shown_values(survey_form.flat(mine))
    rows = tuple(
        (key, theirs.get(key, ""), ours.get(key, ""))
        for key in dict.fromkeys([*theirs, *ours])
        if theirs.get(key, "") != ours.get(key, "")
    )
    by = " ".join(filter(None, (latest.by, f"on a {latest.device}" if latest.device else "")))
    return _Shown(typed, theirs=rows, changed_by=by or "somebody", status=409)


def _form(request: Request, kept: JobKept, shown: _Shown) -> Response:
    workshop = site_of(request).workshop
    values = survey_form.flat(kept.text)
    everything = survey_form.sections(values, shown.typed, {})
    keys = [f.key for s in everything for f in (*s.main, *s.more)]
    beside, left = survey_form.by_field(shown.faults, keys)
    found: SurveyResult | None = None
    open_count = 0
    try:
        found = workshop.survey(kept)
    except InputError as unfinished:
        open_count = len(unfinished.faults)
    except FizzwrightError:
        found = None
    context: dict[str, Any] = {
        "slug": kept.slug,
        "name": values.get("job.name") or kept.slug,
        "stage": "survey",
        "revision": kept.revision_count,
        "sections": survey_form.sections(values, shown.typed, beside),
        "rows_of": survey_form.ROWS,
        "left": left,
        "count": len(shown.faults),
        "found": None if shown.faults else found,
        "system": values.get("job.units") or "metric",
        "theirs": shown.theirs,
        "changed_by": shown.changed_by,
        "open_count": open_count,
        "kept_now": request.query_params.get("kept") == "yes",
        "history": tuple(reversed(workshop.store.history(kept.slug)))[:12],
    }
    return page(request, "survey.html", context, status=shown.status)
