"""A real server in a process of its own, and a real browser that may reach nothing else."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

CHROMIUM = Path("/usr/bin/chromium")
ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
PHONE = (
    "Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/130.0 Mobile Safari/537.36"
)
SIZES = {
    "desk": {"viewport": {"width": 1280, "height": 800}},
    "phone": {
        "viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True, "user_agent": PHONE,
    },
    "small phone": {
        "viewport": {"width": 320, "height": 640}, "is_mobile": True, "has_touch": True, "user_agent": PHONE,
    },
}  # fmt: skip


class Server:
    """The installed command, started and killed as a person would."""

    def __init__(self, folder, port=0):
        self.folder, self.port, self.process = folder, port, None

    def start(self):
        command = [
            sys.executable,
            "-m",
            "fizzwright",
            "serve",
            "--data",
            str(self.folder),
            "--port",
            str(self.port),
        ]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        first = self.process.stdout.readline()
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\n", first)
        assert found, f"the first line is no address: {first!r}"
        self.port = int(found[1])
        for _ in range(100):
            try:
                urllib.request.urlopen(self.address, timeout=5).close()
                break
            except OSError:
                time.sleep(0.1)
        return self

    @property
    def address(self):
        return f"http://127.0.0.1:{self.port}"

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        self.process.stdout.close()

    def stop(self):
        self.process.terminate()
        self.process.wait(timeout=20)
        self.process.stdout.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """One server for all tests that do not kill it."""
    running = Server(tmp_path_factory.mktemp("record")).start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def chromium():
    """The browser, or a skip that says why there is none."""
    if not CHROMIUM.exists():
        pytest.skip(f"no browser at {CHROMIUM}; make test-packages installs one where apt-get is")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=str(CHROMIUM), args=ARGS)
        yield browser
        browser.close()


class Watched:
    """A page that remembers every complaint of the console and every request to elsewhere."""

    def __init__(self, context):
        self.context, self.page = context, context.new_page()
        self.complaints, self.elsewhere = [], []
        self.expects_outage = False
        self.page.on("console", self._said)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        context.on("request", self._asked)

    def _said(self, message):
        if message.type == "error" and not (self.expects_outage and "net::ERR_" in message.text):
            self.complaints.append(message.text)

    def _asked(self, request):
        if not request.url.startswith(("http://127.0.0.1:", "data:", "about:")):
            self.elsewhere.append(request.url)


@pytest.fixture
def look(chromium):
    """Opens a page of a size and a sheet; afterwards nobody complained and nothing was asked of elsewhere."""
    opened = []

    def open_page(size="desk", *, sheet="day", address=""):
        context = chromium.new_context(**SIZES[size])
        if address:
            context.add_cookies([{"name": "fizzwright_sheet", "value": sheet, "url": address}])
        watched = Watched(context)
        opened.append(watched)
        return watched

    yield open_page
    for watched in opened:
        watched.context.close()
    assert [c for w in opened for c in w.complaints] == []
    assert [e for w in opened for e in w.elsewhere] == []


@pytest.fixture(scope="session")
def axe():
    """The text of the accessibility checker."""
    return (Path(__file__).parents[1] / "vendored" / "axe.min.js").read_text(encoding="utf-8")
