"""The sliders of the plan: where each scale begins and ends, its ticks, and what it says."""

from __future__ import annotations

from dataclasses import dataclass

from fizzwright.papers.scales import nice_step, ticks
from fizzwright.papers.words import NBSP, clock, fixed, limits, quantity
from fizzwright.stages.plan_result import PlanResult
from fizzwright.stages.plan_set import HandSet

__all__ = ["Rule", "rules_of"]


@dataclass(frozen=True)
class Rule:
    """One slider; all numbers in the unit of its scale."""

    name: str
    label: str
    low: float
    high: float
    step: float
    value: float
    says: str
    note: str
    marks: tuple[tuple[float, str], ...]
    minor: int


def rules_of(chosen: PlanResult, shown: PlanResult, to: HandSet) -> tuple[Rule, ...]:
    """The four sliders, their scales from the plan and their places from the settings."""
    return (_bubbles(chosen, shown, to), *_clock_rules(chosen, to), _stir(chosen, to))


def _bubbles(chosen: PlanResult, shown: PlanResult, to: HandSet) -> Rule:
    usual = chosen.bubbles_per_s.value
    step = nice_step(2.4 * usual, 4)
    high = step * max(round(2.4 * usual / step), 1)
    high = max(high, step * (1 + int(to.bubbles_per_s / step)))
    low = step / 10
    marks = tuple((t, fixed(t, 0 if step >= 1 else 1 if step >= 0.1 else 2)) for t in ticks(low, high, step))
    return Rule(
        "bubbles", "Bubbles at this counter", low, high, step / 50, to.bubbles_per_s,
        quantity(to.bubbles_per_s, "per_s"), quantity(round(shown.feed_mg_h.value), "mg_h"), marks, 5,
    )  # fmt: skip


def _clock_rules(chosen: PlanResult, to: HandSet) -> tuple[Rule, Rule]:
    lit_off = chosen.light_off_min + (1440 if chosen.light_off_min <= chosen.light_on_min else 0)
    on = _near(to.gas_on_min, chosen.light_on_min - 180)
    off = _near(to.gas_off_min, lit_off - 60)
    lead, tail = chosen.light_on_min - on, lit_off - off
    return (
        _hours(
            "on",
            "Gas on",
            (chosen.light_on_min - 480, chosen.light_on_min + 120),
            on,
            _gap(lead, "before light", "after light comes on"),
        ),
        _hours(
            "off", "Gas off", (lit_off - 480, lit_off + 120), off, _gap(tail, "before dark", "after dark")
        ),
    )


def _near(minute: int, middle: int) -> int:
    """A time of day as a minute within half a day of another."""
    return middle + (minute - middle + 720) % 1440 - 720


def _gap(minutes: int, before: str, after: str) -> str:
    if minutes == 0:
        return "with the light"
    hours, rest = divmod(abs(minutes), 60)
    text = NBSP.join(
        filter(None, (f"{hours}{NBSP}h" if hours else "", f"{rest:02d}{NBSP}min" if rest else ""))
    )
    return f"{text} {before if minutes > 0 else after}"


def _hours(name: str, label: str, ends: tuple[int, int], value: int, note: str) -> Rule:
    """A slider over hours of the day, its scale wide enough for where it stands."""
    low, high = min(ends[0], value), max(ends[1], value)
    low, high = 120 * (low // 120), 120 * -(-high // 120)
    every = 120 if high - low <= 480 else 240
    marks = tuple((float(t), clock(t % 1440)) for t in range(low, high + 1, every))
    says = clock(value % 1440)
    return Rule(name, label, low, high, 15, value, says, note, marks, every // 30)


def _stir(chosen: PlanResult, to: HandSet) -> Rule:
    usual = chosen.loss_per_h
    step = nice_step(2.6 * usual.value, 4)
    high = max(step * max(round(2.6 * usual.value / step), 1), step * (1 + int(to.loss_per_h / step)))
    low = step / 10
    places = 0 if step >= 1 else 1 if step >= 0.1 else 2
    marks = tuple((t, fixed(t, places)) for t in ticks(low, high, step))
    word = "fitted" if chosen.kind == "fitted" else "by its look"
    band = limits(usual).partition("(")[2].partition(")")[0]
    return Rule(
        "stir", "Surface stir, loss an hour", low, high, step / 50, to.loss_per_h,
        fixed(to.loss_per_h, 2), f"{word} {band}", marks, 5,
    )  # fmt: skip
