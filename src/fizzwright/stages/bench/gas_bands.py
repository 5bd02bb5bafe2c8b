"""Bands of products: several doubts of a factor, put together."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

from fizzwright.result import Assumption, Basis, Estimate

__all__ = ["Doubt", "assumed", "even", "widened"]

Doubt = tuple[float, float]


def even(share_frac: float) -> Doubt:
    """A doubt of the same share either way, as logarithms of the factors down and up."""
    return (-math.log1p(-min(share_frac, 0.95)), math.log1p(share_frac))


def widened(middle: Estimate, doubts: list[Doubt], *, basis: Basis = Basis.PROPAGATED) -> Estimate:
    """A product whose factors are each in doubt: 90 % doubts add as squares in the logarithm."""
    down = math.sqrt(sum(low**2 for low, _ in doubts))
    up = math.sqrt(sum(high**2 for _, high in doubts))
    value = middle.value
    return Estimate(value, middle.unit, value * math.exp(-down), value * math.exp(up), basis)


def assumed(question: Any, texts: dict[str, tuple[str, str]]) -> list[Assumption]:
    """An assumption for each field left at its default; `texts` gives what it is and how it is shown."""
    defaults = {f.name: f.default for f in dataclasses.fields(question)}
    return [
        Assumption(text, shown)
        for name, (text, shown) in texts.items()
        if getattr(question, name) == defaults[name]
    ]
