"""What a placement says in words: the verdict, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fizzwright.job.model import Density, Job
from fizzwright.result import Assumption, Estimate, Finding, Level
from fizzwright.stages.place_result import BedFigures, Judgement, Place
from fizzwright.stages.place_scene import FRONT_M2, layout_of, released_at_outlet

__all__ = ["Facts", "assumptions_of", "findings_of", "verdict_of"]

SLOW_LEAF_M_S = 0.005
LONG_RENEWAL_S = 180.0
AREA_APART_FRAC = 0.3


@dataclass(frozen=True)
class Facts:
    """What the words are about."""

    job: Job
    preset: str
    cell_m: float
    places: tuple[Place, ...]
    judgements: tuple[Judgement, ...]
    beds: tuple[BedFigures, ...]
    dead_frac: float
    windows_differ_frac: float
    reynolds_number: float
    map_flat: bool
    finished: bool
    uneven_frac: float
    level_mg_l: float
    capped: bool


def _per_cent(estimate: Estimate) -> str:
    low, high = 100 * estimate.low, 100 * estimate.high
    return f"{100 * estimate.value:.0f} % ({low:.0f}…{high:.0f})"


def _of(facts: Facts, about: str) -> Judgement:
    return next(j for j in facts.judgements if j.about == about)


def verdict_of(facts: Facts) -> str:
    """The answer in a few sentences: whether place matters for dissolved gas, for mist, for the beds."""
    slow = max(facts.beds, key=lambda bed: bed.renewal_s.value, default=None)
    stays = "" if slow is None else (
        f" The water at the {slow.name} is renewed last, in {slow.renewal_s.value:.0f} s "
        f"({slow.renewal_s.low:.0f}…{slow.renewal_s.high:.0f})."
    )  # fmt: skip
    if len(facts.places) == 1:
        flat = (
            f"Dissolved CO2 is even: it differs by {100 * facts.uneven_frac:.1f} % of its mean "
            "through the tank."
            if facts.map_flat
            else f"Dissolved CO2 is uneven: it differs by {100 * facts.uneven_frac:.0f} % of its mean."
        )
        mist_words = _per_cent(facts.places[0].dissolved_frac)
        return f"{flat} {mist_words} of the gas dissolves before the surface.{stays}"
    gas, mist = _of(facts, "poorest_co2_mg_l"), _of(facts, "dissolved_frac")
    if gas.differs:
        first = f"For dissolved CO2 the place matters: {gas.sentence}."
    else:
        rest = gas.sentence.removeprefix("no difference: ")
        first = f"For dissolved CO2 it makes no difference where the diffuser stands: {rest}."
    if mist.differs:
        ordered = sorted(facts.places, key=lambda p: -p.dissolved_frac.value)
        second = (
            f" The mist does differ: at {ordered[0].name} {_per_cent(ordered[0].dissolved_frac)} dissolves "
            f"before it meets the surface, at {ordered[-1].name} {_per_cent(ordered[-1].dissolved_frac)}."
        )
    else:
        second = " Nor does it for the share of the mist that dissolves." if not gas.differs else ""
    return first + second + stays


def findings_of(facts: Facts) -> list[Finding]:
    """What to mind, about the tank first and about the model last."""
    found = [*_about_beds(facts), *_about_layout(facts)]
    if facts.dead_frac > 0.25:
        found.append(Finding(
            Level.CARE,
            f"{100 * facts.dead_frac:.0f} % of the water is over 1.5 times as old as one turnover of "
            "the filter. "
            "The outlet does not reach it: turn the outlet, or open the way round the stones.",
            "dead_frac",
        ))  # fmt: skip
    if facts.map_flat:
        found.append(Finding(
            Level.NOTE,
            f"The CO2 map is flat: through the whole tank it differs by {100 * facts.uneven_frac:.1f} "
            "% of its mean. "
            "A flat map is a good map, and a reason to spend no time on moving glass.",
            "uneven_frac",
        ))  # fmt: skip
    if any(place.plume_ratio > 0.2 for place in facts.places):
        found.append(Finding(
            Level.NOTE,
            "The rising bubbles push the water as much as the outlet does, so moving the diffuser moves the "
            "current too; the current was run again for each such place.",
            "places",
        ))  # fmt: skip
    if facts.reynolds_number < 10_000:
        found.append(Finding(
            Level.NOTE,
            f"The outlet's jet is slow (Reynolds number {facts.reynolds_number:.0f}): how far it "
            "carries is known "
            "to 40 % only. Look at the tank with a pinch of fine food before trusting the picture.",
            "outlet",
        ))  # fmt: skip
    return [*found, *_about_model(facts)]


def _about_beds(facts: Facts) -> list[Finding]:
    found = []
    for bed in facts.beds:
        if bed.renewal_s.value > LONG_RENEWAL_S:
            found.append(Finding(
                Level.CARE,
                f"The {bed.name} wait {bed.renewal_s.value:.0f} s for new water. Turn the outlet "
                "towards them or "
                "thin what stands before them; moving the diffuser does not help.",
                "renewal_s",
            ))  # fmt: skip
        if bed.leaf_speed_m_s.value < SLOW_LEAF_M_S:
            found.append(Finding(
                Level.CARE,
                f"Water creeps through the {bed.name} at {1000 * bed.leaf_speed_m_s.value:.1f} mm/s: "
                "leaves there "
                "sit in still films whatever the tank's CO2. More flow or a thinner bed reaches them.",
                "leaf_speed_m_s",
            ))  # fmt: skip
        if bed.short_frac > 0.1:
            found.append(Finding(
                Level.CARE,
                f"{100 * bed.short_frac:.0f} % of the {bed.name} lies under the low end of the target "
                "while the "
                f"tank's mean is {facts.level_mg_l:.1f} mg/L.",
                "short_frac",
            ))  # fmt: skip
    return found


def _about_layout(facts: Facts) -> list[Finding]:
    job, layout = facts.job, layout_of(facts.job)
    found = []
    if released_at_outlet(job):
        found.append(Finding(
            Level.NOTE,
            "The bubbles of an in-hose atomiser come out at the outlet, wherever a diffuser is "
            "drawn: the spots "
            "make no difference. What dissolves in the hose is counted in the plan, not here.",
            "places",
        ))  # fmt: skip
    if not layout.beds:
        found.append(Finding(
            Level.CARE, "No beds are drawn: add [[layout.beds]] to learn how the plants fare.", "beds"
        ))  # fmt: skip
    floor = job.tank.length_cm * job.tank.width_cm
    drawn = sum(bed.length_cm * bed.width_cm for bed in layout.beds) / floor
    planted = sum(bed.cover_frac for bed in job.plants)
    if layout.beds and abs(drawn - planted) > AREA_APART_FRAC * max(planted, 0.05):
        found.append(Finding(
            Level.NOTE,
            f"The beds drawn cover {100 * drawn:.0f} % of the bottom, the planting list says "
            f"{100 * planted:.0f} %. "
            "Uptake here follows the drawing.",
            "beds",
        ))  # fmt: skip
    return found


def _about_model(facts: Facts) -> list[Finding]:
    found = [Finding(
        Level.NOTE,
        f"The current is a model with {100 * facts.cell_m:.1f} cm cells, not a measurement. Speeds of "
        "a bed are "
        f"good to 30 %, between leaves to a factor of 2, times to 50 %; two windows of it differ by "
        f"{100 * facts.windows_differ_frac:.0f} %. These bands are judgement.",
        "speed_m_s", "current-bands",
    )]  # fmt: skip
    if facts.capped:
        found.append(Finding(
            Level.NOTE,
            "The cells are larger than the preset wishes, because the tank is large: --preset fine "
            "looks closer.",
            "cell_m",
        ))  # fmt: skip
    if not facts.finished:
        found.append(Finding(
            Level.CARE,
            "Ended early: what is shown stands on a shorter run, and places not reached are left out.",
            "finished",
        ))  # fmt: skip
    return found


def assumptions_of(job: Job, level_mg_l: float) -> list[Assumption]:
    """What was taken because nobody measured it."""
    densities: Sequence[str] = sorted({bed.density.value for bed in layout_of(job).beds})
    leaves = ", ".join(f"{word} {FRONT_M2[Density(word)]:.0f}" for word in densities)
    found = [
        Assumption("mean CO2 the map is drawn at, the middle of the target", f"{level_mg_l:.1f} mg/L"),
        Assumption("drag coefficient of leaves", "1.0", source="nepf-1999"),
        Assumption("flow at the outlet is true to", "15 %", source="judgement"),
    ]
    if leaves:
        found.append(
            Assumption("frontal area of leaves in a cubic metre of bed", f"{leaves} m²", source="judgement")
        )
    if job.settings.feed_mg_h is None:
        found.append(Assumption("gas flow the mist is drawn at", "what holds that mean", source="judgement"))
    return found
