"""Words and addresses that must not stand in what belongs to the project."""

from __future__ import annotations

import ast
import re
import tokenize

import pytest

from tests.rules.house import ROOT, SRC, text_files

HERE = ROOT / "tests" / "rules"
FILES = [p for p in text_files() if not p.is_relative_to(HERE) and not p.name.startswith("LICEN")]
READ_BY_PEOPLE = [p for p in FILES if p.is_relative_to(SRC) or p.suffix == ".md" or "examples" in p.parts]


def _short(path):
    return path.relative_to(ROOT).as_posix()


def _hits(path, pattern):
    text = path.read_text(encoding="utf-8")
    return [
        f"{n}: {line.strip()[:100]}" for n, line in enumerate(text.splitlines(), 1) if pattern.search(line)
    ]


def _said_in_code(path):
    """Texts and comments of a Python file; its names are nobody's business here."""
    with path.open("rb") as stream:
        comments = [t.string for t in tokenize.tokenize(stream.readline) if t.type == tokenize.COMMENT]
    tree = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    return comments + [n.value for n in tree if isinstance(n, ast.Constant) and isinstance(n.value, str)]


@pytest.mark.parametrize("path", READ_BY_PEOPLE, ids=_short)
def test_nothing_is_called_safe(path):
    """An estimate and a ceiling to start from, never a promise about animals, people, levels or rooms."""
    word = re.compile(r"\bsafe(ly|st|r)?\b|\bharmless\b", re.IGNORECASE)
    hits = _hits(path, word)
    if path.suffix == ".py":
        hits = [text[:100] for text in _said_in_code(path) if word.search(text)]
    assert hits == []


@pytest.mark.parametrize("path", FILES, ids=_short)
def test_no_path_of_one_machine(path):
    assert _hits(path, re.compile(r"(^|[^A-Za-z0-9_.:/])/(work|farm|root|home|Users)/")) == []


@pytest.mark.parametrize("path", FILES, ids=_short)
def test_no_registry_address(path):
    registry = r"https?://[^ ]*(pypi|pythonhosted|registry\.npmjs|npmmirror|/simple/)"
    assert _hits(path, re.compile(registry)) == []


@pytest.mark.parametrize("path", [p for p in FILES if p.is_relative_to(SRC)], ids=_short)
def test_nothing_reaches_for_the_network(path):
    """No typesetter package from a registry, no address but the names of XML vocabularies."""
    assert _hits(path, re.compile(r"@preview|https?://(?!www\.w3\.org/)")) == []


@pytest.mark.parametrize("path", READ_BY_PEOPLE, ids=_short)
def test_no_exclamation_in_what_people_read(path):
    """Plain sentences; `!=`, `![image]` and `"!"` in code are no exclamations."""
    assert _hits(path, re.compile(r"[A-Za-z]!(\s|$|\"|')")) == []
