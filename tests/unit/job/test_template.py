"""The blank file and the interview say what the model says, no more and no less."""

from __future__ import annotations

import re
import tomllib

import pytest
from pydantic import TypeAdapter

from fizzwright.errors import InputError
from fizzwright.job.fields import notes
from fizzwright.job.file import read_job
from fizzwright.job.model import Job
from fizzwright.job.template import answers_text, blank_text, interview, read_answer

ANSWERS = {
    "job.name": "corner tank",
    "tank.length": "60 cm",
    "tank.width": "30 cm",
    "tank.height": "36 cm",
    "tank.water_depth": "32 cm",
    "water.kh": "4 dKH",
    "water.temperature": "77 °F",
    "surface.looks": "4",
    "light.on": "10:00",
    "light.off": "18:00",
    "light.par": "60 µmol",
    "gasline.bottle.charge": "500 g",
    "gasline.diffuser.kind": "glass frit",
    "gasline.diffuser.depth": "25 cm",
    "room.volume": "40 m³",
}


def keys(model=Job, path=()):
    for key, note in notes(model).items():
        if note.part is None:
            yield ".".join((*path, key)), note
        else:
            yield from keys(note.part, (*path, key))


def put(answers):
    questions = {question.field: question for question in interview()}
    return {field: read_answer(questions[field], text) for field, text in answers.items()}


def test_every_key_stands_in_the_blank_file_with_its_help():
    text = blank_text()
    flat = " ".join(text.replace("#", " ").split())
    for name, note in keys():
        assert f"{name.rsplit('.', 1)[-1]} = " in text, name
        assert " ".join(note.help.split()) in flat, name


def test_every_field_has_help():
    assert [name for name, note in keys() if not note.help] == []


def test_blank_file_is_refused_once_for_each_required_key():
    with pytest.raises(InputError) as refused:
        read_job(blank_text())
    needed = {
        name
        for name, note in keys()
        if note.required and name.split(".")[0] not in ("plants", "animals", "target", "layout")
    }
    assert {fault.field for fault in refused.value.faults} == needed
    assert all(fault.line for fault in refused.value.faults)


def test_commented_defaults_are_the_defaults():
    known = dict(keys())
    table, seen = "", set()
    for row in blank_text().splitlines():
        if head := re.match(r"(?:# )?\[+([a-z_.]+)\]", row):
            table = head[1]
        elif re.match(r"# [a-z_0-9]+ = ", row) and "# no default" not in row:
            ((key, value),) = tomllib.loads(row.removeprefix("# ")).items()
            note = known.get(f"{table}.{key}")
            if note is not None and not note.required:
                assert TypeAdapter(note.annotation).validate_python(value) == note.default
                seen.add(f"{table}.{key}")
    assert seen == {name for name, note in known.items() if not note.required and note.default is not None}


def test_interview_asks_everything_required():
    asked = {question.field for question in interview()}
    # A layout is drawn with the tank in view, not asked for: it belongs to where things stand, not to what.
    required = {name for name, note in keys() if note.required and not name.startswith("layout.")}
    assert required <= asked
    assert asked <= {name for name, _ in keys()}


def test_interview_makes_a_file():
    job = read_job(answers_text(put(ANSWERS)))
    assert job.tank.length_cm == 60
    assert job.surface.looks == "rippled"  # the fourth word of the list


def test_repeated_groups_become_repeated_tables():
    snails = {"animals[1].group": "snails or mussels", "animals[1].count": 3, "animals[1].mass": "2 g"}
    more = {key.replace("1", "2"): value for key, value in snails.items()}
    job = read_job(answers_text(put(ANSWERS) | snails | more | {"plants[1].cover": "40 %"}))
    assert [group.count for group in job.animals] == [3, 3]
    assert job.plants[0].cover_frac == pytest.approx(0.4)


def test_contradictions_between_answers_are_refused():
    with pytest.raises(InputError, match="deeper than the tank"):
        answers_text(put(ANSWERS | {"tank.water_depth": "40 cm"}))
    with pytest.raises(InputError, match="no key of a job file"):
        answers_text({"tank.lenght": "4 cm"})


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("tank.length", "", "needs an answer"),
        ("tank.length", "60", "cm"),
        ("tank.length", "6 cm", "10 cm to 600 cm"),
        ("light.on", "noon", "00:00"),
        ("surface.looks", "9", "rippled"),
        ("job.timezone", "Mars/North", "IANA"),
        ("animals.count", "2.5", "whole number"),
    ],
)
def test_answers_that_will_not_do(field, text, says):
    question = next(question for question in interview() if question.field == field)
    with pytest.raises(InputError) as refused:
        read_answer(question, text)
    assert says in str(refused.value)
    assert refused.value.faults[0].field == field


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("tank.lid", "", None),
        ("tank.lid", "closed", "closed hood"),
        ("animals.group", "hardy", "hardy dwarf shrimp"),
        ("animals.count", " 12 ", 12),
        ("job.name", "2024", "2024"),
        ("water.kh", "4,5 dKH", "4,5 dKH"),
    ],
)
def test_answers_that_do(field, text, value):
    question = next(question for question in interview() if question.field == field)
    assert read_answer(question, text) == value
