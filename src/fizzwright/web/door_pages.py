"""The page at the door of a workshop on a network, and the sheet a person chose."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from fizzwright.web.guard import is_own_machine
from fizzwright.web.login import SESSION_COOKIE, SESSION_S
from fizzwright.web.site import Site, page, see_other, site_of

__all__ = ["AskAtTheDoor", "choose_sheet", "come_in", "door", "leave"]

_OPEN = ("/static/", "/login")
_YEAR_S = 365 * 24 * 3600


class AskAtTheDoor:
    """Lets those pass who have a session or sit at the machine itself; sends the others to the door."""

    def __init__(self, app: ASGIApp, *, site: Site) -> None:
        self.app, self.site = app, site

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or send it to the door."""
        answer = self._stopped(Request(scope)) if scope["type"] == "http" else None
        await (self.app if answer is None else answer)(scope, receive, send)

    def _stopped(self, request: Request) -> Response | None:
        door = self.site.door
        if door is None or request.url.path.startswith(_OPEN) or is_own_machine(request.scope):
            return None
        if door.name_in(request.cookies.get(SESSION_COOKIE)) is not None:
            return None
        if request.method != "GET" or "json" in request.headers.get("accept", ""):
            return Response("Come in by the door first.", 401, media_type="text/plain")
        if request.headers.get("hx-request") == "true":
            return Response(status_code=401, headers={"hx-redirect": "/login"})
        return RedirectResponse("/login", 303)


def door(request: Request) -> Response:
    """The door, or the workshop where none is asked."""
    if site_of(request).door is None:
        return see_other("/")
    return page(request, "login.html", {"fault": "", "given": ""})


def come_in(request: Request, form: FormData) -> Response:
    """Hear a passphrase; after too many wrong ones nobody is heard for a while."""
    site = site_of(request)
    if site.door is None:
        return see_other("/")
    address = request.client.host if request.client else "unknown"
    name = str(form.get("name", "")).strip()[:60]
    wait = site.door.tries.wait_s(address)
    if wait:
        fault = f"Too many tries. The next one is heard in {wait} s."
        answer = page(request, "login.html", {"fault": fault, "given": name}, status=429)
        answer.headers["retry-after"] = str(wait)
        return answer
    if not site.door.opens(str(form.get("passphrase", ""))):
        site.door.tries.failed(address)
        fault = "That is not the passphrase. It stands where the server was started."
        return page(request, "login.html", {"fault": fault, "given": name}, status=403)
    answer = see_other("/")
    answer.set_cookie(
        SESSION_COOKIE, site.door.session(name), max_age=SESSION_S, httponly=True, samesite="lax", path="/"
    )
    return answer


def leave(request: Request, form: FormData) -> Response:  # noqa: ARG001 - the shape of every form's handler
    """Forget the session in this browser."""
    answer = see_other("/login")
    answer.delete_cookie(SESSION_COOKIE, path="/", samesite="lax", httponly=True)
    return answer


def choose_sheet(request: Request, form: FormData) -> Response:  # noqa: ARG001 - as above
    """Keep whether a person works on the day sheet or the night sheet, and go back."""
    back = str(form.get("back", "/"))
    # Only a path of our own: no other host, no control characters.
    inside = back.startswith("/") and not back.startswith(("//", "/\\")) and back.isprintable()
    answer = see_other(back if inside else "/")
    sheet = "night" if form.get("sheet") == "night" else "day"
    answer.set_cookie("fizzwright_sheet", sheet, max_age=_YEAR_S, samesite="lax", httponly=True, path="/")
    return answer
