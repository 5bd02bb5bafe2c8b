"""`parts`, `source` and `fit` as a person runs them."""

from __future__ import annotations

import json

import pytest

from fizzwright.cli import main
from fizzwright.job.examples import example_text


@pytest.fixture
def here(tmp_path, monkeypatch):
    """An empty folder with one job in it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "tank.toml").write_text(example_text("library-foyer-120.toml"), encoding="utf-8")
    return tmp_path


@pytest.mark.usefixtures("here")
def test_parts_says_what_to_get(capsys):
    assert main(["parts", "tank.toml", "--region", "germany"]) == 0
    said = capsys.readouterr().out
    assert "parts in Germany" in said
    assert "DIN 477 No. 6" in said
    assert said.index("bottle washer") < said.index("needle valve") < said.index("fine ceramic disc")


def test_misfits_end_with_five(here, capsys):
    job = here / "tank.toml"
    job.write_text(job.read_text() + '\n[parts]\nregion = "Germany"\nregulator_inlet = "CGA 320"\n')
    assert main(["parts", "tank.toml"]) == 5
    assert "1 misfit" in capsys.readouterr().out
    assert main(["parts", "tank.toml", "--json"]) == 5
    found = json.loads(capsys.readouterr().out)
    assert len(found["result"]["refused"]) == 1
    assert "stop" in {finding["level"] for finding in found["findings"]}


@pytest.mark.usefixtures("here")
def test_a_country_misspelt_is_answered_with_the_nearest(capsys):
    assert main(["parts", "tank.toml", "--region", "Germny"]) == 3
    assert 'The nearest is "Germany"' in capsys.readouterr().err


def test_prices_are_written_filled_and_read(here, capsys):
    assert main(["parts", "--blank-prices"]) == 0
    prices = here / "prices.toml"
    assert main(["parts", "--blank-prices"]) == 3
    assert "--force" in capsys.readouterr().err
    prices.write_text(prices.read_text().replace('# "timer" = 0', '"timer" = 12.5'))
    assert main(["parts", "tank.toml", "--prices", "prices.toml", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["result"]
    assert found["to_buy"] == {"amount": 12.5, "low": 12.5, "high": 12.5, "currency": "EUR"}
    assert main(["parts", "tank.toml", "--prices", "none.toml"]) == 3


@pytest.mark.usefixtures("here")
def test_parts_without_a_job(capsys):
    assert main(["parts"]) == 2
    assert "--blank-prices" in capsys.readouterr().err


@pytest.mark.usefixtures("here")
def test_source_compares_seven(capsys):
    assert main(["source", "tank.toml", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["result"]
    assert len(found["options"]) == 7
    assert found["take"] == "pressurised bottle"
    assert main(["source", "tank.toml"]) == 0
    said = capsys.readouterr().out
    assert "Liquid carbon" in said
    assert "<- take this" in said
    assert main(["source", "tank.toml", "--budget", "100"]) == 2


def test_fit_writes_a_form_and_judges_it(here, capsys):
    assert main(["fit", "tank.toml", "--form", "leak.csv"]) == 0
    said = capsys.readouterr().out
    assert "check:" in said
    assert "Gauge first falls in" in said
    form = here / "leak.csv"
    row = "low side,2026-03-01T10:00,2026-03-01T11:00,2.5,1.5,21,21,,,"
    form.write_text(form.read_text().replace("low side,,,,,,,,,", row), encoding="utf-8")
    assert main(["fit", "tank.toml", "--readings", "leak.csv", "--json"]) == 5
    found = json.loads(capsys.readouterr().out)["result"]
    assert found["tests"][0]["verdict"] == "fails"
    assert main(["fit", "tank.toml", "--form", "leak.csv"]) == 3


@pytest.mark.usefixtures("here")
def test_pass_is_a_plain_key(capsys):
    line = "bench leak --volume 30mL --drop 0bar --minutes 3h --gauge 2bar --temp-end 20C --json"
    assert main(line.split()) == 0
    found = json.loads(capsys.readouterr().out)["result"]
    assert found["pass"] is True
    assert "pass_" not in found
