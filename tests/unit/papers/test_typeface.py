"""The type: whose it is, how wide it runs, what it can draw."""

from __future__ import annotations

import hashlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fizzwright.papers.typeface import covered, font_folder, text_width, wrap

README = (font_folder() / "README.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| (\S+\.(?:otf|ttf|woff2)) \|.*\| ([0-9a-f]{64}) \|$", README, re.MULTILINE)


def test_every_font_file_is_listed_and_no_other() -> None:
    kept = {p.name for p in font_folder().iterdir() if p.suffix in {".otf", ".ttf", ".woff2"}}
    assert {name for name, _ in ROWS} == kept


@pytest.mark.parametrize(("name", "expected"), ROWS)
def test_font_files_are_the_ones_listed(name: str, expected: str) -> None:
    assert hashlib.sha256((font_folder() / name).read_bytes()).hexdigest() == expected


def test_licences_lie_beside_the_fonts() -> None:
    own = (font_folder() / "LICENCE.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in own
    assert "Bitstream" in (font_folder() / "LICENCE-DejaVu.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("bold", [False, True])
def test_figures_are_tabular(bold: bool) -> None:
    """All ten figures of an instrument-panel face run equally wide (practice)."""
    assert len({text_width(c, 100, bold=bold) for c in "0123456789"}) == 1


def test_width_grows_with_size_and_adds_up() -> None:
    assert text_width("bottle", 20) == pytest.approx(2 * text_width("bottle", 10))
    assert text_width("bottle", 10) == pytest.approx(sum(text_width(c, 10) for c in "bottle"))


def test_the_letters_the_sheets_need_are_all_there() -> None:
    needed = "CO₂ O₂ m³ m² µ ° − … – ’ × · ½ Ä ø ß 90 %\u00a0"
    assert covered(needed) == needed


def test_names_in_other_scripts_are_drawn_and_pictures_are_marked() -> None:
    assert covered("Łódź, Ελλάδα, Аквариум") == "Łódź, Ελλάδα, Аквариум"
    assert covered("tank 🐟") == "tank \ufffd"
    assert covered("a\u0000b\u200d\ufe0fc\n") == "a bc "


@given(st.text(max_size=40))
def test_whatever_is_written_can_be_set(text: str) -> None:
    kept = covered(text)
    assert covered(kept) == kept
    assert text_width(kept, 12) >= 0


@given(st.text(alphabet="abc de", max_size=80), st.integers(20, 300), st.integers(1, 4))
def test_wrapped_lines_fit_and_lose_nothing_without_a_sign(text: str, width: int, lines: int) -> None:
    made = wrap(text, width, 12, lines=lines)
    assert len(made) <= lines
    assert all(text_width(one, 12) <= width for one in made)
    if not any("…" in one for one in made):
        assert " ".join(made).split() == text.split()
