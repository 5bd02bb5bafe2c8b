"""Starts the server: the record, a socket, the address on the first line, and for a network its door."""

from __future__ import annotations

import contextlib
import getpass
import io
import socket
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlunsplit

from fizzwright.app import App
from fizzwright.errors import Fault, InputError
from fizzwright.store import Store, data_folder
from fizzwright.web.login import Door, Tries, lan_key
from fizzwright.web.server import built
from fizzwright.web.site import Site
from fizzwright.workshop import Workshop

__all__ = ["Wanted", "own_addresses", "serve_until_stopped"]

_LOOPBACK = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True)
class Wanted:
    """How the server was asked to start; port 0 takes a free one."""

    port: int = 0
    folder: Path | None = None
    database: str | None = None
    lan: bool = False


def own_addresses() -> tuple[str, ...]:
    """The addresses of this machine on its networks, the one others most likely reach it by first."""
    found: list[str] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Nothing is sent: connecting a datagram socket only picks the way out.
            probe.connect(("192.0.2.1", 9))
            found.append(str(probe.getsockname()[0]))
        except OSError:
            pass
    with contextlib.suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return tuple(dict.fromkeys(a for a in found if not a.startswith("127.")))


def serve_until_stopped(wanted: Wanted, *, say: Callable[[str], None]) -> None:
    """Serve the workshop's pages until the process is told to stop."""
    import uvicorn

    store = Store.open(
        wanted.database, folder=None if wanted.database else wanted.folder, now=lambda: datetime.now(UTC)
    )
    addresses = own_addresses() if wanted.lan else ()
    listening = _listening(wanted)
    port = listening.getsockname()[1]
    folder = data_folder() if wanted.folder is None else wanted.folder
    key = lan_key(folder) if wanted.lan else None
    door = None if key is None else Door(key, Tries(now_s=time.monotonic))
    site = Site(
        workshop=Workshop(App(), store, now=lambda: datetime.now(UTC)),
        kept_in="a database" if wanted.database else "one file on this machine",
        owner=_owner(),
        door=door,
    )
    hosts = {*_LOOPBACK, *addresses}
    if wanted.lan:
        name = socket.gethostname().lower()
        hosts |= {name, f"{name}.local"}
    config = uvicorn.Config(
        built(site, hosts=hosts), log_level="warning", access_log=False, server_header=False,
        proxy_headers=False, lifespan="off",
    )  # fmt: skip
    say(_address(addresses[0] if addresses else _LOOPBACK[0], port))
    say(f"The record is {store.shown}. Ctrl-C stops.")
    if key is not None:
        for line in _for_the_phone(addresses, port, key.passphrase):
            say(line)
    try:
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        store.close()


def _address(host: str, port: int) -> str:
    return urlunsplit(("http", f"{host}:{port}", "/", "", ""))


def _listening(wanted: Wanted) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind(("0.0.0.0" if wanted.lan else "127.0.0.1", wanted.port))
        # From here on a browser that is told the address is not turned away, only asked to wait.
        made.listen(128)
    except OSError as err:
        made.close()
        step = "Stop what listens there, or give another --port"
        raise InputError(
            [Fault("--port", str(wanted.port), f"cannot be used: {err.strerror}", step)]
        ) from err
    return made


def _owner() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "owner"


def _for_the_phone(addresses: tuple[str, ...], port: int, passphrase: str) -> list[str]:
    """What a phone needs: the address as a QR code, and the passphrase."""
    if not addresses:
        return ["This machine has no network others could reach it by."]
    import segno

    out = io.StringIO()
    segno.make(_address(addresses[0], port), error="m", micro=False).terminal(out=out, border=2, compact=True)
    return [
        "",
        out.getvalue().rstrip("\n"),
        "",
        f"Passphrase: {passphrase}",
        "Anyone on this network who knows it can read and change the jobs.",
        "It is plain http: use a network you trust.",
    ]
