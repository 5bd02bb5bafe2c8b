"""The line of every key, whichever way TOML lets it be written."""

from __future__ import annotations

import tomllib

import pytest

from fizzwright.job.locate import line_of, locate

TEXT = '''\
# a remark with [brackets] and = signs
name = "x"  # first

[water]
kh = "4 dKH"
note = """
[not.a.table]
fake = 1
"""
"quoted key" = 'it''s'
deep.er.key = 1

[[animals]]
mass = "1 g"
[[animals]]
group = { kind = "snail", size = [1,
  2, { x = "#no remark" }] }

[animals.more]
a = 1979-05-27 07:32:00

[gasline.tube]
bore = "4 mm"
[ gasline . "bottle" ]
charge = """a""\\""""
last = 1.5e3
'''.replace("'it''s'", "'its'")


def test_text_is_valid():
    assert tomllib.loads(TEXT)["animals"][1]["more"]


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 2),
        (("water",), 4),
        (("water", "kh"), 5),
        (("water", "note"), 6),
        (("water", "quoted key"), 10),
        (("water", "deep", "er", "key"), 11),
        (("animals",), 13),
        (("animals", 0), 13),
        (("animals", 0, "mass"), 14),
        (("animals", 1), 15),
        (("animals", 1, "group", "kind"), 16),
        (("animals", 1, "group", "size", 0), 16),
        (("animals", 1, "group", "size", 1), 17),
        (("animals", 1, "group", "size", 2, "x"), 17),
        (("animals", 1, "more", "a"), 20),
        (("gasline", "tube", "bore"), 23),
        (("gasline", "bottle"), 24),
        (("gasline", "bottle", "charge"), 25),
        (("gasline", "bottle", "last"), 26),
    ],
)
def test_lines(path, line):
    assert locate(TEXT)[path] == line


def test_nothing_else_is_taken_for_a_key():
    assert ("not", "a", "table") not in locate(TEXT)
    assert ("water", "fake") not in locate(TEXT)


def test_a_missing_key_is_found_at_the_table_round_it():
    lines = locate(TEXT)
    assert line_of(lines, ("gasline", "tube", "outer")) == 22
    assert line_of(lines, ("room", "volume")) is None
