"""The server: which address leads to which page, and what a refusal looks like."""

from __future__ import annotations

from collections.abc import Callable, Collection
from importlib import resources
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from fizzwright.errors import FizzwrightError, NotFound
from fizzwright.papers.typeface import font_folder
from fizzwright.web import dial_pages, door_pages, papers_pages, plan_pages, survey_pages, workshop_pages
from fizzwright.web.guard import Guard
from fizzwright.web.site import Site, either, page, posted, style_text

__all__ = ["built"]

_TYPES = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".woff2": "font/woff2"}
_STATIC = ("htmx.min.js", "mark.svg", "dial.js")
_FONTS = ("b612-regular.woff2", "b612-bold.woff2", "b612-italic.woff2")
_KEEP = {"cache-control": "public, max-age=31536000, immutable"}
_HEADLINES = {
    3: "This input cannot be used",
    4: "There is no answer to this",
    5: "No plan: a hard limit would be crossed",
    6: "The record could not be read or written",
    7: "Something this needs is not installed",
}


def built(site: Site, *, hosts: Collection[str]) -> Starlette:
    """The application for one workshop, answering to these host names only."""
    app = Starlette(
        routes=_routes(),
        middleware=[
            Middleware(Guard, hosts=hosts),
            Middleware(GZipMiddleware, minimum_size=600),
            Middleware(door_pages.AskAtTheDoor, site=site),
        ],
        exception_handlers={FizzwrightError: _refused, HTTPException: _missing},
    )
    app.state.site = site
    return app


def _routes() -> list[Route]:
    def get(path: str, handler: Callable[[Request], Any]) -> Route:
        return Route(path, handler, methods=["GET"])

    def post(path: str, handler: Callable[..., Any]) -> Route:
        return Route(path, posted(handler), methods=["POST"])

    job = "/job/{slug:str}"
    return [
        get("/", workshop_pages.jobs),
        post("/jobs", workshop_pages.start_job),
        get("/bottles", workshop_pages.bottles),
        post("/sheet", door_pages.choose_sheet),
        get("/login", door_pages.door),
        post("/login", door_pages.come_in),
        post("/logout", door_pages.leave),
        get("/static/style.css", _style),
        get("/static/fonts/{name:str}", _font),
        get("/static/{name:str}", _static),
        get(job, _to_plan),
        get(f"{job}/survey", survey_pages.survey),
        post(f"{job}/survey", survey_pages.keep),
        post(f"{job}/survey/check", survey_pages.check),
        post(f"{job}/undo", workshop_pages.undo_job),
        get(f"{job}/plan", plan_pages.plan),
        post(f"{job}/plan", plan_pages.keep),
        post(f"{job}/station", plan_pages.keep_station),
        get(f"{job}/dial", dial_pages.dial),
        get(f"{job}/dial/now", dial_pages.now),
        Route(f"{job}/readings", either(dial_pages.take_sent, dial_pages.take_typed), methods=["POST"]),
        get(f"{job}/papers", papers_pages.papers),
        get(f"{job}/papers/plan.pdf", papers_pages.plan_pdf),
        get(f"{job}/job.toml", workshop_pages.export_job),
        get(f"{job}/readings.csv", workshop_pages.export_readings),
    ]


def _to_plan(request: Request) -> Response:
    return RedirectResponse(f"/job/{request.path_params['slug']}/plan", 303)


def _style(request: Request) -> Response:  # noqa: ARG001 - the shape of every handler
    return Response(style_text(), media_type="text/css", headers=_KEEP)


def _static(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in _STATIC:
        raise HTTPException(404)
    content = resources.files("fizzwright.web").joinpath("static", name).read_bytes()
    return Response(content, media_type=_TYPES[name[name.rindex(".") :]], headers=_KEEP)


def _font(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in _FONTS:
        raise HTTPException(404)
    return Response((font_folder() / name).read_bytes(), media_type=_TYPES[".woff2"], headers=_KEEP)


def _refused(request: Request, refusal: Exception) -> Response:
    """What Fizzwright refuses on purpose, as a page with every reason."""
    assert isinstance(refusal, FizzwrightError)
    slug = request.path_params.get("slug", "")
    missing = isinstance(refusal, NotFound)
    values = {
        "headline": "Nothing is kept under that name"
        if missing
        else _HEADLINES.get(refusal.exit_code, "Refused"),
        "lines": str(refusal).splitlines() or ["No reason was given."],
        "level": "note" if missing else "stop",
        "back": "/" if missing or not slug else f"/job/{slug}/survey",
        "back_words": "All jobs" if missing or not slug else "To the survey",
    }
    return page(
        request, "refused.html", values, status=404 if missing else 409 if refusal.exit_code == 6 else 422
    )


def _missing(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, HTTPException)
    if wrong.status_code != 404:
        return PlainTextResponse(str(wrong.detail), wrong.status_code)
    values = {
        "headline": "There is no such page",
        "lines": ["The address leads nowhere."],
        "level": "note",
        "back": "/",
        "back_words": "All jobs",
    }
    return page(request, "refused.html", values, status=404)
