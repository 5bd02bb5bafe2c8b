"""How files look: length, complete `__all__`, nothing unfinished, no prints outside the command line."""

from __future__ import annotations

import ast
import re

import pytest

from tests.rules.house import NUMERIC, SRC, python_files

LONGEST_FILE_LINES = 400
MOST_PARAMETERS = 5
FILES = python_files("src", "tests", "tools", "benchmarks")
SOURCES = python_files("src")
SUMS = [
    p
    for room in ("engines", "inference", "stages", "catalogue")
    for p in SOURCES
    if p.is_relative_to(SRC / room)
]


def _short(path):
    return "/".join(path.parts[-3:])


@pytest.mark.parametrize("path", FILES, ids=_short)
def test_file_fits_a_sitting(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE_LINES


@pytest.mark.parametrize("path", SOURCES, ids=_short)
def test_all_is_complete(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    defined = {
        node.name
        for node in tree.body
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_")
    }
    listed = {
        element.value
        for node in tree.body
        if isinstance(node, ast.Assign) and any(getattr(t, "id", "") == "__all__" for t in node.targets)
        for element in getattr(node.value, "elts", [])
    }
    bound = defined | {
        name.id for node in tree.body for name in ast.walk(node) if isinstance(name, ast.Name)
    } | {
        (alias.asname or alias.name).split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for alias in node.names
    }  # fmt: skip
    left_out, strange = sorted(defined - listed), sorted(listed - bound)
    assert not left_out, f"public, but not in __all__: {', '.join(left_out)}"
    assert not strange, f"in __all__, but not there: {', '.join(strange)}"


@pytest.mark.parametrize("path", SUMS, ids=_short)
def test_functions_take_few_parameters(path):
    """At most five, and numbers after the second are given by name, so that none is taken for another."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
    wide = []
    for node in (
        node for body in (tree, *classes) for node in body.body if isinstance(node, ast.FunctionDef)
    ):
        if node.name.startswith("_"):
            continue
        by_place = [a for a in (*node.args.posonlyargs, *node.args.args) if a.arg not in ("self", "cls")]
        numbers = [a for a in by_place if a.annotation and NUMERIC.search(ast.unparse(a.annotation))]
        if len(numbers) > 2 or len(by_place) + len(node.args.kwonlyargs) > MOST_PARAMETERS:
            wide.append(f"line {node.lineno} {node.name}")
    assert not wide, "; ".join(wide)


@pytest.mark.parametrize("path", SOURCES, ids=_short)
def test_no_print_outside_the_command_line(path):
    if path.is_relative_to(SRC / "cli"):
        return
    calls = [
        node.lineno
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "print"
    ]
    assert calls == []


@pytest.mark.parametrize("path", FILES, ids=_short)
def test_nothing_is_left_unfinished(path):
    marks = re.compile(r"\b(" + "|".join(["TO" + "DO", "FIX" + "ME", "X" * 3]) + r")\b|Not" + "Implemented")
    assert not marks.search(path.read_text(encoding="utf-8"))
