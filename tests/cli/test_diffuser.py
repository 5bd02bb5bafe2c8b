"""`fizzwright diffuser` as a person runs it, and the drawing of a single bubble."""

from __future__ import annotations

import json

import pytest

from fizzwright.cli import main
from fizzwright.job.examples import example_text
from fizzwright.job.file import read_job


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "library-foyer-120.toml"
    path.write_text(example_text(path.name), encoding="utf-8")
    return path


@pytest.fixture
def beads(tmp_path):
    path = tmp_path / "beads.csv"
    rows = "".join(f"{d},{4.5 * d:.2f}\n" for d in (0.8, 0.85, 0.9, 0.95, 1.0, 0.9, 0.8))
    path.write_text("diameter_mm,vanish_s\n" + rows, encoding="utf-8")
    return path


def test_the_answer_as_text(job, capsys):
    assert main(["diffuser", str(job), "--feed", "1100mg/h", "--hours", "10h", "--steps"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    for needle in (
        "library foyer 120: fine ceramic disc, used, 36 cm deep", "1100 mg/h for 10 h a day", "The mist",
        "down-flow reactor", "in-hose atomiser", "pump wheel", "ladder", "Where the answer turns",
        "a second one", "more bottle days", "How to time beads on a phone video",
    ):  # fmt: skip
        assert needle in text, needle


def test_the_feed_of_the_plan_where_none_is_given(job, capsys):
    assert main(["diffuser", str(job), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["result"]
    assert main(["plan", str(job), "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)["result"]
    assert found["feed_mg_h"]["value"] == plan["feed_mg_h"]["value"]
    assert found["feed_from"] == "as the plan sets it"
    share = found["dissolved_frac"]
    assert share["low"] < share["value"] < share["high"]
    assert share["value"] == pytest.approx(plan["dissolved_frac"]["value"], abs=0.02)


def test_a_skin_from_beads_is_kept_with_every_comment(job, beads, capsys):
    before = job.read_text(encoding="utf-8")
    line = ["diffuser", str(job), "--feed", "900mg/h", "--hours", "10h", "--beads", str(beads)]
    assert main(line) == 0
    assert "Add --keep" in capsys.readouterr().err
    assert job.read_text(encoding="utf-8") == before
    assert main([*line, "--keep"]) == 0
    assert "gasline.diffuser.skin" in capsys.readouterr().err
    after = job.read_text(encoding="utf-8")
    new = [row for row in after.splitlines() if row not in before.splitlines()]
    assert len(new) == 2
    kept = read_job(after).gasline.diffuser
    assert kept.skin_frac is not None
    assert kept.skin_frac < 0.35


def test_nothing_to_keep_is_refused(job, tmp_path, capsys):
    poor = tmp_path / "poor.csv"
    poor.write_text("diameter_mm,vanish_s\n0.3,1.3\n", encoding="utf-8")
    line = ["diffuser", str(job), "--feed", "900mg/h", "--hours", "10h", "--keep"]
    assert main(line) == 3
    assert main([*line, "--beads", str(poor)]) == 3
    assert "nothing to keep" in capsys.readouterr().err


def test_drawings_are_written(job, tmp_path, capsys):
    sheet, life = tmp_path / "bubbles.svg", tmp_path / "life.svg"
    assert main(["diffuser", str(job), "--feed", "900mg/h", "--hours", "10h", "--svg", str(sheet)]) == 0
    one = [
        "bench",
        "bubble",
        "--diameter",
        "1mm",
        "--depth",
        "30cm",
        "--temp",
        "25C",
        "--co2",
        "20mg/L",
        "--svg",
    ]
    assert main([*one, str(life)]) == 0
    assert "Wrote" in capsys.readouterr().err
    assert "Dissolved share by depth" in sheet.read_text(encoding="utf-8")
    assert "The life of a 1.00 mm bubble from 30 cm" in life.read_text(encoding="utf-8")


def test_a_bare_number_is_refused(job, capsys):
    assert main(["diffuser", str(job), "--feed", "900"]) == 3
    assert "--feed" in capsys.readouterr().err
