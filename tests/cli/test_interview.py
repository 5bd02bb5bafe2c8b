"""The questions on a terminal make a job file that can be read."""

from __future__ import annotations

import pytest

from fizzwright.cli.interview import interviewed
from fizzwright.job.file import read_job

ANSWERS = {
    "name": "Kitchen by the door",
    "tank length": "60 cm", "tank width": "30 cm", "tank height": "36 cm", "tank water depth": "33 cm",
    "water kh": "4 dKH", "water temperature": "77 F", "surface looks": "4",
    "light on": "12:00", "light off": "20:00", "light par": "60 umol/m2/s",
    "plants cover": "60 %", "animals group": "robust small", "animals count": "12", "animals mass": "0.5 g",
    "bottle charge": "2 kg", "diffuser kind": "fine", "diffuser depth": "28 cm", "room volume": "30 m3",
}  # fmt: skip


class Person:
    """Answers by the beginning of each prompt; says yes once to every offer; patient up to a point."""

    def __init__(self, answers):
        self.answers = {
            key: list(value) if isinstance(value, tuple) else [value] for key, value in answers.items()
        }
        self.agreed = set()
        self.patience = 200

    def __call__(self, prompt):
        self.patience -= 1
        assert self.patience, f"asked without end: {prompt}"
        if "[y/N]" in prompt:
            first = prompt not in self.agreed
            self.agreed.add(prompt)
            return "y" if first and "Is there" in prompt else "n"
        for start, replies in self.answers.items():
            if prompt.startswith(start + ":"):
                return replies.pop(0) if len(replies) > 1 else replies[0]
        return ""


@pytest.fixture
def made(capsys):
    """The job a person's answers make, its name, and what was printed on the way."""

    def made(**changed):
        text, name = interviewed(Person(ANSWERS | {key.replace("_", " "): v for key, v in changed.items()}))
        return read_job(text), name, capsys.readouterr().out

    return made


def test_answers_make_a_job(made):
    job, name, _ = made()
    assert name == "Kitchen by the door"
    assert job.water.temperature_c == pytest.approx(25.0)
    assert job.animals[0].count == 12
    assert len(job.plants) == 1
    assert job.target is None


def test_an_answer_without_unit_is_asked_again(made):
    job, _, printed = made(tank_length=("60", "60 cm"))
    assert job.tank.length_cm == 60.0
    assert "needs a number with a unit of length" in printed


def test_answers_that_exclude_each_other_are_asked_again(made):
    job, _, printed = made(tank_water_depth=("40 cm", "33 cm"))
    assert "cannot stand together" in printed
    assert job.tank.water_depth_cm == 33.0
