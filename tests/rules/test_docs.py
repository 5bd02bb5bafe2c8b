"""The docs are in step with the code, and their links lead somewhere."""

from __future__ import annotations

import re

import pytest

from tests.rules.house import ROOT
from tools.make_docs import PAGES, main

PROSE = sorted([*(ROOT / "docs").rglob("*.md"), *ROOT.glob("*.md")])


def test_generated_pages_are_in_step(capsys):
    assert main(["--check"]) == 0, capsys.readouterr().out


def test_every_generated_page_is_reachable():
    index = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    assert [name for name in PAGES if f"({name})" not in index] == []


@pytest.mark.parametrize("path", PROSE, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_links_lead_somewhere(path):
    links = re.findall(r"\]\(([^)#\s]+)[^)]*\)", path.read_text(encoding="utf-8"))
    local = [link for link in links if not re.match(r"[a-z]+:", link)]
    assert [link for link in local if not (path.parent / link).exists()] == []


@pytest.mark.parametrize("path", PROSE, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_commands_in_the_prose_exist(path):
    from fizzwright.cli.bench import SUMS
    from fizzwright.cli.root import fizzwright

    text = path.read_text(encoding="utf-8")
    known = set(fizzwright.entries)
    assert set(re.findall(r"(?:^    |`)fizzwright ([a-z]+)\b", text, re.MULTILINE)) <= known
    assert set(re.findall(r"fizzwright bench ([a-z0-9]+)\b", text)) - {"command", "sums"} <= set(SUMS)
