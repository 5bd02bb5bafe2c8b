"""Job files of any kind: refused with faults or read, never a traceback; written jobs read back the same."""

from __future__ import annotations

import copy
import tomllib

import tomlkit
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fizzwright.errors import InputError
from fizzwright.job.examples import EXAMPLES, example_files, example_text
from fizzwright.job.file import read_job
from fizzwright.job.locate import locate
from fizzwright.job.template import interview, read_answer
from fizzwright.job.write import update_job, write_job

FOYER = example_text("library-foyer-120.toml")
DATA = tomllib.loads(FOYER)
JOBS = [read_job(example_text(f)) for e in EXAMPLES for f in example_files(e) if f.endswith(".toml")]

plain = (
    st.none().map(lambda _: "")
    | st.booleans()
    | st.integers(-10, 10**6)
    | st.floats(allow_nan=True)
    | st.text(max_size=8)
    | st.sampled_from(
        ["4 dKH", "0 cm", "1e400 g", "5 psi", "99:99", "23:59", "nan %", "Europe/Berlin", "../x.toml"]
    )
    | st.dates()
)
values = st.recursive(
    plain,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


def paths(data, path=()):
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from paths(value, (*path, key))


PATHS = list(paths(DATA))


def read_or_refuse(text):
    faults = None
    try:
        read_job(text)
    except InputError as refused:
        faults = refused.faults
    assert faults is None or (faults and all(fault.field and fault.allowed for fault in faults))


@settings(deadline=None)
@given(st.text(max_size=200))
@example("\ufeff")
@example("[job]\nname = 'x'\n\x00")
def test_any_text(text):
    read_or_refuse(text)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(PATHS), st.booleans(), values), min_size=1, max_size=4))
def test_any_damage_is_refused_with_lines(damage):
    data = copy.deepcopy(DATA)
    for path, remove, value in damage:
        place = data
        for step in path[:-1]:
            inside = isinstance(place, dict) and step in place
            inside = inside or (isinstance(place, list) and isinstance(step, int) and step < len(place))
            place = place[step] if inside else None
        if isinstance(place, dict) and remove:
            place.pop(path[-1], None)
        elif isinstance(place, dict):
            place[path[-1]] = value
    text = tomlkit.dumps(data)
    try:
        known = tomllib.loads(text)
    except ValueError:
        read_or_refuse(text)
        return
    lines = locate(text)
    assert set(paths(known)) <= set(lines)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
    read_or_refuse(text)


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(JOBS), st.data())
def test_written_jobs_read_back_number_for_number(job, data):
    water = job.water.model_copy(
        update={
            "kh_dkh": data.draw(st.floats(0.05, 30)),
            "temperature_c": data.draw(st.floats(10, 34)),
            "ph": data.draw(st.none() | st.floats(4, 10)),
            "ec_us_cm": data.draw(st.none() | st.floats(5, 5000)),
        }
    )
    surface = job.surface.model_copy(
        update={
            "loss_per_h": data.draw(st.none() | st.floats(0.005, 5)),
            "loss_spread_frac": data.draw(st.none() | st.floats(0.005, 1)),
        }
    )
    name = data.draw(st.text(st.characters(codec="utf-8"), min_size=1, max_size=30))
    identity = job.job.model_copy(
        update={"name": name, "note": data.draw(st.text(st.characters(codec="utf-8"), max_size=30))}
    )
    settings_ = job.settings.model_copy(update={"gas_on_min": data.draw(st.none() | st.integers(0, 1439))})
    changed = job.model_copy(
        update={"water": water, "surface": surface, "job": identity, "settings": settings_}
    )
    assert read_job(write_job(changed)) == changed


@settings(max_examples=60, deadline=None)
@given(loss=st.floats(0.005, 5), spread=st.floats(0.005, 1))
def test_a_fitted_value_comes_back(loss, spread):
    text = update_job(FOYER, {"surface.loss": f"{loss!r} /h", "surface.loss_spread": f"{100 * spread!r} %"})
    surface = read_job(text).surface
    assert surface.loss_per_h == loss
    assert abs(surface.loss_spread_frac - spread) <= 1e-12
    back = update_job(text, {"surface.loss": None, "surface.loss_spread": None})
    assert tomllib.loads(back) == DATA


@given(
    st.sampled_from(interview()),
    st.text(max_size=12) | st.sampled_from(["4 dKH", "5 cm", "10:00", "7", "50 %"]),
)
def test_any_answer_is_taken_or_refused(question, text):
    value, field = None, ""
    try:
        value = read_answer(question, text)
    except InputError as refused:
        field = refused.faults[0].field
    assert field == question.field or value is not None or not (question.required or text.strip())
