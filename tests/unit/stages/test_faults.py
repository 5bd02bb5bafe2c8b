"""The fault table holds together, ranks as it should, and answers move it."""

from __future__ import annotations

import pytest

from fizzwright.catalogue.faults import fault_table
from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job
from fizzwright.stages.faults import FIRST_AID, PEOPLE_AID, faults

JOB = read_job(example_text("library-foyer-120.toml"), name="library-foyer-120.toml")
TABLE = fault_table()


def test_the_table_is_whole():
    assert len(TABLE.symptoms) == 42
    for symptom in TABLE.symptoms.values():
        named = set(symptom.shows_frac) | {c for causes in symptom.answers.values() for c in causes}
        assert named <= set(TABLE.causes), f"{symptom.key} names {named - set(TABLE.causes)}"
        assert all(0 < share <= 1 for share in symptom.shows_frac.values())
        assert symptom.mark in {"practice", "derived", "memory", "seen", "second hand"}
        assert symptom.answers
    used = {c for s in TABLE.symptoms.values() for c in s.shows_frac}
    used |= {c for s in TABLE.symptoms.values() for causes in s.answers.values() for c in causes}
    assert set(TABLE.causes) == used


@pytest.mark.parametrize("key", sorted(TABLE.symptoms)[::6])
def test_symptoms_are_ranked(key):
    answer = faults(JOB, [key])
    assert sum(row.p_frac for row in answer.ranking) == pytest.approx(1.0, abs=0.06)
    assert answer.next_check


def test_an_answer_moves_the_ranking():
    before = faults(JOB, ["rate-falls"])
    after = faults(JOB, ["rate-falls"], {"rate-falls": "stays, low gauge falling"})
    assert before.ranking[0].cause != "bottle-low"
    moved = next(row for row in after.ranking if row.cause == "bottle-low")
    assert moved.before_frac is not None
    assert moved.p_frac > 3 * moved.before_frac


def test_the_jobs_numbers_count():
    single = JOB.gasline.regulator.model_copy(update={"stages": 1})
    low = JOB.gasline.bottle.model_copy(update={"remaining_g": 200.0})
    line = JOB.gasline.model_copy(update={"regulator": single, "bottle": low})
    ending = faults(JOB.model_copy(update={"gasline": line}), ["rate-rises"])
    usual = faults(JOB, ["rate-rises"])
    assert ending.ranking[0].cause == "supply-rise"
    assert usual.ranking[0].cause != "supply-rise"


def test_first_aid_comes_first():
    assert faults(JOB, ["fish-gasp-evening"]).first_aid == FIRST_AID
    assert faults(JOB, ["room-stuffy"]).first_aid == PEOPLE_AID
    assert faults(JOB, ["rate-falls"]).first_aid == ()


def test_every_unknown_word_is_refused_at_once():
    with pytest.raises(InputError) as refused:
        faults(JOB, ["purple", "xyzzy"])
    assert len(refused.value.faults) == 2
    with pytest.raises(InputError):
        faults(JOB, ["rate-falls"], {"rate-falls": "qqqq"})
