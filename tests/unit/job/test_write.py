"""Changing a job file and writing a new one."""

from __future__ import annotations

import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.file import read_job
from fizzwright.job.write import update_job, write_job

FOYER = example_text("library-foyer-120.toml")
JOB_FILES = [name for example in EXAMPLES for name in example_files(example) if name.endswith(".toml")]


def changed_lines(old, new):
    before, after = old.splitlines(), new.splitlines()
    return [row for row in before if row not in after], [row for row in after if row not in before]


def test_a_fitted_value_is_added_and_nothing_else_moves():
    new = update_job(FOYER, {"surface.loss": "0.25 /h", "surface.loss_spread": "4 %"})
    assert changed_lines(FOYER, new) == ([], ['loss = "0.25 /h"', 'loss_spread = "4 %"'])
    rows = new.splitlines()
    assert rows[rows.index('loss = "0.25 /h"') - 1].startswith("looks =")
    job = read_job(new)
    assert job.surface.loss_per_h == 0.25
    assert job.surface.loss_spread_frac == 0.04


def test_a_changed_value_keeps_its_remark():
    removed, added = changed_lines(FOYER, update_job(FOYER, {"animals[2].count": 30}))
    assert removed[0].split("#")[1] == added[0].split("#")[1]
    assert read_job(update_job(FOYER, {"animals[2].count": 30})).animals[1].count == 30


def test_a_new_table_goes_to_the_end():
    new = update_job(FOYER, {"settings.gas_on": "10:00", "settings.gas_off": "19:00"})
    assert new.startswith(FOYER)
    assert read_job(new).settings.gas_on_min == 600


def test_none_takes_a_value_out():
    assert read_job(update_job(FOYER, {"water.ph": None})).water.ph is None
    assert update_job(FOYER, {"settings.feed": None, "surface.loss": None}) == FOYER


def test_no_change_is_no_change():
    assert update_job(FOYER, {}) == FOYER


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"surface.loss": "0.25"}, "/h"),
        ({"surface.los": "0.25 /h"}, 'nearest known key is "loss"'),
        ({"animals[5].count": 3}, "stands 2 times"),
        ({"animals.count": 3}, "stands 2 times"),
        ({"surface[1].loss": "1 /h"}, "stands once"),
        ({"water.kh.kit": "1"}, "no table"),
        ({"two words": "1"}, "as in the file"),
        ({"tank": None}, "tank: is missing"),
        ({"tank.water_depth": "60 cm"}, "deeper than the tank"),
    ],
)
def test_a_change_that_cannot_stand_is_refused(changes, says):
    with pytest.raises(InputError, match=r".") as refused:
        update_job(FOYER, changes)
    assert says in str(refused.value)


def test_a_file_that_is_no_toml_is_refused():
    with pytest.raises(InputError, match="TOML"):
        update_job("[water", {"water.kh": "4 dKH"})


def test_inline_tables_and_dotted_keys_are_kept():
    text = """\
job = {name = "x"}
tank = {length="60 cm", width="30 cm", height="36 cm", water_depth="32 cm"} # inside
room.volume = "50 m3"
light = {on="10:00", off="20:00", par="50 umol"}
water = {kh="4 dKH", temperature="25 C"}
surface.looks = "rippled"
gasline.bottle.charge = "2 kg"
gasline.diffuser = {kind="ladder", depth="20 cm"}
"""
    new = update_job(text, {"tank.lid": "closed hood", "room.altitude": "5 m", "gasline.tube.bore": "3 mm"})
    assert changed_lines(text, new)[0] == [text.splitlines()[1]]
    assert "# inside" in new
    assert read_job(new).gasline.tube.bore_mm == 3


@pytest.mark.parametrize("name", JOB_FILES)
def test_written_jobs_read_back_the_same(name):
    job = read_job(example_text(name))
    again = read_job(write_job(job))
    assert again == job
    assert again.tank.model_fields_set == job.tank.model_fields_set


def test_numbers_keep_every_digit():
    job = read_job(FOYER)
    surface = job.surface.model_copy(update={"loss_per_h": 0.1 + 0.2, "loss_spread_frac": 1 / 3})
    again = read_job(write_job(job.model_copy(update={"surface": surface})))
    assert again.surface.loss_per_h == 0.1 + 0.2
    assert again.surface.loss_spread_frac == 1 / 3
