"""What stands between the network and the pages: hosts, origins, sizes, and what a page may load."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["CONTENT_POLICY", "MOST_BYTES", "Guard", "is_own_machine", "refusal_of_origin"]

CONTENT_POLICY = (
    "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; "
    "form-action 'self'"
)
MOST_BYTES = 2_000_000
_HEADERS = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "x-frame-options": "DENY",
    "cross-origin-resource-policy": "same-origin",
}
_READS = {"GET", "HEAD", "OPTIONS"}
_OWN = {"127.0.0.1", "localhost", "::1"}


def _host_name(host: str) -> str:
    """A host without its port, as browsers send it."""
    try:
        return (urlsplit(f"//{host}").hostname or "").lower()
    except ValueError:
        return ""


def is_own_machine(scope: Scope) -> bool:
    """Whether a request comes from this machine, asks for it by its own name, and was not handed on."""
    headers = Headers(scope=scope)
    client = scope.get("client")
    handed_on = any(name in headers for name in ("forwarded", "x-forwarded-for", "via"))
    return (
        client is not None
        and client[0] in _OWN
        and _host_name(headers.get("host", "")) in _OWN
        and not handed_on
    )


def refusal_of_origin(method: str, headers: Mapping[str, str]) -> str:
    """Why a request that changes something may not come from where it comes, or ""."""
    if method in _READS:
        return ""
    site = headers.get("sec-fetch-site", "")
    if site and site not in {"same-origin", "none"}:
        return "This came from another site, so nothing was changed."
    origin = headers.get("origin", "")
    if origin and urlsplit(origin).netloc.lower() != headers.get("host", "").lower():
        return "This came from a page of another address, so nothing was changed."
    return ""


class Guard:
    """Refuses foreign hosts, foreign origins and large bodies; gives every answer its headers."""

    def __init__(self, app: ASGIApp, *, hosts: Collection[str], most_bytes: int = MOST_BYTES) -> None:
        self.app, self.hosts, self.most_bytes = app, {host.lower() for host in hosts}, most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, dressed)
            return
        taken = 0

        async def measured() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > self.most_bytes:
                raise HTTPException(413, self._too_large())
            return message

        await self.app(scope, measured, dressed)

    def _refused(self, scope: Scope) -> PlainTextResponse | None:
        headers = Headers(scope=scope)
        if _host_name(headers.get("host", "")) not in self.hosts:
            return PlainTextResponse("This server does not go by that name.", 400)
        wrong = refusal_of_origin(scope["method"], headers)
        if wrong:
            return PlainTextResponse(wrong, 403)
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > self.most_bytes:
            return PlainTextResponse(self._too_large(), 413)
        return None

    def _too_large(self) -> str:
        return f"That is larger than a job or its readings can be ({self.most_bytes / 1e6:g} MB)."
