"""What the machine lends to heavy sums: a cache for compiled loops, as many threads as pay, or a cluster."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fizzwright.errors import Fault, InputError, MissingExtra

__all__ = ["cache_folder", "cluster_mapper", "prepare_compiler", "threads_that_pay", "warm"]

Watch = Callable[[str, float], bool]
Mapper = Callable[[Callable[..., Any], Sequence[Any]], Iterable[Any]]

PROBE_EDGE = 40
PROBE_S = 0.8


def cache_folder() -> Path:
    """Where this user's compiled loops are kept between runs."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return base / "fizzwright" / "loops"


def prepare_compiler() -> None:
    """Tell the compiler where to keep its work and its threads to sleep while they wait.

    Has to come before the compiler is first imported; later it changes nothing. A folder that cannot be
    written leaves the compiler its own choice.
    """
    if "numba" in sys.modules:
        return
    # A thread that spins while another program has its core holds up every loop by several milliseconds.
    os.environ.setdefault("OMP_WAIT_POLICY", "PASSIVE")
    folder = cache_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return
    if os.access(folder, os.W_OK):
        os.environ.setdefault("NUMBA_CACHE_DIR", str(folder))


def warm(watch: Watch) -> None:
    """Have every compiled loop ready, telling which is being compiled: a minute at first, then a moment."""
    prepare_compiler()
    from fizzwright.engines.current.warm import ready_steps

    steps = list(ready_steps())
    for done, (name, call) in enumerate(steps):
        watch(f"compiling {name}, kept for next time", done / len(steps))
        call()
    watch("loops ready", 1.0)


def threads_that_pay() -> int:
    """How many threads to use: all cores, unless one alone is as quick because others want them too."""
    cores = os.cpu_count() or 1
    if cores == 1:
        return 1
    from fizzwright.engines.current.warm import probe_flow

    def seconds(threads: int) -> float:
        start = time.perf_counter()
        probe_flow(PROBE_EDGE, threads, seconds_s=PROBE_S)
        return time.perf_counter() - start

    seconds(cores)
    return cores if min(seconds(cores), seconds(cores)) < 0.95 * min(seconds(1), seconds(1)) else 1


@contextmanager
def cluster_mapper(address: str | None) -> Iterator[Mapper | None]:
    """A map that runs on the Dask cluster at an address, results in order; None without an address."""
    if address is None:
        yield None
        return
    try:
        import distributed
    except ImportError as err:
        raise MissingExtra(
            f"--cluster needs Dask: {sys.executable} -m pip install 'fizzwright[cluster]'"
        ) from err
    try:
        client: Any = distributed.Client(address, timeout=10)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as err:
        raise InputError([
            Fault("--cluster", address, "no Dask scheduler answers there", 'It prints its address, such as "tcp://10.0.0.5:8786"')
        ]) from err  # fmt: skip

    def run(function: Callable[..., Any], things: Sequence[Any]) -> Iterable[Any]:
        shared = client.scatter(function, broadcast=True)
        futures = client.map(_call, things, function=shared, pure=False)
        return (future.result() for future in futures)

    with client:
        yield run


def _call(thing: Any, function: Callable[..., Any]) -> Any:
    return function(thing)
