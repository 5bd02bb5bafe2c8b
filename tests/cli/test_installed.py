"""The installed command, in an empty folder, as a person runs it."""

from __future__ import annotations

import csv
import io
import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = Path(sys.executable).with_name("fizzwright")
JOB = "library-foyer-120.toml"
NIGHT = "library-foyer-120-night.csv"


@pytest.fixture
def run(tmp_path):
    """Run a command line in an empty folder; gives exit code, output and errors."""

    def run(line, stdin=""):
        quiet = {"NO_COLOR": "1", "COLUMNS": "100", "PYTHONUTF8": "1"}
        env = {k: v for k, v in os.environ.items() if not k.startswith("FIZZWRIGHT")} | quiet
        return subprocess.run(
            [COMMAND, *shlex.split(line)],
            cwd=tmp_path,
            input=stdin,
            capture_output=True,
            encoding="utf-8",
            env=env,
            check=False,
        )

    return run


def test_help_names_every_command(run):
    done = run("--help")
    assert done.returncode == 0
    for name in ("new", "survey", "plan", "bench", "doctor"):
        assert f"\n  {name} " in done.stdout


def test_doctor_is_well(run):
    done = run("doctor --warm --json")
    assert done.returncode == 0, done.stdout
    checks = json.loads(done.stdout)["result"]["checks"]
    assert sum("published" in check["found"] for check in checks) == 3


def test_a_single_sum_as_json(run):
    done = run("bench co2 --ph 6.6 --kh 4dKH --temp 25C --json")
    found = json.loads(done.stdout)
    assert set(found) == {"result", "findings", "trail", "version"}
    assert {"co2_mg_l", "carbonate_kh_dkh", "dominant_input"} <= set(found["result"])
    co2 = found["result"]["co2_mg_l"]
    assert set(co2) == {"value", "unit", "low", "high", "basis"}
    assert co2["low"] < co2["value"] < co2["high"]
    assert found["trail"]["equations"]


def test_units_of_the_reader(run):
    metric = run("bench bottle --charge 2kg --gauge 50bar").stdout
    us = run("bench bottle --charge 70.5oz --gauge 725psi --units us").stdout
    assert " bar g" in metric
    assert " psi" in us
    assert " oz" in us


def test_all_faults_at_once_and_no_traceback(run):
    done = run("bench co2 --ph 14 --kh 4 --json")
    assert done.returncode == 3
    fields = [fault["field"] for fault in json.loads(done.stdout)["error"]["faults"]]
    assert sorted(fields) == ["--kh", "--ph", "--temp"]
    assert "Traceback" not in done.stderr
    assert 'For example "4 dKH"' in done.stderr


def test_negative_values(run):
    assert run("bench bottle --charge 2kg --gauge 20bar --temp=-5C").returncode == 0


def test_cases_from_a_file_and_from_a_pipe(run, tmp_path):
    (tmp_path / "cases.csv").write_text("tank,ph,kh_dkh,temp\na,6.6,4,25C\nb,6.6,,25C\n", encoding="utf-8")
    done = run("bench co2 --from cases.csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert done.returncode == 3
    assert float(rows[0]["co2_mg_l_low"]) < float(rows[0]["co2_mg_l"])
    assert rows[1]["fault"].startswith("--kh: is needed")
    piped = run("bench co2 --from - --temp 25C", stdin="ph;kh\n6,6;4 dKH\n")
    assert piped.returncode == 0
    assert float(next(csv.DictReader(io.StringIO(piped.stdout)))["co2_mg_l"]) > 0


def test_no_answer_is_four_or_said_in_findings(run):
    """Water cannot have much phosphate, next to no KH and a high pH at once."""
    done = run("bench co2 --ph 7.5 --kh 0.05dKH --temp 25C --phosphate 300mg/L")
    assert done.returncode in (0, 4)
    assert "Traceback" not in done.stderr


def test_typing_is_two(run):
    assert run("bench co2 --colour blue").returncode == 2
    assert run("plan").returncode == 2
    assert run("new").returncode == 2
    assert run("new --blank --example kitchen-nano").returncode == 2


def test_new_never_writes_over(run, tmp_path):
    assert run("new --example library-foyer-120").returncode == 0
    (tmp_path / JOB).write_text("mine", encoding="utf-8")
    done = run("new --example library-foyer-120")
    assert done.returncode == 3
    assert (tmp_path / JOB).read_text(encoding="utf-8") == "mine"
    assert run("new --example library-foyer-120 --force").returncode == 0
    assert (tmp_path / JOB).read_text(encoding="utf-8") != "mine"


def test_a_blank_file_lists_what_to_measure(run):
    assert run("new 'Kitchen by the door' --blank").returncode == 0
    done = run("survey kitchen-by-the-door.toml")
    assert done.returncode == 3
    assert "tank.length" in done.stderr
    assert "water.kh" in done.stderr


def test_survey(run):
    run("new --example library-foyer-120")
    found = json.loads(run(f"survey {JOB} --json").stdout)
    assert found["result"]["net_volume_l"]["unit"] == "l"
    text = run(f"survey {JOB}").stdout
    assert "Starting ceiling" in text


def test_plan_with_everything(run, tmp_path):
    run("new --example library-foyer-120")
    done = run(f"plan {JOB} --night {NIGHT} --sheet plan.pdf --svg day.svg --draws 200 --json")
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    result = found["result"]
    for key in ("feed_mg_h", "bubbles_per_s", "gas_on", "ceiling_mg_l", "p_over_ceiling", "ledger_g_day"):
        assert key in result
    assert result["kind"] == "fitted"
    assert result["draws_count"] == 200
    assert result["night_file"]
    ledger = result["ledger_g_day"]
    assert ledger["in"] == pytest.approx(ledger["out"], rel=1e-3)
    assert (tmp_path / "plan.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "day.svg").read_text(encoding="utf-8").lstrip().startswith("<")
    assert "Wrote plan.pdf and day.svg" in done.stderr


def test_plan_as_text(run):
    run("new --example library-foyer-120")
    done = run(f"plan {JOB} --draws 200 --working")
    assert done.returncode == 0
    for title in ("Set", "The day", "If the valve sticks open", "The bottle", "Equations run", "Sources"):
        assert f"\n{title}\n" in done.stdout
    assert "\033[" not in done.stdout


def test_a_sheet_that_cannot_be_written(run):
    run("new --example library-foyer-120")
    done = run(f"plan {JOB} --draws 60 --sheet nowhere/plan.pdf")
    assert done.returncode == 3
    assert "--sheet" in done.stderr


def test_a_job_that_is_not_there(run):
    done = run("plan nowhere.toml")
    assert done.returncode == 3
    assert "nowhere.toml" in done.stderr


def test_python_dash_m(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "fizzwright", "--version"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.startswith("Fizzwright ")


def test_a_plan_over_a_hard_limit_is_refused_with_five(run, tmp_path):
    """Fry stand less CO2 than this job wishes for; every reason is printed, and nothing is written."""
    run("new --example library-foyer-120")
    job = tmp_path / JOB
    text = job.read_text(encoding="utf-8")
    job.write_text(
        text.replace("hardy dwarf shrimp", "fry, breeding, sick or unknown fish"), encoding="utf-8"
    )
    done = run(f"plan {JOB} --json --sheet plan.pdf")
    assert done.returncode == 5
    assert json.loads(done.stdout)["error"]["reasons"]
    assert "hard limit" in done.stderr
    assert not (tmp_path / "plan.pdf").exists()
