"""Every row of cases/*.csv: a number published elsewhere against the function that gives it."""

from __future__ import annotations

import pytest

from tools.reference_cases import MARKS, load_cases

CASES = load_cases()


def test_there_are_cases():
    assert CASES, "no reference case was found beside this file"


def test_identifiers_are_unique():
    seen = [case.id for case in CASES]
    assert sorted(set(seen)) == sorted(seen)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_published_number(case):
    assert case.mark in MARKS, f"{case.id}: mark {case.mark!r} is none of {', '.join(MARKS)}"
    assert case.source, f"{case.id} names no source"
    assert case.why, f"{case.id} does not say why its tolerance is what it is"
    assert case.tolerance > 0, f"{case.id} needs a tolerance over zero"
    ours = case.ours()
    assert abs(ours - case.expected) <= case.allowed, (
        f"{case.call}({case.inputs}) gives {ours:.6g} {case.unit}, "
        f"{case.source} ({case.where}) prints {case.expected:.6g}, allowed ±{case.allowed:.3g} ({case.why})"
    )
