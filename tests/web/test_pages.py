"""The pages in this process: what they show, what they keep, and what they refuse beside its field."""

from __future__ import annotations

import gzip
import hashlib
import re
import tomllib
from pathlib import Path

import pytest

from fizzwright.job.examples import EXAMPLES, example_text
from fizzwright.web.site import style_text
from tests.rules.house import SRC
from tests.web.readings import reading

SLUG = "library-foyer-120"
PLAN = f"/job/{SLUG}/plan"
SURVEY = f"/job/{SLUG}/survey"
HERE = Path(__file__).parent


def fields(text):
    """What stands in a page's survey form, by name."""
    found = dict(re.findall(r'<input id="f-[^"]*" name="([^"]+)" value="([^"]*)"', text))
    for name, inner in re.findall(r'<select id="f-[^"]*" name="([^"]+)"[^>]*>(.*?)</select>', text, re.DOTALL):
        chosen = re.search(r"<option selected>([^<]*)", inner)
        found[name] = chosen[1] if chosen else ""
    return found


@pytest.mark.parametrize("folder", [SRC / "web" / "static", HERE / "vendored"], ids=["pages", "tests"])
def test_vendored_files_are_what_they_say(folder):
    for entry in tomllib.loads((folder / "vendored.toml").read_text(encoding="utf-8")).values():
        content = (folder / entry["file"]).read_bytes()
        assert hashlib.sha256(content).hexdigest() == entry["sha256"]
        assert (folder / entry["licence_file"]).is_file()


def test_style_names_every_token_it_uses():
    text = style_text()
    assert set(re.findall(r"var\((--[a-z0-9-]+)\)", text)) <= set(re.findall(r"(--[a-z0-9-]+):", text))
    assert "url(http" not in text


# ---- workshop


def test_an_empty_workshop_offers_a_beginning(pages):
    text = pages.get("/").text
    assert "No jobs yet" in text
    for example in EXAMPLES:
        assert f'value="{example}"' in text


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_comes_with_all_its_tanks(pages, workshop, example):
    answer = pages.post("/jobs", data={"how": "example", "example": example})
    assert answer.headers["location"] == f"/job/{example}/plan"
    assert pages.get(answer.headers["location"]).status_code == 200
    again = pages.post("/jobs", data={"how": "example", "example": example})
    assert again.status_code == 303
    assert all(head.revision_count == 1 for head in workshop.heads())


def test_a_file_goes_in_and_comes_out_the_same(pages):
    given = example_text("kitchen-nano.toml")
    answer = pages.post("/jobs", data={"how": "file"}, files={"file": ("My Nano.toml", given.encode())})
    assert answer.headers["location"] == "/job/my-nano/survey"
    assert pages.get("/job/my-nano/job.toml").text == given
    second = pages.post("/jobs", data={"how": "file"}, files={"file": ("My Nano.toml", given.encode())})
    assert second.headers["location"] == "/job/my-nano-2/survey"


def test_a_faulty_file_is_refused_with_every_fault(pages, workshop):
    text = example_text("kitchen-nano.toml").replace('"open"', '"ajar"').replace("kh = ", "khh = ")
    answer = pages.post("/jobs", data={"how": "file"}, files={"file": ("x.toml", text.encode())})
    assert answer.status_code == 422
    assert "water.khh" in answer.text
    assert workshop.heads() == ()


def test_what_needs_attention_stands_first(pages, workshop, foyer):
    pages.post("/jobs", data={"how": "blank", "name": "new tank"})
    text = pages.get("/").text
    assert "The survey is not finished" in text
    assert text.index("not finished") < text.index('id="jb"')


def test_bottles_have_dates_from_their_plans(pages, foyer, workshop):
    days = workshop.planned(foyer).plan.bottle_days
    text = pages.get("/bottles", headers={"hx-request": "true"}).text
    assert text.startswith("<svg")
    assert days.value > 0
    assert "library foyer 120" in text


# ---- survey


def test_the_form_shows_what_the_file_says(pages, foyer):
    shown = fields(pages.get(SURVEY).text)
    assert shown["tank.length"] == "120"
    assert shown["light.on"] == "12:00"
    assert shown["plants[2].grows"] == "slow shade plants"


def test_keeping_the_form_untouched_changes_nothing(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    assert pages.post(SURVEY, data={**shown, "revision": "1"}).status_code == 303
    assert workshop.kept(SLUG).text == foyer.text


def test_a_changed_field_is_kept_and_comments_stay(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    answer = pages.post(SURVEY, data={**shown, "water.kh": "5,5", "tank.length": "48 in", "revision": "1"})
    assert answer.headers["location"] == f"{SURVEY}?kept=yes"
    kept = workshop.kept(SLUG)
    assert 'kh = "5,5 dKH"' in kept.text
    assert 'length = "48 in"' in kept.text
    assert "# carbonate hardness, by titration" in kept.text
    assert (kept.revision_count, kept.by, kept.device) == (2, "keeper", "computer")


def test_every_fault_stands_beside_its_field_and_input_is_kept(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    wrong = {"water.kh": "480", "light.on": "25:99", "room.volume": "much", "tank.water_depth": "70"}
    answer = pages.post(SURVEY, data={**shown, **wrong, "revision": "1"})
    assert answer.status_code == 422
    again = fields(answer.text)
    for key, value in wrong.items():
        assert again[key] == value
        said = re.search(rf'<p class="err" id="f-{re.sub("[^a-z0-9]+", "-", key)}-e">([^<]*)</p>', answer.text)
        assert said[1].strip(), key
    assert workshop.kept(SLUG).revision_count == 1


def test_the_check_answers_while_writing(pages, foyer):
    shown = fields(pages.get(SURVEY).text)
    fine = pages.post(f"{SURVEY}/check", data={**shown, "revision": "1"}).text
    assert "net water" in fine
    wrong = pages.post(f"{SURVEY}/check", data={**shown, "water.kh": "480", "revision": "1"}).text
    assert "1 value needs a look" in wrong
    assert re.search(r'id="f-water-kh-e" hx-swap-oob="true">[^<]+<', wrong)


def test_rows_can_be_added_and_taken_out(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    added = pages.post(SURVEY, data={**shown, "revision": "1", "add": "plants"})
    more = fields(added.text)
    assert more["plants[3].cover"] == ""
    more |= {"plants[3].cover": "5", "plants[3].grows": "mixed"}
    assert pages.post(SURVEY, data={**more, "revision": "1"}).status_code == 303
    assert len(workshop.job(workshop.kept(SLUG)).plants) == 3
    fewer = fields(pages.post(SURVEY, data={**more, "revision": "2", "drop": "plants[1]"}).text)
    assert pages.post(SURVEY, data={**fewer, "revision": "2"}).status_code == 303
    assert [bed.cover_frac for bed in workshop.job(workshop.kept(SLUG)).plants] == [0.20, 0.05]


def test_a_blank_survey_can_be_kept_unfinished_and_finished_later(pages, workshop):
    pages.post("/jobs", data={"how": "blank", "name": "corner tank"})
    address = "/job/corner-tank/survey"
    shown = fields(pages.get(address).text)
    shown["tank.length"] = "60"
    assert pages.post(address, data={**shown, "revision": "1"}).status_code == 422
    assert pages.post(address, data={**shown, "revision": "1", "unfinished": "yes"}).status_code == 303
    assert fields(pages.get(address).text)["tank.length"] == "60"
    assert pages.get("/job/corner-tank/plan").status_code == 422
    rest = {
        "tank.width": "30", "tank.height": "36", "tank.water_depth": "32", "water.kh": "4",
        "water.temperature": "24", "surface.looks": "rippled", "light.on": "10:00", "light.off": "18:00",
        "light.par": "60", "gasline.bottle.charge": "500", "gasline.diffuser.kind": "fine ceramic disc",
        "gasline.diffuser.depth": "25", "room.volume": "40",
    }  # fmt: skip
    assert pages.post(address, data={**shown, **rest, "revision": "2"}).status_code == 303
    assert pages.get("/job/corner-tank/plan").status_code == 200


def test_two_at_once_see_both_versions_and_nothing_is_written_over(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    pages.post(SURVEY, data={**shown, "water.kh": "6", "revision": "1"})
    answer = pages.post(SURVEY, data={**shown, "water.kh": "7", "revision": "1"})
    assert answer.status_code == 409
    assert "Two versions" in answer.text
    assert re.search(r"water\.kh</th><td[^>]*>6</td><td[^>]*>7</td>", answer.text)
    assert workshop.job(workshop.kept(SLUG)).water.kh_dkh == 6.0
    mine = fields(answer.text)
    assert mine["water.kh"] == "7"
    assert pages.post(SURVEY, data={**mine, "revision": "2"}).status_code == 303
    assert workshop.job(workshop.kept(SLUG)).water.kh_dkh == 7.0


def test_undo_brings_back_what_was(pages, foyer, workshop):
    shown = fields(pages.get(SURVEY).text)
    pages.post(SURVEY, data={**shown, "water.kh": "6", "revision": "1"})
    assert pages.post(f"/job/{SLUG}/undo", data={"revision": "2"}).status_code == 303
    assert workshop.kept(SLUG).text == foyer.text
    assert pages.post(f"/job/{SLUG}/undo", data={"revision": "2"}).status_code == 409


# ---- plan


def test_the_plan_page_shows_the_plan_of_the_engines(pages, foyer, workshop):
    plan = workshop.planned(foyer).plan
    text = pages.get(PLAN).text
    assert f"{plan.bubbles_per_s.value:.2f}" in text
    for station in plan.stations:
        assert f'aria-label="{station.number} {station.name}"' in text
    for name in ("line", "line-phone", "day", "day-phone", "ledger", "ledger-phone"):
        assert text.count(f'id="{name}-t"') == 1


def test_the_plan_page_is_light(pages, foyer):
    page = pages.get(f"{PLAN}?station=8").content
    script = (SRC / "web" / "static" / "htmx.min.js").read_bytes()
    weight = sum(len(gzip.compress(part)) for part in (page, script, style_text().encode()))
    fonts = sum(path.stat().st_size for path in (SRC / "papers" / "fonts").glob("b612-[rb]*.woff2"))
    assert weight + fonts < 120_000


def test_settings_stand_in_the_address(pages, foyer, workshop):
    from fizzwright.stages.plan_set import HandSet

    kept = workshop.kept(SLUG)
    usual = workshop.planned(kept).plan
    to = HandSet(0.8, 540, 1080, usual.loss_per_h.value)
    asked = f"{PLAN}?bubbles=0.8&on=09:00&off=18:00"
    text = pages.get(asked).text
    whole = workshop.plan_set(kept, to)
    assert f"{whole.co2_peak_mg_l.value:.1f}" in re.sub(r"<[^>]+>", "", text)
    assert "gas from <b class=\"nw\">09:00</b> to <b class=\"nw\">18:00</b>" in text


def test_a_moving_pointer_gets_the_day_alone(pages, foyer):
    asked = f"{PLAN}?bubbles=0.8&on=540&off=1080"
    moving = pages.get(f"{asked}&moving=1", headers={"hx-request": "true"}).text
    rest = pages.get(asked, headers={"hx-request": "true"}).text
    assert 'id="day-t"' in moving
    assert 'id="line-t"' not in moving
    assert 'id="line-t"' in rest
    assert 'id="ledger-t"' in rest
    assert "200 draws while the pointer moves" in moving


@pytest.mark.parametrize("query", ["bubbles=-1", "bubbles=nan&on=99:99", "stir=1e99", "station=99", "on=abc"])
def test_nonsense_in_the_address_is_passed_over(pages, foyer, query):
    assert pages.get(f"{PLAN}?{query}").status_code == 200


def test_keeping_settings_writes_them_into_the_job(pages, foyer, workshop):
    answer = pages.post(PLAN, data={"bubbles": "0.8", "on": "540", "off": "1080", "revision": "1"})
    assert answer.status_code == 303
    settings = workshop.job(workshop.kept(SLUG)).settings
    assert (settings.gas_on_min, settings.gas_off_min) == (540, 1080)
    per_bubble = workshop.planned(foyer).plan.mg_per_bubble_mg.value
    assert settings.feed_mg_h == pytest.approx(0.8 * 3600 * per_bubble, rel=1e-3)
    stale = pages.post(PLAN, data={"bubbles": "0.9", "on": "540", "off": "1080", "revision": "1"})
    assert stale.status_code == 422


def test_a_station_is_changed_on_its_sheet(pages, foyer, workshop):
    text = pages.get(f"{PLAN}?station=8").text
    assert 'name="gasline.diffuser.depth" value="36"' in text
    wrong = pages.post(
        f"/job/{SLUG}/station?station=8", data={"gasline.diffuser.depth": "990", "revision": "1"}
    )
    assert wrong.status_code == 422
    assert 'value="990"' in wrong.text
    fine = pages.post(f"/job/{SLUG}/station?station=8", data={"gasline.diffuser.depth": "30", "revision": "1"})
    assert fine.headers["location"] == f"{PLAN}?station=8#station"
    assert workshop.job(workshop.kept(SLUG)).gasline.diffuser.depth_cm == 30.0


def test_a_bottle_shared_with_a_tank_that_is_not_here_says_so(pages, workshop):
    text = example_text("school-rack.toml")
    workshop.store.add_job(text, slug="school-rack", by="", device="")
    answer = pages.get("/job/school-rack/plan")
    assert answer.status_code == 422
    assert "is not in this workshop" in answer.text


# ---- dial in


def send(pages, *readings, clock="2026-11-24T14:30:00+00:00"):
    return pages.post(f"/job/{SLUG}/readings", json={"clock": clock, "readings": list(readings)})


PH = {"uid": "a-1", "taken": "2026-11-24T13:00:00+00:00", "quantity": "ph", "value": "6,92"}


def test_readings_sent_three_times_are_kept_once(pages, foyer, workshop):
    for _ in range(3):
        assert send(pages, PH).json()["kept"] == ["a-1"]
    (kept,) = workshop.store.readings(SLUG)
    assert (kept.value, kept.timezone, kept.quantity) == (6.92, "Europe/Berlin", "ph")


def test_one_bad_reading_does_not_hold_up_the_others(pages, foyer, workshop):
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
def test_what_is_no_reading_is_refused(pages, foyer, body):
    answer = pages.post(f"/job/{SLUG}/readings", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422


def test_taps_become_a_rate(pages, foyer, workshop):
    taps = [0.5 * n for n in range(20)]
    assert send(pages, {"uid": "t-1", "taken": PH["taken"], "taps": taps}).json()["kept"] == ["t-1"]
    assert workshop.store.readings(SLUG)[0].value == pytest.approx(2.0)


def test_the_page_shows_what_the_dial_in_says(pages, foyer, workshop):
    workshop.store.add_readings(SLUG, [reading("1", "ph", 6.95, minutes_ago=90)])
    found = workshop.dial(workshop.kept(SLUG))
    text = pages.get(f"/job/{SLUG}/dial").text
    assert f"{found.co2_now_mg_l.value:.1f}" in text
    assert "from pH 6.95" in text
    assert '<script src="/static/dial.js' in text
    assert "htmx" not in text.replace("htmx-config", "")
    parts = pages.get(f"/job/{SLUG}/dial/now").json()
    assert {"top", "reads", "means", "clock"} == set(parts)


def test_a_plain_form_keeps_a_reading_too(pages, foyer, workshop):
    for _ in range(2):
        assert pages.post(f"/job/{SLUG}/readings", data={"uid": "u", "ph": "6.9"}).status_code == 303
    assert len(workshop.store.readings(SLUG)) == 1
    wrong = pages.post(f"/job/{SLUG}/readings", data={"uid": "v", "ph": "acid"})
    assert wrong.status_code == 422
    assert "Not kept" in wrong.text


# ---- papers


def test_the_plan_sheet_is_a_pdf(pages, foyer):
    answer = pages.get(f"/job/{SLUG}/papers/plan.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert f"/job/{SLUG}/papers/plan.pdf" in pages.get(f"/job/{SLUG}/papers").text


def test_every_link_of_every_page_leads_somewhere(pages, foyer):
    seen, waiting = set(), ["/"]
    while waiting:
        path = waiting.pop()
        if path in seen or len(seen) > 60:
            continue
        seen.add(path)
        answer = pages.get(path)
        assert answer.status_code in (200, 303), path
        if "html" in answer.headers.get("content-type", ""):
            for link in re.findall(r'(?:href|src)="(/[^"#]*)', answer.text):
                waiting.append(link.replace("&amp;", "&"))
    assert f"/job/{SLUG}/papers/plan.pdf" in seen


def test_night_sheet_is_chosen_and_kept(pages):
    pages.post("/sheet", data={"sheet": "night", "back": "/"})
    assert 'data-sheet="night"' in pages.get("/").text
