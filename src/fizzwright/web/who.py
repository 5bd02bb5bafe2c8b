"""Who keeps something, and from which device, as the record wants to know."""

from __future__ import annotations

from starlette.requests import Request

from fizzwright.web.login import SESSION_COOKIE
from fizzwright.web.site import site_of

__all__ = ["device_of", "kept_by", "name_of"]


def name_of(request: Request) -> str:
    """The name somebody gave at the door, or the owner's on their own machine."""
    site = site_of(request)
    given = site.door.name_in(request.cookies.get(SESSION_COOKIE)) if site.door is not None else None
    return given or site.owner


def device_of(request: Request) -> str:
    """A word for the device: a phone or a computer."""
    agent = request.headers.get("user-agent", "")
    return "phone" if "Mobi" in agent or "Android" in agent else "computer"


def kept_by(request: Request) -> dict[str, str]:
    """Name and device as keywords of the record."""
    return {"by": name_of(request), "device": device_of(request)}
