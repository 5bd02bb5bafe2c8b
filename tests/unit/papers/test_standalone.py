"""A figure as a file of its own, and the three palettes."""

from __future__ import annotations

import itertools

import pytest

from fizzwright.papers.day_strip import day_strip_desk
from fizzwright.papers.svg import standalone
from fizzwright.papers.tokens import PALETTES, Sheet, figure_rules, figure_variables
from tests.unit.papers.papers_check import SPACE, read
from tests.unit.papers.papers_plans import made_up_plan


def test_a_file_carries_its_rules_and_its_ground_and_asks_for_nothing() -> None:
    svg = standalone(day_strip_desk(made_up_plan()))
    root = read(svg)
    assert [c.tag.removeprefix(SPACE) for c in root][:4] == ["title", "desc", "style", "rect"]
    assert "#95450f" in svg
    assert "var(" not in svg
    assert "prefers-color-scheme" not in svg
    assert "url(" not in svg
    assert svg.count("http") == 1, "only the name of the SVG space"


def test_the_margin_widens_the_picture_on_all_sides() -> None:
    inner = read(day_strip_desk(made_up_plan())).attrib
    outer = read(standalone(day_strip_desk(made_up_plan()), margin=10)).attrib
    assert outer["viewBox"].startswith("-10 -10 ")
    assert float(outer["width"]) == float(inner["width"]) + 20


def test_without_a_margin_there_is_no_ground() -> None:
    svg = standalone(day_strip_desk(made_up_plan()), sheet=Sheet.PRINT, margin=0)
    assert read(svg).attrib["viewBox"].startswith("0 0 ")
    assert '<rect class="paperf"' not in svg


def test_something_else_is_refused() -> None:
    with pytest.raises(ValueError, match="figure"):
        standalone("<p>no drawing</p>")


def test_page_rules_name_tokens_and_file_rules_name_colours() -> None:
    assert "var(--gas-tint)" in figure_variables()
    assert "#" not in figure_variables()
    for sheet in Sheet:
        assert "$" not in figure_rules(sheet)
        assert "var(" not in figure_rules(sheet)


def _luminance(colour: str) -> float:
    """Relative luminance of a colour (WCAG 2.2, definition of relative luminance; memory)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("sheet", list(Sheet))
def test_every_word_keeps_the_contrast_small_type_needs(sheet: Sheet) -> None:
    """4.5 to 1 for text under 18 pt (WCAG 2.2, criterion 1.4.3; memory)."""
    palette = PALETTES[sheet]
    words = ("ink", "pencil", "gas", "water", "leaf")
    grounds = ("paper", "shade", "gas-tint", "water-tint", "leaf-tint")
    for word, ground in itertools.product(words, grounds):
        light, dark = sorted((_luminance(palette[word]), _luminance(palette[ground])), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.45, (word, ground)
    light, dark = sorted((_luminance(palette["on-ink"]), _luminance(palette["ink"])), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_white_on_black_is_the_largest_contrast() -> None:
    """21 to 1 for white on black (WCAG 2.2, definition of contrast ratio; memory)."""
    assert (_luminance("#ffffff") + 0.05) / (_luminance("#000000") + 0.05) == pytest.approx(21.0)
