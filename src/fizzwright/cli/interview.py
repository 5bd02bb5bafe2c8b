"""The questions that make a job file, asked one at a time on a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any

from fizzwright.errors import InputError
from fizzwright.job.template import Question, answers_text, interview, read_answer

__all__ = ["asked", "interviewed"]

Reader = Callable[[str], str]
Answers = dict[str, Any]

_GREETING = """One question at a time. An empty answer takes what stands after "=", or leaves it open.
Quantities need a unit: 120 cm, 48 in, 4 dKH, 77 F. Ctrl-C stops; nothing is written before the end.
"""
_ROUND = {"plants": "planted bed", "animals": "group of animals"}


def interviewed(read: Reader = input) -> tuple[str, str]:
    """The job file that the answers make, and the name of the job."""
    print(_GREETING)
    answers = asked(read)
    while True:
        try:
            return answers_text(answers), str(answers["job.name"])
        except InputError as refused:
            print("\nThese answers cannot stand together:")
            for fault in refused.faults:
                print(f"  {fault}")
            again = [key for key in answers if any(_same(fault.field, key) for fault in refused.faults)]
            for key in again or list(answers):
                answers[key] = _one(_question_of(key), read)


def asked(read: Reader) -> Answers:
    """Every answer by its key; groups that repeat are numbered from 1."""
    answers: Answers = {}
    for group, members in groupby(interview(), key=lambda question: question.group):
        questions = list(members)
        for prefix in _rounds(group, questions[0], read):
            for question in questions:
                answers[f"{prefix}.{question.field.rpartition('.')[2]}"] = _one(question, read)
    return answers


def _rounds(group: str, first: Question, read: Reader) -> Iterator[str]:
    """The prefixes of the keys of a group: once, not at all, or one for each bed or group of animals."""
    if not first.repeats:
        if not first.optional or _yes(f"Say something about {group.replace('_', ' ')}?", read):
            yield group
        return
    word, index = _ROUND.get(group, group), 1
    while _yes(f"Is there a {word}?" if index == 1 else f"Another {word}?", read):
        yield f"{group}[{index}]"
        index += 1


def _yes(question: str, read: Reader) -> bool:
    return read(f"\n{question} [y/N] ").strip().lower() in ("y", "yes")


def _one(question: Question, read: Reader) -> Any:
    """One answer, asked again until it can be read."""
    for number, word in enumerate(question.words, 1):
        print(f"    {number} {word}")
    limits = f" ({question.allowed})" if question.allowed and not question.words else ""
    default = f" = {question.default}" if question.default else ""
    while True:
        try:
            return read_answer(question, read(f"{question.prompt}{limits}{default}: "))
        except InputError as refused:
            print("\n".join(f"    {fault}" for fault in refused.faults))


def _same(field: str, key: str) -> bool:
    """Whether a fault's field means this key; a fault about a whole group means all of its keys."""
    return key == field or key.startswith(f"{field}.") or _bare(key) == field


def _bare(key: str) -> str:
    return "".join(part.partition("]")[2] if "]" in part else part for part in key.split("["))


def _question_of(key: str) -> Question:
    return next(question for question in interview() if question.field == _bare(key))
