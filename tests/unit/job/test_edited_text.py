"""A job file edited without being read back: rows come and go, and it may be unfinished."""

from __future__ import annotations

import tomllib

import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.template import blank_text
from fizzwright.job.write import edited_text

FOYER = example_text("library-foyer-120.toml")


def test_nothing_changed_is_the_same_text():
    assert edited_text(FOYER, {}) == FOYER


def test_the_row_after_the_last_is_a_new_one():
    plants = tomllib.loads(edited_text(FOYER, {"plants[3].cover": "5 %", "plants[3].grows": "mixed"}))[
        "plants"
    ]
    assert plants[2] == {"cover": "5 %", "grows": "mixed"}


def test_the_first_row_of_a_list_that_is_not_there_yet():
    found = tomllib.loads(edited_text(blank_text(), {"plants[1].cover": "5 %"}))
    assert found["plants"] == [{"cover": "5 %"}]


def test_rows_are_taken_out_from_the_last_on():
    found = tomllib.loads(edited_text(FOYER, {}, dropped=["animals[1]", "animals[2]", "plants[1]"]))
    assert "animals" not in found
    assert [bed["grows"] for bed in found["plants"]] == ["slow shade plants"]


def test_an_optional_table_goes_with_its_last_key():
    assert "target" not in tomllib.loads(edited_text(FOYER, {"target.low": None, "target.high": None}))
    assert "water" in tomllib.loads(edited_text(FOYER, dict.fromkeys(("water.kh", "water.temperature"))))


@pytest.mark.parametrize("row", ["plants[9]", "plants[0]", "plants", "light[1]", "a b"])
def test_a_row_that_is_not_there_is_a_fault(row):
    with pytest.raises(InputError, match="there is no such row"):
        edited_text(FOYER, {}, dropped=[row])


def test_a_gap_in_the_rows_is_a_fault():
    with pytest.raises(InputError, match="stands 2 times"):
        edited_text(FOYER, {"plants[5].cover": "5 %"})
