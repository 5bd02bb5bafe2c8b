"""Every example loads, every file of it is listed, and none is left lying about."""

from __future__ import annotations

import pytest

from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.file import read_job
from tests.rules.house import SRC


@pytest.mark.parametrize("name", [f for e in EXAMPLES for f in example_files(e) if f.endswith(".toml")])
def test_example_loads(name):
    job = read_job(example_text(name), name=name)
    assert job.job.name


def test_listed_are_the_files_there_are():
    there = {path.name for path in (SRC / "data" / "examples").iterdir() if path.suffix in (".toml", ".csv")}
    assert {name for example in EXAMPLES for name in example_files(example)} == there


def test_shared_bottles_name_files_of_the_same_example():
    for example in EXAMPLES:
        names = example_files(example)
        for name in (n for n in names if n.endswith(".toml")):
            shared = read_job(example_text(name), name=name).gasline.bottle.shared_with
            assert set(shared) <= set(names), name
