"""What a dial-in says in words: verdict, next step, what is not known yet, what to mind."""

from __future__ import annotations

from collections.abc import Sequence

from fizzwright.inference.tank import TankPosterior
from fizzwright.result import Assumption, Estimate, Finding, Level
from fizzwright.stages.dial_past import GasClock, Told
from fizzwright.stages.dial_result import Learnt, Step
from fizzwright.stages.plan_choice import Decided
from fizzwright.stages.plan_words import clock_text
from fizzwright.units import number_text

__all__ = ["assumptions_of", "findings_of", "learnt_of", "step_words", "verdict_of"]

IDENTIFIED_FRAC = 0.6
# Unknown, as a person calls it, and the reading that settles it.
SETTLES = (
    ("surface loss", "surface loss", "log pH over one night with gas and lamp off"),
    ("bubble mass", "gas in one bubble", "weigh the bottle a week apart, or fill a measuring tube "
    "with bubbles"),
    ("dissolved share", "share of the gas that dissolves", "weigh the bottle: only then do feed and "
    "dissolved share part"),
    ("plants", "plants' uptake", "log pH through a whole lit day at a steady feed"),
    ("breathing", "breathing of animals and ground", "log pH to the end of a night, until it stops climbing"),
    ("carbonate hardness", "carbonate hardness", "titrate KH with a double sample, or read pH of an "
    "aired glass"),
    ("probe offset", "probe offset", "read the probe in pH 7 buffer at tank temperature"),
)  # fmt: skip
POOR_MISFIT_RATIO = 1.8
MANY_ASIDE_COUNT = 5


def learnt_of(posterior: TankPosterior) -> tuple[Learnt, ...]:
    """For each unknown how much doubt is left, and what would narrow it."""
    rows = []
    for name, called, reading in SETTLES:
        left = posterior.left_frac(name)
        rows.append(Learnt(called, left, left < IDENTIFIED_FRAC, reading))
    return tuple(rows)


def _limits(estimate: Estimate, digits: int = 3) -> str:
    shown = [number_text(x, digits) for x in (estimate.value, estimate.low, estimate.high)]
    return f"{shown[0]} ({shown[1]}…{shown[2]})"


def verdict_of(now: Estimate, lit: Estimate, target_mg_l: tuple[float, float], ceiling_mg_l: float) -> str:
    """The present and the lit level in two sentences."""
    low, high = target_mg_l
    where = "in" if low <= lit.value <= high else "under" if lit.value < low else "over"
    return (
        f"The water holds {_limits(now)} mg/L now. At the present feed the lit hours settle at "
        f"{_limits(lit)} "
        f"mg/L, {where} the target of {low:.0f} to {high:.0f}; the starting ceiling is {ceiling_mg_l:.0f}."
    )


def step_words(step: Step, clock: GasClock) -> str:
    """The next step as a sentence or three a person can follow at the tank."""
    on = clock_text(clock.on_min)
    rate, feed = number_text(step.bubbles_per_s), number_text(step.feed_mg_h)
    percent = f"{abs(100 * step.change_frac):.0f} %"
    reads = ", ".join(clock_text(m) for m in step.read_at_min[:4])
    look = f"Read next at {reads}."
    held = f" Held back by {step.held_by}." if step.held_by else ""
    stop = f"Raise nothing after {clock_text(step.no_raise_after_min)} or before leaving."
    if step.kind == "lower now":
        return (
            f"Lower the feed now by {percent}, to {rate} bubbles a second ({feed} mg/h).{held} {look} {stop}"
        )
    if step.kind == "lower at gas on":
        return (
            f"Lower the feed by {percent} before gas opens at {on}, to {rate} bubbles a second "
            f"({feed} mg/h).{held} {look}"
        )
    if step.kind == "raise at gas on":
        return (
            f"Leave it for today. When gas opens at {on}, raise the feed by {percent}, to {rate} "
            f"bubbles a second "
            f"({feed} mg/h), one change a day.{held} {look} {stop}"
        )
    if step.kind == "done":
        return (
            f"Done: keep {rate} bubbles a second ({feed} mg/h).{held} The lit hours stay in the band with "
            f"{100 * step.p_in_band_frac:.0f} % chance. Check again in a week, at lights-on and an "
            f"hour before lights-off."
        )
    return f"Keep {rate} bubbles a second ({feed} mg/h) and change nothing today.{held} {look}"


def findings_of(
    decided: Decided, posterior: TankPosterior, step: Step, told: Told, now: Estimate
) -> tuple[Finding, ...]:
    """What to mind, the gravest first."""
    found: list[Finding] = []
    limits, animals = decided.limits, bool(decided.known.job.animals)
    if animals and now.high > limits.ceiling_mg_l:
        level = Level.STOP if now.value > limits.hard_mg_l else Level.CARE
        found.append(Finding(level, (
            f"CO2 may be over the starting ceiling of {limits.ceiling_mg_l:.0f} mg/L already. Look "
            f"at the animals first: "
            "if they gasp or gather at the surface, shut the bottle's own valve, stir the surface "
            "or run an air pump, "
            "and change a third of the water."), "co2"))  # fmt: skip
    if animals:
        found.append(Finding(Level.CARE, (
            "Stay until the day's peak has passed, or raise on a day you can. Animals at the "
            "surface outrank every "
            "figure here: shut the bottle's valve and stir the surface."), "animals"))  # fmt: skip
    if posterior.misfit_ratio > POOR_MISFIT_RATIO or posterior.aside_count > MANY_ASIDE_COUNT:
        found.append(Finding(Level.CARE, (
            "No tank like the one surveyed fits these readings well. Check the gas and lamp times "
            "noted, the KH and "
            "the probe before trusting the step."), "fit"))  # fmt: skip
    if posterior.aside_count:
        count = posterior.aside_count
        found.append(
            Finding(Level.NOTE, f"{count} pH stretches no tank explains were left out of the fit.", "ph")
        )
    if not any(d.kind in {"gas on", "gas off"} for d in told.doings):
        found.append(Finding(Level.NOTE, (
            'No gas events are noted; the timer is taken at its word. Note "gas on" and "gas off" '
            'in the event '
            "column where they differ."), "gas"))  # fmt: skip
    if "bubbles_per_s" not in told.columns:
        found.append(Finding(Level.NOTE, (
            "No bubbles were counted; the feed is taken as set. Count once a day at "
            "least."), "feed"))  # fmt: skip
    unknown = [row for row in learnt_of(posterior) if not row.identified]
    if unknown:
        text = "; ".join(f"{row.name}: {row.reading}" for row in unknown[:4])
        found.append(Finding(Level.NOTE, f"Not told apart yet, and what would: {text}.", "learning"))
    if step.held_by == "the stuck-open limit":
        found.append(Finding(Level.CARE, (
            "More feed would let a valve stuck open pass the hard stop within a day. Move the "
            "surface more before "
            "asking for more gas."), "stuck open"))  # fmt: skip
    rank = {Level.STOP: 0, Level.CARE: 1, Level.NOTE: 2}
    return tuple(sorted(found, key=lambda f: rank[f.level]))


def assumptions_of(told: Sequence[Assumption]) -> tuple[Assumption, ...]:
    """What the plan assumed, and how readings are taken to err."""
    own = (
        Assumption("probe offset after a calibration, one standard deviation", "0.05 pH", source="judgement"),
        Assumption("probe drift", "0.01 pH a day", source="judgement"),
        Assumption("slow departure of a tank from any model", "0.025 pH over about 4 h", source="judgement"),
        Assumption("water change where the note gives no share", "30 %"),
    )
    return (*told, *own)
