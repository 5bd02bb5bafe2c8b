"""Beside the tank: readings kept once whatever happens, and what the page makes of them."""

from __future__ import annotations

import pytest

from tests.web.readings import reading

SLUG = "library-foyer-120"


def send(pages, *readings, clock="2026-11-24T14:30:00+00:00"):
    return pages.post(f"/job/{SLUG}/readings", json={"clock": clock, "readings": list(readings)})


PH = {"uid": "a-1", "taken": "2026-11-24T13:00:00+00:00", "quantity": "ph", "value": "6,92"}


@pytest.mark.usefixtures("foyer")
def test_readings_sent_three_times_are_kept_once(pages, workshop):
    for _ in range(3):
        assert send(pages, PH).json()["kept"] == ["a-1"]
    (kept,) = workshop.store.readings(SLUG)
    assert (kept.value, kept.timezone, kept.quantity) == (6.92, "Europe/Berlin", "ph")


@pytest.mark.usefixtures("foyer")
def test_one_bad_reading_does_not_hold_up_the_others(pages):
    bad = [
        {**PH, "uid": "b-1", "value": "69"},
        {**PH, "uid": "b-2", "quantity": "secrets"},
        {**PH, "uid": "b-3", "taken": "2027-01-01T00:00:00+00:00"},
        {**PH, "uid": "b-4", "value": "", "event": "drop table"},
    ]
    told = send(pages, *bad, PH).json()
    assert told["kept"] == ["a-1"]
    assert set(told["refused"]) == {"b-1", "b-2", "b-3", "b-4"}


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"{", b'{"readings": [{}]}', b'{"readings": [{"uid": "x", "taken": "2026-11-24"}]}']
)
@pytest.mark.usefixtures("foyer")
def test_what_is_no_reading_is_refused(pages, body):
    answer = pages.post(f"/job/{SLUG}/readings", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422


@pytest.mark.usefixtures("foyer")
def test_taps_become_a_rate(pages, workshop):
    taps = [0.5 * n for n in range(20)]
    assert send(pages, {"uid": "t-1", "taken": PH["taken"], "taps": taps}).json()["kept"] == ["t-1"]
    assert workshop.store.readings(SLUG)[0].value == pytest.approx(2.0)


@pytest.mark.usefixtures("foyer")
def test_the_page_shows_what_the_dial_in_says(pages, workshop):
    workshop.store.add_readings(SLUG, [reading("1", "ph", 6.95, minutes_ago=90)])
    found = workshop.dial(workshop.kept(SLUG))
    text = pages.get(f"/job/{SLUG}/dial").text
    assert f"{found.co2_now_mg_l.value:.1f}" in text
    assert "from pH 6.95" in text
    assert '<script src="/static/dial.js' in text
    assert "htmx" not in text.replace("htmx-config", "")
    parts = pages.get(f"/job/{SLUG}/dial/now").json()
    assert {"top", "reads", "means", "clock"} == set(parts)


@pytest.mark.usefixtures("foyer")
def test_a_plain_form_keeps_a_reading_too(pages, workshop):
    for _ in range(2):
        assert pages.post(f"/job/{SLUG}/readings", data={"uid": "u", "ph": "6.9"}).status_code == 303
    assert len(workshop.store.readings(SLUG)) == 1
    wrong = pages.post(f"/job/{SLUG}/readings", data={"uid": "v", "ph": "acid"})
    assert wrong.status_code == 422
    assert "Not kept" in wrong.text
