"""A PostgreSQL server of our own: fresh folder, free port, 127.0.0.1 only, gone with the tests."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

# The server ends, at once, when its standard input does: it cannot outlive tests that were killed.
_WATCHED = '"$@" & server=$!; read -r _; kill -QUIT $server; wait $server'
_STARTS_WITHIN_S = 30


def programs() -> Path | None:
    """The folder with `initdb` and `postgres`, the newest where Debian keeps several."""
    kept = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda p: float(p.parent.name))
    found = [folder for folder in kept if (folder / "initdb").exists()]
    if found:
        return found[-1]
    elsewhere = shutil.which("initdb")
    return Path(elsewhere).resolve().parent if elsewhere else None


def _as_user() -> dict[str, object]:
    """The server refuses to run as root."""
    return {"user": "postgres", "group": "postgres", "extra_groups": []} if os.geteuid() == 0 else {}


@contextmanager
def server() -> Iterator[str]:
    """Address of a running server, without a database's name."""
    bin_folder = programs()
    assert bin_folder is not None
    folder = Path(tempfile.mkdtemp(prefix="fizzwright-pg-"))
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres", "postgres")
    try:
        yield from _running(bin_folder, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _running(bin_folder: Path, folder: Path) -> Iterator[str]:
    data, port = folder / "data", _free_port()
    quiet = {"cwd": folder, "stdout": subprocess.DEVNULL, **_as_user()}
    subprocess.run(
        [bin_folder / "initdb", "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync",
         "--locale=C.UTF-8"],
        check=True, stderr=subprocess.PIPE, **quiet,
    )  # fmt: skip
    command = [
        bin_folder / "postgres", "-D", data, "-p", str(port), "-k", folder,
        "-c", "listen_addresses=127.0.0.1", "-c", "logging_collector=off", "-c", "fsync=off",
    ]  # fmt: skip
    with (folder / "log").open("wb") as log:
        running = subprocess.Popen(
            ["sh", "-c", _WATCHED, "sh", *command], stdin=subprocess.PIPE, stderr=log, **quiet
        )
        try:
            _wait_for(bin_folder, port, folder / "log")
            yield f"postgresql://postgres@127.0.0.1:{port}"
        finally:
            assert running.stdin is not None
            running.stdin.close()
            running.wait(timeout=30)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_for(bin_folder: Path, port: int, log: Path) -> None:
    until = time.monotonic() + _STARTS_WITHIN_S
    ready = [bin_folder / "pg_isready", "-q", "-h", "127.0.0.1", "-p", str(port)]
    while subprocess.run(ready, check=False).returncode:
        assert time.monotonic() < until, log.read_text(errors="replace")
        time.sleep(0.05)
