"""What a person sees when Fizzwright refuses, and what they see when it is at fault itself."""

from __future__ import annotations

import json
import os
import sys
import traceback

from fizzwright import __version__
from fizzwright.errors import Fault, FizzwrightError, InputError, UnsafePlan

__all__ = ["error_object", "report_bug", "report_refusal"]

_HEADLINES = {
    3: "This input cannot be used",
    4: "There is no answer to this",
    5: "No plan: a hard limit would be crossed",
    6: "The record could not be read or written",
    7: "Something this needs is not installed",
}


def error_object(refusal: FizzwrightError) -> dict[str, object]:
    """A refusal as plain data: kind, exit code, message, and every fault or reason by itself."""
    found: dict[str, object] = {
        "kind": type(refusal).__name__,
        "exit_code": refusal.exit_code,
        "message": str(refusal),
    }
    if isinstance(refusal, InputError):
        found["faults"] = [_fault_object(fault) for fault in refusal.faults]
    if isinstance(refusal, UnsafePlan):
        found["reasons"] = list(refusal.reasons)
    return found


def _fault_object(fault: Fault) -> dict[str, object]:
    return {
        "field": fault.field,
        "value": fault.value,
        "allowed": fault.allowed,
        "next_step": fault.next_step,
        "line": fault.line,
    }


def report_refusal(refusal: FizzwrightError, *, as_json: bool = False) -> int:
    """Say on standard error what was refused and why; with `as_json` an object on standard output too."""
    headline = _HEADLINES.get(refusal.exit_code, "Refused")
    lines = str(refusal).splitlines() or [""]
    if isinstance(refusal, InputError) and len(lines) > 1:
        headline = f"{headline}: {len(lines)} faults"
    sys.stderr.write(headline + ".\n" + "".join(f"  {line}\n" for line in lines))
    if as_json:
        print(json.dumps({"error": error_object(refusal), "version": __version__}, ensure_ascii=False))
    return refusal.exit_code


def report_bug(bug: BaseException) -> int:
    """Own up to an error nobody foresaw, in one line; the traceback only with FIZZWRIGHT_DEBUG=1."""
    if os.environ.get("FIZZWRIGHT_DEBUG") == "1":
        sys.stderr.write("".join(traceback.format_exception(bug)))
    said = " ".join(str(bug).split())[:200]
    sys.stderr.write(
        f"Fizzwright {__version__} made a mistake of its own ({type(bug).__name__}: {said}). Please report "
        "it with the command you typed and what FIZZWRIGHT_DEBUG=1 prints before it.\n"
    )
    return 1
