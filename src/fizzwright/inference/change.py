"""Has a tank changed: one change at a time set against every day's departure from its own past.

Each kind of change leaves its own signature on a day's readings. For every kind, onset and course (at once,
or growing day by day) the size that fits best is found together with how far it stands over what a quiet
tank does by itself; the kind that explains most is named first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fizzwright.sources import equation

__all__ = ["Change", "Channel", "Signature", "grown_factor", "matched_score_number", "scan"]

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Channel:
    """Daily figures of one kind, as departures from what the tank's past leads to expect.

    `values_number` has shape (days, figures), blanks nan; `covariance_number` (figures, figures) is what a
    quiet day scatters by. `base_count` days at the start made the expectation.
    """

    name: str
    values_number: Array
    covariance_number: Array
    base_count: int


@dataclass(frozen=True)
class Signature:
    """What a change of unit size does to each channel: arrays of shape (days, figures) by channel name.

    `prior_log_number` is how likely the change is beforehand, as a logarithm; `sign_number` is +1 or -1
    where only one direction makes sense, else 0; `steps`, `ramps` say which courses it can take.
    """

    key: str
    shapes: dict[str, Array]
    prior_log_number: float = 0.0
    sign_number: float = 0.0
    steps: bool = True
    ramps: bool = True


@dataclass(frozen=True)
class Change:
    """A change that fits: kind, size with its deviation, first day, course, and how it stands out.

    `size_number` is in units of the signature, for a growing change for each day. `score_number` counts
    standard deviations over a quiet tank; `support_log_number` ranks kinds against each other.
    """

    key: str
    size_number: float
    size_sd_number: float
    onset_day_count: int
    grows: bool
    score_number: float
    support_log_number: float


@equation("matched-filter", where="size and variance of a known shape in correlated noise")
def matched_score_number(projected_number: float, information_number: float) -> float:
    """How many standard deviations a fitted change stands over nothing at all.

    Parameters
    ----------
    projected_number : float
        The readings weighed by the shape over their covariance. [-]
    information_number : float
        The shape weighed by itself over the covariance, less what the baseline's own error takes. [-]

    Returns
    -------
    float
        Score; its square over two is the gain in log-likelihood. [-]
    """
    return projected_number / float(np.sqrt(max(information_number, 1e-300)))


def grown_factor(days: int, onset: int, *, grows: bool) -> Array:
    """The course of a change over the days: nil before its onset, then one, or growing by one a day."""
    since = np.arange(days) - onset + 1.0
    course: Array = np.where(since > 0, since if grows else 1.0, 0.0)
    return course


@dataclass(frozen=True)
class _Sums:
    """For one signature, each day's share of the fit over all channels, and its baseline's worth."""

    projected: Array
    information: Array
    base_count: float


def _sums(signature: Signature, channels: Sequence[Channel]) -> list[_Sums]:
    """Each channel's daily projection on the signature and its information."""
    found = []
    for channel in channels:
        shape = signature.shapes.get(channel.name)
        if shape is None:
            continue
        projected, information = np.zeros(len(channel.values_number)), np.zeros(len(channel.values_number))
        for day, (row, form) in enumerate(zip(channel.values_number, shape, strict=True)):
            known = np.isfinite(row) & np.isfinite(form)
            if not known.any():
                continue
            weighed = np.linalg.solve(channel.covariance_number[np.ix_(known, known)], form[known])
            projected[day], information[day] = weighed @ row[known], weighed @ form[known]
        found.append(_Sums(projected, information, float(channel.base_count)))
    return found


def scan(
    signatures: Sequence[Signature], channels: Sequence[Channel], *, days_count: int, first_count: int
) -> tuple[Change, ...]:
    """The best fit of every kind of change to the first so many days, the best supported kind first.

    Parameters
    ----------
    signatures : sequence of Signature
    channels : sequence of Channel
    days_count : int
        Days to look at.
    first_count : int
        The first day a change may set in.

    Returns
    -------
    tuple of Change
        One for each kind that could be fitted.
    """
    found = []
    for signature in signatures:
        sums = _sums(signature, channels)
        best: Change | None = None
        for grows in (False, True):
            if (grows and not signature.ramps) or (not grows and not signature.steps):
                continue
            for onset in range(first_count, days_count):
                made = _fit(signature, sums, (days_count, onset, grows))
                if made is not None and (best is None or made.support_log_number > best.support_log_number):
                    best = made
        if best is not None:
            found.append(best)
    return tuple(sorted(found, key=lambda change: -change.support_log_number))


def _fit(signature: Signature, sums: Sequence[_Sums], at: tuple[int, int, bool]) -> Change | None:
    """The size of one change with one onset and course, the baseline's own error counted."""
    days, onset, grows = at
    course = grown_factor(days, onset, grows=grows)
    projected = information = loose = 0.0
    for part in sums:
        projected += float(course @ part.projected[:days])
        own = float((course**2) @ part.information[:days])
        information += own
        # An error of the baseline is the same on every later day: it adds to the size's variance.
        weight = float(course @ part.information[:days])
        told = part.information[:days][part.information[:days] > 0]
        typical = float(told.mean()) if told.size else 0.0
        if own > 0 and typical > 0:
            loose += weight**2 / (typical * part.base_count)
    if information <= 0:
        return None
    size = projected / information
    if signature.sign_number and np.sign(size) != np.sign(signature.sign_number):
        return None
    variance = 1.0 / information + loose / information**2
    effective = 1.0 / variance
    score = matched_score_number(abs(size) * effective, effective)
    support = 0.5 * score**2 + signature.prior_log_number
    return Change(signature.key, size, float(np.sqrt(variance)), onset, grows, score, support)
