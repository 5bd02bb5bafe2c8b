"""Everything Fizzwright can refuse, and the exit code each refusal ends with.

FizzwrightError                      message: what, where, what is allowed, what to do next
├── InputError (ValueError)     3    one or more Faults, all of them at once
├── NoAnswer                    4    the question has no answer
│   ├── NotConverged                 a solver gave up
│   ├── NoPhysicalRoot               no water can have these readings together
│   └── BalanceNotClosed             carries the residual
├── UnsafePlan                  5    a hard limit would be crossed; lists every one
├── StoreError                  6    NotFound | EditedElsewhere | SchemaTooNew
└── MissingExtra                7    prints the one line that installs what is missing

Exit code 2 (usage) belongs to the command line itself. Raise for "cannot answer"; return a
`Finding` for "answered, but mind this".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = [
    "BalanceNotClosed",
    "EditedElsewhere",
    "Fault",
    "FizzwrightError",
    "InputError",
    "MissingExtra",
    "NoAnswer",
    "NoPhysicalRoot",
    "NotConverged",
    "NotFound",
    "SchemaTooNew",
    "StoreError",
    "UnsafePlan",
]


@dataclass(frozen=True)
class Fault:
    """One thing wrong with one input: field, value as given, what is allowed, what to do next.

    `line` is the line of the file it came from, counted from 1, or None.
    """

    field: str
    value: str
    allowed: str
    next_step: str = ""
    line: int | None = None

    def __str__(self) -> str:
        """The fault as one line a person can act on."""
        where = f"line {self.line}, " if self.line is not None else ""
        given = f" = {self.value}" if self.value else ""
        tail = f". {self.next_step}" if self.next_step else ""
        return f"{where}{self.field}{given}: {self.allowed}{tail}"


class FizzwrightError(Exception):
    """Anything Fizzwright refuses on purpose; whatever else escapes is a bug of ours."""

    exit_code = 1


class InputError(FizzwrightError, ValueError):
    """Input that cannot be used; `faults` lists every reason, not just the first."""

    exit_code = 3

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class NoAnswer(FizzwrightError):
    """The inputs are fine one by one, but the question has no answer."""

    exit_code = 4


class NotConverged(NoAnswer):
    """A solver stopped before its answer settled."""


class NoPhysicalRoot(NoAnswer):
    """No water can show these readings together."""


class BalanceNotClosed(NoAnswer):
    """Carbon in and carbon out differ by more than round-off; `residual_frac` says by how much."""

    def __init__(self, message: str, residual_frac: float) -> None:
        self.residual_frac = residual_frac
        super().__init__(message)


class UnsafePlan(FizzwrightError):
    """A hard limit for animals, people or oxygen would be crossed; `reasons` lists every one."""

    exit_code = 5

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


class StoreError(FizzwrightError):
    """The record of jobs and readings could not be read or written."""

    exit_code = 6


class NotFound(StoreError):
    """Nothing is kept under that name."""


class EditedElsewhere(StoreError):
    """Somebody else changed the record since it was read.

    `yours` is the text that was to be kept, `theirs` the one that is kept now, as revision
    `revision_count`; neither is lost.
    """

    def __init__(self, message: str, *, yours: str = "", theirs: str = "", revision_count: int = 0) -> None:
        self.yours = yours
        self.theirs = theirs
        self.revision_count = revision_count
        super().__init__(message)


class SchemaTooNew(StoreError):
    """The record was written by a later version."""


class MissingExtra(FizzwrightError):
    """An optional part is not installed; the message carries the line that installs it."""

    exit_code = 7
