"""`fizzwright store` as a person uses it, in an empty folder."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = Path(sys.executable).with_name("fizzwright")
JOB, NIGHT, SLUG = "library-foyer-120.toml", "library-foyer-120-night.csv", "library-foyer-120"


@pytest.fixture
def run(tmp_path):
    """Run a command line in an empty folder whose record is its own."""

    def run(line):
        env = {k: v for k, v in os.environ.items() if not k.startswith("FIZZWRIGHT")}
        env |= {"NO_COLOR": "1", "COLUMNS": "100", "PYTHONUTF8": "1", "XDG_DATA_HOME": str(tmp_path / "xdg")}
        return subprocess.run(
            [COMMAND, *shlex.split(line)], cwd=tmp_path, input="", capture_output=True, encoding="utf-8",
            env=env, check=False,
        )  # fmt: skip

    assert run(f"new --example {SLUG}").returncode == 0
    return run


def test_where_makes_nothing(run, tmp_path):
    found = json.loads(run("store where --json").stdout)["result"]
    assert found["place"] == str(tmp_path / "xdg" / "fizzwright" / "record.sqlite")
    assert not found["there"]
    assert not (tmp_path / "xdg").exists()
    assert "Not there yet" in run("store where").stdout


def test_a_job_goes_in_and_comes_out_the_same(run, tmp_path):
    assert "No job is kept yet" in run("store list").stdout
    assert run(f"store add {JOB}").stdout == f"Kept {JOB} as {SLUG}, revision 1\n"
    assert SLUG in run("store list").stdout
    text = (tmp_path / JOB).read_text(encoding="utf-8")
    assert run(f"store export {SLUG}").stdout == text
    refused = run(f"store export {SLUG} --to {JOB}")
    assert refused.returncode == 3
    assert run(f"store export {SLUG} --to copy.toml").returncode == 0
    assert (tmp_path / "copy.toml").read_bytes() == (tmp_path / JOB).read_bytes()


def test_a_second_job_of_the_name_and_a_later_revision(run, tmp_path):
    run(f"store add {JOB}")
    refused = run(f"store add {JOB}")
    assert refused.returncode == 3
    assert f"{SLUG}-2 is free" in refused.stderr
    job = tmp_path / JOB
    job.write_text(job.read_text(encoding="utf-8").replace('"46 cm"', '"45 cm"'), encoding="utf-8")
    assert "revision 2" in run(f"store add {JOB} --onto 1").stdout
    late = run(f"store add {JOB} --onto 1 --json")
    assert late.returncode == 6
    assert json.loads(late.stdout)["error"]["kind"] == "EditedElsewhere"
    assert '"46 cm"' in run(f"store export {SLUG} --revision 1").stdout


def test_a_faulty_job_is_not_kept(run, tmp_path):
    (tmp_path / "bad.toml").write_text('[job]\nname = "x"\n', encoding="utf-8")
    assert run("store add bad.toml").returncode == 3
    assert "No job is kept yet" in run("store list").stdout


def test_readings_in_once_and_out(run, tmp_path):
    run(f"store add {JOB}")
    first = run(f"store readings {SLUG} --add {NIGHT}")
    assert "0 were there" in first.stderr
    kept = json.loads(run(f"store readings {SLUG} --json").stdout)["result"]["readings"]
    again = run(f"store readings {SLUG} --add {NIGHT}")
    assert f"Kept 0 new readings and events of {NIGHT}; {len(kept)} were there" in again.stderr
    run(f"store readings {SLUG} --csv --to out.csv")
    assert (tmp_path / "out.csv").read_text(encoding="utf-8").startswith("time,ph,temperature_c,event\n")
    # The file we write is read back as the same readings.
    assert "Kept 0 new" in run(f"store readings {SLUG} --add out.csv").stderr
    assert run(f"plan {JOB} --night out.csv --draws 60").returncode == 0
    shown = run(f"store readings {SLUG}").stdout
    assert "gas off" in shown
    since = run(f"store readings {SLUG} --csv --since 2025-10-26T03:00+01:00").stdout
    assert len(since.splitlines()) < len(shown.splitlines())
    assert run(f"store readings {SLUG} --since 2025-10-26T03:00").returncode == 3
    assert run(f"store readings {SLUG} --since yesterday").returncode == 3


def test_backup_and_restore(run):
    run(f"store add {JOB}")
    assert "Wrote b.sqlite" in run("store backup b.sqlite").stdout
    assert run("store backup b.sqlite").returncode == 3
    run(f"store add {JOB} --slug another")
    assert run("store restore b.sqlite").returncode == 2
    done = run("store restore b.sqlite --yes")
    assert "Restored 1 job" in done.stdout
    assert "What was kept before is in" in done.stdout
    assert "another" not in run("store list").stdout
    assert run("store restore b.sqlite --yes --data other").returncode == 0
    assert SLUG in run("store list --data other").stdout


def test_refusals_have_their_codes(run):
    assert run("store migrate").stdout.endswith("ran 0001\n")
    assert run("store migrate").stdout.endswith("nothing to do\n")
    assert run("store export nowhere").returncode == 6
    assert run("store list --data a --database postgresql://b/c").returncode == 2
    assert run("store list --database nonsense").returncode == 3


def test_help_and_sums_load_no_sql(tmp_path):
    code = (
        "import sys; from fizzwright.cli import main; main({!r}.split());"
        "print([m for m in ('sqlalchemy', 'alembic', 'sqlite3') if m in sys.modules])"
    )
    for line in ("--help", "store --help", "store add --help", "bench oxygen --temp 25C"):
        done = subprocess.run(
            [sys.executable, "-c", code.format(line)],
            capture_output=True,
            text=True,
            check=True,
            cwd=tmp_path,
        )
        assert done.stdout.splitlines()[-1] == "[]", line
