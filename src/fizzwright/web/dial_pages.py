"""The page beside the tank: one thing at a time, and the place its readings are sent to."""

from __future__ import annotations

import json
import math
import secrets
from datetime import UTC, datetime
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from fizzwright.errors import InputError
from fizzwright.papers.dial_curve import dial_curve
from fizzwright.store import Reading
from fizzwright.web.site import page, see_other, site_of, svg
from fizzwright.web.who import device_of, name_of
from fizzwright.workshop import Beside, Given, Workshop, beside_of, readings_from

__all__ = ["dial", "now", "take_sent", "take_typed"]

_MOST_SENT = 500
_MOST_TAPS = 400


def dial(request: Request) -> Response:
    """The whole page."""
    workshop = site_of(request).workshop
    return page(request, "dial.html", _values(beside_of(workshop, request.path_params["slug"]), workshop))


def now(request: Request) -> Response:
    """The parts of the page that change with a reading, for the page's own script."""
    workshop = site_of(request).workshop
    values = _values(beside_of(workshop, request.path_params["slug"]), workshop)
    parts = {
        name: bytes(page(request, f"dial_{name}.html", values).body).decode()
        for name in ("top", "reads", "means")
    }
    return JSONResponse({**parts, "clock": workshop.now().isoformat()})


def _values(seen: Beside, workshop: Workshop) -> dict[str, Any]:
    taken = seen.last.taken if seen.last is not None else None
    return {
        "slug": seen.kept.slug,
        "name": seen.name,
        "stage": "dial",
        "revision": seen.kept.revision_count,
        "seen": seen,
        "now": workshop.now(),
        "curve": svg(dial_curve(seen.plan, seen.day)) if seen.plan is not None else "",
        "taken": taken.isoformat() if taken is not None else "",
        "next_read": seen.next_read.astimezone(UTC).isoformat() if seen.next_read is not None else "",
        "uid": f"page-{secrets.token_urlsafe(12)}",
        "note": "",
    }


def _pattern(request: Request, workshop: Workshop, client_clock: datetime | None) -> Reading:
    """What all readings of one sending share."""
    slug = request.path_params["slug"]
    zone = workshop.job(workshop.kept(slug)).job.timezone
    return Reading(
        uid="", taken_utc=workshop.now(), timezone=zone, quantity="", value=None, by=name_of(request),
        device=device_of(request), client_clock_utc=client_clock,
    )  # fmt: skip


def take_sent(request: Request, body: bytes) -> Response:
    """Keep what a phone sends; sent again, it is kept once."""
    workshop = site_of(request).workshop
    slug = request.path_params["slug"]
    try:
        sent = json.loads(body)
        clock = _moment(sent.get("clock")) if isinstance(sent, dict) else None
        given = [_given(one) for one in sent["readings"][:_MOST_SENT]]
    except (ValueError, KeyError, TypeError) as err:
        return JSONResponse({"error": f"not readings: {err}"[:200]}, 422)
    good, refused = readings_from(workshop, given, _pattern(request, workshop, clock))
    if good:
        workshop.store.add_readings(slug, good)
    answer = {
        "kept": [reading.uid for reading in good],
        "refused": refused,
        "clock": workshop.now().isoformat(),
    }
    return JSONResponse(answer)


def _given(one: Any) -> Given:
    """One reading as it was sent; what is no reading raises."""
    uid, taken = str(one["uid"])[:80], _moment(one["taken"])
    if not uid or taken is None:
        raise ValueError("a reading needs its uid and the moment it was taken")
    taps = tuple(float(x) for x in one.get("taps", ())[:_MOST_TAPS])
    if not all(map(math.isfinite, taps)):
        raise ValueError("taps need to be numbers")
    return Given(
        uid, taken, str(one.get("quantity", ""))[:40], str(one.get("value", ""))[:40], taps,
        str(one.get("event", ""))[:120],
    )  # fmt: skip


def _moment(text: Any) -> datetime | None:
    if not isinstance(text, str) or not text:
        return None
    moment = datetime.fromisoformat(text.replace("Z", "+00:00"))
    if moment.utcoffset() is None:
        raise ValueError("a moment needs its offset from UTC")
    return moment


def take_typed(request: Request, form: FormData) -> Response:
    """Keep what was written into the plain form, and show the page anew."""
    typed = {key: value for key, value in form.items() if isinstance(value, str)}
    workshop = site_of(request).workshop
    slug = request.path_params["slug"]
    uid = typed.get("uid", "")[:80] or f"form-{secrets.token_urlsafe(12)}"
    given = [
        Given(f"{uid}-{name}", workshop.now(), name, typed[name])
        for name in ("ph", "temperature_c")
        if typed.get(name, "").strip()
    ]
    good, refused = readings_from(workshop, given, _pattern(request, workshop, None))
    if refused or not given:
        reason = next(iter(refused.values()), "nothing was written in")
        values = {**_values(beside_of(workshop, slug), workshop), "note": f"Not kept: {reason}."}
        return page(request, "dial.html", values, status=422)
    try:
        workshop.store.add_readings(slug, good)
    except InputError as wrong:
        values = {**_values(beside_of(workshop, slug), workshop), "note": f"Not kept: {wrong}"}
        return page(request, "dial.html", values, status=422)
    return see_other(f"/job/{slug}/dial")
