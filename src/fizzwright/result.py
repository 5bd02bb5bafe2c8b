"""What every answer is made of: a value with its limits, what to mind, and how it was made."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from fizzwright.sources import Equation, Source, equation_of, source

__all__ = ["Assumption", "Basis", "Estimate", "Finding", "Level", "Trail", "digest", "make_trail"]


class Basis(StrEnum):
    """Where a band comes from."""

    MEASURED = "measured"
    SOURCE = "source"
    PROPAGATED = "propagated"
    FITTED = "fitted"
    JUDGEMENT = "judgement"


class Level(StrEnum):
    """How much a finding asks of the reader."""

    NOTE = "note"
    CARE = "care"
    STOP = "stop"


@dataclass(frozen=True)
class Estimate:
    """A value with its 90 % limits, its unit as a name suffix, and where the limits come from.

    `value` is the middle (median) of what is believed; `low` and `high` are the 5 % and 95 % points
    unless a docstring says otherwise. A number that is not known is `None` where an Estimate would
    stand, never zero.
    """

    value: float
    unit: str
    low: float
    high: float
    basis: Basis = Basis.PROPAGATED

    def __post_init__(self) -> None:
        if not all(math.isfinite(x) for x in (self.value, self.low, self.high)):
            raise ValueError(f"an estimate needs finite numbers, got {self}")
        if self.low > self.high:
            raise ValueError(f"the low limit is over the high one: {self}")

    @classmethod
    def exact(cls, value: float, unit: str, basis: Basis = Basis.MEASURED) -> Estimate:
        """A number whose doubt is nil for the purpose, such as a count or a clock setting."""
        return cls(float(value), unit, float(value), float(value), basis)

    @classmethod
    def from_draws(cls, draws: Any, unit: str, basis: Basis = Basis.PROPAGATED) -> Estimate:
        """The median and the 5 % and 95 % points of an array of draws of one quantity."""
        import numpy as np

        low, middle, high = np.quantile(np.asarray(draws, dtype=float), [0.05, 0.5, 0.95])
        return cls(float(middle), unit, float(low), float(high), basis)


@dataclass(frozen=True)
class Finding:
    """Something the reader must know beside the number: what, why, what it is about."""

    level: Level
    text: str
    about: str
    source: str = ""


@dataclass(frozen=True)
class Assumption:
    """A value nobody measured: what was taken, who chose it, and on whose word.

    `chosen_by` is "default" or "user"; `source` is a key of `data/sources`, or the words
    "common practice, no source" or "from memory" or "judgement".
    """

    text: str
    value: str
    chosen_by: str = "default"
    source: str = "common practice, no source"


@dataclass(frozen=True)
class Trail:
    """How an answer was made: equations run, their sources, assumptions, findings, inputs, version."""

    equations: tuple[Equation, ...]
    sources: tuple[Source, ...]
    assumptions: tuple[Assumption, ...]
    findings: tuple[Finding, ...]
    inputs_digest: str
    version: str


def digest(inputs: Any) -> str:
    """A short fingerprint of the inputs, the same for the same inputs on every machine."""
    text = json.dumps(inputs, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def make_trail(
    functions: Iterable[Callable[..., Any]],
    *,
    inputs: Any,
    assumptions: Iterable[Assumption] = (),
    findings: Iterable[Finding] = (),
) -> Trail:
    """The trail of a result that ran these `@equation` functions.

    Equations come out sorted by name and without repeats; sources are those of the equations plus
    those the assumptions and findings name.
    """
    from fizzwright import __version__

    assumptions, findings = tuple(assumptions), tuple(findings)
    equations = {equation_of(function).name: equation_of(function) for function in functions}
    keys = {eq.source for eq in equations.values()}
    keys |= {a.source for a in assumptions if _is_key(a.source)}
    keys |= {f.source for f in findings if _is_key(f.source)}
    return Trail(
        equations=tuple(equations[name] for name in sorted(equations)),
        sources=tuple(source(key) for key in sorted(keys)),
        assumptions=assumptions,
        findings=findings,
        inputs_digest=digest(inputs),
        version=__version__,
    )


def _is_key(text: str) -> bool:
    """Source keys are written like `weiss-1974`; anything with a space is plain words."""
    return bool(text) and " " not in text and text not in {"judgement"}
