"""`fizzwright serve` as it is started."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import urllib.request

import pytest


@pytest.fixture
def started(tmp_path):
    """Starts the command and hands back its first lines; stopped by its own handle."""
    running = []

    def start(*arguments, lines=1):
        command = [sys.executable, "-m", "fizzwright", "serve", "--data", str(tmp_path / "kept"), *arguments]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        running.append(process)
        return process, [process.stdout.readline().rstrip("\n") for _ in range(lines)]

    yield start
    for process in running:
        process.send_signal(signal.SIGINT)
        process.wait(timeout=20)
        process.stdout.close()
        process.stderr.close()


def test_first_line_is_the_address_and_it_answers(started, tmp_path):
    _, (first, second) = started(lines=2)
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/", first)
    assert str(tmp_path / "kept") in second
    with urllib.request.urlopen(first) as answer:
        assert b"No jobs yet" in answer.read()


def test_it_listens_on_this_machine_alone(started):
    process, (first,) = started()
    port = int(first.rstrip("/").rpartition(":")[2])
    with socket.socket() as probe:
        probe.settimeout(2)
        assert probe.connect_ex(("127.0.0.2", port)) != 0
    assert process.poll() is None


def test_a_network_gets_a_code_and_a_passphrase(started, tmp_path):
    _, lines = started("--lan", lines=12)
    assert re.fullmatch(r"http://[\d.]+:\d+/", lines[0])
    told = "\n".join(lines)
    assert "█" in told or "no network" in told
    assert (tmp_path / "kept" / "lan.json").exists()


def test_a_taken_port_is_told_plainly(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = subprocess.run(
            [sys.executable, "-m", "fizzwright", "serve", "--data", str(tmp_path), "--port", port],
            capture_output=True, text=True, timeout=60, check=False,
        )  # fmt: skip
    assert done.returncode == 3
    assert f"--port = {port}" in done.stderr
