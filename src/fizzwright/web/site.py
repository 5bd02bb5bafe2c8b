"""What every page shares: the workshop behind it, who is asking, the sheet, the template."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from fizzwright import __version__
from fizzwright.papers.tokens import figure_variables
from fizzwright.web import numbers
from fizzwright.web.login import Door
from fizzwright.workshop import Workshop

__all__ = ["Site", "either", "page", "posted", "see_other", "site_of", "style_text", "svg", "versioned"]

STAGES = (("survey", "Survey"), ("plan", "Plan"), ("dial", "Dial in"), ("papers", "Papers"))


@dataclass(frozen=True)
class Site:
    """What the server was started with; `door` is None on one's own machine alone."""

    workshop: Workshop
    kept_in: str
    owner: str
    door: Door | None = None


def site_of(request: Request) -> Site:
    """The site a request was made to."""
    site = request.app.state.site
    assert isinstance(site, Site)
    return site


@lru_cache(maxsize=1)
def style_text() -> str:
    """The one style sheet: the page's own rules and those of the figures."""
    house = resources.files("fizzwright.web").joinpath("static", "house.css").read_text(encoding="utf-8")
    return f"{house}\n{figure_variables()}\n"


@lru_cache(maxsize=32)
def versioned(name: str) -> str:
    """The address of a static file, with a mark that changes when the file does."""
    if name == "style.css":
        content = style_text().encode()
    else:
        content = resources.files("fizzwright.web").joinpath("static", name).read_bytes()
    return f"/static/{name}?v={hashlib.sha256(content).hexdigest()[:12]}"


@lru_cache(maxsize=1)
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("fizzwright.web", "templates"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(numbers.FILTERS)
    made.globals.update(numbers.GLOBALS, versioned=versioned, stages=STAGES, version=__version__)
    return made


def page(
    request: Request,
    template: str,
    values: Mapping[str, Any],
    *,
    status: int = 200,
    after: BackgroundTask | None = None,
) -> Response:
    """A page, or a fragment of one, as HTML."""
    night = request.cookies.get("fizzwright_sheet") == "night"
    site = site_of(request)
    here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    common = {
        "sheet": "night" if night else "day",
        "here": here if request.method == "GET" else request.url.path,
        "lan": site.door is not None,
        "kept_in": site.kept_in,
    }
    text = _templates().get_template(template).render(**common, **values)
    return HTMLResponse(text, status, headers={"vary": "HX-Request, Cookie"}, background=after)


def see_other(address: str) -> Response:
    """Send the browser to a page after something was kept."""
    return RedirectResponse(address, 303)


def posted(handler: Callable[[Request, FormData], Response]) -> Callable[[Request], Any]:
    """A handler of a form, run in a thread of its own once the form is in."""

    async def handle(request: Request) -> Response:
        async with request.form(max_files=1, max_fields=600, max_part_size=1_000_000) as form:
            return await run_in_threadpool(handler, request, form)

    return handle


def either(
    of_json: Callable[[Request, bytes], Response], of_form: Callable[[Request, FormData], Response]
) -> Callable[[Request], Any]:
    """A handler of what a script sends as JSON and what a plain form sends, each run in a thread."""
    typed = posted(of_form)

    async def handle(request: Request) -> Response:
        if "json" not in request.headers.get("content-type", ""):
            answer: Response = await typed(request)
            return answer
        return await run_in_threadpool(of_json, request, await request.body())

    return handle


def svg(text: str) -> Markup:
    """A figure of our own making, whose words were escaped when it was drawn."""
    return Markup(text)
