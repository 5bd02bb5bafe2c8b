"""The stage `compare`: two plans side by side, what differs in the jobs and what that changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fizzwright.job.model import Job
from fizzwright.result import Estimate
from fizzwright.stages.plan_result import PlanResult
from fizzwright.units import number_text

__all__ = ["ChangedInput", "ComparedRow", "Comparison", "compare"]

Pair = tuple[Estimate, Estimate]
# Less than this apart is the same in print.
SAME_FRAC = 0.005


@dataclass(frozen=True)
class ChangedInput:
    """One thing the two job files say differently, as they would be typed."""

    field: str
    one: str
    other: str


@dataclass(frozen=True)
class ComparedRow:
    """One figure of both plans, first and second. `apart` says that their 90 % bands do not overlap."""

    name: str
    key: str
    pair: Pair
    apart: bool

    @property
    def times_ratio(self) -> float:
        """The second's middle over the first's; nil where the first is nil."""
        return self.pair[1].value / self.pair[0].value if self.pair[0].value else 0.0


@dataclass(frozen=True)
class Comparison:
    """Two plans side by side; `sentences` say what a reader should take from them."""

    one: PlanResult
    other: PlanResult
    inputs: tuple[ChangedInput, ...]
    rows: tuple[ComparedRow, ...]
    sentences: tuple[str, ...]


def compare(jobs: tuple[Job, Job], plans: tuple[PlanResult, PlanResult]) -> Comparison:
    """Two plans side by side.

    Parameters
    ----------
    jobs : two jobs
        The tanks as surveyed, to say what differs.
    plans : two plans
        Their plans, in the same order.
    """
    one, other = plans
    rows = tuple(
        ComparedRow(name, key, (a, b), a.low > b.high or b.low > a.high)
        for name, key, a, b in _rows(one, other)
    )
    return Comparison(one, other, tuple(_changed(*jobs)), rows, tuple(_sentences(one, other, rows)))


_FIGURES = (
    ("Feed", "feed_mg_h"), ("Bubbles", "bubbles_per_s"), ("CO2 at lights-on", "co2_at_lights_on_mg_l"),
    ("CO2 peak", "co2_peak_mg_l"), ("Fastest rise", "rise_mg_l_h"), ("O2 at dawn", "o2_dawn_mg_l"),
    ("Stuck open for 24 h", "stuck_open_24h_mg_l"), ("Gas a day", "gas_g_day"),
    ("Bottle lasts", "bottle_days"), ("Surface loss", "loss_per_h"), ("Dissolved share", "dissolved_frac"),
    ("Net water", "net_volume_l"),
)  # fmt: skip


def _rows(one: PlanResult, other: PlanResult) -> Iterator[tuple[str, str, Estimate, Estimate]]:
    for name, key in _FIGURES:
        yield name, key, getattr(one, key), getattr(other, key)
    for name, key in (("Swing in the light", "swing_frac"), ("Lit hours in the band", "in_band_h")):
        if one.stability is not None and other.stability is not None:
            yield name, key, getattr(one.stability, key), getattr(other.stability, key)


def _sentences(one: PlanResult, other: PlanResult, rows: tuple[ComparedRow, ...]) -> Iterator[str]:
    over = [round(100 * plan.p_over_ceiling_frac) for plan in (one, other)]
    yield (
        f"{one.name} passes its starting ceiling of {one.ceiling.soft_mg_l:.0f} mg/L in {over[0]} days of "
        f"100; {other.name} passes its own, {other.ceiling.soft_mg_l:.0f} mg/L, in {over[1]}."
    )
    apart = [row.name for row in rows if row.apart]
    if apart:
        yield f"Apart beyond their bands: {', '.join(apart)}."
    else:
        yield "No figure is apart beyond its band: what is measured next may turn the order round."
    moved = [
        f"{row.name.lower()} {number_text(row.times_ratio, 2)} times"
        for row in rows
        if row.key in ("gas_g_day", "swing_frac", "bottle_days") and abs(row.times_ratio - 1) > SAME_FRAC
    ]
    if moved:
        yield f"Second against first: {', '.join(moved)}."


def _changed(one: Job, other: Job) -> Iterator[ChangedInput]:
    a, b = _flat(one.model_dump(mode="json")), _flat(other.model_dump(mode="json"))
    for field in dict.fromkeys([*a, *b]):
        if a.get(field) != b.get(field):
            yield ChangedInput(field, a.get(field, "not given"), b.get(field, "not given"))


def _flat(value: Any, field: str = "") -> dict[str, str]:
    """Nested data as one level, each leaf under its dotted name."""
    if isinstance(value, dict):
        parts = value.items()
    elif isinstance(value, list):
        parts = ((str(i + 1), item) for i, item in enumerate(value))  # type: ignore[assignment]
    else:
        return {field: "not given" if value is None else str(value)}
    found: dict[str, str] = {}
    for name, item in parts:
        found |= _flat(item, f"{field}.{name}" if field else str(name))
    return found
