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

SLUG = "library-foyer-120"
PLAN = f"/job/{SLUG}/plan"
SURVEY = f"/job/{SLUG}/survey"
HERE = Path(__file__).parent


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


@pytest.mark.usefixtures("foyer")
def test_what_needs_attention_stands_first(pages):
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


# ---- plan


def test_the_plan_page_shows_the_plan_of_the_engines(pages, foyer, workshop):
    plan = workshop.planned(foyer).plan
    text = pages.get(PLAN).text
    assert f"{plan.bubbles_per_s.value:.2f}" in text
    for station in plan.stations:
        assert f'aria-label="{station.number} {station.name}"' in text
    for name in ("line", "line-phone", "day", "day-phone", "ledger", "ledger-phone"):
        assert text.count(f'id="{name}-t"') == 1


@pytest.mark.usefixtures("foyer")
def test_the_plan_page_is_light(pages):
    page = pages.get(f"{PLAN}?station=8").content
    script = (SRC / "web" / "static" / "htmx.min.js").read_bytes()
    weight = sum(len(gzip.compress(part)) for part in (page, script, style_text().encode()))
    fonts = sum(path.stat().st_size for path in (SRC / "papers" / "fonts").glob("b612-[rb]*.woff2"))
    assert weight + fonts < 120_000


@pytest.mark.usefixtures("foyer")
def test_settings_stand_in_the_address(pages, workshop):
    from fizzwright.stages.plan_set import HandSet

    kept = workshop.kept(SLUG)
    usual = workshop.planned(kept).plan
    to = HandSet(0.8, 540, 1080, usual.loss_per_h.value)
    asked = f"{PLAN}?bubbles=0.8&on=09:00&off=18:00"
    text = pages.get(asked).text
    whole = workshop.plan_set(kept, to)
    assert f"{whole.co2_peak_mg_l.value:.1f}" in re.sub(r"<[^>]+>", "", text)
    assert 'gas from <b class="nw">09:00</b> to <b class="nw">18:00</b>' in text


@pytest.mark.usefixtures("foyer")
def test_a_moving_pointer_gets_the_day_alone(pages):
    asked = f"{PLAN}?bubbles=0.8&on=540&off=1080"
    moving = pages.get(f"{asked}&moving=1", headers={"hx-request": "true"}).text
    rest = pages.get(asked, headers={"hx-request": "true"}).text
    assert 'id="day-t"' in moving
    assert 'id="line-t"' not in moving
    assert 'id="line-t"' in rest
    assert 'id="ledger-t"' in rest
    assert "200 draws while the pointer moves" in moving


@pytest.mark.parametrize("query", ["bubbles=-1", "bubbles=nan&on=99:99", "stir=1e99", "station=99", "on=abc"])
@pytest.mark.usefixtures("foyer")
def test_nonsense_in_the_address_is_passed_over(pages, query):
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


@pytest.mark.usefixtures("foyer")
def test_a_station_is_changed_on_its_sheet(pages, workshop):
    text = pages.get(f"{PLAN}?station=8").text
    assert 'name="gasline.diffuser.depth" value="36"' in text
    wrong = pages.post(
        f"/job/{SLUG}/station?station=8", data={"gasline.diffuser.depth": "990", "revision": "1"}
    )
    assert wrong.status_code == 422
    assert 'value="990"' in wrong.text
    fine = pages.post(
        f"/job/{SLUG}/station?station=8", data={"gasline.diffuser.depth": "30", "revision": "1"}
    )
    assert fine.headers["location"] == f"{PLAN}?station=8#station"
    assert workshop.job(workshop.kept(SLUG)).gasline.diffuser.depth_cm == 30.0


def test_a_bottle_shared_with_a_tank_that_is_not_here_says_so(pages, workshop):
    text = example_text("school-rack.toml")
    workshop.store.add_job(text, slug="school-rack", by="", device="")
    answer = pages.get("/job/school-rack/plan")
    assert answer.status_code == 422
    assert "is not in this workshop" in answer.text


# ---- papers


@pytest.mark.usefixtures("foyer")
def test_the_plan_sheet_is_a_pdf(pages):
    answer = pages.get(f"/job/{SLUG}/papers/plan.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert f"/job/{SLUG}/papers/plan.pdf" in pages.get(f"/job/{SLUG}/papers").text


@pytest.mark.usefixtures("foyer")
def test_every_link_of_every_page_leads_somewhere(pages):
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
