"""A table of beads as people type it."""

from __future__ import annotations

import pytest

from fizzwright.errors import InputError
from fizzwright.inference.beads import Bead
from fizzwright.readings.beads import read_beads


def test_blank_cells_units_and_notes():
    text = "Bead,diameter_mm,vanish_s,rise_cm,note\n1,1.1,4.6,,first\n2,0.9 mm,,4 in,\n,,,,\n"
    found = read_beads(text)
    assert found[0] == Bead(1.1, vanish_s=4.6)
    assert found[1].rise_cm == pytest.approx(10.16)
    assert len(found) == 2


def test_semicolons_with_decimal_commas():
    assert read_beads("diameter_mm;vanish_s\n1,1;4,6\n") == (Bead(1.1, vanish_s=4.6),)


def test_a_file_is_read_with_its_name_in_faults(tmp_path):
    path = tmp_path / "beads.csv"
    path.write_text("diameter_mm,vanish_s\n1.0,soon\n2 kg,3\n", encoding="utf-8")
    with pytest.raises(InputError) as refused:
        read_beads(path)
    assert [(f.line, f.field) for f in refused.value.faults] == [
        (2, "beads.csv, vanish_s"), (3, "beads.csv, diameter_mm"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("size,seconds\n1,2\n", "no reading of a bead"),
        ("diameter_mm,diameter_mm\n1,2\n", "two columns"),
        ("diameter_mm,vanish_s\n,\n", "holds no bead"),
    ],
)
def test_tables_that_are_none(text, says):
    with pytest.raises(InputError, match=says):
        read_beads(text)
