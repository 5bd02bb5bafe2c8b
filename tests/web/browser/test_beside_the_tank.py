"""The phone beside the tank with the network gone and the server killed: nothing lost, nothing doubled."""

from __future__ import annotations

import csv
import io
import urllib.request

import pytest

from tests.web.browser.conftest import Server

SLUG = "kitchen-nano"


@pytest.fixture
def own(tmp_path):
    """A server of this test's own, to be killed."""
    running = Server(tmp_path / "record").start()
    yield running
    running.stop()


def begin(watched, server):
    page = watched.page
    page.goto(server.address)
    page.select_option("#example", SLUG)
    page.click("text=Take this one")
    page.wait_for_url("**/plan")
    page.goto(f"{server.address}/job/{SLUG}/dial")
    return page


def rows(server):
    with urllib.request.urlopen(f"{server.address}/job/{SLUG}/readings.csv") as answer:
        return list(csv.DictReader(io.StringIO(answer.read().decode())))


def keep_ph(page, text):
    page.fill("#ph", text)
    page.click("#entry >> text=Keep")


def test_a_reading_is_sent_and_answered(own, look):
    page = begin(look("phone"), own)
    keep_ph(page, "6,92")
    page.wait_for_selector("text=from pH 6.92")
    assert page.is_visible("text=● workshop")
    assert [row["ph"] for row in rows(own)] == ["6.92"]


def test_offline_and_a_killed_server_lose_nothing_and_double_nothing(own, look):
    watched = look("phone")
    page = begin(watched, own)
    watched.expects_outage = True
    keep_ph(page, "7.01")
    page.wait_for_selector("text=from pH 7.01")

    watched.context.set_offline(True)
    keep_ph(page, "6.99")
    for _ in range(6):
        page.tap("#tap")
        page.wait_for_timeout(200)
    page.click("#entry >> text=Keep")
    page.wait_for_selector("text=2 readings kept on this phone.")
    assert page.is_visible("text=Workshop not in reach since")
    assert page.is_visible("text=from pH 7.01"), "the last estimate stays on the screen"

    own.kill()
    watched.context.set_offline(False)
    keep_ph(page, "6.97")
    page.wait_for_selector("text=3 readings kept on this phone.")
    own.start()
    page.wait_for_selector("#net", state="hidden", timeout=20000)
    page.wait_for_selector("text=from pH 6.97", timeout=20000)
    found = rows(own)
    assert sorted(row["ph"] for row in found if row["ph"]) == ["6.97", "6.99", "7.01"]
    assert sum(bool(row["bubbles_per_s"]) for row in found) == 1


def test_readings_wait_for_the_next_visit(own, look):
    watched = look("phone")
    page = begin(watched, own)
    watched.expects_outage = True
    watched.context.set_offline(True)
    keep_ph(page, "6.95")
    page.wait_for_selector("text=1 reading kept on this phone.")
    page.close()
    watched.context.set_offline(False)
    again = watched.context.new_page()
    again.goto(f"{own.address}/job/{SLUG}/dial")
    again.wait_for_selector("text=from pH 6.95")
    assert len(rows(own)) == 1


def test_taps_count_and_can_be_taken_back(own, look):
    page = begin(look("phone"), own)
    for _ in range(5):
        page.tap("#tap")
        page.wait_for_timeout(250)
    assert page.inner_text("#count") == "5"
    page.click("#undo")
    assert page.inner_text("#count") == "4"
    shown = float(page.inner_text("#rate").split()[0])
    assert 1.0 < shown < 5.0


def test_a_slip_of_the_finger_is_told_at_once(own, look):
    page = begin(look("phone"), own)
    keep_ph(page, "69")
    page.wait_for_selector("text=69 is no pH of a tank")
    assert rows(own) == []


def test_one_thing_at_a_time_fits_one_screen(own, look):
    page = begin(look("phone"), own)
    foot = page.evaluate("document.getElementById('entry').getBoundingClientRect().bottom")
    top = page.evaluate("document.getElementById('tap').getBoundingClientRect().top")
    assert foot <= 844
    assert page.evaluate("document.getElementById('tap').getBoundingClientRect().height") >= 200
    assert top < 844 / 2
