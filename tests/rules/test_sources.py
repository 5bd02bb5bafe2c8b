"""Every source a record names exists, and every source is used."""

from __future__ import annotations

import re

import pytest

from fizzwright.sources import all_sources
from tests.rules.house import SRC
from tools.page_equations import MARKS, all_equations

SOURCES = all_sources()
FOLDER = SRC / "data" / "sources"
CODE = "\n".join(
    path.read_text(encoding="utf-8")
    for path in sorted(SRC.rglob("*"))
    if path.suffix in (".py", ".toml", ".csv") and not path.is_relative_to(FOLDER)
)


def test_there_are_equations():
    assert len(all_equations()) > 20


@pytest.mark.parametrize("equation", all_equations(), ids=lambda e: e.name)
def test_equation_is_well_recorded(equation):
    assert equation.source in SOURCES, f"no source is kept under {equation.source}"
    assert equation.says.endswith((".", ":")) or "." in equation.says, "the first line is no sentence"
    for name, (low, high) in equation.valid.items():
        assert low < high, f"the range of {name} is empty"


@pytest.mark.parametrize("source", SOURCES.values(), ids=lambda s: s.key)
def test_source_is_whole(source):
    assert source.mark in MARKS
    assert len(source.citation) > 15
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9.]+)*", source.key), "keys are written like weiss-1974"


@pytest.mark.parametrize("key", SOURCES)
def test_source_is_used(key):
    assert re.search(rf"[\"'`]{re.escape(key)}[\"'`]", CODE), "listed, but nothing names it"
