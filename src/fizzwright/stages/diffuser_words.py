"""What the diffuser stage says in words: verdict, findings, assumptions, and how to time beads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fizzwright.engines.bubbles.cautions import path_findings
from fizzwright.engines.bubbles.chamber import AIR_SHARE_FRAC
from fizzwright.inference.beads import SkinFit
from fizzwright.job.model import DiffuserKind, Job
from fizzwright.result import Assumption, Estimate, Finding, Level
from fizzwright.stages.diffuser_result import Gain, Way
from fizzwright.stages.diffuser_ways import HOSE_M, Option
from fizzwright.units import number_text, show

__all__ = ["PROTOCOL", "Told", "assumptions_of", "findings_of", "verdict_of"]

MATTERS_FRAC = 0.03
WORTH_FRAC = 0.03
SURE_FRAC = 0.7
HIGH_TOTAL_GAS_RATIO = 1.03

PROTOCOL: tuple[str, ...] = (
    "Stick a clear ruler upright to the front glass, as near to the diffuser as it goes, and light the "
    "water "
    "from the side against a dark ground.",
    "Turn filter and pumps off for these minutes, and turn the gas down until beads come one at a time, or "
    "follow a lone bead beside the column. Beads of 0.8 to 2 mm tell most: an airline end, an old or "
    "coarse "
    "stone, or a ladder's tip gives them.",
    "Film with the phone held still, level with the ruler, in slow motion if it has it (120 or 240 "
    "pictures a "
    "second). Film ten beads or more.",
    "Step through the film. For each bead note its width in millimetres just after it lets go (count "
    "pixels "
    "against the ruler), and the seconds and the height until it is a third as wide: a speck that from "
    "then on "
    "hardly changes. Turn slow motion back into true seconds.",
    "Where a bead reaches the surface before that, note the height, the seconds it took, and its width "
    "there.",
    "Write one bead a row into a CSV file: diameter_mm, vanish_s, vanish_cm, rise_cm, rise_s, end_mm; "
    "leave "
    "blank what was not read. Turn filter, pumps and gas back to what they were.",
)  # fmt: skip


@dataclass(frozen=True)
class Told:
    """Everything the words speak about."""

    job: Job
    here: Option
    dissolved_frac: Estimate
    lost_g_day: Estimate
    ways: tuple[Way, ...]
    gains: tuple[Gain, ...]
    skin_matters_frac: float
    fit: SkinFit | None
    total_gas_ratio: Estimate
    mist_grows_above_m: float | None
    gas_note: str
    feed_note: str


def _percent(share_frac: float) -> str:
    return "over 99 %" if share_frac > 0.99 else f"{100 * share_frac:.0f} %"


def _about(share_frac: float) -> str:
    return _percent(share_frac) if share_frac > 0.99 else f"about {_percent(share_frac)}"


def verdict_of(told: Told) -> str:
    """The answer in a few sentences."""
    share, lost = told.dissolved_frac, told.lost_g_day
    about = _about(share.value)
    text = (
        f"{about[:1].upper()}{about[1:]} of the gas dissolves (90 % limits {_percent(share.low)} to "
        f"{_percent(share.high)}); {number_text(max(lost.value, 0.0), 2)} g a day break the surface."
    )
    surer = [way for way in told.ways if not way.here and way.better_frac > SURE_FRAC]
    worth = [way for way in surer if way.dissolved_frac.value > share.value + WORTH_FRAC]
    if worth:
        top = max(worth, key=lambda way: way.dissolved_frac.value)
        text += f" Surest to dissolve more: {top.name}, {_about(top.dissolved_frac.value)}."
    else:
        text += " No other way to put the gas in is clearly better here."
    best = max(told.gains, key=lambda gain: gain.saves_g_day.value, default=None)
    if best is not None and best.dissolved_frac.value > share.value + WORTH_FRAC:
        days = number_text(best.more_days.value, 2)
        text += f" Of changes in the same place this buys most: {best.name}, about {days} bottle days."
    return text


def findings_of(told: Told) -> tuple[Finding, ...]:
    """Everything a practitioner should hear about this diffuser."""
    return (
        *path_findings(told.here.path, told.here.spread),
        *_of_ways(told),
        *_of_skin(told),
        *_of_total_gas(told),
    )


def _of_ways(told: Told) -> Iterator[Finding]:
    air = told.here.path.flow_ml_min_n * AIR_SHARE_FRAC
    text = (
        f"A reactor gathers the air that CO2 drives out of the water, here about {number_text(air, 2)} "
        "mL a "
        "minute. Without a vent its cushion turns to air and it stops working. Unplug pumps before "
        "reaching "
        "into water, and give hose joints a clamp and a look after an hour."
    )
    yield Finding(Level.NOTE, text, "reactor", "reactor-practice")


def _of_skin(told: Told) -> Iterator[Finding]:
    if told.fit is not None:
        level = Level.NOTE if told.fit.usable else Level.CARE
        yield Finding(level, f"Timed beads: {told.fit.verdict}", "skin", "bead-timing")
        if told.fit.odd_count:
            text = (
                f"{told.fit.odd_count} of {told.fit.beads_count} beads fit no skin and hardly count. "
                "Look at their "
                "rows again: a width read at the wrong moment, or slow motion left in the seconds."
            )
            yield Finding(Level.CARE, text, "beads", "bead-timing")
        if told.fit.aside_count:
            text = f"{told.fit.aside_count} rows hold too little to tell a skin by and were set aside."
            yield Finding(Level.CARE, text, "beads", "bead-timing")
    elif told.job.gasline.diffuser.skin_frac is None and told.skin_matters_frac > MATTERS_FRAC:
        text = (
            "The skin of the bubbles alone moves the dissolved share by "
            f"{100 * told.skin_matters_frac:.0f} points "
            "here. Timing beads on a phone video settles it: --steps says how."
        )
        yield Finding(Level.NOTE, text, "skin", "skin-by-size")


def _of_total_gas(told: Told) -> Iterator[Finding]:
    ratio, above = told.total_gas_ratio, told.mist_grows_above_m
    if ratio.value > HIGH_TOTAL_GAS_RATIO and above is not None:
        text = (
            f"All dissolved gases together press {number_text(100 * (ratio.value - 1), 2)} % harder "
            "than the air "
            f"({told.gas_note}). Mist above {show(100 * above, 'cm', digits=2)} of depth grows in place of "
            "vanishing and carries a little CO2 out; bubbles on leaves and glass do too. Fish suffer "
            "from about "
            "10 % on: let the surface move, and look for a pump that sucks air."
        )
        yield Finding(Level.CARE, text, "total gas", "dalton-1802")
        return
    text = (
        f"Total gas pressure at its middle is {number_text(100 * ratio.value, 3)} % of the air's; with "
        "oxygen at "
        f"150 % under the lamp it is about {number_text(100 * ratio.high, 3)} %. Lingering mist late in "
        "the light "
        "then shows full water, not wasted CO2."
    )
    yield Finding(Level.NOTE, text, "total gas", "dalton-1802")


def assumptions_of(told: Told) -> tuple[Assumption, ...]:
    """Everything nobody gave."""
    job, path = told.job, told.here.path
    diffuser = job.gasline.diffuser
    found = [
        Assumption("Feed", told.feed_note),
        Assumption(
            f"Bubble sizes of a {told.here.spread.kind.value}", "by kind and state", source="diffuser-sizes"
        ),
        Assumption("What lifted water costs, in doubt", "by a factor of 2 either way", source="bubble-plume"),
        Assumption("Gases in the water", told.gas_note),
        Assumption("Reactor", "75 mm (60…100), 600 L/h (400…900), vented", source="reactor-practice"),
    ]
    if diffuser.kind is not DiffuserKind.INLINE:
        text = (
            f"{show(HOSE_M, 'm')} of {show(path.hose_bore_mm, 'mm')} hose, {show(path.hose_flow_l_h, 'l_h')}"
        )
        found.append(Assumption("An in-hose atomiser", f"{text}, outlet 5 cm deep or less"))
    else:
        found.append(Assumption("Flow through the hose", show(path.hose_flow_l_h, "l_h")))
        if diffuser.hose_length_m is None:
            found.append(Assumption("Hose after the atomiser", show(path.hose_length_m, "m")))
    if diffuser.skin_frac is None and told.fit is None:
        found.append(
            Assumption("Skin of the bubbles", "open: stiff to as in tap water", source="skin-by-size")
        )
    return tuple(found)
