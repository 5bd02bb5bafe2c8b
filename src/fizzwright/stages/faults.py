"""The stage `faults`: causes ranked by what was seen, by the job's own numbers and by checks answered.

Plain Bayes on a table of judgement: symptoms are taken as independent once the cause is known, one cause at
a time. The figures rank; they are no measurement.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fizzwright.catalogue.faults import Symptom, fault_table
from fizzwright.errors import Fault, InputError
from fizzwright.job.model import Job
from fizzwright.result import Assumption, Finding, Level, Trail, make_trail
from fizzwright.stages.dial import plan_equations_of
from fizzwright.stages.faults_hints import hints_of
from fizzwright.stages.plan_choice import decide

__all__ = ["FIRST_AID", "PEOPLE_AID", "FaultsResult", "Ranked", "faults"]

# Judged: a symptom shows up this often with a cause the table does not list for it.
UNLISTED_FRAC = 0.03
# A check is answered as its cause would have it this often.
TRUE_ANSWER_FRAC = 0.85
LEAST_SHOWN_FRAC = 0.01
DRAWS_COUNT = 64

FIRST_AID = (
    "Shut the bottle's own valve, not only the timer.",
    "Stir the surface hard or run an air pump, now.",
    "Note pH, temperature, oxygen if you can, and the time.",
    "Change 30 to 50 % of the water, conditioned and at tank temperature.",
    "Open the window. Leave the lamp on: plants take CO2 and give oxygen.",
    "Add nothing to lift pH, and feed nothing.",
    "Start again at half the feed at most, after the cause is found.",
)
PEOPLE_AID = (
    "With headache, short breath or a meter at 5000 ppm or more: leave first, and take others along.",
    "Open up from outside. Do not go back for the bottle until a meter at floor level, read from "
    "the door, is under 5000.",
    "Call the emergency number where anybody is unwell.",
    "Do not touch frosted metal: cold burns.",
)


@dataclass(frozen=True)
class Ranked:
    """One cause with its share, the check that settles it, what to do, and what moved it.

    `before_frac` is its share before the answers to checks, None where none were given.
    """

    cause: str
    name: str
    p_frac: float
    before_frac: float | None
    check: str
    answers: tuple[str, ...]
    check_key: str
    do: str
    why: tuple[str, ...]


@dataclass(frozen=True)
class FaultsResult:
    """Causes ranked; `first_aid` stands before everything where somebody may be in distress."""

    name: str
    seen: tuple[str, ...]
    first_aid: tuple[str, ...]
    ranking: tuple[Ranked, ...]
    next_check: str
    trail: Trail


def faults(job: Job, seen: Sequence[str], checked: Mapping[str, str] | None = None) -> FaultsResult:
    """What is wrong: causes by probability, each with the check that separates it.

    Parameters
    ----------
    job : Job
    seen : sequence of str
        Symptoms, by key or in words.
    checked : mapping of str to str, optional
        Answers to checks: symptom key to an answer of its check.

    Raises
    ------
    InputError
        With every symptom and answer that is not in the table.
    """
    symptoms = _found(seen)
    answers = _answers(checked or {})
    decided = decide(job, draws_count=DRAWS_COUNT)
    hints = hints_of(decided)
    weights = _weights(symptoms)
    for hint in hints:
        if hint.cause in weights:
            weights[hint.cause] *= hint.odds_ratio
    before = _shares(weights)
    after = _shares(_answered(weights, answers))
    ranking = [
        Ranked(
            cause=key,
            name=fault_table().causes[key].name,
            p_frac=share,
            before_frac=before[key] if answers else None,
            check=_best_check(key, symptoms).check,
            answers=tuple(_best_check(key, symptoms).answers),
            check_key=_best_check(key, symptoms).key,
            do=fault_table().causes[key].do,
            why=tuple(h.why for h in hints if h.cause == key),
        )
        for key, share in sorted(after.items(), key=lambda item: -item[1])
        if share >= LEAST_SHOWN_FRAC
    ]
    aid = _aid(symptoms)
    best = _most_telling(after, symptoms, set(answers))
    return FaultsResult(
        name=job.job.name,
        seen=tuple(s.says for s in symptoms),
        first_aid=aid,
        ranking=tuple(ranking),
        next_check="" if best is None else f"{best.check} ({' / '.join(best.answers)})",
        trail=make_trail(
            plan_equations_of(decided),
            inputs=job.model_dump(mode="json") | {"seen": [s.key for s in symptoms], "checked": answers},
            assumptions=(
                Assumption("how often causes occur and show", "the fault table", source="judgement"),
                Assumption("one cause at a time", "", source="judgement"),
            ),
            findings=_findings(aid, ranking),
        ),
    )


def _found(seen: Sequence[str]) -> list[Symptom]:
    """The symptoms meant; every one that is unknown is a fault."""
    table = fault_table().symptoms
    found, strange = [], []
    for word in seen:
        key = word.strip().lower().replace(" ", "-")
        near = difflib.get_close_matches(key, table, n=1, cutoff=0.8) or [
            k for k, s in table.items() if s.says.lower() == word.strip().lower()
        ]
        if key in table or near:
            found.append(table[key if key in table else near[0]])
        else:
            likely = difflib.get_close_matches(key, table, n=3, cutoff=0.3)
            step = f"Near it: {', '.join(likely)}" if likely else "fizzwright faults JOB --list shows all"
            strange.append(Fault("--seen", word, "is no symptom of the table", step))
    if not seen:
        strange.append(Fault("--seen", "", "needs a symptom", "fizzwright faults JOB --list shows all"))
    if strange:
        raise InputError(strange)
    return list({symptom.key: symptom for symptom in found}.values())


def _answers(checked: Mapping[str, str]) -> dict[str, str]:
    """Answers as the table spells them."""
    table = fault_table().symptoms
    found, strange = {}, []
    for key, answer in checked.items():
        if key not in table:
            strange.append(
                Fault("--checked", key, "is no symptom of the table", "fizzwright faults JOB --list")
            )
            continue
        words = table[key].answers
        near = difflib.get_close_matches(answer.strip().lower(), words, n=1, cutoff=0.4)
        starts = [word for word in words if word.startswith(answer.strip().lower())]
        if not near and not starts:
            strange.append(Fault("--checked", f"{key}={answer}", f"one of: {' / '.join(words)}"))
            continue
        found[key] = (starts or near)[0]
    if strange:
        raise InputError(strange)
    return found


def _weights(symptoms: Sequence[Symptom]) -> dict[str, float]:
    """How often each cause occurs times how often it shows all that was seen."""
    listed = {cause for symptom in symptoms for cause in symptom.shows_frac}
    weights = {}
    for key in listed:
        weight = fault_table().causes[key].often_ratio
        for symptom in symptoms:
            weight *= symptom.shows_frac.get(key, UNLISTED_FRAC)
        weights[key] = weight
    return weights


def _shares(weights: Mapping[str, float]) -> dict[str, float]:
    total = sum(weights.values()) or 1.0
    return {key: weight / total for key, weight in weights.items()}


def _answered(weights: Mapping[str, float], answers: Mapping[str, str]) -> dict[str, float]:
    """The weights after the answers to checks."""
    after = dict(weights)
    for key, answer in answers.items():
        words = fault_table().symptoms[key].answers
        for cause in after:
            after[cause] *= _answer_frac(words, answer, cause)
    return after


def _answer_frac(words: Mapping[str, tuple[str, ...]], answer: str, cause: str) -> float:
    """How often a cause gives this answer; a cause the check does not know gives any."""
    own = [word for word, favoured in words.items() if cause in favoured]
    if not own or len(words) < 2:
        return 1.0 / len(words)
    if answer in own:
        return TRUE_ANSWER_FRAC / len(own)
    return (1.0 - TRUE_ANSWER_FRAC) / max(len(words) - len(own), 1)


def _best_check(cause: str, symptoms: Sequence[Symptom]) -> Symptom:
    """The check among those of the symptoms seen that knows the cause."""
    knows = [s for s in symptoms if any(cause in favoured for favoured in s.answers.values())]
    return (knows or list(symptoms))[0]


def _most_telling(shares: Mapping[str, float], symptoms: Sequence[Symptom], done: set[str]) -> Symptom | None:
    """The check not yet answered that is expected to leave the least doubt (least expected Gini)."""
    left = [s for s in symptoms if s.key not in done]
    if not left:
        return None

    def doubt(symptom: Symptom) -> float:
        total = 0.0
        for answer in symptom.answers:
            joint = {c: p * _answer_frac(symptom.answers, answer, c) for c, p in shares.items()}
            chance = sum(joint.values())
            if chance > 0:
                total += chance * (1.0 - sum((p / chance) ** 2 for p in joint.values()))
        return total

    return min(left, key=doubt)


def _aid(symptoms: Sequence[Symptom]) -> tuple[str, ...]:
    """People first, then animals."""
    kinds = {symptom.distress for symptom in symptoms}
    return (*(PEOPLE_AID if "people" in kinds else ()), *(FIRST_AID if "animals" in kinds else ()))


def _findings(aid: Sequence[str], ranking: Sequence[Ranked]) -> tuple[Finding, ...]:
    rows = []
    if aid:
        rows.append(
            Finding(Level.STOP, f"First: {aid[0]} {aid[1]} Look for the cause afterwards.", "first aid")
        )
    if ranking and ranking[0].p_frac < 0.5:
        rows.append(Finding(Level.NOTE, (
            "No cause stands out yet. Answer the check named and rank again."), "ranking"))  # fmt: skip
    rows.append(Finding(Level.NOTE, (
        "The shares rank causes by judgement and by this job's numbers; a check at the tank outranks them."),
        "ranking"))  # fmt: skip
    return tuple(rows)
