"""The example tanks are plausible, not only readable."""

from __future__ import annotations

import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.file import read_job

JOB_FILES = [name for example in EXAMPLES for name in example_files(example) if name.endswith(".toml")]


@pytest.mark.parametrize("name", JOB_FILES)
def test_bottles_are_filled_as_carbon_dioxide_is(name):
    # European filling practice for CO2: 0.75 kg of gas for each litre of water capacity, at most
    # (filling ratio in EN 1964 use and transport rules; memory).
    bottle = read_job(example_text(name)).gasline.bottle
    assert bottle.water_capacity_l is not None
    assert 0.6 <= bottle.charge_g / 1000 / bottle.water_capacity_l <= 0.755


@pytest.mark.parametrize("name", JOB_FILES)
def test_every_value_has_a_remark(name):
    rows = [row for row in example_text(name).splitlines() if " = " in row and not row.startswith("#")]
    assert [row for row in rows if "  # " not in row] == []


def test_rack_shares_one_bottle():
    files = example_files("school-rack")
    jobs = {name: read_job(example_text(name), name=name) for name in files}
    for name, job in jobs.items():
        assert set(job.gasline.bottle.shared_with) == set(files) - {name}
    assert len({job.gasline.bottle.charge_g for job in jobs.values()}) == 1


def test_unknown_examples_are_refused_with_the_nearest():
    with pytest.raises(InputError, match="library-foyer-120"):
        example_files("library-foyer")
    with pytest.raises(InputError, match="one of"):
        example_text("../model.py")
