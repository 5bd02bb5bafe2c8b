"""One trail for a stage that stands on the answers of other stages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from fizzwright.result import Trail

__all__ = ["standing_on"]


def standing_on(own: Trail, others: Iterable[Trail]) -> Trail:
    """A stage's own trail with the equations, sources and assumptions of what it stands on.

    Findings stay the stage's own: those of the others were said where they belong.
    """
    trails = [own, *others]
    equations = {equation.name: equation for trail in trails for equation in trail.equations}
    sources = {source.key: source for trail in trails for source in trail.sources}
    assumptions = dict.fromkeys(assumption for trail in trails for assumption in trail.assumptions)
    return replace(
        own,
        equations=tuple(equations[name] for name in sorted(equations)),
        sources=tuple(sources[key] for key in sorted(sources)),
        assumptions=tuple(assumptions),
    )
