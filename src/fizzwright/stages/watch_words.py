"""What each change found in a log is called, what shows it, which check settles it and what to do."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from fizzwright.inference.change import Change
from fizzwright.stages.watch_days import GAS_LOG_UNIT, LEAK_FRAC, LOSS_LOG_UNIT, SHIFT_H, UPTAKE_LOG_UNIT
from fizzwright.stages.watch_probe import ProbeFault
from fizzwright.stages.watch_result import Steadiness, Watching

__all__ = ["NAMES", "probe_watching", "verdict_of", "watching_of"]

NAMES = {
    "feed": "the feed has drifted",
    "clog": "the diffuser is clogging",
    "diffuser": "less of the gas dissolves",
    "surface": "the surface moves differently",
    "leak-by": "the shut valve lets gas by",
    "hours": "gas comes at other hours",
    "probe": "the probe drifts",
    "kh": "carbonate hardness creeps",
    "uptake": "the plants take up a different amount",
}


@dataclass(frozen=True)
class _Words:
    evidence: str
    check: str
    do: str


_WORDS = {
    "feed": _Words(
        "more or less CO₂ builds up from gas-on, and the bubble counts moved with it",
        "disconnect the diffuser: if the rate jumps it is the diffuser, if not watch the low gauge "
        "and the needle",
        "set the counted rate back; if it drifts again within days, service needle and regulator",
    ),
    "clog": _Words(
        "less CO₂ builds up from gas-on, and the bubble counts fell by less than that",
        "disconnect the diffuser: a rate that jumps means it is blocked",
        "clean or renew the diffuser's disc, then set the rate again from below",
    ),
    "diffuser": _Words(
        "less CO₂ builds up from gas-on at the same bubble counts",
        "look at the mist: larger bubbles or a plume straight to the surface; a reactor or another "
        "disc for a day",
        "clean or renew the diffuser, and see that its plume meets the current",
    ),
    "surface": _Words(
        "with the gas off, pH climbs at another speed than in the first days",
        "log one night with gas and lamp off and compare the loss rate",
        "look at pump, outlet, skimmer, film and lid before touching the feed",
    ),
    "leak-by": _Words(
        "pH climbs less far in the gas-off hours, as if a little gas went on flowing",
        "shut the bottle one night: if pH then climbs as it used to, the valve leaks by; bubbles "
        "after shutting say so too",
        "clean or renew the solenoid valve; until then shut the bottle at night",
    ),
    "hours": _Words(
        "the fall of pH sets in at another hour than it did",
        "stand by at gas-on with a watch; look at the timer's clock, at summer time and at power cuts",
        "set the timer, and lead gas by the lamp as planned",
    ),
    "probe": _Words(
        "pH moved by the same amount at all hours, with KH readings unchanged or missing",
        "read the probe in fresh buffer 7 and 4 at tank temperature",
        "calibrate, or renew an electrode past its years; do not set gas by it before",
    ),
    "kh": _Words(
        "pH moved by the same amount at all hours, and KH readings went with it",
        "titrate KH with a double sample; put a piece of rock in acid, or a jar test over a week",
        "find the source; a fixed pH means more CO₂ than before, so work from the new KH",
    ),
    "uptake": _Words(
        "CO₂ sags differently in the lit hours, with nights as before",
        "think of a trim, dead leaves, new plants or another lamp setting; weigh the trimmings",
        "after a big trim lower the feed by what the plants took, and raise it as they grow",
    ),
}
SURE_GAP_NUMBER, LIKELY_GAP_NUMBER = 8.0, 2.0
NEAR_NUMBER = 6.0


def watching_of(changes: Sequence[Change], at: tuple[dt.date, int], *, counted: bool) -> Watching:
    """The first of some changes in words; the others are named where they fit nearly as well.

    `at` is the first day of the log and the day count at which the log first told the change.
    """
    first, seen = at
    best = changes[0]
    words = _WORDS[best.key]
    gap = best.support_log_number - (changes[1].support_log_number if len(changes) > 1 else -np.inf)
    near = tuple(
        NAMES[other.key] for other in changes[1:4]
        if best.support_log_number - other.support_log_number < NEAR_NUMBER
    )  # fmt: skip
    confidence = "likely" if gap > SURE_GAP_NUMBER else "probable" if gap > LIKELY_GAP_NUMBER else "possible"
    evidence = (
        words.evidence if counted else words.evidence.replace(", and the bubble counts moved with it", "")
    )
    return Watching(
        key=best.key,
        name=NAMES[best.key],
        size=_size(best),
        since=(first + dt.timedelta(days=best.onset_day_count)).isoformat(),
        seen_on=(first + dt.timedelta(days=max(seen - 1, best.onset_day_count))).isoformat(),
        evidence=evidence,
        confidence=confidence,
        score_number=best.score_number,
        check=words.check,
        do=words.do,
        others=near,
    )


def _size(change: Change) -> str:
    """The size with its 90 % limits, as a person measures it."""
    before, turn, after = _TURNS[change.key]
    reach = 1.645 * change.size_sd_number
    value, *ends = (
        turn(x) for x in (change.size_number, change.size_number - reach, change.size_number + reach)
    )
    each = " a day" if change.grows else ""
    return f"{before} {value:+.2g} ({min(ends):+.2g}…{max(ends):+.2g}) {after}{each}"


def _percent(log_unit: float) -> Callable[[float], float]:
    return lambda size: 100.0 * float(np.expm1(log_unit * size))


_GAS = ("gas reaching the water", _percent(GAS_LOG_UNIT), "%")
_TURNS: dict[str, tuple[str, Callable[[float], float], str]] = {
    "feed": _GAS,
    "clog": _GAS,
    "diffuser": _GAS,
    "surface": ("loss rate", _percent(LOSS_LOG_UNIT), "%"),
    "leak-by": ("passing while shut", lambda size: 100.0 * LEAK_FRAC * size, "% of the feed"),
    "hours": ("gas later by", lambda size: 60.0 * SHIFT_H * size, "min"),
    "probe": ("reading", lambda size: 0.1 * size, "pH"),
    "kh": ("KH", _percent(float(np.log(1.1))), "%"),
    "uptake": ("uptake", _percent(UPTAKE_LOG_UNIT), "%"),
}


def probe_watching(fault: ProbeFault, start: dt.datetime) -> Watching:
    """A stuck or dry probe in words; `start` is the moment of the first reading."""
    since = start + dt.timedelta(hours=fault.start_h)
    until = start + dt.timedelta(hours=fault.end_h)
    stuck = fault.kind == "stuck"
    span = f"from {since:%Y-%m-%d %H:%M} to {until:%Y-%m-%d %H:%M}"
    return Watching(
        key=fault.kind,
        name="the probe stood still" if stuck else "the probe was out of the water or broken",
        size=f"{fault.end_h - fault.start_h:.0f} h",
        since=since.date().isoformat(),
        seen_on=until.date().isoformat(),
        evidence=(
            f"the reading did not move {span} while the water's pH should have by {fault.size_ph:.2f}"
            if stuck
            else f"the reading jumped by {fault.size_ph:+.2f} pH at once and stayed away {span}"
        ),
        confidence="likely",
        score_number=10.0,
        check="lift the probe and tap it: the reading must change; then buffer 7, then 4, and time "
        "the response",
        do="put it back in the current, renew a broken one; no gas control may run on it meanwhile",
        others=(),
    )


def verdict_of(found: Sequence[Watching], steady: Steadiness, target_mg_l: tuple[float, float]) -> str:
    """The log in two sentences."""
    low, high = target_mg_l
    level = f"The lit hours stood at {steady.lit_median_mg_l:.0f} mg/L (target {low:.0f} to {high:.0f})"
    swing = f"with a daily swing of {100 * steady.swing_frac:.0f} %."
    if not found:
        return f"Nothing changed that the log can tell from a quiet tank. {level}, {swing}"
    first = found[0]
    return f"Since {first.since}: {first.name}, {first.size} ({first.confidence}). {level}, {swing}"
