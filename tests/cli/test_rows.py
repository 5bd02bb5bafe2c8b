"""A sum over a file of cases."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass

import pytest

from fizzwright.cli.questions import slots_of
from fizzwright.cli.rows import columns_of, run_cases
from fizzwright.errors import InputError, NoPhysicalRoot
from fizzwright.form import asked
from fizzwright.result import Estimate, Finding, Level, Trail


@dataclass(frozen=True)
class Question:
    """A temperature and a hardness."""

    water_c: float = asked("--temp", "water temperature", low=0.0, high=40.0)
    kh_dkh: float = asked("--kh", "carbonate hardness", low=0.0, high=30.0)


@dataclass(frozen=True)
class Answer:
    """Their sum, which means nothing."""

    total_number: Estimate
    word: str | None
    trail: Trail


def add(question: Question) -> Answer:
    """Add the two."""
    if question.kh_dkh == 13.0:
        raise NoPhysicalRoot("thirteen has no answer")
    total = question.water_c + question.kh_dkh
    findings = (Finding(Level.CARE, "rather hard", "kh"),) if question.kh_dkh > 20 else ()
    return Answer(Estimate(total, "number", total - 1, total + 1), None, Trail((), (), (), findings, "", ""))


class Entry:
    """What the runner asks of an entry of the bench table."""

    def loaded(self):
        """The question and its function."""
        return Question, add


@pytest.fixture
def run(tmp_path, capsys):
    """Run over a text; gives the exit code and the rows that came out."""

    def run(text, given=None, as_json=False):
        path = tmp_path / "cases.csv"
        path.write_text(text, encoding="utf-8")
        code = run_cases(str(path), Entry(), given or {}, as_json=as_json)
        out = capsys.readouterr().out
        return code, json.loads(out) if as_json else list(csv.DictReader(io.StringIO(out)))

    return run


def test_cells_with_units_and_columns_with_units(run):
    code, rows = run("tank,temp,kh_dkh\nfoyer,77 F,4\nnano,20C,3 meq/L\n")
    assert code == 0
    # 25 + 4; 20 + 3 * 56.0774 / 20 = 28.4116
    assert [row["tank"] for row in rows] == ["foyer", "nano"]
    assert [float(row["total_number"]) for row in rows] == pytest.approx([29.0, 28.4116], abs=1e-4)
    assert float(rows[0]["total_number_low"]) == 28.0
    assert float(rows[0]["total_number_high"]) == 30.0
    assert list(rows[0]) == [
        "tank", "temp", "kh_dkh", "total_number", "total_number_low", "total_number_high", "word",
        "findings", "fault",
    ]  # fmt: skip


def test_semicolons_and_comma_decimals(run):
    code, rows = run("temp_c;kh\n24,5;4,5 dKH\n")
    assert (code, float(rows[0]["total_number"])) == (0, 29.0)


def test_another_unit_in_the_heading(run):
    _, rows = run("temp_f,kh_dkh\n77,4\n")
    assert float(rows[0]["total_number"]) == pytest.approx(29.0)


def test_a_bad_row_says_why_and_the_run_goes_on(run):
    code, rows = run("temp_c,kh_dkh\n99,\n25,13\n25,21\n")
    assert code == 3
    assert "--temp" in rows[0]["fault"]
    assert "--kh" in rows[0]["fault"]
    assert rows[1]["fault"] == "thirteen has no answer"
    assert (rows[2]["total_number"], rows[2]["findings"]) == ("46.0", "care: rather hard")


def test_an_option_holds_for_all_rows(run):
    _, rows = run("kh_dkh\n4\n5\n", {"water_c": "25C"})
    assert [row["total_number"] for row in rows] == ["29.0", "30.0"]


def test_json_rows(run):
    code, found = run("temp_c,kh_dkh\n25,4\n99,4\n", as_json=True)
    assert code == 3
    assert found["rows"][0]["result"]["total_number"]["value"] == 29.0
    assert found["rows"][1]["error"]["faults"][0]["field"] == "--temp"


def test_a_slip_in_a_heading_is_refused():
    with pytest.raises(InputError, match="Did you mean water_c"):
        columns_of(["watr_c", "kh_dkh"], slots_of(Question))


def test_two_columns_for_one_field_are_refused():
    with pytest.raises(InputError, match="two columns"):
        columns_of(["temp_c", "temp_f"], slots_of(Question))


@pytest.mark.parametrize("text", ["", "\n\n"])
def test_an_empty_file_is_refused(run, text):
    with pytest.raises(InputError, match="is empty"):
        run(text)


def test_a_missing_file_is_refused():
    with pytest.raises(InputError, match="cannot be read"):
        run_cases("nowhere.csv", Entry(), {}, as_json=False)
