"""`fizzwright place` as a person runs it: text, JSON, pictures, traces and fields."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

COMMAND = Path(sys.executable).with_name("fizzwright")
JOB = "library-foyer-120.toml"


@pytest.fixture(scope="module")
def ran(tmp_path_factory):
    folder = tmp_path_factory.mktemp("place")
    subprocess.run(
        [COMMAND, "new", "--example", "library-foyer-120"], cwd=folder, check=True, capture_output=True
    )
    done = subprocess.run(
        [
            COMMAND, "place", JOB, "--preset", "draft", "--candidates", "B", "--json", "--pictures", "pics",
            "--traces", "t.html", "--netcdf", "f.nc",
        ],
        cwd=folder, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return folder, done


def test_zones_and_ranking_are_answered(ran):
    result = json.loads(ran[1].stdout)["result"]
    assert {zone["name"] for zone in result["zones"]} == {"stems", "carpet", "crypts"}
    assert [p["name"] for p in result["ranking"]] == ["A", "B"]
    renewal = result["zones"][0]["renewal_s"]
    assert renewal["unit"] == "s"
    assert renewal["low"] < renewal["value"] < renewal["high"]
    assert "makes no difference" in result["verdict"]


def test_what_is_being_done_is_told(ran):
    assert "compiling the current" in ran[1].stderr
    assert "Wrote" in ran[1].stderr


def test_pictures_stand_alone(ran):
    names = {path.name for path in (ran[0] / "pics").iterdir()}
    assert {
        "current.svg",
        "current-phone.svg",
        "places.svg",
        "section-plume.svg",
        "section-carpet.svg",
    } <= names
    for path in (ran[0] / "pics").iterdir():
        text = path.read_text(encoding="utf-8")
        assert text.startswith("<svg")
        assert "<title" in text
        assert not re.search(r'(href|src)="https?:', text)


def test_traces_need_nothing_else(ran):
    text = (ran[0] / "t.html").read_text(encoding="utf-8")
    assert len(text) < 200_000
    assert "default-src 'none'" in text
    assert not re.search(r"https?://", text)


@pytest.mark.peers
def test_fields_open_in_a_library_for_gridded_data(ran):
    xarray = pytest.importorskip("xarray")
    with xarray.open_dataset(ran[0] / "f.nc", engine="scipy") as fields:
        assert fields["co2"].dims == ("z", "y", "x")
        assert fields["co2"].attrs["units"] == "mg L-1"
        assert float(fields["x"][-1]) < 1.20
        assert bool(np.isfinite(fields["current_up"]).any())


def test_a_name_that_is_not_there_is_refused(ran):
    done = subprocess.run(
        [COMMAND, "place", JOB, "--preset", "draft", "--candidates", "Q"],
        cwd=ran[0], capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 3
    assert "There is: B, C" in done.stderr
