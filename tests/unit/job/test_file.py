"""Reading a job file: what is accepted, and that everything refused is refused at once, with its line."""

from __future__ import annotations

import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.job.file import load_job, read_job, sibling_paths

SMALL = """\
[job]
name = "corner tank"

[tank]
length = "60 cm"
width = "30 cm"
height = "36 cm"
water_depth = "32 cm"

[water]
kh = "4 dKH"
temperature = "77 F"

[surface]
looks = "rippled"

[light]
on = "10:00"
off = "18:30"
par = "60 µmol/m²/s"

[gasline.bottle]
charge = "500 g"

[gasline.diffuser]
kind = "glass frit"
depth = "25 cm"

[room]
volume = "40 m³"
"""


def faults_of(text, **more):
    with pytest.raises(InputError) as refused:
        read_job(text, **more)
    return {fault.field: fault for fault in refused.value.faults}


def swap(old, new):
    assert old in SMALL
    return SMALL.replace(old, new)


def test_small_file_is_read():
    job = read_job(SMALL)
    # 77 °F is (77 - 32) / 1.8 = 25 °C.
    assert job.water.temperature_c == pytest.approx(25.0, abs=1e-9)
    # 18:30 is 18 x 60 + 30 = 1110 minutes after midnight; lit for 8.5 h.
    assert (job.light.on_min, job.light.off_min) == (600, 1110)
    assert job.light.hours_h == 8.5
    assert job.animals == ()


def test_time_of_day_without_quotes_is_read():
    assert read_job(swap('"10:00"', "10:00:00")).light.on_min == 600


def test_sizes_in_inches_are_read():
    # 24 in x 2.54 cm/in = 60.96 cm.
    assert read_job(swap('"60 cm"', '"24 in"')).tank.length_cm == pytest.approx(60.96)


def test_windows_line_ends_and_byte_order_mark_do_not_matter():
    assert read_job("\ufeff" + SMALL.replace("\n", "\r\n")) == read_job(SMALL)


def test_every_fault_is_listed_with_its_line():
    text = (
        swap('length = "60 cm"', 'length = "60"')
        .replace('kh = "4 dKH"', 'kh = "40 dKH"')
        .replace('looks = "rippled"', 'looks = "ripled"')
        .replace('volume = "40 m³"', 'volum = "40 m³"')
        .replace('water_depth = "32 cm"', 'water_depth = "40 cm"')
    )
    faults = faults_of(text)
    assert {name: fault.line for name, fault in faults.items()} == {
        "tank.length": 5,
        "tank.water_depth": 8,
        "water.kh": 11,
        "surface.looks": 15,
        "room.volum": 30,
    }
    assert "cm" in faults["tank.length"].allowed
    assert faults["water.kh"].value == "40 dKH"
    assert faults["water.kh"].allowed == "allowed 0.05 dKH to 30 dKH"
    assert '"smooth but moving"' in faults["surface.looks"].allowed
    assert faults["surface.looks"].next_step == 'The nearest is "rippled"'
    assert faults["room.volum"].next_step == 'The nearest known key is "volume"'


def test_a_bare_number_is_refused_with_units_that_do():
    fault = faults_of(swap('"4 dKH"', "4"))["water.kh"]
    assert "dKH" in fault.allowed
    assert fault.next_step == 'For example "4 dKH"'


@pytest.mark.parametrize("value", ["true", "[1, 2]", "{a = 1}", "1979-05-27", "nan", '""', '"lots"'])
def test_what_is_no_quantity_is_refused(value):
    assert faults_of(swap('"4 dKH"', value))["water.kh"].line == 11


@pytest.mark.parametrize("value", ["9", '"25:00"', '"noon"', "true", "10.5"])
def test_what_is_no_time_of_day_is_refused(value):
    assert "00:00" in faults_of(swap('"10:00"', value))["light.on"].allowed


def test_missing_fields_say_what_to_measure():
    fault = faults_of(swap('kh = "4 dKH"\n', ""))["water.kh"]
    assert fault.line == 10  # the line of [water]
    assert "titration" in fault.allowed
    assert "0.05 dKH to 30 dKH" in fault.next_step


def test_animals_need_a_mass():
    group = '\n[[animals]]\ngroup = "hardy dwarf shrimp"\ncount = 10\nmass = "0.3 g"\n'
    text = SMALL + group + group.replace('mass = "0.3 g"\n', "")
    fault = faults_of(text)["animals[2].mass"]
    assert fault.line == 37
    assert "mass of one animal" in fault.allowed


@pytest.mark.parametrize("count", ["0", "2.5", "true", '"many"'])
def test_animals_are_counted_in_whole_numbers(count):
    group = f'\n[[animals]]\ngroup = "hardy dwarf shrimp"\ncount = {count}\nmass = "0.3 g"\n'
    assert "1 to 5000" in faults_of(SMALL + group)["animals[1].count"].allowed


def test_impossible_geometry_is_found_beside_other_faults():
    text = swap('depth = "25 cm"', 'depth = "90 cm"').replace('par = "60 µmol/m²/s"', 'par = "60"')
    assert set(faults_of(text)) == {"gasline.diffuser.depth", "light.par"}


@pytest.mark.parametrize(
    ("extra", "field"),
    [
        ('\n[gasline.tube]\nbore = "6 mm"\nouter = "6 mm"\n', "gasline.tube.bore"),
        ('\n[target]\nlow = "20 mg/L"\nhigh = "15 mg/L"\n', "target.low"),
        ('\n[[plants]]\ncover = "60 %"\n\n[[plants]]\ncover = "50 %"\n', "plants.cover"),
    ],
)
def test_contradictions_are_refused(extra, field):
    assert field in faults_of(SMALL + extra)


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("[tank]", '[tank]\nsubstrate_depth = "32 cm"', "tank.substrate_depth"),
        ("[tank]", '[tank]\nhardscape_volume = "50 L"', "tank.hardscape_volume"),
        ('off = "18:30"', 'off = "10:00"', "light.off"),
        ('off = "18:30"', 'off = "11:00"\nramp = "45 min"', "light.ramp"),
        ('charge = "500 g"', 'charge = "500 g"\nremaining = "2 kg"', "gasline.bottle.remaining"),
    ],
)
def test_more_contradictions_are_refused(old, new, field):
    assert field in faults_of(swap(old, new))


def test_a_misspelt_table_is_named_and_still_checked():
    faults = faults_of(swap("[room]", "[rooms]").replace('"40 m³"', '"1 m³"'))
    assert faults["rooms"].next_step == 'The nearest known key is "room"'
    assert faults["room.volume"].line == 30


def test_a_key_with_its_unit_in_the_name_is_explained():
    assert faults_of(swap("kh =", "kh_dkh ="))["water.kh_dkh"].next_step == 'The nearest known key is "kh"'


def test_a_key_of_another_table_is_told_where_it_lives():
    fault = faults_of(swap("[tank]", '[tank]\nlooks = "rippled"'))["tank.looks"]
    assert fault.next_step == "There is surface.looks"


def test_brackets_single_or_double_are_explained():
    group = '\n[animals]\ngroup = "hardy dwarf shrimp"\ncount = 10\n'
    faults = faults_of(SMALL + group)
    assert "[[animals]]" in faults["animals"].allowed
    assert "animals[1].mass" in faults
    assert "[room]" in faults_of(swap("[room]", "[[room]]"))["room"].allowed


def test_time_zone_must_exist():
    fault = faults_of(swap('"corner tank"', '"corner tank"\ntimezone = "Europe/Berln"'))["job.timezone"]
    assert fault.line == 3
    assert fault.next_step == 'The nearest is "Europe/Berlin"'


@pytest.mark.parametrize(
    "name",
    [
        "../other.toml",
        "/other.toml",
        "C:other.toml",
        "a\\\\b.toml",
        "a/../../b.toml",
        "other.txt",
        "",
        "x\\n.toml",
    ],
)
def test_shared_files_stay_in_the_folder(name):
    text = swap('charge = "500 g"', f'charge = "500 g"\nshared_with = ["good.toml", "{name}"]')
    faults = faults_of(text)
    assert set(faults) == {"gasline.bottle.shared_with[2]"}
    assert faults["gasline.bottle.shared_with[2]"].line == 24


def test_a_file_may_not_list_itself_or_one_twice():
    text = swap('charge = "500 g"', 'charge = "500 g"\nshared_with = ["a.toml", "b.toml", "b.toml"]')
    assert set(faults_of(text, name="a.toml")) == {
        "gasline.bottle.shared_with[1]",
        "gasline.bottle.shared_with[3]",
    }


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("[water]\nkh = 4 dKH\n", 2, "in quotes"),
        ("[water]\n[water]\n", 2, "higher up"),
        ("[water\n", 1, "TOML"),
        ("x = " + "[" * 3000, None, "deep"),
    ],
)
def test_a_slip_in_the_toml_is_one_fault_with_its_line(text, line, says):
    with pytest.raises(InputError) as refused:
        read_job(text, name="corner.toml")
    (fault,) = refused.value.faults
    assert fault.field == "corner.toml"
    assert fault.line == line
    assert says in str(fault)


def test_an_empty_file_lists_every_table_it_needs():
    assert set(faults_of("")) == {"job", "tank", "water", "surface", "light", "gasline", "room"}


def test_files_that_cannot_be_read_are_refused(tmp_path):
    with pytest.raises(InputError, match="is not there"):
        load_job(tmp_path / "none.toml")
    with pytest.raises(InputError, match="cannot be read"):
        load_job(tmp_path)
    (tmp_path / "odd.toml").write_bytes(SMALL.encode("utf-16"))
    with pytest.raises(InputError, match="UTF-8"):
        load_job(tmp_path / "odd.toml")


def test_siblings_are_found_beside_the_file(tmp_path):
    for name in ("school-rack.toml", "school-rack-2.toml", "school-rack-3.toml"):
        (tmp_path / name).write_text(example_text(name), encoding="utf-8")
    (tmp_path / "out").mkdir()
    job = load_job(tmp_path / "school-rack.toml")
    with pytest.raises(InputError, match="school-rack-4"):
        sibling_paths(tmp_path / "school-rack.toml", job)
    (tmp_path / "school-rack-4.toml").write_text(example_text("school-rack-4.toml"), encoding="utf-8")
    paths = sibling_paths(tmp_path / "school-rack.toml", job)
    assert [path.name for path in paths] == ["school-rack-2.toml", "school-rack-3.toml", "school-rack-4.toml"]


def test_a_link_out_of_the_folder_is_refused(tmp_path):
    inside = tmp_path / "in"
    inside.mkdir()
    (tmp_path / "b.toml").write_text(SMALL, encoding="utf-8")
    text = swap('charge = "500 g"', 'charge = "500 g"\nshared_with = ["b.toml"]')
    (inside / "a.toml").write_text(text, encoding="utf-8")
    (inside / "b.toml").symlink_to(tmp_path / "b.toml")
    with pytest.raises(InputError, match="leads out"):
        sibling_paths(inside / "a.toml", load_job(inside / "a.toml"))
