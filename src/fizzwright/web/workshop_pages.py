"""The list of all jobs: what needs attention, when bottles end, and how a job begins."""

from __future__ import annotations

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from fizzwright.errors import Fault, InputError
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.file import read_job
from fizzwright.job.template import blank_text
from fizzwright.job.write import edited_text
from fizzwright.papers.bottles_due import BottleDue, bottles_due_desk, bottles_due_phone, due_words
from fizzwright.papers.level_strip import level_scale, level_strip
from fizzwright.store import readings_csv, slug_of
from fizzwright.web.site import page, see_other, site_of, svg
from fizzwright.web.who import kept_by
from fizzwright.workshop import JobSeen, Workshop, attention_of, bottles_of, job_seen

__all__ = ["bottles", "export_job", "export_readings", "jobs", "start_job", "undo_job"]

_SHOWN = 6


def jobs(request: Request) -> Response:
    """Every job, and those that ask for something."""
    return _list(request, (), {}, 200)


def _list(request: Request, faults: tuple[Fault, ...], given: dict[str, str], status: int) -> Response:
    workshop = site_of(request).workshop
    seen = [job_seen(workshop, head.slug) for head in workshop.heads()]
    asking = attention_of(seen)
    most = max((_reach(one) for one in seen), default=30.0)
    levels = {a.slug: a.level for a in reversed(asking)}
    values = {
        "today": workshop.app.today(),
        "now": workshop.now(),
        "rows": [(one, _strip(one, most), levels.get(one.kept.slug)) for one in seen],
        "scale": svg(level_scale(most)),
        "asking": asking[:_SHOWN],
        "asking_count": len({a.slug for a in asking}),
        "examples": EXAMPLES,
        "faults": faults,
        "given": given,
    }
    return page(request, "workshop.html", values, status=status)


def _reach(one: JobSeen) -> float:
    """How far the common scale must go for one tank, to the next ten."""
    if one.survey is None:
        return 30.0
    now = one.co2_now_mg_l.high if one.co2_now_mg_l else 0.0
    return min(10.0 * -(-max(one.survey.ceiling.soft_mg_l * 1.1, now) // 10), 60.0)


def _strip(one: JobSeen, most_mg_l: float) -> object:
    if one.survey is None:
        return ""
    survey = one.survey
    return svg(
        level_strip(
            one.co2_now_mg_l,
            target_mg_l=(survey.target_low_mg_l, survey.target_high_mg_l),
            ceiling_mg_l=survey.ceiling.soft_mg_l,
            most_mg_l=most_mg_l,
        )
    )


def bottles(request: Request) -> Response:
    """When each bottle is empty; a part of the list of jobs, and a page of its own without scripts."""
    workshop = site_of(request).workshop
    today = workshop.app.today()
    found = bottles_of(workshop, [job_seen(workshop, head.slug) for head in workshop.heads()])
    rows = [BottleDue(b.name, b.empty_days) for b in found if b.empty_days is not None]
    values = {
        "desk": svg(bottles_due_desk(rows, today=today)) if rows else "",
        "phone": svg(bottles_due_phone(rows, today=today)) if rows else "",
        "unknown": [b for b in found if b.empty_days is None],
        "dated": [(b, *due_words(b.empty_days, today)) for b in found if b.empty_days is not None],
    }
    part = request.headers.get("hx-request") == "true"
    return page(request, "bottles_part.html" if part else "bottles.html", values)


def start_job(request: Request, form: FormData) -> Response:
    """A new job: an example, a blank one under a name, or a job file that was brought in."""
    workshop = site_of(request).workshop
    how = str(form.get("how", ""))
    given = {"how": how, "name": str(form.get("name", ""))[:80]}
    try:
        if how == "example":
            slug = _example(request, workshop, str(form.get("example", "")))
            return see_other(f"/job/{slug}/plan")
        if how == "file":
            slug = _file(request, workshop, form.get("file"))
            return see_other(f"/job/{slug}/survey")
        slug = _blank(request, workshop, given["name"].strip())
        return see_other(f"/job/{slug}/survey")
    except InputError as refused:
        return _list(request, refused.faults, given, 422)


def _example(request: Request, workshop: Workshop, name: str) -> str:
    """Every tank of an example; those that are there already stay as they are."""
    there = {head.slug for head in workshop.store.jobs()}
    files = [file for file in example_files(name) if file.endswith(".toml")]
    for file in files:
        slug = file.removesuffix(".toml")
        if slug not in there:
            text = example_text(file)
            workshop.store.add_job(
                text, slug=slug, note="an example", timezone=read_job(text).job.timezone, **kept_by(request)
            )
    return files[0].removesuffix(".toml")


def _blank(request: Request, workshop: Workshop, name: str) -> str:
    if not name:
        raise InputError([Fault("name", "", "is needed: what the papers call this tank")])
    text = edited_text(blank_text(), {"job.name": name})
    return _added(request, workshop, text, slug_of(name))


def _file(request: Request, workshop: Workshop, given: object) -> str:
    """A job file as it is; one that is no TOML, or no job at all, is refused."""
    if not isinstance(given, UploadFile) or not given.filename:
        raise InputError([Fault("file", "", "is needed: a job file, ending in .toml")])
    try:
        text = given.file.read().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as err:
        raise InputError([Fault("file", given.filename[:60], "is not UTF-8 text")]) from err
    job = read_job(text, name="file")
    stem = given.filename.replace("\\", "/").rpartition("/")[2].removesuffix(".toml")
    return _added(request, workshop, text, slug_of(stem or job.job.name))


def _added(request: Request, workshop: Workshop, text: str, wish: str) -> str:
    """Keep a new job under the wished name, or the next one that is free."""
    there = {head.slug for head in workshop.store.jobs()}
    slug, number = wish, 1
    while slug in there:
        number += 1
        slug = f"{wish[:74]}-{number}"
    return workshop.store.add_job(text, slug=slug, **kept_by(request)).slug


def undo_job(request: Request, form: FormData) -> Response:
    """Bring back what a job was before its last change."""
    slug = request.path_params["slug"]
    expected = str(form.get("revision", "0"))
    site_of(request).workshop.store.undo(
        slug, expected_revision=int(expected) if expected.isdecimal() else 0, **kept_by(request)
    )
    return see_other(f"/job/{slug}/survey")


def export_job(request: Request) -> Response:
    """The job file, byte for byte as it is kept."""
    kept = site_of(request).workshop.kept(request.path_params["slug"])
    name = f'attachment; filename="{kept.slug}.toml"'
    return Response(kept.text, media_type="application/toml", headers={"content-disposition": name})


def export_readings(request: Request) -> Response:
    """The readings of a job as the readings file the other commands take."""
    workshop = site_of(request).workshop
    kept = workshop.kept(request.path_params["slug"])
    name = f'attachment; filename="{kept.slug}-readings.csv"'
    text = readings_csv(workshop.readings(kept.slug))
    return Response(text, media_type="text/csv", headers={"content-disposition": name})
