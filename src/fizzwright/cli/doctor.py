"""`fizzwright doctor`: is everything here, and do three published numbers come out right."""

from __future__ import annotations

import importlib
import importlib.metadata
import platform
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib import resources

import click

from fizzwright.cli.lazy import Face, shared_options

__all__ = ["Check", "doctor"]

_NEEDED = {
    "numpy": "all sums",
    "scipy": "solvers",
    "CoolProp": "the gas in the bottle",
    "pydantic": "job files",
    "tomlkit": "job files",
    "typst": "the sheet to print",
    "sqlalchemy": "the record",
    "alembic": "the record",
    "tzdata": "time zones where the system has none",
}


@dataclass(frozen=True)
class Check:
    """One thing looked at: what, whether it is as it should be, what was found, what to do if not."""

    name: str
    good: bool
    found: str
    next_step: str = ""


@click.command()
@click.option("--warm", is_flag=True, help="Load every part once, so that the first plan starts faster.")
@shared_options
def doctor(face: Face, warm: bool) -> int:
    """Check this installation: parts, fonts, typesetter, and three published numbers."""
    checks = [*_parts(warm), _attempt("typefaces", _fonts), _attempt("typesetting", _typeset)]
    checks += [_attempt(name, check) for name, check in _PUBLISHED.items()]
    checks.append(Check("data", True, f"inside the package, {_data_folder()}; jobs stay where you keep them"))
    if face.as_json:
        from fizzwright import __version__
        from fizzwright.cli.jsonout import dumps, plain

        body = {"good": all(check.good for check in checks), "checks": [plain(check) for check in checks]}
        print(dumps({"result": body, "findings": [], "trail": {}, "version": __version__}))
    else:
        _print(checks)
    return _exit_code(checks)


def _print(checks: list[Check]) -> None:
    from fizzwright import __version__
    from fizzwright.cli.output import heading, say

    say(heading(f"Fizzwright {__version__}, Python {platform.python_version()}, {platform.system()}")[1:])
    wide = max(len(check.name) for check in checks)
    for check in checks:
        print(f"  {'ok ' if check.good else 'BAD'}  {check.name:<{wide}}  {check.found}")
        if not check.good and check.next_step:
            print(f"       {'':<{wide}}  {check.next_step}")
    bad = sum(not check.good for check in checks)
    say(["", "All is well." if not bad else f"{bad} of {len(checks)} checks failed."])


def _exit_code(checks: list[Check]) -> int:
    from fizzwright.errors import MissingExtra, NoAnswer

    missing = [check for check in checks if not check.good and check.next_step]
    if missing:
        return MissingExtra.exit_code
    return 0 if all(check.good for check in checks) else NoAnswer.exit_code


def _parts(warm: bool) -> list[Check]:
    """Every library Fizzwright needs, its version, and with `warm` how long it takes to load."""
    checks = []
    for name, used_for in _NEEDED.items():
        try:
            version = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            step = f"Install it: {sys.executable} -m pip install {name}"
            checks.append(Check(name, False, f"missing; needed for {used_for}", step))
            continue
        loaded = _loading_time(name) if warm else ""
        checks.append(Check(name, True, f"{version}{loaded}"))
    return checks


def _loading_time(name: str) -> str:
    start = time.perf_counter()
    importlib.import_module(name)
    return f", loaded in {time.perf_counter() - start:.2f} s"


def _attempt(name: str, look: Callable[[], str]) -> Check:
    """A check that is bad where looking fails, with the reason as what was found."""
    try:
        return Check(name, True, look())
    except Exception as err:
        return Check(name, False, f"{type(err).__name__}: {err}")


def _data_folder() -> str:
    return str(resources.files("fizzwright.data"))


def _fonts() -> str:
    folder = resources.files("fizzwright.papers").joinpath("fonts")
    faces = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith((".otf", ".ttf")))
    if not faces:
        raise FileNotFoundError(f"no typeface in {folder}")
    return ", ".join(faces)


def _typeset() -> str:
    import typst

    start = time.perf_counter()
    pdf = typst.compile(b"#set page(width: 40mm, height: 20mm)\nCO#sub[2]", format="pdf")
    if not pdf.startswith(b"%PDF"):
        raise ValueError("the typesetter gave no PDF")
    return f"a test page in {1000 * (time.perf_counter() - start):.0f} ms"


def _close(ours: float, published: float, *, allowed: float, unit: str, source: str) -> str:
    text = f"{ours:.4g} {unit}, published {published:g} ({source})"
    if abs(ours - published) > allowed:
        raise ValueError(text)
    return text


def _oxygen() -> str:
    from fizzwright.engines.water.gases import o2_saturation_mg_l

    ours = float(o2_saturation_mg_l(25.0))
    return _close(ours, 8.26, allowed=0.01, unit="mg/L", source="Benson & Krause 1984, 25 °C, 1 atm")


def _solubility() -> str:
    from fizzwright.engines.water.gases import k0_weiss_log10

    ours = 10 ** float(k0_weiss_log10(24.0))
    source = "Weiss 1974, Table III, 24 °C, S = 0"
    return _close(ours, 0.03499, allowed=1e-5, unit="mol/kg/atm", source=source)


def _bottle_pressure() -> str:
    from fizzwright.engines.gasline.bottle import saturation_bara

    ours = float(saturation_bara(20.0))
    return _close(
        ours, 57.29, allowed=0.03, unit="bar abs", source="Span & Wagner 1996 as coded in CoolProp, 20 °C"
    )


_PUBLISHED = {
    "oxygen in water": _oxygen,
    "CO2 in water": _solubility,
    "bottle pressure": _bottle_pressure,
}
