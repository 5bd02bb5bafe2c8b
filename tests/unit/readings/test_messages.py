"""SenML packs and captured MQTT lines: every record kept or set aside, units followed, never a traceback."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fizzwright.errors import InputError
from fizzwright.readings import read_mqtt_lines, read_readings, read_senml

ZONE = "Europe/Berlin"


def senml(*records):
    return read_senml(json.dumps(list(records)).encode(), timezone=ZONE)


def accounted(log) -> bool:
    """Raw rows are either among the kept ones or set aside, none lost."""
    aside = {row for d in log.decisions if d.sets_aside for row in d.rows}
    return set(map(int, log.lines)) | aside == set(range(1, len(log.raw_rows) + 1))


def test_base_fields_are_added_as_rfc_8428_says():
    # RFC 8428 section 4.6 (seen in part): name = bn + n, time = bt + t, value = bv + v, unit bu.
    log = senml(
        {"bn": "urn:dev:foyer:", "bt": 1.7e9, "bu": "Cel", "bv": 20, "n": "temperature", "v": 5},
        {"n": "temperature", "t": 60, "v": 5.5},
    )
    assert log.columns["temperature_c"].tolist() == [25.0, 25.5]
    assert log.elapsed_h[1] == pytest.approx(1 / 60)
    assert str(log.utc[0]) == "2023-11-14T22:13:20.000"  # 1.7e9 s, any epoch table


def test_times_under_two_to_the_28_need_a_now():
    log = senml({"n": "ph", "u": "pH", "v": 6.8, "t": -5}, {"n": "ph", "u": "pH", "v": 6.9, "t": 1.7e9})
    assert log.columns["ph"].tolist() == [6.9]
    assert accounted(log)


def test_must_understand_fields_and_unknown_features_are_refused_by_record():
    # RFC 9100: version 10 with feature bit 4 (16) is secondary units; other bits are not known here.
    log = senml(
        {"bver": 26, "n": "ph", "u": "pH", "v": 6.8, "t": 1.7e9},
        {"n": "ph", "u": "pH", "v": 6.8, "t": 1.7e9 + 60, "odd_": 1},
    )
    assert log.columns["ph"].size == 1
    assert accounted(log)
    with pytest.raises(InputError):
        senml({"bver": 42, "n": "ph", "u": "pH", "v": 6.8, "t": 1.7e9})


def test_units_are_turned():
    # 1 S/m = 10 mS/cm = 10 000 uS/cm, by definition; 0.2 kg = 200 g.
    log = senml(
        {"n": "conductivity", "u": "S/m", "v": 0.03, "t": 1.7e9},
        {"n": "scale", "u": "kg", "v": 5.2, "t": 1.7e9},
    )
    assert log.columns["ec_us_cm"][0] == pytest.approx(300.0)
    assert log.columns["bottle_gross_g"][0] == pytest.approx(5200.0)


def test_events_come_as_booleans_and_words():
    log = senml(
        {"bn": "tank/", "n": "ph", "u": "pH", "v": 6.8, "t": 1.7e9},
        {"n": "gas", "vb": False, "t": 1.7e9 + 30},
        {"n": "event", "vs": "water change 30 %", "t": 1.7e9 + 40},
        {"n": "ph", "u": "pH", "v": 6.9, "t": 1.7e9 + 60},
    )
    assert [event.kind for event in log.events] == ["gas off", "water change"]
    assert log.events[1].share_frac == pytest.approx(0.3)
    assert accounted(log)


LINES = """{"received":"2025-03-01T10:00:00Z","topic":"foyer/tank/ph","retain":1,"payload":"6.9"}
{"received":"2025-03-01T10:01:00Z","topic":"foyer/tank/ph","retain":0,"payload":"6.8"}
{"received":"2025-03-01T10:01:00Z","topic":"foyer/tank/temp","payload":{"value":77,"unit":"F"}}
{"received":"2025-03-01T10:02:00Z","topic":"foyer/tank","payload":{"ph":6.82}}
{"received":"2025-03-01T10:02:00Z","topic":"foyer/gas","payload":"off"}
not json
"""


def test_mqtt_lines():
    log = read_mqtt_lines(LINES, timezone=ZONE)
    assert log.columns["ph"].tolist() == [6.8, 6.82]
    assert log.columns["temperature_c"][0] == pytest.approx(25.0)
    assert [event.kind for event in log.events] == ["gas off"]
    assert accounted(log)


def test_a_first_retained_message_is_stale():
    log = read_mqtt_lines(LINES, timezone=ZONE)
    assert any("retained" in d.text and d.rows == (1,) for d in log.decisions)


def test_channels_told_by_the_user():
    text = '{"time":"2025-03-01T10:00Z","topic":"a/b/probe7","payload":6.8}\n'
    log = read_mqtt_lines(text, timezone=ZONE, channels={"a/b/probe7": "ph"})
    assert log.columns["ph"].tolist() == [6.8]
    with pytest.raises(InputError):
        read_mqtt_lines(text, timezone=ZONE)


def test_the_form_of_a_file_is_told_by_how_it_begins(tmp_path):
    path = tmp_path / "log.json"
    path.write_text(json.dumps([{"n": "ph", "u": "pH", "v": 6.8, "t": 1.7e9}]), encoding="utf-8")
    assert read_readings(path, timezone=ZONE).columns["ph"].tolist() == [6.8]
    assert read_readings("time,ph\n2025-03-01 10:00,6.8\n", timezone=ZONE).columns["ph"].size == 1
    assert read_readings(LINES, timezone=ZONE).columns["ph"].size == 2


KEYS = ["n", "u", "v", "t", "bn", "bt", "bv", "bver", "vs", "vb", "topic", "payload", "time"]
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(
        st.sampled_from(KEYS),
        inner, max_size=4),
    max_leaves=8,
)  # fmt: skip


@given(st.lists(JSON, min_size=1, max_size=6))
def test_any_pack_is_read_or_refused(records):
    try:
        log = read_senml(json.dumps(records).encode(), timezone=ZONE)
    except InputError:
        return
    assert accounted(log)
    assert np.all(np.diff(log.elapsed_h) > 0)


@given(st.lists(JSON.map(json.dumps) | st.text(max_size=30), min_size=1, max_size=6))
def test_any_lines_are_read_or_refused(lines):
    try:
        log = read_mqtt_lines("\n".join(lines).encode("utf-8", "replace"), timezone=ZONE)
    except InputError:
        return
    assert accounted(log)
