"""Refusals are clear text; anything unforeseen is owned up to without a traceback."""

from __future__ import annotations

import json

import pytest

from fizzwright import cli
from fizzwright.cli.refusal import report_bug, report_refusal
from fizzwright.errors import Fault, InputError, MissingExtra, NoPhysicalRoot, NotFound, UnsafePlan


@pytest.mark.parametrize(
    ("refusal", "code"),
    [
        (InputError([Fault("a", "1", "no")]), 3),
        (NoPhysicalRoot("none"), 4),
        (UnsafePlan(["too much"]), 5),
        (NotFound("gone"), 6),
        (MissingExtra("pip install x"), 7),
    ],
)
def test_exit_codes(refusal, code, capsys):
    assert report_refusal(refusal) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert str(refusal).splitlines()[0] in err


def test_json_names_every_fault(capsys):
    report_refusal(
        InputError([Fault("--kh", "4", "needs a unit"), Fault("--temp", "", "is needed")]), as_json=True
    )
    out, err = capsys.readouterr()
    found = json.loads(out)
    assert [fault["field"] for fault in found["error"]["faults"]] == ["--kh", "--temp"]
    assert found["error"]["exit_code"] == 3
    assert "2 faults" in err


def test_a_mistake_of_our_own_is_one_line(capsys, monkeypatch):
    monkeypatch.delenv("FIZZWRIGHT_DEBUG", raising=False)
    assert report_bug(RuntimeError("boom\nboom")) == 1
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "RuntimeError: boom boom" in err
    assert "Traceback" not in err


def test_the_traceback_comes_when_asked_for(capsys, monkeypatch):
    monkeypatch.setenv("FIZZWRIGHT_DEBUG", "1")
    report_bug(RuntimeError("boom"))
    assert "RuntimeError: boom" in capsys.readouterr().err.splitlines()[0]


def test_usage_is_two(capsys):
    assert cli.main(["plam"]) == 2
    assert "Did you mean plan" in capsys.readouterr().err
    assert cli.main(["bench", "oxygen", "--no-such-option"]) == 2


def test_version(capsys):
    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("Fizzwright 0.")
