"""Which of several places is better by more than a run's own error, and which cannot be told apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.stages.place_result import Judgement

__all__ = ["Figure", "judge", "ranks"]

# Values run by run, in the unit the figure names.
Runs = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Figure:
    """One figure of every place, run by run.

    `runs` has shape (places, runs): the same run of two places differs by the place alone. `least_number` is
    the smallest difference anybody would act on, `error` what a difference may be off by besides what
    the runs show, one for each place. `up` says whether more is better.
    """

    about: str
    says: str
    unit: str
    runs: Runs
    error: Runs
    least_number: float
    up: bool

    def better(self, one: int, other: int) -> bool:
        """Whether one place is better than another by over twice the error, in every run."""
        gain = (self.runs[one] - self.runs[other]) * (1.0 if self.up else -1.0)
        gain = gain[np.isfinite(gain)]
        if not gain.size:
            return False
        own = float(gain.std(ddof=1)) / math.sqrt(gain.size) if gain.size > 1 else 0.0
        error = math.hypot(own, 0.5 * float(self.error[one] + self.error[other]))
        return bool(gain.min() > 0.0 and gain.mean() > max(2.0 * error, self.least_number))

    def middle_number(self, place: int) -> float:
        """The mean over the runs of one place."""
        kept = self.runs[place][np.isfinite(self.runs[place])]
        return float(kept.mean()) if kept.size else math.nan

    def text(self, value_number: float) -> str:
        """A value as the sentence writes it."""
        return f"{value_number:.0f}" if abs(value_number) >= 20 else f"{value_number:.1f}"


def _list_of(names: Sequence[str]) -> str:
    names = list(names)
    if len(names) > 5:
        return f"all {len(names)} places"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def judge(figure: Figure, names: Sequence[str]) -> Judgement:
    """What can be said of places in one figure: who beats whom, or that there is no difference."""
    count = len(names)
    beaten = [[other for other in range(count) if figure.better(one, other)] for one in range(count)]
    if not any(beaten):
        spread = [figure.middle_number(i) for i in range(count)]
        apart, error = max(spread) - min(spread), 2.0 * float(figure.error.mean())
        sentence = (
            f"no difference: {_list_of(names)} lie within {apart:.2g} {figure.unit}"
            f", and a run is good to ±{max(error, figure.least_number):.1g}"
        )
        return Judgement(figure.about, False, sentence, "")
    losers = [i for i in range(count) if any(i in row for row in beaten)]
    front = [i for i in range(count) if i not in losers]
    worst = min(losers, key=figure.middle_number) if figure.up else max(losers, key=figure.middle_number)
    lead = front[0] if len(front) == 1 else (max if figure.up else min)(front, key=figure.middle_number)
    together = f"{_list_of([names[i] for i in front])} {'leads' if len(front) == 1 else 'overlap'}"
    sentence = (
        f"{together} with {figure.text(figure.middle_number(lead))} {figure.unit}; "
        f"{names[worst]} is worse beyond the model's error at {figure.text(figure.middle_number(worst))}"
    )
    return Judgement(figure.about, True, sentence, names[lead])


def ranks(figures: Sequence[Figure], count: int) -> tuple[int, ...]:
    """A rank for each place: one more than the number of places that beat it in some figure and lose in none.

    Places that cannot be told apart share a rank.
    """

    def beats(one: int, other: int) -> bool:
        return any(f.better(one, other) for f in figures) and not any(f.better(other, one) for f in figures)

    return tuple(1 + sum(beats(other, one) for other in range(count)) for one in range(count))
