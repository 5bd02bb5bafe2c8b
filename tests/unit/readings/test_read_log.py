"""Logs as loggers write them: what is read, what is set aside, and that both are said."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fizzwright.errors import InputError
from fizzwright.job.examples import example_text
from fizzwright.readings import night_readings, read_log
from fizzwright.result import Level

BERLIN = "Europe/Berlin"
DATA = Path(__file__).parents[2] / "data"


def rules(log):
    return {decision.rule: decision for decision in log.decisions}


def whole(log):
    """Every raw row is either kept or set aside, once."""
    aside = [row for decision in log.decisions if decision.sets_aside for row in decision.rows]
    assert len(aside) == len(set(aside)) == log.set_aside_count
    assert not set(aside) & set(log.lines.tolist())
    return len(log.raw_rows) == log.lines.size + len(aside)


def utc(log):
    return [str(stamp)[:16] for stamp in log.utc]


@pytest.mark.parametrize(
    ("separator", "mark"),
    [(",", "."), (";", "."), (";", ","), ("\t", "."), ("\t", ","), ("|", "."), ("|", ",")],
)
def test_separators_and_decimal_marks(separator, mark):
    rows = [
        "time,ph,temperature_c,event",
        "2025-03-01T21:00+01:00,6.80,25.5,gas off",
        "2025-03-01T21:10+01:00,6.85,,",
    ]
    text = "\n".join(row.replace(",", separator) for row in rows).replace("6.", "6" + mark)
    log = read_log(text.replace("25.5", f"25{mark}5") + "\n", timezone=BERLIN)
    assert log.columns["ph"].tolist() == [6.80, 6.85]
    assert log.columns["temperature_c"][0] == 25.5
    assert np.isnan(log.columns["temperature_c"][1])
    assert [(event.kind, event.elapsed_h) for event in log.events] == [("gas off", 0.0)]
    assert utc(log) == ["2025-03-01T20:00", "2025-03-01T20:10"]
    assert whole(log)


def test_quoted_cells():
    text = 'time,ph,event\n2025-03-01 21:00,"6,80","fed, then ""lights off"""\n2025-03-01 21:10,"6,9",\n'
    log = read_log(text, timezone=BERLIN)
    assert log.columns["ph"].tolist() == [6.8, 6.9]
    assert log.events[0].text == 'fed, then "lights off"'


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_encodings(encoding):
    text = "Zeit;pH;Temp °C\n" + "".join(f"2025-03-01 21:{m:02d};6,8;25,0\n" for m in range(10))
    log = read_log(text.encode(encoding), timezone=BERLIN)
    assert log.columns["temperature_c"].tolist() == [25.0] * 10
    assert whole(log)


@pytest.mark.parametrize(
    ("heading", "cell", "column", "value"),
    [
        ("Water Temperature [°F]", "77", "temperature_c", 25.0),  # (77 - 32) / 1.8
        ("temp_k", "298.15", "temperature_c", 25.0),
        ("Tank pH", "6.8", "ph", 6.8),
        ("KH (mg/L CaCO3)", "71.392", "kh_dkh", 4.0),  # 1 dKH is 17.848 mg/L CaCO3
        ("Alkalinity meq/L", "1.0", "kh_dkh", 2.804),
        ("EC mS/cm", "0.31", "ec_us_cm", 310.0),
        ("DO (mg/L)", "7.1", "o2_mg_l", 7.1),
        ("Room CO2 (ppm)", "800", "room_co2_ppm", 800.0),
        ("bubbles/min", "90", "bubbles_per_s", 1.5),
        ("Bubble rate per min", "90", "bubbles_per_s", 1.5),
        ("checker hue °", "120", "checker_hue_deg", 120.0),
        ("Bottle weight (lb)", "10", "bottle_gross_g", 4535.92),  # 453.592 g to the pound
        ("bottle gross kg", "4.2", "bottle_gross_g", 4200.0),
        ("High pressure psi", "800", "bottle_gauge_barg", 55.158),  # 0.0689476 bar to the psi
        ("low_gauge_barg", "2.1", "low_gauge_barg", 2.1),
    ],
)
def test_headings_are_mapped_by_name_and_unit(heading, cell, column, value):
    log = read_log(f"time;{heading}\n2025-03-01 21:00;{cell}\n", timezone=BERLIN)
    assert log.columns[column][0] == pytest.approx(value, rel=1e-4)
    assert any(f'"{heading}" read as {column}' in decision.text for decision in log.decisions)


@pytest.mark.parametrize(
    ("heading", "reason"),
    [
        ("CO2 (ppm)", "room or of the water"),
        ("Bottle weight", "needs a unit"),
        ("O2 (%)", "no unit of"),
        ("Room temp (°C)", "no column of ours"),
        ("pH mV", "no unit of"),
        ("ORP", "no column of ours"),
    ],
)
def test_headings_that_are_not_read_say_why(heading, reason):
    log = read_log(f"time;pH;{heading}\n2025-03-01 21:00;6.8;1\n", timezone=BERLIN)
    assert list(log.columns) == ["ph"]
    assert reason in rules(log)["not read"].text


def test_a_second_probe_is_not_mixed_in_but_can_be_chosen():
    text = "time;pH probe;pH 1\n2025-03-01 21:00;6.8;7.0\n"
    assert read_log(text, timezone=BERLIN).columns["ph"].tolist() == [6.8]
    assert read_log(text, timezone=BERLIN, columns={"pH probe": ""}).columns["ph"].tolist() == [7.0]


def test_columns_can_be_told():
    log = read_log("t0;x;y\n2025-03-01 21:00;6.8;9\n", timezone=BERLIN, columns={"t0": "time", "x": "ph"})
    assert log.columns["ph"].tolist() == [6.8]
    bare = read_log(
        "2025-03-01 21:00,6.8,9\n2025-03-01 21:05,6.9,9\n", timezone=BERLIN, columns=["time", "ph", ""]
    )
    assert bare.columns["ph"].tolist() == [6.8, 6.9]
    with pytest.raises(InputError, match="one of time"):
        read_log("a;b\n1;2\n", timezone=BERLIN, columns={"a": "ph", "b": "salt"})
    with pytest.raises(InputError, match="no heading reads so"):
        read_log("time;pH\n2025-03-01 21:00;6.8\n", timezone=BERLIN, columns={"other": "ec_us_cm"})


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("14.00", "instrument"),
        ("0.00", "instrument"),
        ("65535", "fill-in"),
        ("nan", "error word"),
        ("ERR", "error word"),
        ("-", "error word"),
        ("6.8.1", "unreadable"),
        ("six", "unreadable"),
        ("13.2", "outside"),
        ("6_8", "unreadable"),
        ("٦", "unreadable"),
    ],
)
def test_readings_that_are_none(cell, why):
    log = read_log(f"time;pH\n2025-03-01 21:00;6.8\n2025-03-01 21:05;{cell}\n", timezone=BERLIN)
    assert np.isnan(log.columns["ph"][1])
    assert why in rules(log)["no reading"].text
    assert rules(log)["no reading"].rows == (3,)


@pytest.mark.parametrize(
    ("heading", "cell"), [("Temp (°C)", "85.0"), ("Temp (°C)", "-127"), ("Temp (°F)", "185")]
)
def test_one_wire_thermometers_that_failed(heading, cell):
    log = read_log(f"time;{heading}\n2025-03-01 21:00;25\n2025-03-01 21:05;{cell}\n", timezone=BERLIN)
    assert np.isnan(log.columns["temperature_c"][1])
    assert rules(log)["no reading"].count == 1


def test_a_temperature_without_unit_is_judged_by_size_and_said():
    warm = read_log("time;temp\n2025-03-01 21:00;77\n", timezone=BERLIN)
    assert warm.columns["temperature_c"][0] == pytest.approx(25)
    assert rules(warm)["unit by size"].level == Level.CARE
    assert read_log("time;temp\n2025-03-01 21:00;25\n", timezone=BERLIN).columns["temperature_c"][0] == 25


def test_units_inside_cells_and_thousands():
    log = read_log(
        "time;temp;EC\n2025-03-01 21:00;77 °F;1,250\n2025-03-01 21:05;25.0 C;980.5\n", timezone=BERLIN
    )
    assert log.columns["temperature_c"].tolist() == pytest.approx([25.0, 25.0])
    assert log.columns["ec_us_cm"].tolist() == [1250.0, 980.5]
    assert {"units in cells", "thousands"} <= set(rules(log))


def test_stamps_used_twice_are_joined():
    rows = ["2025-03-01 21:00;6.8;;", "2025-03-01 21:00;6.9;25;gas off", "2025-03-01 21:10;7;;"]
    log = read_log("\n".join(["time;pH;temp °C;event", *rows]), timezone=BERLIN)
    assert log.columns["ph"].tolist() == pytest.approx([6.85, 7.0])
    assert log.columns["temperature_c"][0] == 25
    assert log.events[0].kind == "gas off"
    assert rules(log)["same stamp"].rows == (3,)
    assert whole(log)


def test_rows_out_of_order_and_newest_first():
    rows = [f"2025-03-01 21:{minute:02d};{6.8 + minute / 100:.2f}\n" for minute in range(0, 50, 10)]
    mixed = read_log("time;pH\n" + "".join([rows[1], rows[0], *rows[2:]]), timezone=BERLIN)
    assert mixed.columns["ph"].tolist() == pytest.approx([6.8, 6.9, 7.0, 7.1, 7.2])
    assert rules(mixed)["out of order"].rows == (3,)
    turned = read_log("time;pH\n" + "".join(reversed(rows)), timezone=BERLIN)
    assert turned.columns["ph"].tolist() == pytest.approx([6.8, 6.9, 7.0, 7.1, 7.2])
    assert turned.lines.tolist() == [6, 5, 4, 3, 2]
    assert "newest first" in rules(turned)
    assert "out of order" not in rules(turned)


def test_pauses_are_noted_and_not_filled():
    minutes = [0, 5, 10, 15, 50, 55]
    log = read_log("time;pH\n" + "".join(f"2025-03-01 21:{m:02d};6.8\n" for m in minutes), timezone=BERLIN)
    assert log.elapsed_h.size == 6
    assert rules(log)["gaps"].rows == (6,)
    assert "0.583 h" in rules(log)["gaps"].text  # 35 min


def test_events_carry_their_kind_and_share():
    texts = [
        "gas off",
        "CO2 on",
        "Lights on",
        "lamp off",
        "water change 30%",
        "fed",
        "trimmed stems",
        "moved a stone",
    ]
    text = "time;event\n" + "".join(f"2025-03-01 21:{at:02d};{said}\n" for at, said in enumerate(texts))
    log = read_log(text, timezone=BERLIN)
    kinds = ["gas off", "gas on", "light on", "light off", "water change", "fed", "trimmed", "other"]
    assert [event.kind for event in log.events] == kinds
    assert log.events[4].share_frac == pytest.approx(0.3)


def test_utf16_log_with_units_below_the_headings():
    log = read_log(DATA / "utf16-tabs-month-first.tsv", timezone=BERLIN)
    assert log.columns["temperature_c"][:2].tolist() == pytest.approx([25.0, 24.9444], abs=1e-4)
    assert utc(log)[0] == "2025-02-28T21:30"
    assert log.elapsed_h[-1] == 19 * 0.25
    assert rules(log)["preamble"].count == 3
    assert rules(log)["headings"].rows == (5,)
    assert whole(log)


def test_log_of_a_restarted_logger():
    log = read_log(DATA / "latin1-restarted.dat", timezone=BERLIN)
    aside = {decision.rule: decision.rows for decision in log.decisions if decision.sets_aside}
    assert aside == {
        "blank lines": (14,),
        "clock reset": (15, 16),
        "headings": (17,),
        "same stamp": (24,),
        "no stamp": (26,),
        "remarks": (27,),
        "cut off": (28,),
    }
    assert log.lines.size == 19
    assert log.columns["bottle_gross_g"][0] == 4210
    assert rules(log)["out of order"].rows == (24, 25)
    assert whole(log)


def test_night_of_the_example():
    log = read_log(example_text("library-foyer-120-night.csv"), timezone=BERLIN)
    assert whole(log)
    assert log.elapsed_h[-1] == 10.0  # 21:20 summer time to 06:20 winter time
    hours, ph, water_c = night_readings(log)
    assert ph.size == hours.size == water_c.size
    assert hours[0] == 0.0
    assert (np.diff(hours) > 0).all()
    assert ph.max() < 8
    assert (water_c > 20).all()
    assert (water_c < 30).all()
    expected = {"autumn hour", "no reading", "same stamp", "gaps", "decimal comma", "date order"}
    assert expected <= set(rules(log))


def test_clean_short_night_needs_no_decisions_but_headings():
    log = read_log(example_text("library-foyer-120-short-night.csv"), timezone=BERLIN)
    assert set(rules(log)) == {"separator", "heading"}
    assert log.elapsed_h[-1] == 2.0


def test_night_is_cut_by_gas_events():
    text = "time;pH;event\n" + "".join(
        f"2025-03-01 21:{minute:02d};{6.8 + minute / 100:.2f};{said}\n"
        for minute, said in [(0, ""), (10, "gas off"), (20, ""), (30, "gas on"), (40, "")]
    )
    hours, ph, water_c = night_readings(read_log(text, timezone=BERLIN))
    assert hours.tolist() == pytest.approx([0, 1 / 6])
    assert ph.tolist() == pytest.approx([6.9, 7.0])
    assert water_c is None
    with pytest.raises(InputError, match="no pH column"):
        night_readings(read_log("time;temp °C\n2025-03-01 21:00;25\n", timezone=BERLIN))
    with pytest.raises(InputError, match="no pH reading"):
        night_readings(read_log("time;pH\n2025-03-01 21:00;\n", timezone=BERLIN))


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("\n\n", {"log"}),
        ("a;b\n1;2\n", {"time", "headings", "a", "b"}),
        ("pH;temp °C\n6.8;25\n", {"time"}),
        ("time;salt\n2025-03-01 21:00;3\n", {"headings", "salt"}),
        ("time;pH\n", {"log"}),
        ("time;pH\nlater;6.8\n1;2;3\n", {"log"}),
    ],
)
def test_files_without_readings_are_refused_with_every_reason(text, fields):
    with pytest.raises(InputError) as refused:
        read_log(text, timezone=BERLIN)
    assert {fault.field for fault in refused.value.faults} == fields


def test_refusals_of_file_and_zone(tmp_path):
    with pytest.raises(InputError, match="is not there"):
        read_log(tmp_path / "none.csv", timezone=BERLIN)
    with pytest.raises(InputError, match="cannot be read"):
        read_log(tmp_path, timezone=BERLIN)
    with pytest.raises(InputError, match="IANA"):
        read_log("time;pH\n2025-03-01 21:00;6.8\n", timezone="Mars/North")


@pytest.mark.slow
def test_a_year_of_minutes_is_read_whole():
    minutes = np.arange(525_600)
    stamps = np.datetime_as_string(np.datetime64("2024-12-31T23:00") + minutes, unit="m")
    ph = 6.9 + 0.3 * np.sin(minutes / 229)
    text = "Time (UTC);pH\n" + "\n".join(f"{s};{x:.3f}" for s, x in zip(stamps, ph, strict=True)) + "\n"
    log = read_log(text, timezone=BERLIN)
    assert log.elapsed_h.size == 525_600
    assert np.abs(log.columns["ph"] - ph).max() <= 0.0005 + 1e-12
    assert log.set_aside_count == 0
