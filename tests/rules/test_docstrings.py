"""Every public name says what it gives; in an equation every number says its unit in brackets."""

from __future__ import annotations

import inspect
import re

import pytest

from fizzwright.units import suffix_of
from tests.rules.house import (
    NUMERIC,
    PURE_NUMBERS,
    RETURNS_A_NUMBER,
    modules,
    public_functions,
    public_objects,
)

ALL = modules()
ENGINES = [m for m in ALL if m.__name__.startswith("fizzwright.engines.")]


@pytest.mark.parametrize("module", ALL, ids=lambda m: m.__name__)
def test_everything_public_has_a_docstring(module):
    assert (module.__doc__ or "").strip(), f"{module.__name__} has no docstring"
    things = [*public_objects(module), *public_functions(module)]
    assert [dotted for dotted, thing in things if not _own_docstring(thing)] == []


def _own_docstring(thing: object) -> str:
    text = (vars(thing) if inspect.isclass(thing) else {"__doc__": thing.__doc__}).get("__doc__") or ""
    return "" if re.match(r"^\w+\(.*\)$", text) else text.strip()  # dataclasses write their own signature


@pytest.mark.parametrize("module", ENGINES, ids=lambda m: m.__name__)
def test_first_line_is_a_sentence(module):
    odd = []
    for dotted, function in public_functions(module):
        first = (inspect.getdoc(function) or "").split("\n\n")[0].replace("\n", " ")
        if not re.sub(r"\s*\[[^\]]*\]$", "", first).endswith((".", ":")):
            odd.append(f"{dotted}: {first}")
    assert not odd, "; ".join(odd)


@pytest.mark.parametrize("module", ENGINES, ids=lambda m: m.__name__)
def test_equations_say_the_unit_of_every_number_in_brackets(module):
    silent = []
    for dotted, function in public_functions(module):
        if not hasattr(function, "__equation__"):
            continue
        text = inspect.getdoc(function) or ""
        signature = inspect.signature(function)
        silent += [
            f"{dotted}({name})"
            for name, parameter in signature.parameters.items()
            if NUMERIC.search(str(parameter.annotation))
            and suffix_of(name) not in PURE_NUMBERS
            and not _has_unit(text, name)
        ]
        has_unit = suffix_of(function.__name__) not in PURE_NUMBERS
        if (
            has_unit
            and RETURNS_A_NUMBER.match(str(signature.return_annotation))
            and not re.search(r"Returns\n-+\n[\s\S]*?\[[^\]]*\]", text)
        ):
            silent.append(f"{dotted} -> {signature.return_annotation}")
    assert not silent, f"no unit in brackets: {', '.join(silent)}"


def _has_unit(docstring: str, name: str) -> bool:
    """Whether the lines under `name :` carry a unit in square brackets before the next entry starts."""
    block = re.search(
        rf"^(?:\w+, )*{name}(?:, \w+)* :.*\n((?:[ \t]+.*\n?|\n(?=[ \t]))*)", docstring, re.MULTILINE
    )
    return bool(block and re.search(r"\[[^\]]*\]", block.group(0)))
